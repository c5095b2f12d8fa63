//! What is possible in a study but more often a slip, as the report lists it.

use super::figures::Figures;
use crate::problem::{Problem, Severity};
use serde::Serialize;

/// What a warning is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum About {
    /// The study.
    Study,
    /// The weather, or whether it belongs to the study's site: figures made with it are in doubt.
    Weather,
}

/// A warning about the study or its weather.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct WarningFigures {
    /// What it is about.
    pub about: About,
    /// True of a note: something lies a little apart, and figures hardly suffer.
    pub is_note: bool,
    /// File in which it lies, without its folders.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// What was found and what to do.
    pub sentence: String,
}

impl WarningFigures {
    /// As the reading of the study or of its weather found it.
    pub fn of(problem: &Problem, about: About) -> Self {
        // The name alone: figures do not depend on the folder a command was run in.
        let file = problem.file.rsplit(['/', '\\']).next().unwrap_or(&problem.file);
        let cure =
            if problem.cure.is_empty() { String::new() } else { format!("; {}", problem.cure) };
        Self {
            about,
            is_note: problem.severity == Severity::Note,
            file: file.to_owned(),
            line: problem.line.unwrap_or(1),
            sentence: format!("{}{cure}", problem.what),
        }
    }
}

/// Warnings about the weather behind the figures.
pub fn weather_doubts(figures: &Figures) -> impl Iterator<Item = &WarningFigures> {
    figures.warnings.iter().filter(|warning| warning.about == About::Weather)
}
