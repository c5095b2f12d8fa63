//! How a command ends when it cannot answer.

use super::answer::say_beside;
use crate::problem::Problems;
use std::path::PathBuf;

/// Why a command gave no clean answer, and with it the exit code.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The answer was computed and shown, but a guard failed under `--strict`: exit 1.
    #[error("{0}")]
    Guard(String),
    /// The input is wrong: exit 2. The text says where, what was expected and what to do.
    #[error("{0}")]
    Input(String),
    /// Files that a study names cannot be read: exit 3. The text says where and what to do.
    #[error("{0}")]
    Companions(String),
    /// A file cannot be read or written: exit 3.
    #[error("{}: {cause}", .path.display())]
    File {
        /// Which file.
        path: PathBuf,
        /// Why, in words.
        cause: String,
    },
}

impl Failure {
    /// A file that cannot be read or written.
    pub fn file(path: impl Into<PathBuf>, cause: &std::io::Error) -> Self {
        Self::File { path: path.into(), cause: cause.to_string() }
    }

    /// A study that cannot be used, with all that stands in its way.
    pub fn of_study(problems: &Problems) -> Self {
        let told = problems.to_string();
        if problems.only_unreadable_files() { Self::Companions(told) } else { Self::Input(told) }
    }

    /// Why, without the path that a caller names itself.
    pub fn cause(self) -> String {
        match self {
            Self::Guard(text) | Self::Input(text) | Self::Companions(text) => text,
            Self::File { cause, .. } => cause,
        }
    }

    /// The exit code of the command's contract.
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Guard(_) => 1,
            Self::Input(_) => 2,
            Self::Companions(_) | Self::File { .. } => 3,
        }
    }

    /// Prints the failure to stderr.
    pub fn show(&self) {
        say_beside(&format!("error: {self}"));
    }
}
