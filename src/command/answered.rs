//! Everything that is computed of a study: its seasons, and all that is said of them.

use super::{Failure, folder, trials};
use crate::answer::{self as told, About, Figures, OptionFigures, Season, StudyFigures, WarningFigures, run_study};
use crate::ledger::{Book, Detail};
use crate::problem::Problem;
use crate::season::References;
use crate::study::Drawn;
use indicatif::{ProgressBar, ProgressStyle};
use std::io::IsTerminal;

/// A study's answer.
pub(super) struct Answered {
    pub figures: Figures,
    /// Books by option, then year.
    pub books: Vec<Vec<Book>>,
}

/// What is asked beside the seasons of the options.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    /// What is doubtful in the study and its weather, as it was told.
    pub warnings: &'a [Problem],
    /// The study at every draw of what is in doubt.
    pub drawn: Option<&'a Drawn>,
    /// True if the standing list of measures is to be tried.
    pub screening: bool,
}

/// Computes it, with progress on a terminal.
pub(super) fn answer_study(
    opened: &folder::Opened,
    weather: folder::OpenedWeather,
    Asked { warnings, drawn, screening }: Asked<'_>,
    detail: Detail,
) -> Result<Answered, Failure> {
    let study = &opened.reading.value;
    let listed = listed(warnings, &weather);
    let bar = progress(study.heatings.len() * weather.years.len(), "seasons");
    let references = References::default();
    let books = run_study(study, &references, &weather.years, detail, || bar.inc(1));
    bar.finish_and_clear();

    let mut files = opened.files.clone();
    files.extend(weather.files);
    let season =
        Season { study, inputs: &opened.reading.inputs, years: &weather.years, books: &books, references: &references };
    let mut figures = told::figures(&season, files, weather.figures)?;
    figures.warnings = listed;
    figures.set.clone_from(&opened.set);
    let StudyFigures { baseline, recommended, runner_up, .. } = figures.study.clone();
    let in_question: Vec<&str> = std::iter::once(&baseline).chain(&recommended).map(String::as_str).collect();
    let is_in_question = |place: &usize| in_question.contains(&study.heatings[*place].name.as_str());
    let grown = told::grown_options(study, &references, &weather.years, |phase| {
        // Growth that is planned is part of what every option costs.
        let is_planned = phase.is_some_and(|phase| phase.planned.is_some());
        (0..study.heatings.len()).filter(|place| is_planned || is_in_question(place)).collect()
    })?;
    figures.cash = Some(told::cash(study, &figures.options, &grown)?);
    let told_of = grown.into_iter().filter(|option| option.figures.year.is_some() || is_in_question(&option.place));
    figures.phases = told_of.map(|option| option.figures).collect();

    let in_question: Vec<&str> = in_question.iter().copied().chain(runner_up.as_deref()).collect();
    figures.condensers = told::placement_figures(&season, &in_question)?;

    if !study.scenarios.is_empty() {
        let bar = progress((study.scenarios.len() + 1) * study.heatings.len(), "options in scenarios");
        figures.scenarios = told::scenarios(&season, || bar.inc(1))?;
        bar.finish_and_clear();
    }

    let proposals: Vec<String> = figures.applications().map(|application| application.proposal.clone()).collect();
    figures.ways = told::ways(&season, trials::ways(opened), &proposals)?;

    if screening {
        let is_asked = |option: &OptionFigures| option.name == baseline || Some(&option.name) == recommended.as_ref();
        let mut asked: Vec<usize> =
            (0..figures.options.len()).filter(|&place| is_asked(&figures.options[place])).collect();
        asked.sort_by_key(|&place| figures.options[place].name != baseline);
        for on in asked {
            let list = trials::tried(opened, on, figures.options[on].heat_need_peak_kw);
            let bar = progress(list.len(), "measures to look at");
            figures.screening.extend(told::screening(&season, on, list, || bar.inc(1))?);
            bar.finish_and_clear();
        }
    }

    if let Some(drawn) = drawn {
        // The study's own values are answered once more beside the draws.
        let points = drawn.studies.len() + 1;
        let bar = progress(points * study.heatings.len(), "draws of an option");
        told::sample(&season, drawn, &mut figures, || bar.inc(1))?;
        bar.finish_and_clear();
    }

    told::tell_levels(&mut figures);
    told::tell_sheet(&mut figures);
    Ok(Answered { figures, books })
}

/// Warnings and notes as the figures list them.
fn listed(warnings: &[Problem], weather: &folder::OpenedWeather) -> Vec<WarningFigures> {
    let listed = warnings.iter().map(|problem| {
        let about = if weather.found(problem) { About::Weather } else { About::Study };
        WarningFigures::of(problem, about)
    });
    listed.collect()
}

/// A bar on a terminal, and nothing elsewhere.
pub(super) fn progress(runs: usize, of: &str) -> ProgressBar {
    if !std::io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(runs as u64);
    if let Ok(style) = ProgressStyle::with_template(&format!("{{bar:30}} {{pos}}/{{len}} {of}")) {
        bar.set_style(style);
    }
    bar
}
