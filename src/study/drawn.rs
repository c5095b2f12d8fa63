//! A study read again with drawn values in the place of its own, by the same reader: so that every bound
//! holds for a draw as it does for what a person writes.

use super::Study;
use super::document::Reading;
use super::input::{Overrides, find};
use super::uncertainty::{UncertainInput, UncertaintyAsk};
use crate::problem::{Problem, Problems};
use crate::uncertainty::{Distribution, Point, Which, points};

/// A study at every point at which its uncertain inputs are to be answered.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// What was asked, with the number of draws that are made.
    pub ask: UncertaintyAsk,
    /// The draws in their order, then each input alone at its low and its high.
    pub studies: Vec<DrawnStudy>,
}

/// The study at one point.
#[derive(Clone, Debug)]
pub struct DrawnStudy {
    /// Which values were set.
    pub point: Point,
    /// The study with them.
    pub study: Study,
}

impl Drawn {
    /// A problem of one point, told at the input that it lies in, or at the first of several.
    pub fn problem(&self, point: &Point, what: &str) -> Problem {
        at_input(&self.ask.inputs, point, what)
    }
}

/// Reads the study at every point. `again` reads it with values set from outside. The first point that
/// cannot be used ends it, with the input and the value that are to blame.
pub fn read_draws(
    ask: &UncertaintyAsk,
    again: impl Fn(&Overrides) -> Result<Reading<Study>, Problems>,
) -> Result<Drawn, Problems> {
    let distributions: Vec<Distribution> = ask.inputs.iter().map(|input| input.distribution).collect();
    let mut studies = Vec::new();
    for point in points(&distributions, ask.samples as usize, ask.seed.into()) {
        let reading = again(&overrides(&ask.inputs, &point.values))
            .map_err(|problems| blame(&ask.inputs, &point, &problems, &again))?;
        check_all_were_used(&ask.inputs, &point, &reading)?;
        studies.push(DrawnStudy { point, study: reading.value });
    }
    Ok(Drawn { ask: ask.clone(), studies })
}

fn overrides(inputs: &[UncertainInput], values: &[(usize, f64)]) -> Overrides {
    let named = values.iter().map(|&(place, value)| (inputs[place].path.clone(), value));
    named.collect()
}

/// Every drawn number must be the one that the study now holds.
fn check_all_were_used(inputs: &[UncertainInput], point: &Point, reading: &Reading<Study>) -> Result<(), Problems> {
    for &(place, value) in &point.values {
        let path = &inputs[place].path;
        let is_set = match find(&reading.inputs, path) {
            Ok(input) => input.number == Some(value),
            // An entry of a list is written into the list.
            Err(_) => path
                .rsplit_once('.')
                .and_then(|(list, _)| find(&reading.inputs, list).ok())
                .is_some_and(|list| list.value_text.contains(&value.to_string())),
        };
        if !is_set {
            let what = format!("`{path}` cannot be drawn: what it is depends on other inputs");
            let alone = Point { which: point.which, values: vec![(place, value)] };
            return Err(at_input(inputs, &alone, &what).into());
        }
    }
    Ok(())
}

/// Says which input of a refused point is to blame: the first that is refused alone, or all together.
fn blame(
    inputs: &[UncertainInput],
    point: &Point,
    problems: &Problems,
    again: &impl Fn(&Overrides) -> Result<Reading<Study>, Problems>,
) -> Problems {
    let alone = point.values.iter().find_map(|one| {
        let refused = again(&overrides(inputs, &[*one])).err()?;
        Some((vec![*one], refused))
    });
    let (values, refused) = alone.unwrap_or_else(|| (point.values.clone(), problems.clone()));
    let told = refused.iter().next().map_or_else(String::new, |problem| {
        let bound = match problem.expected.as_str() {
            "" => String::new(),
            expected => format!(", expected {expected}"),
        };
        format!("{}{bound}", problem.what)
    });
    let words: Vec<String> =
        values.iter().map(|&(place, value)| format!("`{}` = {}", inputs[place].path, short(value))).collect();
    let what = format!("{} cannot be {}: {told}", moment(point.which), words.join(", "));
    let point = Point { which: point.which, values };
    let cure = "keep draws within what the study may be: `low` and `high` cut a normal or a lognormal; a whole number cannot be drawn";
    at_input(inputs, &point, &what).cure(cure).into()
}

/// Five significant figures.
fn short(value: f64) -> String {
    format!("{value:.4e}").parse::<f64>().unwrap_or(value).to_string()
}

fn moment(which: Which) -> String {
    match which {
        Which::Draw(draw) => format!("draw {}", draw + 1),
        Which::Low(_) => "the P10".to_owned(),
        Which::High(_) => "the P90".to_owned(),
    }
}

fn at_input(inputs: &[UncertainInput], point: &Point, what: &str) -> Problem {
    let place = point.values.first().map_or(0, |value| value.0);
    let mut problem = inputs[place].place.clone();
    what.clone_into(&mut problem.what);
    problem
}
