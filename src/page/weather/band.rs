//! One calendar year of the series, or a typical year made of months of several.

use crate::weather::Hour;
use chrono::{Datelike, NaiveDate, NaiveDateTime, TimeDelta, Timelike};

/// A run of hours that fits on one calendar, January to December.
pub(super) struct Band {
    /// `2031`, or `months of 1979 to 2003`.
    pub label: String,
    /// The hours, as places in the series.
    pub range: std::ops::Range<usize>,
    /// 365 or 366.
    pub days: usize,
    /// Hours from the first to the last that are not there.
    missing: usize,
}

/// Where an hour stands on its band: day from 1 January, hour of the day.
pub(super) struct Cell {
    pub day: usize,
    pub hour: usize,
}

impl Band {
    pub(super) fn missing_hours(&self) -> usize {
        self.missing
    }

    /// Days of each month.
    pub(super) fn month_lengths(&self) -> [usize; 12] {
        let february = self.days - 337;
        [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    }

    /// The cell of an hour of this band.
    pub(super) fn cell(&self, starts: NaiveDateTime) -> Cell {
        let before: usize = self.month_lengths()[..starts.month0() as usize].iter().sum();
        Cell { day: before + starts.day0() as usize, hour: starts.hour() as usize }
    }
}

/// Bands of a series in order: a new one begins where the calendar date goes back, or where the year
/// changes anywhere but between two whole months (as typical years do).
pub(super) fn in_hours(hours: &[Hour]) -> Vec<Band> {
    let mut bands = Vec::new();
    let mut from = 0;
    for at in 1..=hours.len() {
        let ends = hours.get(at).is_none_or(|next| breaks(&hours[at - 1], next));
        if ends {
            bands.push(band_of(hours, from..at));
            from = at;
        }
    }
    bands
}

fn breaks(last: &Hour, next: &Hour) -> bool {
    let date = |hour: &Hour| (hour.starts.month(), hour.starts.day(), hour.starts.hour());
    let goes_back = date(next) <= date(last);
    let month_joins = next.starts.day() == 1
        && next.starts.hour() == 0
        && last.starts.hour() == 23
        && last.starts.date() == last_of_month(last.starts.date());
    goes_back || (next.starts.year() != last.starts.year() && !month_joins)
}

fn last_of_month(day: NaiveDate) -> NaiveDate {
    day.with_day(u32::from(day.num_days_in_month())).unwrap_or(day)
}

fn band_of(hours: &[Hour], range: std::ops::Range<usize>) -> Band {
    let part = &hours[range.clone()];
    let years = part.iter().map(|hour| hour.starts.year());
    let (first, last) = (years.clone().min().unwrap_or(0), years.max().unwrap_or(0));
    let leap = part.iter().any(|hour| (hour.starts.month(), hour.starts.day()) == (2, 29))
        || (first == last && part.first().is_some_and(|hour| hour.starts.date().leap_year()));
    let missing = part
        .windows(2)
        .filter(|pair| pair[0].starts.year() == pair[1].starts.year())
        .map(|pair| {
            let step = pair[1].starts - pair[0].starts - TimeDelta::hours(1);
            usize::try_from(step.num_hours()).unwrap_or(0)
        })
        .sum();
    Band {
        label: if first == last { first.to_string() } else { format!("months of {first} to {last}") },
        range,
        days: if leap { 366 } else { 365 },
        missing,
    }
}
