//! The calendar of the bins of one book, for the page or for a file of its own.

use super::chart::{BinCalendar, Days, Draw, Label, Stay, Width};
use super::html::NoPage;
use crate::ledger::Book;
use chrono::NaiveDate;

/// Draws the bins of a book as SVG, for a wide page and for a narrow screen: a bar for each batch, dark
/// while it dries, light while it cools. `bins` is how many there are.
pub fn bin_calendar(book: &Book, bins: usize) -> Result<[String; 2], NoPage> {
    let chart = calendar(book, bins);
    Ok([chart.draw(Width::Wide)?, chart.draw(Width::Narrow)?])
}

/// The chart of a book, from its first hour to the hour in which the last batch was out.
pub(super) fn calendar(book: &Book, bins: usize) -> BinCalendar {
    let out_of = |batch: &crate::ledger::BatchRecord| {
        batch.out_hour.unwrap_or_else(|| {
            book.hours
                .iter()
                .rposition(|hour| hour.bins_drying + hour.bins_cooling > 0)
                .map_or(batch.loaded_hour, |last| last + 1)
        })
    };
    let in_season = book.hours.iter().filter(|hour| hour.in_season).count();
    let end = book.batches.iter().map(out_of).fold(in_season, usize::max);
    let day = |hour: usize| hour as f64 / 24.0;
    let stays: Vec<Stay> = book
        .batches
        .iter()
        .map(|batch| Stay {
            bin: batch.bin,
            loaded: day(batch.loaded_hour),
            dry: day(batch.dry_hour.unwrap_or_else(|| out_of(batch))),
            out: day(out_of(batch)),
        })
        .collect();
    let used: f64 = stays.iter().map(|stay| stay.out - stay.loaded).sum();
    let all = (end as f64 / 24.0 * bins as f64).max(f64::MIN_POSITIVE);
    BinCalendar {
        label: Label {
            id: "bins".to_owned(),
            title: "Bins through the season".to_owned(),
            desc: format!(
                "A row for each of {bins} bins, a bar for each of {} batches: {:.0}\u{a0}% of the bins’ days are in use. Weather year {}.",
                stays.len(),
                used / all * 100.0,
                book.year
            ),
        },
        days: Days {
            first: book
                .hours
                .first()
                .map_or(NaiveDate::default(), |hour| hour.starts.date()),
            count: end.div_ceil(24),
        },
        bins,
        stays,
    }
}
