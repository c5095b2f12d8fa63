//! A study read again with drawn values in the place of its own, by the same reader: so that every bound
//! holds for a draw as it does for what a person writes.

use super::Study;
use super::document::Reading;
use super::input::{Overrides, find};
use super::uncertainty::{UncertainInput, UncertaintyAsk};
use crate::problem::{Problem, Problems};
use crate::uncertainty::{Distribution, Point, Which, points, short};

/// A study at every point at which its uncertain inputs are to be answered.
#[derive(Clone, Debug)]
pub(crate) struct Drawn {
    /// What was asked, with the number of draws that are made.
    pub ask: UncertaintyAsk,
    /// The draws in their order, then each input alone at its low and its high.
    pub studies: Vec<DrawnStudy>,
}

/// The study at one point.
#[derive(Clone, Debug)]
pub(crate) struct DrawnStudy {
    /// Which values were set.
    pub point: Point,
    /// The study with them.
    pub study: Study,
}

impl Drawn {
    /// A problem of one point, told at the input that it lies in, or at the first of several.
    pub(crate) fn problem(&self, point: &Point, what: &str) -> Problem {
        at_input(&self.ask.inputs, point, what)
    }
}

/// Reads the study at every point. `again` reads it with values set from outside. The first point that
/// cannot be used ends it, with the input and the value that are to blame; a value that stands in doubt without
/// being named gives way instead, so that doubt never refuses a study that is sound.
pub(crate) fn read_draws(
    ask: &UncertaintyAsk,
    again: impl Fn(&Overrides) -> Result<Reading<Study>, Problems>,
) -> Result<Drawn, Problems> {
    let inputs: Vec<UncertainInput> =
        ask.inputs.iter().filter(|input| input.standing.is_none() || bears_doubt(input, &again)).cloned().collect();
    let distributions: Vec<Distribution> = inputs.iter().map(|input| input.distribution).collect();
    let mut studies = Vec::new();
    for point in points(&distributions, ask.samples as usize, ask.seed.into()) {
        studies.push(read_point(&inputs, point, &again)?);
    }
    Ok(Drawn { ask: UncertaintyAsk { inputs, ..ask.clone() }, studies })
}

/// Shares of a distribution at which a value must still be one that the study may have.
const FAR: [f64; 2] = [0.001, 0.999];
/// How often values that stand in doubt are brought half way home before a point is given up.
const GIVE_WAY: usize = 6;

/// True if the study may be read with this input far down and far up: one whose value follows from others, or that
/// stands next to what is possible, stands in no doubt.
fn bears_doubt(input: &UncertainInput, again: &impl Fn(&Overrides) -> Result<Reading<Study>, Problems>) -> bool {
    FAR.iter().all(|share| {
        let value = input.distribution.quantile(*share);
        let set = Overrides::from([(input.path.clone(), value)]);
        again(&set).is_ok_and(|reading| is_set(&reading, &input.path, value))
    })
}

/// The study at a point. Where drawn values do not go together, those that stand in doubt come nearer to the study's
/// own, step by step: each alone may be as far away as it was drawn.
fn read_point(
    inputs: &[UncertainInput],
    mut point: Point,
    again: &impl Fn(&Overrides) -> Result<Reading<Study>, Problems>,
) -> Result<DrawnStudy, Problems> {
    let may_give_way = point.values.iter().any(|(place, _)| inputs[*place].standing.is_some());
    for _ in 0..GIVE_WAY {
        match again(&overrides(inputs, &point.values)) {
            Ok(reading) => {
                check_all_were_used(inputs, &point, &reading)?;
                return Ok(DrawnStudy { point, study: reading.value });
            }
            Err(problems) if !may_give_way => return Err(blame(inputs, &point, &problems, again)),
            Err(_) => {
                for (place, value) in &mut point.values {
                    let input = &inputs[*place];
                    if input.standing.is_some() {
                        *value = f64::midpoint(*value, input.own_value);
                    }
                }
            }
        }
    }
    // Doubt refuses nothing: it is the named values that do not go together.
    for (place, value) in &mut point.values {
        if inputs[*place].standing.is_some() {
            *value = inputs[*place].own_value;
        }
    }
    match again(&overrides(inputs, &point.values)) {
        Ok(reading) => Ok(DrawnStudy { point, study: reading.value }),
        Err(problems) => Err(blame(inputs, &point, &problems, again)),
    }
}

fn overrides(inputs: &[UncertainInput], values: &[(usize, f64)]) -> Overrides {
    let mut all = Overrides::new();
    for &(place, value) in values {
        let input = &inputs[place];
        match input.standing {
            Some(_) => all.insert_about(&input.path, value, input.own_value),
            None => all.insert(&input.path, value),
        }
    }
    all
}

/// Every drawn number must be the one that the study now holds.
fn check_all_were_used(inputs: &[UncertainInput], point: &Point, reading: &Reading<Study>) -> Result<(), Problems> {
    for &(place, value) in &point.values {
        let path = &inputs[place].path;
        if !is_set(reading, path, value) {
            let what = format!("`{path}` cannot be drawn: what it is depends on other inputs");
            let alone = Point { which: point.which, values: vec![(place, value)] };
            return Err(at_input(inputs, &alone, &what).into());
        }
    }
    Ok(())
}

/// True if the study as it was read holds this value at this path.
fn is_set(reading: &Reading<Study>, path: &str, value: f64) -> bool {
    match find(&reading.inputs, path) {
        Ok(input) => input.number == Some(value),
        // An entry of a list is written into the list.
        Err(_) => path
            .rsplit_once('.')
            .and_then(|(list, _)| find(&reading.inputs, list).ok())
            .is_some_and(|list| list.value_text.contains(&value.to_string())),
    }
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
