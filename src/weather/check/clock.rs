//! Rows in time: order, duplicates, daylight saving, steps, what is absent.

use super::coverage::coverage;
use super::daylight;
use crate::weather::month_day::MonthDay;
use crate::weather::problem::{Lines, Problem, Severity, counted};
use crate::weather::reading::{Row, in_nominal_year};
use chrono::{Datelike, NaiveDateTime, TimeDelta, Timelike};
use std::collections::BTreeMap;

/// What a file says about its own time.
pub(crate) struct Clock {
    pub declared_typical: bool,
    pub declared_period: Option<(MonthDay, MonthDay)>,
    /// The times may carry daylight saving.
    pub on_the_wall: bool,
}

/// What came out of putting the rows in order.
pub(crate) struct Ordered {
    pub typical: bool,
    pub leap_day: bool,
    pub step_minutes: u32,
    pub hours_expected: usize,
    pub hours_absent: usize,
}

/// Longest step that can still stand for hours: six-hourly observations.
const LONGEST_STEP_MINUTES: i64 = 360;

/// Sorts the rows on their axis, takes duplicates out, finds the step and gives every row its share
/// of an hour. Says what it found in `problems`; an error says why the times make no sense.
pub(crate) fn put_in_order(rows: &mut Vec<Row>, clock: &Clock, problems: &mut Vec<Problem>) -> Result<Ordered, String> {
    let leap_day = rows.iter().any(|row| row.starts.month() == 2 && row.starts.day() == 29);
    let typical = is_typical(rows, clock.declared_typical);
    if typical {
        for row in rows.iter_mut() {
            row.starts = in_nominal_year(row.starts, leap_day);
        }
    }
    let (step, regular) = step_of(rows);
    if step > LONGEST_STEP_MINUTES {
        return Err(format!(
            "rows are {} hours apart: hourly weather is needed, and days or months cannot be turned into \
             hours; get the hourly file",
            step / 60
        ));
    }
    if regular && step == 60 {
        snap_to_hours(rows);
    }
    if clock.on_the_wall && !typical && regular && step == 60 {
        daylight::undo(rows, problems);
    }
    report_order(rows, step, problems);
    rows.sort_by_key(|row| row.starts);
    drop_duplicates(rows, problems);
    give_shares(rows, step, regular);
    if step != 60 || !regular {
        report_step(step, regular, problems);
    }
    let (hours_expected, hours_absent) =
        coverage(rows, step, regular, typical, leap_day, clock.declared_period, problems);
    Ok(Ordered { typical, leap_day, step_minutes: u32::try_from(step).unwrap_or(60), hours_expected, hours_absent })
}

/// A typical year joins months of different years: every month of the calendar comes (nearly) from
/// one year, several years take part, and they do not follow one another as time does.
fn is_typical(rows: &[Row], declared: bool) -> bool {
    let mut by_month: BTreeMap<u32, BTreeMap<i32, usize>> = BTreeMap::new();
    for run in rows.chunk_by(same_month) {
        let first = run[0].starts;
        *by_month.entry(first.month()).or_default().entry(first.year()).or_default() += run.len();
    }
    // The year that rules each month; a month shared by several years is none of a typical year,
    // but an hour or two may spill over where clocks were converted.
    let mut ruling = Vec::new();
    for (month, years) in &by_month {
        let all: usize = years.values().sum();
        let Some((year, most)) = years.iter().max_by_key(|(_, count)| **count) else {
            return false;
        };
        if *most * 100 < all * 95 {
            return false;
        }
        ruling.push((*month, *year));
    }
    let mut years: Vec<i32> = ruling.iter().map(|(_, year)| *year).collect();
    let falls = years.windows(2).any(|pair| pair[1] < pair[0]);
    let changes = years.windows(2).filter(|pair| pair[1] != pair[0]).count();
    years.sort_unstable();
    years.dedup();
    if years.len() < 2 {
        return declared;
    }
    // A season that runs across New Year also has a later year in its first months: its months follow
    // one another without a pause when put in order of time.
    let mut in_time: Vec<i32> =
        ruling.iter().map(|(month, year)| year * 12 + i32::try_from(*month).unwrap_or(0)).collect();
    in_time.sort_unstable();
    let follows_time = in_time.windows(2).all(|pair| pair[1] - pair[0] == 1);
    declared || (!follows_time && (falls && is_by_calendar(rows) || changes >= 3))
}

fn same_month(a: &Row, b: &Row) -> bool {
    a.starts.month() == b.starts.month() && a.starts.year() == b.starts.year()
}

/// True if the file's rows run through the calendar from January on, whatever their years.
fn is_by_calendar(rows: &[Row]) -> bool {
    let mut steps_back = 0;
    for pair in rows.windows(2) {
        if pair[1].starts.month() < pair[0].starts.month() {
            steps_back += 1;
        }
    }
    steps_back <= 1
}

/// The commonest step in minutes, and whether nearly all steps are that one (or a multiple of it,
/// where rows are absent).
fn step_of(rows: &[Row]) -> (i64, bool) {
    let mut times: Vec<NaiveDateTime> = rows.iter().map(|row| row.starts).collect();
    times.sort_unstable();
    times.dedup();
    let steps: Vec<i64> = times.windows(2).map(|pair| (pair[1] - pair[0]).num_seconds()).collect();
    let mut counts: BTreeMap<i64, usize> = BTreeMap::new();
    for run in steps.chunk_by(|a, b| a == b) {
        *counts.entry(run[0]).or_default() += run.len();
    }
    let Some((&step_s, _)) = counts.iter().max_by_key(|(step, count)| (**count, std::cmp::Reverse(**step))) else {
        return (60, true);
    };
    let all: usize = counts.values().sum();
    let fitting: usize = counts.iter().filter(|(step, _)| **step % step_s.max(1) == 0).map(|(_, count)| count).sum();
    // Loggers record once a minute or more seldom; finer times are binned into hours.
    if step_s >= 60 && step_s % 60 == 0 && fitting * 10 >= all * 8 {
        return (step_s / 60, true);
    }
    // A clock that wanders by minutes still gives one row an hour.
    let near_an_hour = steps.iter().filter(|step| (**step - 3_600).abs() <= 600).count();
    (60, near_an_hour * 10 >= all * 9)
}

/// Hourly rows are moved to the hour they stand for: a reading at half past belongs to its hour, one
/// taken a few minutes before the full hour (as airports do) to the next.
fn snap_to_hours(rows: &mut [Row]) {
    for row in rows {
        let shifted = row.starts + TimeDelta::minutes(15);
        row.starts =
            shifted - TimeDelta::minutes(i64::from(shifted.minute())) - TimeDelta::seconds(i64::from(shifted.second()));
    }
}

fn report_order(rows: &[Row], step: i64, problems: &mut Vec<Problem>) {
    const SHOWN: usize = 6;
    let step = TimeDelta::minutes(step);
    let back = rows.windows(2).any(|pair| pair[1].starts < pair[0].starts);
    if !back {
        return;
    }
    let mut told = Vec::new();
    let mut first = None;
    let mut breaks = 0_usize;
    for (at, pair) in rows.windows(2).enumerate() {
        let (before, after) = (pair[0].starts, pair[1].starts);
        let how = if after < before {
            "goes back"
        } else if after > before + step {
            "jumps forward"
        } else {
            continue;
        };
        breaks += 1;
        first.get_or_insert(pair[1].line);
        if told.len() < SHOWN {
            told.push(format!("{} {how}", at + 2));
        }
    }
    let more = if breaks > SHOWN { format!(", ... {breaks} in all") } else { String::new() };
    problems.push(Problem::new(
        Severity::Warning,
        "time.order",
        first,
        format!(
            "timestamps are not in order (data rows, counted from 1: {}{more}); rows were sorted, sums are \
             unaffected, but check that no block was pasted under wrong dates",
            told.join(", ")
        ),
    ));
}

fn same_values(a: &Row, b: &Row) -> bool {
    Row { line: b.line, label: b.label, ..*a } == *b
}

/// One row for each time: the first. Tells equal and conflicting duplicates apart.
fn drop_duplicates(rows: &mut Vec<Row>, problems: &mut Vec<Problem>) {
    let mut equal = Lines::default();
    let mut conflicting = Lines::default();
    let mut stamp = None;
    rows.dedup_by(|later, kept| {
        if later.starts != kept.starts {
            return false;
        }
        stamp.get_or_insert((kept.label, kept.starts));
        if same_values(later, kept) {
            equal.push(later.line);
        } else {
            conflicting.push(later.line);
            // A value that only the later row has is not a conflict to lose.
            kept.dry_bulb_c = kept.dry_bulb_c.or(later.dry_bulb_c);
            if !kept.has_humidity() {
                kept.relative_humidity = later.relative_humidity;
                kept.dew_point_c = later.dew_point_c;
                kept.wet_bulb_c = later.wet_bulb_c;
            }
            kept.pressure_pa = kept.pressure_pa.or(later.pressure_pa);
        }
        true
    });
    let when = stamp.map_or_else(String::new, |(_, time)| {
        format!(", the first at {}/{} h{} ({})", time.month(), time.day(), time.hour() + 1, time.format("%m-%d %H:%M"))
    });
    equal.warn("time.duplicate", problems, || {
        format!(
            "{} with a duplicate timestamp and equal values ({equal}{when}): counted once",
            counted(equal.len(), "row")
        )
    });
    conflicting.warn("time.duplicate_conflict", problems, || {
        format!(
            "{} with a duplicate timestamp and other values ({conflicting}{when}): the first row of \
                 each hour is kept; delete the wrong one",
            counted(conflicting.len(), "row")
        )
    });
}

/// Gives each row its share of an hour: the step where rows are regular, else an equal part of the
/// hour it shares with others.
fn give_shares(rows: &mut [Row], step: i64, regular: bool) {
    if regular {
        let hours = step as f64 / 60.0;
        for row in rows {
            row.hours = hours;
        }
        return;
    }
    let hour_of = |row: &Row| {
        let time = row.starts;
        (time.date(), time.hour())
    };
    for group in rows.chunk_by_mut(|a, b| hour_of(a) == hour_of(b)) {
        let share = 1.0 / group.len() as f64;
        for row in group {
            row.hours = share;
        }
    }
}

fn report_step(step: i64, regular: bool, problems: &mut Vec<Problem>) {
    problems.push(if !regular {
        Problem::warning(
            "time.step",
            "rows are not evenly spaced: the rows of an hour share it equally, and hours are their means",
        )
    } else if step < 60 {
        Problem::warning(
            "time.step",
            format!(
                "a row every {step} minutes: each row counts as {:.4} h, so that sums are not multiplied",
                step as f64 / 60.0
            ),
        )
    } else {
        Problem::warning(
            "time.step",
            format!(
                "a row every {} minutes: each row counts as {:.2} h, and hours between are interpolated \
                 when mending",
                step,
                step as f64 / 60.0
            ),
        )
    });
}
