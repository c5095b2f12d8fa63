//! How runs of missing hours are filled.

use super::rules::MendRules;
use chrono::{DateTime, Datelike, NaiveDateTime, TimeDelta};

/// Gaps up to this long are interpolated; longer ones would flatten the course of the day, h.
const SHORT_GAP_HOURS: usize = 3;
/// How far away a day may be that lends its hours, d; also the longest gap that is ever filled.
pub(crate) const FURTHEST_DAY: usize = 15;

/// How an hour was filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cause {
    Interpolated,
    NeighbourDays,
    LeapDay,
    BetweenRows,
    Open,
}

/// A run of missing values.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Run {
    pub start: usize,
    pub length: usize,
    /// True if there is a value before and one after.
    pub bridged: bool,
}

/// What the rules say of a run; `from` is the hour since 1970 of the first place.
pub(crate) fn cause(run: Run, from: i64, between_rows: usize, rules: &MendRules) -> Cause {
    if run.bridged && run.length <= between_rows {
        Cause::BetweenRows
    } else if is_leap_day(run, from) {
        Cause::LeapDay
    } else if run.length > rules.max_gap_hours && !rules.fill_long_gaps || run.length > FURTHEST_DAY * 24 {
        Cause::Open
    } else if run.bridged && run.length <= SHORT_GAP_HOURS {
        Cause::Interpolated
    } else {
        Cause::NeighbourDays
    }
}

/// Archives without leap days lack exactly the 29th.
fn is_leap_day(run: Run, from: i64) -> bool {
    let start = time_of(from + i64::try_from(run.start).unwrap_or(0));
    // A shifted clock moves the missing day by some hours.
    let middle = start + TimeDelta::hours(12);
    run.bridged && run.length == 24 && middle.month() == 2 && middle.day() == 29
        || run.length == 24 && start.month() == 2 && start.day() == 29
}

/// The values with their runs of `None` filled as `how` says; marks each filled place.
pub(crate) fn filled(
    values: Vec<Option<f64>>,
    ring: bool,
    how: &impl Fn(Run) -> Cause,
    causes: &mut [Option<Cause>],
) -> Vec<Option<f64>> {
    if values.iter().all(Option::is_some) {
        return values;
    }
    let mut out = values.clone();
    let mut at = 0;
    while at < values.len() {
        if values[at].is_some() {
            at += 1;
            continue;
        }
        let length = values[at..].iter().take_while(|v| v.is_none()).count();
        let before = at.checked_sub(1).and_then(|place| values[place]);
        let after = values.get(at + length).copied().flatten();
        let run = Run { start: at, length, bridged: before.is_some() && after.is_some() };
        let cause = how(run);
        for (step, place) in (at..at + length).enumerate() {
            let value = match (cause, before, after) {
                (Cause::Open, ..) => None,
                (Cause::Interpolated | Cause::BetweenRows, Some(a), Some(b)) => {
                    let share = (step + 1) as f64 / (length + 1) as f64;
                    Some(a + (b - a) * share)
                }
                _ => from_days_around(&values, place, ring),
            };
            out[place] = value;
            if value.is_some() {
                causes[place] = Some(match causes[place] {
                    // The more daring of two fillings names the hour.
                    Some(Cause::NeighbourDays) => Cause::NeighbourDays,
                    _ => cause,
                });
            }
        }
        at += length;
    }
    out
}

/// Mean of the same hour of the nearest day before and the nearest after that have it.
fn from_days_around(values: &[Option<f64>], place: usize, ring: bool) -> Option<f64> {
    let get = |place: i64| -> Option<f64> {
        let length = i64::try_from(values.len()).ok()?;
        let place = if ring { place.rem_euclid(length) } else { place };
        values.get(usize::try_from(place).ok()?).copied().flatten()
    };
    let place = i64::try_from(place).ok()?;
    let days = 1..=i64::try_from(FURTHEST_DAY).ok()?;
    let before = days.clone().find_map(|day| get(place - day * 24));
    let after = days.clone().find_map(|day| get(place + day * 24));
    match (before, after) {
        (Some(a), Some(b)) => Some(0.5 * (a + b)),
        (one, other) => one.or(other),
    }
}

/// The time of an hour counted since 1970.
pub(crate) fn time_of(hour: i64) -> NaiveDateTime {
    DateTime::from_timestamp(hour * 3_600, 0).unwrap_or_default().naive_utc()
}
