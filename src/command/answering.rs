//! Has an opened study answered, with progress on a terminal.

use super::Failure;
use super::folder::Opened;
use crate::answer::{About, Answered, Asked, Count, Posed, WarningFigures, answer_study};
use crate::ledger::Detail;
use crate::study::Drawn;
use indicatif::{ProgressBar, ProgressFinish, ProgressStyle};
use std::io::IsTerminal;

/// What a command wants of an answer.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// The study at every draw of what is in doubt.
    pub drawn: Option<&'a Drawn>,
    /// True if the standing list of measures is to be tried.
    pub screening: bool,
    pub detail: Detail,
}

/// The answer to an opened study.
pub(super) fn answered(opened: &Opened, wanted: Wanted<'_>) -> Result<Answered, Failure> {
    let Opened { written, weather, .. } = opened;
    let Wanted { drawn, screening, detail } = wanted;
    let posed = Posed {
        study: opened.study(),
        inputs: opened.inputs(),
        set: &written.set,
        years: &weather.years,
        weather: weather.figures.clone(),
        files: opened.files().cloned().collect(),
        warnings: listed(opened),
    };
    let read = |block: &str| written.with_option(block);
    Ok(answer_study(posed, Asked { detail, drawn, screening, read: &read, progress: &shown })?)
}

/// Warnings and notes as the figures list them.
fn listed(opened: &Opened) -> Vec<WarningFigures> {
    let listed = opened.warnings.iter().map(|problem| {
        let about = if opened.weather.found(problem) { About::Weather } else { About::Study };
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
