//! The study as each option that changes it has it, as it is in each scenario and before it grows: the same text, read by
//! the same reader, with what is set laid over it. So every bound holds for what is set as it does for what the study says.

use super::change::Change;
use super::document::{Document, Reading};
use super::input::{Overrides, find};
use super::package::Measure;
use super::{ChangedStudy, Study};
use crate::problem::{Problem, Problems, Refusal, Severity, meant_or};

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
        let context = format!("in option \"{name}\": ");
        let own = document.changed(&all).as_option_has_it(place);
        let drawn = drawn_for(document, measure, || again(own.with(&NOTHING_DRAWN)).ok());
        let read = again(own.with(&drawn)).and_then(|reading| {
            check_all_were_laid(&reading, &all, asked.len())?;
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
                problems.extend(because_of(found, &context).into_vec());
                refused.push(name.clone());
            }
        }
    }
    if problems.is_empty() { Ok(warnings) } else { Err(Problems::new(problems)) }
}

static NOTHING_DRAWN: Overrides = Overrides::new();

/// What is drawn, as an option has it that sets some of it. What it sets is a decision and is not drawn; but what stands
/// in doubt in the study is as much in doubt there, and goes the same way: a wall as built leaks more or less than
/// reckoned, insulated or not. `as_set` reads the option with nothing drawn.
fn drawn_for(document: Document<'_>, measure: &Measure, as_set: impl FnOnce() -> Option<Reading<Study>>) -> Overrides {
    let overrides = document.overrides();
    let is_set = |path: &str| measure.set.iter().any(|change| change.covers(path));
    let (set, free): (Vec<_>, Vec<_>) = overrides.iter().partition(|(path, _)| is_set(path));
    let mut drawn: Overrides = free.into_iter().map(|(path, number)| (path.clone(), *number)).collect();
    let doubted: Vec<(&String, f64)> =
        set.into_iter().filter_map(|(path, _)| Some((path, overrides.times_own(path)?))).collect();
    let reading = if doubted.is_empty() { None } else { as_set() };
    for (path, times) in doubted {
        let own = reading.as_ref().and_then(|reading| find(&reading.inputs, path).ok()?.number);
        if let Some(own) = own {
            drawn.insert_about(path, own * times, own);
        }
    }
    drawn
}

/// Reads the study again for each scenario.
pub(super) fn read_scenarios(
    study: &mut Study,
    document: Document<'_>,
    again: impl Fn(Document<'_>) -> Result<Reading<Study>, Problems>,
) -> Result<(), Problems> {
    let cure = "a scenario is the world and an option a decision: leave the value to one of the two";
    let mut scenarios = std::mem::take(&mut study.scenarios);
    let all = scenarios.iter_mut().map(|one| (format!("in scenario \"{}\": ", one.name), &one.set, &mut one.study));
    let problems = read_each(all, study, document, &again, cure);
    study.scenarios = scenarios;
    if problems.is_empty() { Ok(()) } else { Err(Problems::new(problems)) }
}

/// Reads the study again for each phase of growth that sets values.
pub(super) fn read_phases(
    study: &mut Study,
    document: Document<'_>,
    again: impl Fn(Document<'_>) -> Result<Reading<Study>, Problems>,
) -> Result<(), Problems> {
    let cure = "every option grows alike: leave the value to the phase or to the option";
    let mut phases = std::mem::take(&mut study.phases);
    let set = phases.iter_mut().filter(|phase| !phase.set.is_empty());
    let all = set.map(|one| (format!("in phase \"{}\": ", one.growth.name), &one.set, &mut one.study));
    let problems = read_each(all, study, document, &again, cure);
    study.phases = phases;
    if problems.is_empty() { Ok(()) } else { Err(Problems::new(problems)) }
}

/// Reads the study with each of these sets of values laid over every option, into its place: the words before what is wrong
/// with it, what it sets, and where it belongs.
fn read_each<'a>(
    all: impl Iterator<Item = (String, &'a Vec<Change>, &'a mut Option<Box<ChangedStudy>>)>,
    study: &Study,
    document: Document<'_>,
    again: &impl Fn(Document<'_>) -> Result<Reading<Study>, Problems>,
    cure: &str,
) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (context, set, place) in all {
        problems.extend(decided(set, study, cure));
        match read_with(set, document, again) {
            Ok(with) => *place = Some(with),
            Err(found) => problems.extend(because_of(found, &context).into_vec()),
        }
    }
    problems
}

/// The study with these values over what was asked for with the run.
fn read_with(
    set: &[Change],
    document: Document<'_>,
    again: &impl Fn(Document<'_>) -> Result<Reading<Study>, Problems>,
) -> Result<Box<ChangedStudy>, Problems> {
    let asked = document.changes();
    let all = [asked, set].concat();
    let reading = again(document.changed(&all))?;
    check_all_were_laid(&reading, &all, asked.len())?;
    Ok(Box::new(ChangedStudy { study: reading.value, inputs: reading.inputs }))
}

/// What is set for every option though one decides it.
fn decided(set: &[Change], study: &Study, cure: &str) -> Vec<Problem> {
    let mut problems = Vec::new();
    for change in set {
        let by = study.measures.iter().position(|measure| measure.set.iter().any(|other| other.meets(change)));
        if let Some(by) = by {
            let what = format!("`{}` is set by the option \"{}\" too", change.path, study.heatings[by].name);
            problems.push(change.problem_of_path(what).cure(cure));
        }
    }
    problems
}

/// Refuses changes, from this one on, that found nothing to change.
pub(super) fn check_all_were_laid(reading: &Reading<Study>, changes: &[Change], from: usize) -> Result<(), Problems> {
    let lost = changes.iter().enumerate().skip(from).filter(|(place, _)| !reading.laid.contains(place));
    let problems: Vec<Problem> = lost
        .map(|(_, change)| {
            let paths = reading.inputs.iter().map(|input| input.path.as_str());
            let what = format!("`{}` is no value of this study", change.path);
            let cure = meant_or(&change.path, paths, "the report's list of inputs shows the paths");
            change.problem_of_path(what).cure(cure).refused(Refusal::Unknown)
        })
        .collect();
    if problems.is_empty() { Ok(()) } else { Err(Problems::new(problems)) }
}

/// The errors of a reading that was changed, each with its cause before it, `with this set: `; what was asked for with
/// the run speaks of it already.
pub(crate) fn because_of(problems: Problems, cause: &str) -> Problems {
    let errors = problems.into_vec().into_iter().filter(|problem| problem.severity == Severity::Error);
    let told = errors.map(|mut problem| {
        if !problem.what.starts_with("--") {
            problem.what.insert_str(0, cause);
        }
        problem
    });
    Problems::new(told.collect())
}
