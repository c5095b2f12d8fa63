//! What the charts need of the hourly books.

use crate::ledger::{Book, Entry};
use crate::report::chart::{DayBand, Days};
use chrono::{NaiveDate, NaiveDateTime};

/// The hours of a book in which something is dried: the season and what of it ran late.
pub fn drying_hours(book: &Book) -> &[Entry] {
    let end = book
        .hours
        .iter()
        .rposition(|hour| {
            hour.in_season
                || hour.bins_drying > 0
                || hour.bins_cooling > 0
                || hour.heat_need_kwh > 0.0
        })
        .map_or(0, |last| last + 1);
    &book.hours[..end]
}

/// The days of some hours.
pub fn days(hours: &[Entry]) -> Days {
    Days {
        first: hours
            .first()
            .map_or(NaiveDate::default(), |hour| hour.starts.date()),
        count: hours.len().div_ceil(24),
    }
}

/// A sum a day.
pub fn sum_by_day(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Vec<f64> {
    hours
        .chunks(24)
        .map(|day| day.iter().map(&of).sum())
        .collect()
}

/// The highest of each day.
pub fn most_by_day(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Vec<f64> {
    hours
        .chunks(24)
        .map(|day| day.iter().map(&of).fold(0.0, f64::max))
        .collect()
}

/// Lowest, mean and highest of each day.
pub fn band_by_day(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Vec<DayBand> {
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
pub fn peak(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Option<(f64, NaiveDateTime)> {
    hours
        .iter()
        .map(|hour| (of(hour), hour.starts))
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// The seven days in a row with the most of something: the first day's place and the sum.
pub fn peak_week(by_day: &[f64]) -> Option<(usize, f64)> {
    by_day
        .windows(7)
        .map(|week| week.iter().sum::<f64>())
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Place of the book whose heat need is the middle one.
pub fn middle_year(books: &[Book]) -> Option<usize> {
    let need = |book: &Book| -> f64 { book.hours.iter().map(|hour| hour.heat_need_kwh).sum() };
    let mut order: Vec<(usize, f64)> = books.iter().map(need).enumerate().collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    order
        .get(order.len().saturating_sub(1) / 2)
        .map(|place| place.0)
}

/// Hours with a heat need, highest first, over all years of an option.
pub fn loads(books: &[Book], of: impl Fn(&Entry) -> f64) -> Vec<f64> {
    let mut all: Vec<f64> = books
        .iter()
        .flat_map(|book| &book.hours)
        .filter(|hour| hour.heat_need_kwh > 0.0)
        .map(of)
        .collect();
    all.sort_by(|a, b| b.total_cmp(a));
    all
}

/// The least capacity that covers a share of the hours, from loads sorted highest first; zero if
/// there are none.
pub fn capacity_for(loads: &[f64], share: f64) -> f64 {
    if loads.is_empty() {
        return 0.0;
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a share of a length
    let above = ((1.0 - share) * loads.len() as f64 + 1e-9).floor() as usize;
    loads[above.min(loads.len() - 1)]
}

/// Share of the energy that lies above a capacity.
pub fn energy_above(loads: &[f64], kw: f64) -> f64 {
    let all: f64 = loads.iter().sum();
    let above: f64 = loads.iter().map(|load| (load - kw).max(0.0)).sum();
    if all > 0.0 { above / all } else { 0.0 }
}

/// `14 June, 06:00`.
pub fn moment(when: NaiveDateTime) -> String {
    when.format("%-d\u{a0}%B, %H:%M").to_string()
}

/// `14 June`.
pub fn day_name(day: NaiveDate) -> String {
    day.format("%-d\u{a0}%B").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn capacity_covers_its_share_of_the_hours() {
        let loads: Vec<f64> = (1..=100).rev().map(f64::from).collect();
        assert_eq!(capacity_for(&loads, 1.0), 100.0);
        assert_eq!(capacity_for(&loads, 0.99), 99.0);
        assert_eq!(capacity_for(&loads, 0.90), 90.0);
        assert_eq!(capacity_for(&[], 0.9), 0.0);
        let covered = loads.iter().filter(|load| **load <= 90.0).count();
        assert_eq!(covered, 90);
        assert!((energy_above(&loads, 90.0) - 55.0 / 5050.0).abs() < 1e-12);
    }

    #[test]
    fn the_peak_week_is_seven_days_in_a_row() {
        let mut by_day = vec![1.0; 30];
        by_day[12] = 50.0;
        by_day[18] = 60.0;
        assert_eq!(peak_week(&by_day), Some((12, 115.0)));
        assert_eq!(peak_week(&by_day[..6]), None);
    }
}
