//! The study as each option that changes it has it: the same text, read by the same reader, with what the option sets
//! laid over it. So every bound holds for what an option sets as it does for what the study says.

use super::document::{Document, Reading};
use super::input::Overrides;
use super::{ChangedStudy, Study};
use crate::problem::{Problem, Problems};

/// Reads the study again for each option that changes it, and takes heating and costs of the option from there.
/// What is wrong is told once, of the first option in which it stands.
pub(super) fn read_changed(
    study: &mut Study,
    document: Document<'_>,
    again: impl Fn(Document<'_>) -> Result<Reading<Study>, Problems>,
) -> Result<Vec<Problem>, Problems> {
    let (mut warnings, mut refused, mut problems) = (Vec::new(), Vec::new(), Vec::new());
    for (place, measure) in study.measures.iter().enumerate().filter(|(_, measure)| !measure.set.is_empty()) {
        if measure.includes.iter().any(|name| refused.contains(name)) {
            continue;
        }
        let name = &study.heatings[place].name;
        let asked = document.changes();
        let all = [asked, &measure.set].concat();
        let is_free = |path: &str| !measure.set.iter().any(|change| change.covers(path));
        let drawn: Overrides =
            document.overrides().iter().filter(|(path, _)| is_free(path)).map(|(path, n)| (path.clone(), *n)).collect();
        let context = format!("in option \"{name}\": ");
        let read = again(document.with(&drawn).changed(&all)).and_then(|reading| {
            super::check_all_were_laid(&reading, &all, asked.len())?;
            Ok(reading)
        });
        match read {
            Ok(reading) => {
                warnings.extend(reading.warnings);
                study.heatings[place] = reading.value.heatings[place].clone();
                study.costs[place] = reading.value.costs[place].clone();
                let inputs = if document.is_as_written() { reading.inputs } else { Vec::new() };
                study.changed[place] = Some(Box::new(ChangedStudy { study: reading.value, inputs }));
            }
            Err(found) => {
                problems.extend(found.because_of(&context, "--set").into_vec());
                refused.push(name.clone());
            }
        }
    }
    if problems.is_empty() { Ok(warnings) } else { Err(Problems::new(problems)) }
}
