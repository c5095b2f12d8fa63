//! Every complete season in a series, and in the readings that it comes of.

use super::mend::mend;
use super::rules::MendRules;
use super::series::{Gap, Series};
use crate::weather::hour::{Hour, WeatherYear};
use crate::weather::month_day::MonthDay;
use crate::weather::problem::WeatherError;
use crate::weather::reading::Reading;
use chrono::{Datelike, NaiveDate, NaiveDateTime, TimeDelta};

/// A window of the calendar, both days included; it may run across New Year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SeasonWindow {
    /// Its first day.
    pub starts: MonthDay,
    /// Its last day.
    pub ends: MonthDay,
}

impl SeasonWindow {
    /// True if the window runs across New Year.
    pub fn crosses_new_year(self) -> bool {
        self.ends < self.starts
    }

    /// First and last day of the season that begins in this year.
    fn in_year(self, year: i32) -> Option<(NaiveDate, NaiveDate)> {
        let ends_in = if self.crosses_new_year() { year + 1 } else { year };
        Some((self.starts.in_year(year)?, self.ends.in_year(ends_in)?))
    }
}

/// How readings become years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YearRules {
    /// What may be filled.
    pub mend: MendRules,
    /// The season.
    pub window: SeasonWindow,
    /// Hours that are wanted after its last day.
    pub tail_hours: usize,
    /// By how much every hour is taken to be warmer, K; zero for the weather as it was.
    pub warmer_by_k: f64,
}

/// How far away a year may be that lends the hours after a season.
const FURTHEST_YEAR: i32 = 60;

/// The years of these readings, and the series that they are cut from, which says what was mended.
///
/// Errors are those of [`mend`] and of [`seasons`].
pub fn years(readings: &[Reading], rules: &YearRules) -> Result<(Vec<WeatherYear>, Series), WeatherError> {
    let series = mend(readings, &rules.mend)?;
    let mut years = seasons(&series, rules.window, rules.tail_hours)?;
    if rules.warmer_by_k != 0.0 {
        years = years.iter().map(|year| year.warmer_by(rules.warmer_by_k)).collect();
    }
    Ok((years, series))
}

/// Cuts every complete season out of the series, each with up to `tail_hours` more after its last day:
/// the hours that follow if the series has them, else those of the same calendar dates of the nearest
/// other year (of itself, for a typical year), which are counted in `borrowed_hours`. The tail is shorter
/// where no year has those dates.
///
/// An error tells what the series covers if it holds no complete season, and names the gaps if a season
/// lacks hours that the rules did not allow to fill.
pub fn seasons(series: &Series, window: SeasonWindow, tail_hours: usize) -> Result<Vec<WeatherYear>, WeatherError> {
    let (Some(first), Some(last)) = (series.hours.first(), series.hours.last()) else {
        return Err(WeatherError::NoSeason("the weather holds no hours".into()));
    };
    let mut years = Vec::new();
    for year in first.starts.year() - 1..=last.starts.year() {
        let Some((opens, closes)) = window.in_year(year) else {
            continue;
        };
        if series.typical && year != first.starts.year() {
            continue;
        }
        let wanted = usize::try_from((closes - opens).num_days() + 1).unwrap_or(0) * 24;
        let Some(hours) = season_hours(series, opens, wanted)? else {
            continue;
        };
        years.push(with_tail(series, label(series, window, year), hours, tail_hours));
    }
    if years.is_empty() {
        return Err(no_season(series, window, first, last));
    }
    Ok(years)
}

fn label(series: &Series, window: SeasonWindow, year: i32) -> String {
    if series.typical {
        "typical year".into()
    } else if window.crosses_new_year() {
        format!("{year}/{:02}", (year + 1).rem_euclid(100))
    } else {
        year.to_string()
    }
}

/// The hours of one season, `None` if the series does not hold it whole.
fn season_hours(series: &Series, opens: NaiveDate, wanted: usize) -> Result<Option<Vec<Hour>>, WeatherError> {
    let start = NaiveDateTime::from(opens);
    if series.is_ring() {
        let hours: Vec<Hour> = (0..wanted).filter_map(|at| lent(series, start + hours_delta(at))).collect();
        return match hours.len() {
            found if found == wanted => Ok(Some(hours)),
            _ => Err(open_gaps(opens, &series.open_gaps)),
        };
    }
    let from = series.hours.partition_point(|hour| hour.starts < start);
    let end = start + hours_delta(wanted);
    let until = series.hours.partition_point(|hour| hour.starts < end);
    let there = &series.hours[from..until];
    if there.len() == wanted {
        return Ok(Some(there.to_vec()));
    }
    let open: Vec<Gap> = series
        .open_gaps
        .iter()
        .filter(|gap| gap.starts < end && gap.starts + hours_delta(gap.hours) > start)
        .copied()
        .collect();
    let open_hours: usize = open.iter().map(|gap| overlap(gap, start, end)).sum();
    if there.len() + open_hours == wanted && !there.is_empty() {
        return Err(open_gaps(opens, &open));
    }
    Ok(None)
}

fn open_gaps(opens: NaiveDate, gaps: &[Gap]) -> WeatherError {
    let told: Vec<String> = gaps
        .iter()
        .take(6)
        .map(|gap| format!("{} h from {}", gap.hours, gap.starts.format("%Y-%m-%d %H:%M")))
        .collect();
    WeatherError::Gap(format!(
        "the season from {opens} has gaps longer than may be filled: {}; get the missing hours, raise max_gap_hours, \
         or set fill_long_gaps = true",
        told.join(", ")
    ))
}

fn overlap(gap: &Gap, start: NaiveDateTime, end: NaiveDateTime) -> usize {
    let from = gap.starts.max(start);
    let until = (gap.starts + hours_delta(gap.hours)).min(end);
    usize::try_from((until - from).num_hours()).unwrap_or(0)
}

fn hours_delta(hours: usize) -> TimeDelta {
    TimeDelta::hours(i64::try_from(hours).unwrap_or(0))
}

fn with_tail(series: &Series, label: String, mut hours: Vec<Hour>, tail_hours: usize) -> WeatherYear {
    let season_hours = hours.len();
    let mut borrowed_hours = 0;
    if let Some(last) = hours.last().map(|hour| hour.starts) {
        for at in 1..=tail_hours {
            let time = last + hours_delta(at);
            if let Some(hour) = series.at(time) {
                hours.push(*hour);
            } else if let Some(hour) = lent(series, time) {
                hours.push(hour);
                borrowed_hours += 1;
            } else {
                break;
            }
        }
    }
    WeatherYear { label, hours: hours.into(), season_hours, borrowed_hours }
}

/// The same hour of the same calendar date in the nearest year that has it, dated as asked for. A
/// 29 February that no year has is lent by the 28th.
fn lent(series: &Series, time: NaiveDateTime) -> Option<Hour> {
    let in_other_year = |years: i32| -> Option<&Hour> {
        let date = MonthDay::of(time.date()).in_year(time.year() + years)?;
        series.at(date.and_time(time.time()))
    };
    let hour = (0..=FURTHEST_YEAR).find_map(|away| in_other_year(-away).or_else(|| in_other_year(away)))?;
    Some(Hour { starts: time, ..*hour })
}

fn no_season(series: &Series, window: SeasonWindow, first: &Hour, last: &Hour) -> WeatherError {
    let days = |time: NaiveDateTime| {
        if series.typical { time.format("%m-%d").to_string() } else { time.format("%Y-%m-%d").to_string() }
    };
    let mut pauses = Vec::new();
    for pair in series.hours.windows(2) {
        if pair[1].starts - pair[0].starts > TimeDelta::hours(1) {
            pauses.push(format!("{} to {}", days(pair[0].starts), days(pair[1].starts)));
        }
    }
    let but = if pauses.is_empty() {
        String::new()
    } else {
        let shown = pauses.len().min(4);
        format!(", with nothing from {}", pauses[..shown].join(", from "))
    };
    WeatherError::NoSeason(format!(
        "no complete season from {} to {} in the weather: the files cover {} to {}{but}; add files that \
         cover it or change the season",
        window.starts,
        window.ends,
        days(first.starts),
        days(last.starts)
    ))
}
