//! What is possible in a study but more often a slip, as the report lists it.

use super::figures::{About, Figures, WarningFigures};
use crate::number::Sentence;
use crate::problem::{Problem, Severity};

impl WarningFigures {
    /// As the reading of the study or of its weather found it.
    pub(crate) fn of(problem: &Problem, about: About) -> Self {
        // The name alone: figures do not depend on the folder a command was run in.
        let file = problem.file.rsplit(['/', '\\']).next().unwrap_or(&problem.file);
        let cure = if problem.cure.is_empty() { String::new() } else { format!("; {}", problem.cure) };
        Self {
            about,
            is_note: problem.severity == Severity::Note,
            file: file.to_owned(),
            line: problem.line.unwrap_or(1),
            sentence: Sentence::both(format!("{}{cure}", problem.what), format!("{}{cure}", problem.what_told())),
        }
    }
}

/// Warnings about the weather behind the figures.
pub(crate) fn weather_doubts(figures: &Figures) -> impl Iterator<Item = &WarningFigures> {
    figures.warnings.iter().filter(|warning| warning.about == About::Weather)
}
