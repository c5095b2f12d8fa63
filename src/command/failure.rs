//! How a command ends when it cannot answer. Errors stay what they are up to here; this is where they become words,
//! JSON and an exit code.

use super::beside::say_beside;
use crate::air::AirError;
use crate::answer::Unreckoned;
use crate::crop::UnknownCrop;
use crate::dryer::log::FitError;
use crate::export::{NoWorkbook, NotFinite};
use crate::page::NoPage;
use crate::problem::{Problem, Problems};
use crate::weather::WeatherError;
use crate::weather::invent::NormalsError;
use serde_json::json;
use std::io::ErrorKind;
use std::path::PathBuf;

/// Why a command gave no clean answer, and with it the exit code.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The answer was computed and shown, but a guard failed under `--strict`: exit 1.
    #[error("{0}")]
    Guard(String),
    /// What was written or asked is wrong: exit 2, or 3 if nothing but files that cannot be read stands in the way.
    #[error("{0}")]
    Problems(#[from] Problems),
    /// Air that cannot be: exit 2.
    #[error(transparent)]
    Air(#[from] AirError),
    /// A crop that the library does not hold: exit 2.
    #[error(transparent)]
    Crop(#[from] UnknownCrop),
    /// Monthly normals from which no year can be invented: exit 2.
    #[error("{file}: {error}")]
    Normals {
        /// The table.
        file: String,
        /// What is wrong with it.
        error: NormalsError,
    },
    /// Drying logs to which no constants can be fitted: exit 2.
    #[error("{logs}: {error}")]
    Fit {
        /// The logs.
        logs: String,
        /// Why not.
        error: FitError,
    },
    /// Books that cannot be reckoned into figures: exit 2.
    #[error(transparent)]
    Unreckoned(#[from] Unreckoned),
    /// A figure that is no number: exit 2.
    #[error(transparent)]
    NotFinite(#[from] NotFinite),
    /// A workbook that cannot be made: exit 2.
    #[error(transparent)]
    NoWorkbook(#[from] NoWorkbook),
    /// A page that cannot be made: exit 2.
    #[error(transparent)]
    NoPage(#[from] NoPage),
    /// A file cannot be read or written: exit 3.
    #[error("{}: {cause}", .path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// Why, in words.
        cause: String,
    },
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        Self::Problems(problem.into())
    }
}

impl From<WeatherError> for Failure {
    fn from(error: WeatherError) -> Self {
        match error {
            WeatherError::File { path, cause } => Self::file(path, &cause),
            WeatherError::Refused { file, why } => Problem::said(why).placed(&file, None).into(),
            WeatherError::Gap(why) | WeatherError::NoSeason(why) | WeatherError::Rules(why) => {
                Problem::said(why).into()
            }
        }
    }
}

impl Failure {
    /// A file that cannot be read or written.
    pub fn file(path: impl Into<PathBuf>, cause: &std::io::Error) -> Self {
        let cause = if cause.kind() == ErrorKind::NotFound {
            "there is no such file or folder".to_owned()
        } else {
            cause.to_string()
        };
        Self::File { path: path.into(), cause }
    }

    /// A request that cannot be meant: what is wrong with it, and what to do.
    pub fn asked(what: impl Into<String>, cure: impl Into<String>) -> Self {
        Problem::said(what).cure(cure).into()
    }

    /// Why, without the path that a caller names itself.
    pub fn cause(self) -> String {
        match self {
            Self::File { cause, .. } => cause,
            Self::Guard(_)
            | Self::Problems(_)
            | Self::Air(_)
            | Self::Crop(_)
            | Self::Normals { .. }
            | Self::Fit { .. }
            | Self::Unreckoned(_)
            | Self::NotFinite(_)
            | Self::NoWorkbook(_)
            | Self::NoPage(_) => self.to_string(),
        }
    }

    /// The exit code of the command's contract.
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Guard(_) => 1,
            Self::Problems(problems) if problems.only_unreadable_files() => 3,
            Self::Problems(_)
            | Self::Air(_)
            | Self::Crop(_)
            | Self::Normals { .. }
            | Self::Fit { .. }
            | Self::Unreckoned(_)
            | Self::NotFinite(_)
            | Self::NoWorkbook(_)
            | Self::NoPage(_) => 2,
            Self::File { .. } => 3,
        }
    }

    /// The same as problems, of which an error that has no place of its own is one.
    fn problems(&self) -> Problems {
        match self {
            Self::Problems(problems) => problems.clone(),
            Self::File { path, cause } => {
                Problem::said(cause).placed(&path.display().to_string(), None).of_unreadable_file().into()
            }
            Self::Normals { file, error } => Problem::said(error.to_string()).placed(file, None).into(),
            Self::Guard(_)
            | Self::Air(_)
            | Self::Crop(_)
            | Self::Fit { .. }
            | Self::Unreckoned(_)
            | Self::NotFinite(_)
            | Self::NoWorkbook(_)
            | Self::NoPage(_) => Problem::said(self.to_string()).into(),
        }
    }

    /// Prints the failure to stderr.
    pub fn show(&self) {
        say_beside(&format!("error: {self}"));
    }

    /// Prints it to stderr as one line of JSON: `{"problems": [...]}`. Each entry has the form of the problems, warnings
    /// and notes that an answer lists, under whatever name it lists them.
    pub fn show_json(&self) {
        say_beside(&json!({ "problems": self.problems().into_vec() }).to_string());
    }
}
