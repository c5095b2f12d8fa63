//! A line of an intake file, and what the study says about it.

use crate::problem::Problem;
use crate::table::{Line, Sheet};
use crate::weather::SeasonWindow;

/// What the study says about the rows.
pub(crate) struct Rules {
    /// Moisture of rows that give none, dry basis.
    pub moisture: f64,
    /// Moisture to which nuts are dried, dry basis.
    pub dried_moisture: f64,
    /// The season, if it could be read.
    pub season: Option<SeasonWindow>,
    /// Received tonnes that the smallest bin holds, if the bins could be read.
    pub smallest_bin_t: Option<f64>,
}

/// A line of the file, with what is needed to tell its place.
#[derive(Clone, Copy)]
pub(super) struct Record<'t> {
    pub file: &'t str,
    pub text: &'t str,
    pub sheet: &'t Sheet<'t>,
    pub line: &'t Line<'t>,
}

impl Record<'_> {
    /// A problem at a cell of this record.
    pub(super) fn at(&self, cell: &str, what: &str) -> Problem {
        let part = if cell.is_empty() { self.line.text } else { cell };
        let place = self.sheet.place_of(part);
        Problem::at(self.file, self.text, &(place..place + cell.len().max(1)), what)
    }
}
