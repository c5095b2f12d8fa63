//! Everything that is computed of a study: its seasons, and all that is said of them.

use super::build::{Season, Unreckoned, cash, figures, run_study, sample, scenarios, screening, ways};
use super::condensers::placement_figures;
use super::figures::{Figures, InputFile, OptionFigures, StudyFigures, WarningFigures, WeatherFigures};
use super::level::tell_levels;
use super::phase::grown_options;
use super::set::SetFigures;
use super::sheet::tell_sheet;
use super::trials::{ReadWith, package_parts, tried};
use crate::ledger::{Book, Detail};
use crate::season::References;
use crate::study::input::Input;
use crate::study::{Drawn, Study};
use crate::weather::WeatherYear;

/// A study's answer.
pub(crate) struct Answered {
    pub figures: Figures,
    /// Books by option, then year.
    pub books: Vec<Vec<Book>>,
}

/// A study that is to be answered, with all that was read for it.
pub(crate) struct Posed<'a> {
    pub study: &'a Study,
    /// Every value the study used.
    pub inputs: &'a [Input],
    /// What was set for this run.
    pub set: &'a [SetFigures],
    pub years: &'a [WeatherYear],
    /// What was found in the weather files.
    pub weather: WeatherFigures,
    /// Every file that was read.
    pub files: Vec<InputFile>,
    /// What is doubtful in the study and its weather.
    pub warnings: Vec<WarningFigures>,
}

/// Called as each of many is done, and dropped when all are.
pub(crate) type Count = Box<dyn Fn() + Sync>;

/// What is asked beside the seasons of the options.
#[derive(Clone, Copy)]
pub(crate) struct Asked<'a> {
    /// How much of every hour is kept.
    pub detail: Detail,
    /// The study at every draw of what is in doubt.
    pub drawn: Option<&'a Drawn>,
    /// True if the standing list of measures is to be tried.
    pub screening: bool,
    /// Reads the study with an option more behind its text.
    pub read: ReadWith<'a>,
    /// Told how many of what are begun.
    pub progress: &'a dyn Fn(usize, &str) -> Count,
}

/// Computes it.
pub(crate) fn answer_study(posed: Posed<'_>, asked: Asked<'_>) -> Result<Answered, Unreckoned> {
    let Posed { study, inputs, set, years, weather, files, warnings } = posed;
    let Asked { detail, drawn, screening: is_screened, read, progress } = asked;
    let references = References::default();
    let done = progress(study.heatings.len() * years.len(), "seasons");
    let books = run_study(study, &references, years, detail, &done);
    drop(done);

    let season = Season { study, inputs, years, books: &books, references: &references };
    let mut figures = figures(&season, files, weather)?;
    figures.warnings = warnings;
    figures.set = set.to_vec();
    let StudyFigures { baseline, recommended, runner_up, .. } = figures.study.clone();
    let in_question: Vec<&str> = std::iter::once(&baseline).chain(&recommended).map(String::as_str).collect();
    let is_in_question = |place: &usize| in_question.contains(&study.heatings[*place].name.as_str());
    let grown = grown_options(study, &references, years, |phase| {
        // Growth that is planned is part of what every option costs.
        let is_planned = phase.is_some_and(|phase| phase.planned.is_some());
        (0..study.heatings.len()).filter(|place| is_planned || is_in_question(place)).collect()
    })?;
    figures.cash = Some(cash(study, &figures.options, &grown)?);
    let told_of = grown.into_iter().filter(|option| option.figures.year.is_some() || is_in_question(&option.place));
    figures.phases = told_of.map(|option| option.figures).collect();

    let in_question: Vec<&str> = in_question.iter().copied().chain(runner_up.as_deref()).collect();
    figures.condensers = placement_figures(&season, &in_question)?;

    if !study.scenarios.is_empty() {
        let done = progress((study.scenarios.len() + 1) * study.heatings.len(), "options in scenarios");
        figures.scenarios = scenarios(&season, done)?;
    }

    let proposals: Vec<String> = figures.applications().map(|application| application.proposal.clone()).collect();
    figures.ways = ways(&season, package_parts(study, read), &proposals)?;

    if is_screened {
        let is_asked = |option: &OptionFigures| option.name == baseline || Some(&option.name) == recommended.as_ref();
        let mut places: Vec<usize> =
            (0..figures.options.len()).filter(|&place| is_asked(&figures.options[place])).collect();
        places.sort_by_key(|&place| figures.options[place].name != baseline);
        for on in places {
            let list = tried((study, inputs), on, figures.options[on].heat_need_peak_kw, read);
            let done = progress(list.len(), "measures to look at");
            figures.screening.extend(screening(&season, on, list, done)?);
        }
    }

    if let Some(drawn) = drawn {
        // The study's own values are answered once more beside the draws.
        let points = drawn.studies.len() + 1;
        let done = progress(points * study.heatings.len(), "draws of an option");
        sample(&season, drawn, &mut figures, done)?;
    }

    tell_levels(&mut figures);
    tell_sheet(&mut figures);
    Ok(Answered { figures, books })
}
