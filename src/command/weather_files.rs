//! Which weather files a study names.

use super::output::beginning;
use crate::export::{Wrote, wrote};
use crate::problem::{Problem, Severity};
use crate::study::WeatherAsk;
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
#[derive(Default)]
pub(super) struct WeatherPaths {
    /// As shown to people (relative to the study) and as opened.
    pub paths: Vec<(String, PathBuf)>,
    /// Tables of a report that a pattern matches as well.
    pub passed_over: Vec<String>,
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
pub(super) fn weather_paths(ask: &WeatherAsk, folder: &Path) -> Result<WeatherPaths, NoWeather> {
    let mut all = WeatherPaths::default();
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
            if all.paths.iter().all(|(known, _)| *known != shown) {
                all.paths.push((shown, found));
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
