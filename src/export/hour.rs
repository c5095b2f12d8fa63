//! What the hourly files share: rows of an hour, the columns that tell them apart, and how finely they are told.

use super::column::Adds::{self, Mean};
use super::column::{Cell, Column};
use crate::ledger::{Book, Entry};

/// Decimals of energies, kWh; of water, kg; of temperatures, °C; of flows, kg/s; of humidity ratios, kg/kg. They
/// let an assessor close each hour to a thousandth of a kilowatt-hour and of a kilogram.
pub(super) const KWH: usize = 5;
pub(super) const KG: usize = 5;
pub(super) const CELSIUS: usize = 5;
pub(super) const KG_PER_S: usize = 7;
pub(super) const RATIO: usize = 9;

/// A row that is about an hour of a book.
pub(super) trait OfHour {
    /// The book.
    fn book(&self) -> &Book;
    /// The site's hour.
    fn hour(&self) -> &Entry;
}

/// Option, weather year and time.
pub(super) fn keys<'a, R: OfHour>() -> [Column<'a, R>; 3] {
    [
        Column::key("option", "option of the study", |row: &R| row.book().option.clone()),
        Column::key("weather_year", "weather year", |row: &R| row.book().year.clone()),
        Column::key("time", "start of the hour, local standard time", |row: &R| {
            row.hour().starts.format("%Y-%m-%dT%H:%M").to_string()
        }),
    ]
}

/// A number of the site's hour.
pub(super) fn of_hour<'a, R: OfHour>(
    head: &str,
    adds: (Adds, usize),
    says: &'static str,
    of: fn(&Entry) -> f64,
) -> Column<'a, R> {
    Column::number(head, adds, says, move |row: &R| of(row.hour()))
}

/// A number of the site's hour that may not be there.
pub(super) fn maybe_of_hour<'a, R: OfHour>(
    head: &str,
    adds: (Adds, usize),
    says: &'static str,
    of: fn(&Entry) -> Option<f64>,
) -> Column<'a, R> {
    Column::maybe(head, adds, says, move |row: &R| of(row.hour()))
}

/// A truth of the site's hour.
pub(super) fn flag_of_hour<'a, R: OfHour>(head: &str, says: &'static str, of: fn(&Entry) -> bool) -> Column<'a, R> {
    Column::new(head, Mean, says, move |row: &R| Cell::Text(of(row.hour()).to_string()))
}
