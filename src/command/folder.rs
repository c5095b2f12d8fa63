//! A study's folder: the study, the files beside it, and the weather it names.

use super::Failure;
use super::causes::Causes;
use super::digest::digest;
use super::output::read_file;
use super::site_doubts::site_doubts;
use super::study_files::{Beside, KnownFiles, MOST_BYTES};
use super::told_now::told_now;
use super::weather_files::{NoWeather, WeatherFile, WeatherFiles, own_table};
use crate::answer::{InputFile, SetFigures, WeatherFigures, input_file, set_figures};
use crate::doubt::{Run, doubts};
use crate::number::Sentence;
use crate::problem::{Problem, Problems, Severity};
use crate::season::{Plant, TAIL_DRYING_HOURS, check_reach};
use crate::study::document::Reading;
use crate::study::input::{Input, Overrides, problem_at};
use crate::study::{Change, ChangedStudy, Drawn, Study, UncertaintyAsk, because_of, read_draws};
use crate::weather::{self, MendRules, Reading as WeatherReading, WeatherYear};
use std::path::{Path, PathBuf};

/// A study that was read, with the files that went into it.
pub(super) struct Opened {
    /// The study file as the user named it.
    pub name: String,
    pub reading: Reading<Study>,
    pub folder: PathBuf,
    pub files: Vec<InputFile>,
    /// What was set for this run.
    pub set: Vec<SetFigures>,
    text: String,
    companions: KnownFiles,
    /// Its weather as far as it was read to know the site.
    weather: Option<WeatherFiles>,
    changes: Vec<Change>,
}

impl Opened {
    /// The study with an option more behind its text, its last, or the first reason why it cannot have it.
    pub(super) fn with_option(&self, block: &str) -> Result<Study, String> {
        let refused =
            |problems: Problems| problems.iter().next().map_or_else(String::new, |problem| problem.what.clone());
        let file = (self.name.as_str(), self.text.as_str());
        Study::read_with_option(file, &self.companions, &self.changes, block).map_err(refused)
    }
}

/// The weather of a study.
pub(super) struct OpenedWeather {
    pub years: Vec<WeatherYear>,
    pub figures: WeatherFigures,
    pub files: Vec<InputFile>,
    /// What is doubtful in the files, and in holding them beside the site.
    findings: Vec<Problem>,
    /// What is worth knowing of the files, though no figure suffers.
    pub remarks: Vec<Problem>,
}

impl OpenedWeather {
    /// True if this is a doubt about the weather, found in its files or in holding them beside the site.
    pub(super) fn found(&self, problem: &Problem) -> bool {
        self.findings.contains(problem)
    }
}

/// Reads a study as it is written. Its problems, all of them, are the failure.
pub(super) fn open(path: &Path) -> Result<Opened, Failure> {
    open_changed(path, &[])
}

/// The same with values that stand in for the study's own.
pub(super) fn open_changed(path: &Path, changes: &[Change]) -> Result<Opened, Failure> {
    if path.is_dir() {
        return Err(Failure::File {
            path: path.to_owned(),
            cause: format!("a folder, not a study; name the file in it: {}", path.join("study.toml").display()),
        });
    }
    if path.try_exists().is_ok_and(|is_there| !is_there) {
        return Err(Problem::said("there is no such file")
            .cure("name the study file; `dryledger new DIR` writes one to begin with")
            .placed(&path.display().to_string(), None)
            .of_unreadable_file()
            .into());
    }
    let bytes = read_file(path)?;
    if bytes.len() > MOST_BYTES {
        let what = format!("a study of {:.0} MB", bytes.len() as f64 / 1e6);
        let refused = Problem::said(what).expected(format!("at most {} MB", MOST_BYTES / 1_000_000));
        return Err(refused
            .cure("a study names its tables (intake, weather, units) as files of their own")
            .placed(&path.display().to_string(), None)
            .into());
    }
    let own = input_file(name_of(path), digest(&bytes));
    let text = String::from_utf8(bytes).map_err(|_| {
        Problem::said("not UTF-8 text").cure("save the study as UTF-8").placed(&path.display().to_string(), None)
    })?;
    let folder = path.parent().unwrap_or(Path::new("")).to_owned();
    let beside = Beside::of(&folder);
    let shown = path.display().to_string();
    let reading = Study::read_changed(&shown, &text, &beside, &Overrides::new(), changes);
    // What only the study as it is written names went into no figure.
    let mut files = vec![own];
    files.extend(beside.listed());
    // What the study says without changes is worth telling beside them, where it can be read at all.
    let as_written = (!changes.is_empty()).then(|| Study::read(&shown, &text, &beside, &Overrides::new()).ok());
    let as_written = as_written.flatten();
    let reading = reading.map_err(|problems| {
        if as_written.is_some() { because_of(problems, "with what --set sets: ") } else { problems }
    })?;
    let says = as_written.map_or_else(Vec::new, |reading| reading.inputs);
    let set = changes.iter().map(|change| set_figures(change, &says)).collect();
    let (companions, weather) = beside.into_known(&reading.value.weather);
    Ok(Opened { name: shown, reading, folder, files, set, text, companions, weather, changes: changes.to_vec() })
}

/// The study at every draw of its uncertain inputs; nothing if it has none, or none are to be drawn.
/// `samples` stands in for the study's own number of draws.
pub(super) fn draw(opened: &Opened, samples: Option<u32>) -> Result<Option<Drawn>, Failure> {
    let Some(ask) = &opened.reading.value.uncertainty else {
        return match samples {
            Some(samples) if samples > 0 => Err(Failure::asked(
                format!("--samples: nothing in {} is in doubt, so there is nothing to draw", opened.name),
                "name an input in [uncertainty]: \"crop.received_moisture\" = { normal = { mean = 22.0, sd = 1.5 } }",
            )),
            _ => Ok(None),
        };
    };
    let ask = UncertaintyAsk { samples: samples.unwrap_or(ask.samples), ..ask.clone() };
    if ask.samples == 0 {
        return Ok(None);
    }
    let again =
        |set: &Overrides| Study::read_changed(&opened.name, &opened.text, &opened.companions, set, &opened.changes);
    Ok(Some(read_draws(&ask, again)?))
}

/// Refuses draws whose target the season's air cannot reach.
pub(super) fn check_drawn_targets(drawn: &Drawn, weather: &OpenedWeather) -> Result<(), Failure> {
    for one in &drawn.studies {
        for plant in plants(&one.study) {
            check_reach(plant, &weather.years)
                .map_err(|unreachable| drawn.problem(&one.point, &unreachable.to_string()))?;
        }
    }
    Ok(())
}

/// The plants of a study: its own, that of every option that changes it, and all these in every scenario.
fn plants(study: &Study) -> Vec<&Plant> {
    let mut all = vec![&study.plant];
    all.extend(study.changed.iter().flatten().map(|changed| &changed.study.plant));
    for scenario in study.scenarios.iter().filter_map(|scenario| scenario.study.as_ref()).map(|changed| &changed.study)
    {
        all.extend(plants(scenario));
    }
    all
}

/// Refuses a target that the season's air cannot reach.
pub(super) fn check_target(opened: &Opened, weather: &OpenedWeather) -> Result<(), Failure> {
    let Reading { value: study, inputs, .. } = &opened.reading;
    check_target_of(&opened.name, "", study, inputs, weather)?;
    for (heating, changed) in study.heatings.iter().zip(&study.changed) {
        if let Some(changed) = changed {
            let whose = format!("in option \"{}\": ", heating.name);
            check_target_of(&opened.name, &whose, &changed.study, &changed.inputs, weather)?;
        }
    }
    for scenario in &study.scenarios {
        for plant in scenario.study.iter().flat_map(|changed| plants(&changed.study)) {
            check_reach(plant, &weather.years).map_err(|unreachable| {
                Problem::of_file(&opened.name, format!("in scenario \"{}\": {unreachable}", scenario.name))
            })?;
        }
    }
    Ok(())
}

fn check_target_of(
    name: &str,
    whose: &str,
    study: &Study,
    inputs: &[Input],
    weather: &OpenedWeather,
) -> Result<(), Failure> {
    check_reach(&study.plant, &weather.years).map_err(|unreachable| {
        let mut targets = inputs
            .iter()
            .map(|input| input.path.as_str())
            .filter(|path| path.starts_with("crop.") && path.ends_with(".dried_moisture"));
        let target = targets.nth(unreachable.crop()).unwrap_or("crop.dried_moisture");
        // Where the target is the kernel's, the one in shell follows from it.
        let crop = target.trim_end_matches("dried_moisture");
        let of_kernel = format!("{crop}dried_kernel_moisture");
        let target = match inputs.iter().find(|input| input.path == of_kernel) {
            Some(input) => &input.path,
            None => target,
        };
        problem_at(inputs, name, target, format!("{whose}{unreachable}"))
    })?;
    Ok(())
}

/// What is possible in a study or its weather but more often a slip, then what lies a little apart: warnings,
/// then notes, each in the order of the file. What only follows from another finding is counted there.
pub(super) fn warnings(opened: &Opened, weather: &OpenedWeather) -> Vec<Problem> {
    let Reading { value, inputs, warnings, .. } = &opened.reading;
    let mut own = warnings.clone();
    own.extend(weather.findings.iter().cloned());
    own.extend(doubts(&opened.name, value, inputs, &weather.years, Run::Unchanged));
    let mut causes = Causes::of_study(own);
    let mut add = |within: String, changed: &ChangedStudy, run: Run| {
        let found = doubts(&opened.name, &changed.study, &changed.inputs, &weather.years, run);
        causes.add_part(&within, found);
    };
    for (place, heating) in value.heatings.iter().enumerate() {
        if let Some(changed) = value.changed_by(place) {
            add(format!("in option \"{}\": ", heating.name), changed, Run::Alone(place));
        }
    }
    for scenario in &value.scenarios {
        if let Some(changed) = scenario.study.as_deref() {
            add(format!("in scenario \"{}\": ", scenario.name), changed, Run::Unchanged);
        }
    }
    for phase in &value.phases {
        if let Some(changed) = phase.study.as_deref() {
            add(format!("in phase \"{}\": ", phase.growth.name), changed, Run::Unchanged);
        }
    }
    causes.into_told()
}

fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// Reads, mends and cuts the weather that a study names; what is found is told to the study's reader.
pub(super) fn open_weather(opened: &mut Opened) -> Result<OpenedWeather, Failure> {
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
pub(super) fn refuse_untrusted(shown: &str, reading: &WeatherReading) -> Result<(), Failure> {
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
