//! Why a table of normals cannot be used, and what to do about it.

use crate::air::AirError;

/// What is wrong with a table of monthly normals. Every line number counts from 1.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NormalsError {
    /// A line of the head is missing.
    #[error("the normals have no '# {key}:' line; add one above the table, for example '# {key}: {example}'")]
    NoHead {
        /// Its key.
        key: &'static str,
        /// A line as it might be.
        example: &'static str,
    },
    /// A line of the head cannot be read or is out of range.
    #[error("line {line}: {key} is '{found}', expected {expected}")]
    Head {
        /// Line of the file.
        line: usize,
        /// Key of the head.
        key: &'static str,
        /// What stands there.
        found: String,
        /// What could stand there.
        expected: &'static str,
    },
    /// The clock and the longitude cannot belong together.
    #[error(
        "longitude {longitude}° and utc_offset {utc_offset_h:+} h are {apart_h:.1} hours of sun apart; east is positive in both, check their signs"
    )]
    Clock {
        /// Degrees, east positive.
        longitude: f64,
        /// Hours ahead of universal time.
        utc_offset_h: f64,
        /// Difference, hours.
        apart_h: f64,
    },
    /// Nothing but head and blank lines.
    #[error("the normals have no table; expected a line of column names that starts with 'month'")]
    NoTable,
    /// A needed column is missing.
    #[error("line {line}: no column '{column}'; {cure}")]
    NoColumn {
        /// Line of the column names.
        line: usize,
        /// The column.
        column: &'static str,
        /// What to do.
        cure: &'static str,
    },
    /// A column that is not known, or is there twice, or stands in another's place.
    #[error("line {line}: column '{column}' {reason}")]
    Column {
        /// Line of the column names.
        line: usize,
        /// The column.
        column: String,
        /// Why not, and what would do.
        reason: String,
    },
    /// A row with another number of cells than there are columns.
    #[error("line {line}: {found} cells, expected {expected} as in the line of column names")]
    Cells {
        /// Line of the row.
        line: usize,
        /// Cells found.
        found: usize,
        /// Cells expected.
        expected: usize,
    },
    /// A cell that is not a number or not a possible one.
    #[error("line {line}: {column} is '{found}', expected {expected}")]
    Cell {
        /// Line of the row.
        line: usize,
        /// Column of the cell.
        column: &'static str,
        /// What stands there.
        found: String,
        /// What could stand there.
        expected: String,
    },
    /// A month twice.
    #[error("line {line}: month {month} is already given on line {earlier}; keep one of them")]
    MonthTwice {
        /// Line of the second.
        line: usize,
        /// Month, 1..12.
        month: usize,
        /// Line of the first.
        earlier: usize,
    },
    /// A month missing.
    #[error("month {0} has no row; a table of normals needs all twelve")]
    NoMonth(usize),
    /// A year that the calendar of hours cannot hold.
    #[error("year {0} is outside 1..9999")]
    Year(i32),
    /// The hours of a month cannot be made to return its normal.
    #[error(
        "month {month}: no course of hours returns a {what} of {wanted:.2} (the nearest gives {reached:.2}); the month's values cannot belong together, check its row"
    )]
    NotReached {
        /// Month, 1..12.
        month: usize,
        /// Which value, with its unit.
        what: &'static str,
        /// The normal.
        wanted: f64,
        /// What the nearest year gives.
        reached: f64,
    },
    /// An hour outside the range of the moist-air equations.
    #[error("the normals lead to an hour that cannot be: {0}")]
    Air(AirError),
}
