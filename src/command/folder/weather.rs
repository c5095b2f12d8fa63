//! The weather that a study names: read, held beside its site, and cut into years.

use super::site_doubts::site_doubts;
use super::told_now::told_now;
use super::weather_files::{NoWeather, WeatherFile, WeatherFiles, own_table};
use super::written::{Opened, plants};
use crate::answer::{InputFile, WeatherFigures};
use crate::command::Failure;
use crate::number::Sentence;
use crate::problem::{Problem, Problems, Severity};
use crate::season::{Plant, TAIL_DRYING_HOURS};
use crate::study::Study;
use crate::study::input::problem_at;
use crate::weather::{self, MendRules, Reading, WeatherYear};

/// The weather of a study.
pub(in crate::command) struct OpenedWeather {
    pub years: Vec<WeatherYear>,
    pub figures: WeatherFigures,
    pub files: Vec<InputFile>,
    /// What is doubtful in the files, and in holding them beside the site.
    pub(super) findings: Vec<Problem>,
    /// What is worth knowing of the files, though no figure suffers.
    pub remarks: Vec<Problem>,
}

impl OpenedWeather {
    /// True if this is a doubt about the weather, found in its files or in holding them beside the site.
    pub(in crate::command) fn found(&self, problem: &Problem) -> bool {
        self.findings.contains(problem)
    }
}

/// Reads, mends and cuts the weather that a study names; what is found is told to the study's reader.
pub(in crate::command) fn open_weather(opened: &mut Opened) -> Result<OpenedWeather, Failure> {
    let known = opened.weather.take();
    opened.reading.value.reader.listens(|| weather_of(opened, known))
}

fn weather_of(opened: &Opened, known: Option<WeatherFiles>) -> Result<OpenedWeather, Failure> {
    let study = &opened.reading.value;
    let known = known.map_or_else(|| WeatherFiles::find(&study.weather, &opened.folder), Ok);
    let mut weather_files = known.map_err(|failure| {
        let inputs = &opened.reading.inputs;
        let problem = problem_at(inputs, &opened.name, "weather.files", failure.to_string());
        match failure {
            NoWeather::Files { .. } => problem.of_unreadable_file(),
            NoWeather::Pattern { .. } => problem,
        }
    })?;
    let (mut readings, mut files, mut findings) = (Vec::new(), Vec::new(), Vec::new());
    let (mut names, mut formats) = (Vec::new(), Vec::new());
    for place in 0..weather_files.count() {
        let WeatherFile { file, reading } = weather_files.take(place)?;
        let shown = weather_files.shown(place);
        refuse_untrusted(shown, &reading)?;
        if reading.column_map.is_some() {
            let what = "its columns were guessed";
            let cure = "`dryledger weather` shows how, as a [weather.columns] block to check and put into the study";
            let guessed = Problem::of_file(shown, what).cure(cure).code("columns.guessed");
            findings.push(guessed.as_warning());
        }
        findings.extend(reading.problems.iter().map(|problem| finding(shown, problem)));
        if !formats.contains(&reading.format.name()) {
            formats.push(reading.format.name());
        }
        names.push(shown.to_owned());
        files.push(file);
        readings.push(reading);
    }
    if study.weather.columns.is_some() && !formats.contains(&weather::Format::TABLE.name()) {
        let inputs = &opened.reading.inputs;
        let map = inputs.iter().find(|input| input.path.starts_with("weather.columns"));
        let path = map.map_or("weather.files", |input| &input.path);
        let what = "[weather.columns] is not used";
        let cure = "every file is of a format that is known by its content; strike the block out, or save the file as a plain table";
        let unused = problem_at(inputs, &opened.name, path, what).cure(cure).code("columns.unused");
        findings.push(unused.as_warning());
    }
    let read = (study, opened.reading.inputs.as_slice());
    let in_question = site_doubts(&opened.name, read, &readings);
    findings.extend(in_question.iter().cloned());
    if findings.iter().any(|problem| problem.severity == Severity::Error) {
        findings.retain(|problem| problem.severity == Severity::Error);
        return Err(Problems::new(findings).into());
    }
    let rules = MendRules {
        max_gap_hours: study.weather.max_gap_hours as usize,
        fill_long_gaps: study.weather.fill_long_gaps,
        altitude_m: study.site.given_altitude_m,
        #[allow(clippy::cast_possible_truncation)] // within a day by its reading
        utc_offset_minutes: study
            .site
            .utc_offset_h
            // Elsewhere the sun goes by another clock: days and nights stay where its own has them.
            .filter(|_| study.weather.elsewhere.is_none())
            .map(|hours| (hours * 60.0).round() as i32),
    };
    let series = weather::mend(&readings, &rules)?;
    // Joining and mending name the files they speak of.
    let of_all = names.join(", ");
    findings.extend(series.problems.iter().map(|problem| finding(&of_all, problem)));
    let notes = findings.iter().map(|found| Sentence::both(found.unplaced(), found.unplaced_told())).collect();
    // What was passed over went into no figure: it is no note of theirs, so that a second run writes what the first did.
    let (mut remarks, findings): (Vec<Problem>, Vec<Problem>) =
        findings.into_iter().partition(|finding| finding.severity == Severity::Note && !in_question.contains(finding));
    remarks.extend(weather_files.passed_over().iter().map(|name| own_table(name)));
    let stays = plants(study).into_iter().flat_map(Plant::stays).map(|stay| stay.store_hours);
    let longest_h = stays.fold(0.0, f64::max);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most a year of hours
    let tail = TAIL_DRYING_HOURS + longest_h.ceil() as usize;
    let years = weather::seasons(&series, study.season, tail)?;
    let years = weather_of_study(study, years);
    let station = readings.iter().map(|reading| reading.station.name.clone()).find(|name| !name.is_empty());
    let figures = WeatherFigures {
        files: names,
        format: formats.join(", "),
        station,
        hours: series.hours.len(),
        gaps_filled_hours: series.mends.filled_hours(),
        heat_in_filled_hours_pct: 0.0,
        synthetic: series.invented,
        invented_hours: series.invented_hours,
        elsewhere: study.weather.elsewhere.clone(),
        warmer_by_k: study.weather.warmer_by_k,
        years: Vec::new(),
        notes,
    };
    Ok(OpenedWeather { years, figures, files, findings, remarks })
}

/// The years of the files as warm as the study takes them to be.
fn weather_of_study(study: &Study, years: Vec<WeatherYear>) -> Vec<WeatherYear> {
    let warmer_by_k = study.weather.warmer_by_k;
    if warmer_by_k == 0.0 { years } else { years.iter().map(|year| year.warmer_by(warmer_by_k)).collect() }
}

/// Refuses a weather file with which nothing can be computed.
pub(in crate::command) fn refuse_untrusted(shown: &str, reading: &Reading) -> Result<(), Failure> {
    if reading.worst() != Some(Severity::Error) {
        return Ok(());
    }
    let bad = reading.problems.iter().filter(|problem| problem.severity == Severity::Error);
    Err(Problems::new(bad.map(|problem| finding(shown, problem)).collect()).into())
}

/// A problem of a weather file as one of the study's.
fn finding(shown: &str, problem: &weather::Problem) -> Problem {
    let line = problem.line.map_or(1, |line| line as usize);
    Problem::said(&*problem.message)
        .told(told_now(&problem.message))
        .placed(shown, Some(line))
        .moved_to(line, 1)
        .code(problem.code)
        .about(problem.is_about)
        .of_severity(problem.severity)
}
