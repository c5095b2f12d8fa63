//! A study as it is written, with the files beside it.

use super::study_files::{Beside, KnownFiles, MOST_BYTES};
use super::weather_files::WeatherFiles;
use crate::answer::{InputFile, SetFigures, input_file, set_figures};
use crate::command::Failure;
use crate::command::digest::digest;
use crate::command::output::read_file;
use crate::problem::{Problem, Problems};
use crate::study::document::Reading;
use crate::study::input::Overrides;
use crate::study::{Change, Drawn, Study, UncertaintyAsk, because_of, read_draws};
use std::path::{Path, PathBuf};

/// A study that was read, with the files that went into it.
pub(in crate::command) struct Written {
    /// The study file as the user named it.
    pub name: String,
    pub reading: Reading<Study>,
    pub folder: PathBuf,
    pub files: Vec<InputFile>,
    /// What was set for this run.
    pub set: Vec<SetFigures>,
    text: String,
    companions: KnownFiles,
    changes: Vec<Change>,
}

impl Written {
    /// Reads a study, with values that stand in for its own; beside it its weather, as far as that was read to know the
    /// site. Its problems, all of them, are the failure.
    pub(super) fn read(path: &Path, changes: &[Change]) -> Result<(Self, Option<WeatherFiles>), Failure> {
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
        let written = Self { name: shown, reading, folder, files, set, text, companions, changes: changes.to_vec() };
        Ok((written, weather))
    }

    /// The study at every draw of its uncertain inputs; nothing if it has none, or none are to be drawn.
    /// `samples` stands in for the study's own number of draws.
    pub(super) fn draws(&self, samples: Option<u32>) -> Result<Option<Drawn>, Failure> {
        let Some(ask) = &self.reading.value.uncertainty else {
            return match samples {
                Some(samples) if samples > 0 => Err(Failure::asked(
                    format!("--samples: nothing in {} is in doubt, so there is nothing to draw", self.name),
                    "name an input in [uncertainty]: \"crop.received_moisture\" = { normal = { mean = 22.0, sd = 1.5 } }",
                )),
                _ => Ok(None),
            };
        };
        let ask = UncertaintyAsk { samples: samples.unwrap_or(ask.samples), ..ask.clone() };
        if ask.samples == 0 {
            return Ok(None);
        }
        let again = |set: &Overrides| Study::read_changed(&self.name, &self.text, &self.companions, set, &self.changes);
        Ok(Some(read_draws(&ask, again)?))
    }

    /// The study with an option more behind its text, its last, or the first reason why it cannot have it.
    pub(in crate::command) fn with_option(&self, block: &str) -> Result<Study, String> {
        let refused =
            |problems: Problems| problems.iter().next().map_or_else(String::new, |problem| problem.what.clone());
        let file = (self.name.as_str(), self.text.as_str());
        Study::read_with_option(file, &self.companions, &self.changes, block).map_err(refused)
    }
}

fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}
