//! Weather files of a study: which it names, and what they hold; each is read once.

use crate::answer::{InputFile, input_file};
use crate::command::Failure;
use crate::command::digest::digest;
use crate::command::output::{beginning, read_file};
use crate::export::{Wrote, wrote};
use crate::problem::{Problem, Severity};
use crate::study::WeatherAsk;
use crate::weather::{self, ColumnMap, Reading, Spot};
use std::path::{Path, PathBuf};

/// True of a table that this program wrote with a report. What is no file is left to its reader.
fn is_own_table(path: &Path) -> bool {
    path.is_file() && beginning(path).is_ok_and(|beginning| wrote(&beginning) == Some(Wrote::Table))
}

/// Why a study's weather files are not found.
#[derive(Debug, thiserror::Error)]
pub(super) enum NoWeather {
    #[error("weather.files: `{pattern}` is no pattern of files: {error}")]
    Pattern { pattern: String, error: glob::PatternError },
    #[error("{}: {cause}", .path.display())]
    Files { path: PathBuf, cause: String },
}

/// The weather files of a study.
pub(super) struct WeatherFiles {
    /// What was asked for: patterns, and how tables are read.
    patterns: Vec<String>,
    columns: Option<ColumnMap>,
    paths: Paths,
    /// What was read of them, by place among the paths.
    read: Vec<Option<WeatherFile>>,
}

/// A weather file that was read.
pub(super) struct WeatherFile {
    pub file: InputFile,
    pub reading: Reading,
}

/// Where weather files are.
#[derive(Default)]
struct Paths {
    /// As shown to people (relative to the study) and as opened.
    found: Vec<(String, PathBuf)>,
    /// Tables of a report that a pattern matches as well.
    passed_over: Vec<String>,
}

impl WeatherFiles {
    /// The files that this asks for, none of them read yet.
    pub(super) fn find(ask: &WeatherAsk, folder: &Path) -> Result<Self, NoWeather> {
        let paths = paths(ask, folder)?;
        let read = paths.found.iter().map(|_| None).collect();
        Ok(Self { patterns: ask.files.clone(), columns: ask.columns.clone(), paths, read })
    }

    /// True if this asks for the same files, read in the same way.
    pub(super) fn are_of(&self, ask: &WeatherAsk) -> bool {
        self.patterns == ask.files && self.columns == ask.columns
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.paths.found.len()
    }

    /// The name of the file at this place, as it is shown to people.
    pub(super) fn shown(&self, place: usize) -> &str {
        &self.paths.found[place].0
    }

    /// Tables of a report that a pattern matches as well.
    pub(super) fn passed_over(&self) -> &[String] {
        &self.paths.passed_over
    }

    /// Takes what the file at this place holds: as it was read before, or read now.
    pub(super) fn take(&mut self, place: usize) -> Result<WeatherFile, Failure> {
        match self.read[place].take() {
            Some(file) => Ok(file),
            None => self.opened(place),
        }
    }

    /// Reads files until one says where it is of. One that cannot be read is passed over; taking it will say why.
    pub(super) fn read_up_to_a_place(&mut self) {
        for place in 0..self.count() {
            if self.read[place].is_none() {
                self.read[place] = self.opened(place).ok();
            }
            if self.spot().latitude.is_some() {
                return;
            }
        }
    }

    /// Where the first of those that were read and say so is of.
    pub(super) fn spot(&self) -> Spot {
        let mut spots = self.read.iter().flatten().map(|file| file.reading.spot());
        spots.find(|spot| spot.latitude.is_some()).unwrap_or_default()
    }

    fn opened(&self, place: usize) -> Result<WeatherFile, Failure> {
        let (shown, path) = &self.paths.found[place];
        let bytes = read_file(path)?;
        // A known format is read as what it is, any other table by the study's map.
        let reading = match &self.columns {
            Some(map) => weather::read_bytes_known_or_with(shown, &bytes, map)?,
            None => weather::read_bytes(shown, &bytes)?,
        };
        Ok(WeatherFile { file: input_file(shown, digest(&bytes)), reading })
    }
}

/// Said of a table of a report that a pattern of weather files matches.
pub(super) fn own_table(name: &str) -> Problem {
    Problem::of_file(name, "a table of a report, which `weather.files` matches as well, was passed over")
        .cure("keep weather in a folder of its own, or name it more closely")
        .code("weather.own-table")
        .of_severity(Severity::Note)
}

/// The files that the patterns match, in order of name within each pattern, each once. A file that is named without a
/// pattern is read whatever it is.
fn paths(ask: &WeatherAsk, folder: &Path) -> Result<Paths, NoWeather> {
    let mut all = Paths::default();
    for pattern in &ask.files {
        // Only what the study writes is a pattern: a folder may have any name.
        let shown_folder = folder.to_string_lossy();
        let full = Path::new(&glob::Pattern::escape(&shown_folder)).join(pattern);
        let matches = glob::glob(&full.to_string_lossy())
            .map_err(|error| NoWeather::Pattern { pattern: pattern.clone(), error })?;
        let is_pattern = glob::Pattern::escape(pattern) != *pattern;
        let mut is_there = false;
        for found in matches {
            let found = found.map_err(|error| NoWeather::Files {
                path: error.path().to_owned(),
                cause: error.error().to_string(),
            })?;
            let shown = found.strip_prefix(folder).unwrap_or(&found).display().to_string();
            if is_pattern && is_own_table(&found) {
                if !all.passed_over.contains(&shown) {
                    all.passed_over.push(shown);
                }
                continue;
            }
            is_there = true;
            if all.found.iter().all(|(known, _)| *known != shown) {
                all.found.push((shown, found));
            }
        }
        if !is_there {
            return Err(NoWeather::Files {
                path: folder.join(pattern),
                cause: "no such weather file; `weather.files` is relative to the study".to_owned(),
            });
        }
    }
    Ok(all)
}
