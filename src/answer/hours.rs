//! Hours of a book taken together by day, and how moments read.

use crate::ledger::{Book, Entry};
use chrono::{NaiveDate, NaiveDateTime};
use std::borrow::Cow;

/// The hours of a book in which something is dried: the season and what of it ran late.
pub(crate) fn drying_hours(book: &Book) -> Cow<'_, [Entry]> {
    let dries =
        |hour: &Entry| hour.in_season || hour.bins_drying > 0 || hour.bins_cooling > 0 || hour.heat_need_kwh > 0.0;
    let end = |hours: &[Entry]| hours.iter().rposition(dries).map_or(0, |last| last + 1);
    match book.hours.open() {
        Cow::Borrowed(hours) => Cow::Borrowed(&hours[..end(hours)]),
        Cow::Owned(mut hours) => {
            hours.truncate(end(&hours));
            Cow::Owned(hours)
        }
    }
}

/// The day at a place among the days of some hours.
pub(crate) fn day_at(hours: &[Entry], place: usize) -> NaiveDate {
    hours.get(place * 24).map_or(NaiveDate::default(), |hour| hour.starts.date())
}

/// A sum a day.
pub(crate) fn sum_by_day(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Vec<f64> {
    hours.chunks(24).map(|day| day.iter().map(&of).sum()).collect()
}

/// The highest of each day.
pub(crate) fn most_by_day(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Vec<f64> {
    hours.chunks(24).map(|day| day.iter().map(&of).fold(0.0, f64::max)).collect()
}

/// Lowest, mean and highest of each day.
pub(crate) fn band_by_day(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Vec<[f64; 3]> {
    hours
        .chunks(24)
        .map(|day| {
            let low = day.iter().map(&of).fold(f64::INFINITY, f64::min);
            let high = day.iter().map(&of).fold(f64::NEG_INFINITY, f64::max);
            let mean = day.iter().map(&of).sum::<f64>() / day.len() as f64;
            [low, mean, high]
        })
        .collect()
}

/// The hour with the most of something: how much, and when.
pub(crate) fn peak(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Option<(f64, NaiveDateTime)> {
    hours.iter().map(|hour| (of(hour), hour.starts)).max_by(|a, b| a.0.total_cmp(&b.0))
}

/// `14 June, 06:00`.
pub(crate) fn moment(when: NaiveDateTime) -> String {
    when.format("%-d\u{a0}%B, %H:%M").to_string()
}

/// `14 June`.
pub(crate) fn day_name(day: NaiveDate) -> String {
    day.format("%-d\u{a0}%B").to_string()
}
