//! The weather that a study names: read, held beside its site, and cut into years.

use super::site_doubts::site_doubts;
use super::told_now::told_now;
use super::weather_files::{NoWeather, WeatherFile, WeatherFiles, own_table};
use super::written::Written;
use crate::answer::{InputFile, WeatherFigures};
use crate::command::Failure;
use crate::number::Sentence;
use crate::problem::{Problem, Problems, Severity};
use crate::season::tail_hours;
use crate::study::input::problem_at;
use crate::study::{Study, WeatherAsk};
use crate::weather::{self, MendRules, Reading, WeatherYear, YearRules};

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

/// Reads, mends and cuts the weather that a study names, as far as it is not `known`; what is found is told to the
/// study's reader.
pub(super) fn weather_of(written: &Written, known: Option<WeatherFiles>) -> Result<OpenedWeather, Failure> {
    written.reading.value.reader.listens(|| opened(written, known))
}

fn opened(written: &Written, known: Option<WeatherFiles>) -> Result<OpenedWeather, Failure> {
    let study = &written.reading.value;
    let mut weather_files = files_of(written, known)?;
    let ReadFiles { readings, names, files, mut findings } = ReadFiles::of(&mut weather_files)?;
    findings.extend(unused_columns(written, &readings));
    let in_question = site_doubts(&written.name, (study, &written.reading.inputs), &readings);
    findings.extend(in_question.iter().cloned());
    if findings.iter().any(|problem| problem.severity == Severity::Error) {
        findings.retain(|problem| problem.severity == Severity::Error);
        return Err(Problems::new(findings).into());
    }
    let (years, series) = weather::years(&readings, &rules_of(study))?;
    // Joining and mending name the files they speak of.
    let of_all = names.join(", ");
    findings.extend(series.problems.iter().map(|problem| finding(&of_all, problem)));
    let notes = findings.iter().map(|found| Sentence::both(found.unplaced(), found.unplaced_told())).collect();
    // What was passed over went into no figure: it is no note of theirs, so that a second run writes what the first did.
    let (mut remarks, findings): (Vec<Problem>, Vec<Problem>) =
        findings.into_iter().partition(|finding| finding.severity == Severity::Note && !in_question.contains(finding));
    remarks.extend(weather_files.passed_over().iter().map(|name| own_table(name)));
    let station = readings.iter().map(|reading| reading.station.name.clone()).find(|name| !name.is_empty());
    let figures = WeatherFigures {
        files: names,
        format: formats_of(&readings).join(", "),
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

/// The files that a study names, none of them read but for its site.
fn files_of(written: &Written, known: Option<WeatherFiles>) -> Result<WeatherFiles, Failure> {
    let Written { name, reading, folder, .. } = written;
    let files = known.map_or_else(|| WeatherFiles::find(&reading.value.weather, folder), Ok);
    files.map_err(|failure| {
        let problem = problem_at(&reading.inputs, name, "weather.files", failure.to_string());
        match failure {
            NoWeather::Files { .. } => problem.of_unreadable_file().into(),
            NoWeather::Pattern { .. } => problem.into(),
        }
    })
}

/// What the files hold.
#[derive(Default)]
struct ReadFiles {
    readings: Vec<Reading>,
    /// As they are shown to people.
    names: Vec<String>,
    files: Vec<InputFile>,
    findings: Vec<Problem>,
}

impl ReadFiles {
    /// Reads them; the first with which nothing can be computed is the failure.
    fn of(weather_files: &mut WeatherFiles) -> Result<Self, Failure> {
        let mut read = Self::default();
        for place in 0..weather_files.count() {
            let WeatherFile { file, reading } = weather_files.take(place)?;
            let shown = weather_files.shown(place);
            refuse_untrusted(shown, &reading)?;
            if reading.column_map.is_some() {
                let what = "its columns were guessed";
                let cure =
                    "`dryledger weather` shows how, as a [weather.columns] block to check and put into the study";
                let guessed = Problem::of_file(shown, what).cure(cure).code("columns.guessed");
                read.findings.push(guessed.into_warning());
            }
            read.findings.extend(reading.problems.iter().map(|problem| finding(shown, problem)));
            read.names.push(shown.to_owned());
            read.files.push(file);
            read.readings.push(reading);
        }
        Ok(read)
    }
}

/// Names of the formats of these readings, each once.
fn formats_of(readings: &[Reading]) -> Vec<&'static str> {
    let mut formats = Vec::new();
    for reading in readings {
        if !formats.contains(&reading.format.name()) {
            formats.push(reading.format.name());
        }
    }
    formats
}

/// A map of columns that no file needs.
fn unused_columns(written: &Written, readings: &[Reading]) -> Option<Problem> {
    let Written { name, reading, .. } = written;
    reading.value.weather.columns.as_ref()?;
    if formats_of(readings).contains(&weather::Format::TABLE.name()) {
        return None;
    }
    let map = reading.inputs.iter().find(|input| input.path.starts_with("weather.columns"));
    let path = map.map_or("weather.files", |input| &input.path);
    let cure = "every file is of a format that is known by its content; strike the block out, or save the file as a plain table";
    let unused = problem_at(&reading.inputs, name, path, "[weather.columns] is not used");
    Some(unused.cure(cure).code("columns.unused").into_warning())
}

/// How the weather of a study becomes its years.
fn rules_of(study: &Study) -> YearRules {
    let WeatherAsk { max_gap_hours, fill_long_gaps, warmer_by_k, .. } = study.weather;
    // Elsewhere the sun goes by another clock: days and nights stay where its own has them.
    let utc_offset_h = study.site.utc_offset_h.filter(|_| study.weather.elsewhere.is_none());
    #[allow(clippy::cast_possible_truncation)] // within a day by its reading
    let utc_offset_minutes = utc_offset_h.map(|hours| (hours * 60.0).round() as i32);
    let altitude_m = study.site.given_altitude_m;
    let mend = MendRules { max_gap_hours: max_gap_hours as usize, fill_long_gaps, altitude_m, utc_offset_minutes };
    YearRules { mend, window: study.season, tail_hours: tail_hours(study.plants()), warmer_by_k }
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
