//! Has an opened study answered, with progress on a terminal.

use super::{Failure, folder};
use crate::answer::{About, Answered, Asked, Count, Posed, WarningFigures, answer_study};
use crate::ledger::Detail;
use crate::problem::Problem;
use crate::study::Drawn;
use indicatif::{ProgressBar, ProgressFinish, ProgressStyle};
use std::io::IsTerminal;

/// What a command wants of an answer.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// What is doubtful in the study and its weather, as it was told.
    pub warnings: &'a [Problem],
    /// The study at every draw of what is in doubt.
    pub drawn: Option<&'a Drawn>,
    /// True if the standing list of measures is to be tried.
    pub screening: bool,
    pub detail: Detail,
}

/// The answer to an opened study.
pub(super) fn answered(
    opened: &folder::Opened,
    weather: folder::OpenedWeather,
    Wanted { warnings, drawn, screening, detail }: Wanted<'_>,
) -> Result<Answered, Failure> {
    let warnings = listed(warnings, &weather);
    let mut files = opened.files.clone();
    files.extend(weather.files);
    let posed = Posed {
        study: &opened.reading.value,
        inputs: &opened.reading.inputs,
        set: &opened.set,
        years: &weather.years,
        weather: weather.figures,
        files,
        warnings,
    };
    let read = |block: &str| opened.with_option(block);
    Ok(answer_study(posed, Asked { detail, drawn, screening, read: &read, progress: &shown })?)
}

/// Warnings and notes as the figures list them.
fn listed(warnings: &[Problem], weather: &folder::OpenedWeather) -> Vec<WarningFigures> {
    let listed = warnings.iter().map(|problem| {
        let about = if weather.found(problem) { About::Weather } else { About::Study };
        WarningFigures::of(problem, about)
    });
    listed.collect()
}

/// A bar that a call moves on by one, and that goes with what is given.
fn shown(runs: usize, of: &str) -> Count {
    let bar = progress(runs, of);
    Box::new(move || bar.inc(1))
}

/// A bar on a terminal, and nothing elsewhere.
pub(super) fn progress(runs: usize, of: &str) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(runs as u64).with_finish(ProgressFinish::AndClear);
    if let Ok(style) = ProgressStyle::with_template(&format!("{{bar:30}} {{pos}}/{{len}} {of}")) {
        bar.set_style(style);
    }
    bar
}
