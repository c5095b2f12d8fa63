//! Rows in time: order, duplicates, daylight saving, steps, what is absent.

use super::MonthDay;
use super::problem::{Lines, Problem, Severity, counted};
use super::reading::{Row, in_nominal_year};
use chrono::{Datelike, NaiveDateTime, TimeDelta, Timelike, Weekday};
use std::collections::BTreeMap;

/// What a file says about its own time.
pub(super) struct Clock {
    pub declared_typical: bool,
    pub declared_period: Option<(MonthDay, MonthDay)>,
    /// The times may carry daylight saving.
    pub on_the_wall: bool,
}

/// What came out of putting the rows in order.
pub(super) struct Ordered {
    pub typical: bool,
    pub leap_day: bool,
    pub step_minutes: u32,
    pub hours_expected: usize,
    pub hours_absent: usize,
}

/// Longest step that can still stand for hours: six-hourly observations.
const LONGEST_STEP_MINUTES: i64 = 360;
/// A pause longer than this parts two stretches of weather rather than being a gap in one.
const STRETCH_PAUSE_DAYS: i64 = 120;
/// How near to New Year a file must begin and end to be taken for a whole calendar year.
const NEAR_NEW_YEAR_DAYS: i64 = 3;

/// Sorts the rows on their axis, takes duplicates out, finds the step and gives every row its share
/// of an hour. Says what it found in `problems`; an error says why the times make no sense.
pub(super) fn put_in_order(
    rows: &mut Vec<Row>,
    clock: &Clock,
    problems: &mut Vec<Problem>,
) -> Result<Ordered, String> {
    let leap_day = rows
        .iter()
        .any(|row| row.starts.month() == 2 && row.starts.day() == 29);
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
        super::daylight::undo(rows, problems);
    }
    report_order(rows, step, problems);
    rows.sort_by_key(|row| row.starts);
    drop_duplicates(rows, problems);
    give_shares(rows, step, regular);
    if step != 60 || !regular {
        report_step(step, regular, problems);
    }
    let (hours_expected, hours_absent) = coverage(
        rows,
        step,
        typical,
        leap_day,
        clock.declared_period,
        problems,
    );
    Ok(Ordered {
        typical,
        leap_day,
        step_minutes: u32::try_from(step).unwrap_or(60),
        hours_expected,
        hours_absent,
    })
}

/// A typical year joins months of different years: every month of the calendar comes (nearly) from
/// one year, several years take part, and they do not follow one another as time does.
fn is_typical(rows: &[Row], declared: bool) -> bool {
    let mut by_month: BTreeMap<u32, BTreeMap<i32, usize>> = BTreeMap::new();
    for run in rows.chunk_by(same_month) {
        let first = run[0].starts;
        *by_month
            .entry(first.month())
            .or_default()
            .entry(first.year())
            .or_default() += run.len();
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
    let mut in_time: Vec<i32> = ruling
        .iter()
        .map(|(month, year)| year * 12 + i32::try_from(*month).unwrap_or(0))
        .collect();
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
    let steps: Vec<i64> = times
        .windows(2)
        .map(|pair| (pair[1] - pair[0]).num_seconds())
        .collect();
    let mut counts: BTreeMap<i64, usize> = BTreeMap::new();
    for run in steps.chunk_by(|a, b| a == b) {
        *counts.entry(run[0]).or_default() += run.len();
    }
    let Some((&step_s, _)) = counts
        .iter()
        .max_by_key(|(step, count)| (**count, std::cmp::Reverse(**step)))
    else {
        return (60, true);
    };
    let all: usize = counts.values().sum();
    let fitting: usize = counts
        .iter()
        .filter(|(step, _)| **step % step_s.max(1) == 0)
        .map(|(_, count)| count)
        .sum();
    // Loggers record once a minute or more seldom; finer times are binned into hours.
    if step_s >= 60 && step_s % 60 == 0 && fitting * 10 >= all * 8 {
        return (step_s / 60, true);
    }
    // A clock that wanders by minutes still gives one row an hour.
    let near_an_hour = steps
        .iter()
        .filter(|step| (**step - 3_600).abs() <= 600)
        .count();
    (60, near_an_hour * 10 >= all * 9)
}

/// Hourly rows are moved to the hour they stand for: a reading at half past belongs to its hour, one
/// taken a few minutes before the full hour (as airports do) to the next.
fn snap_to_hours(rows: &mut [Row]) {
    for row in rows {
        let shifted = row.starts + TimeDelta::minutes(15);
        row.starts = shifted
            - TimeDelta::minutes(i64::from(shifted.minute()))
            - TimeDelta::seconds(i64::from(shifted.second()));
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
    let more = if breaks > SHOWN {
        format!(", ... {breaks} in all")
    } else {
        String::new()
    };
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
    Row {
        line: b.line,
        label: b.label,
        ..*a
    } == *b
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
        format!(
            ", the first at {}/{} h{} ({})",
            time.month(),
            time.day(),
            time.hour() + 1,
            time.format("%m-%d %H:%M")
        )
    });
    if !equal.is_empty() {
        problems.push(Problem::new(
            Severity::Warning,
            "time.duplicate",
            equal.first(),
            format!(
                "{} with a duplicate timestamp and equal values ({equal}{when}): counted once",
                counted(equal.len(), "row")
            ),
        ));
    }
    if !conflicting.is_empty() {
        problems.push(Problem::new(
            Severity::Warning,
            "time.duplicate_conflict",
            conflicting.first(),
            format!(
                "{} with a duplicate timestamp and other values ({conflicting}{when}): the first row of \
                 each hour is kept; delete the wrong one",
                counted(conflicting.len(), "row")
            ),
        ));
    }
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

/// Hours expected and hours absent, with the absences told.
fn coverage(
    rows: &[Row],
    step: i64,
    typical: bool,
    leap_day: bool,
    declared: Option<(MonthDay, MonthDay)>,
    problems: &mut Vec<Problem>,
) -> (usize, usize) {
    let step = TimeDelta::minutes(step);
    let pause = TimeDelta::days(STRETCH_PAUSE_DAYS);
    let mut absent_minutes = 0_i64;
    let mut gaps: Vec<(NaiveDateTime, i64, u32)> = Vec::new();
    let mut stretches = 1_usize;
    let mut span_minutes = step.num_minutes();
    for pair in rows.windows(2) {
        let (before, after) = (pair[0].starts, pair[1].starts);
        let jump = after - before;
        if jump > pause && !typical {
            stretches += 1;
            span_minutes += step.num_minutes();
            continue;
        }
        span_minutes += jump.num_minutes();
        // Irregular rows leave no gap while there is one in each hour.
        let allowed = step.max(TimeDelta::minutes(119));
        let is_gap = if step.num_minutes() >= 60 {
            jump > step
        } else {
            jump > allowed || jump >= step * 2 && jump.num_minutes() >= 60
        };
        if is_gap {
            let minutes = (jump - step).num_minutes();
            absent_minutes += minutes;
            gaps.push((before + step, minutes, pair[1].line));
        }
    }
    let hours = |minutes: i64| usize::try_from(minutes / 60).unwrap_or(0);
    report_gaps(
        &gaps,
        hours(span_minutes),
        hours(absent_minutes),
        typical,
        problems,
    );
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        return (0, 0);
    };
    let (first, end) = (first.starts, last.starts + step);
    let mut expected = hours(span_minutes);
    if let Some((from, until)) = declared {
        let declared_hours = declared_hours(from, until, leap_day);
        if expected < declared_hours {
            problems.push(Problem::warning(
                "time.period",
                format!(
                    "the header promises {declared_hours} hours from {from} to {until}, the rows reach from {} \
                     to {}: the file may be cut short; get it again",
                    first.format("%m-%d %H:%M"),
                    end.format("%m-%d %H:%M")
                ),
            ));
            expected = declared_hours;
        }
    } else if stretches == 1 {
        expected = expected.max(calendar_years(first, end));
    }
    if stretches > 1 {
        problems.push(Problem::note(
            "time.stretches",
            format!(
                "{stretches} stretches of weather more than {STRETCH_PAUSE_DAYS} days apart; the pauses are \
                 not counted as missing"
            ),
        ));
    }
    if expected < 8760 {
        problems.push(Problem::note(
            "time.part_year",
            format!(
                "{expected} hours are not a full year: no annual figure can be had from this file alone"
            ),
        ));
    }
    (expected, hours(absent_minutes))
}

fn report_gaps(
    gaps: &[(NaiveDateTime, i64, u32)],
    span_hours: usize,
    absent_hours: usize,
    typical: bool,
    problems: &mut Vec<Problem>,
) {
    // The nominal year of a typical year means nothing to the reader.
    let pattern = if typical {
        "%m-%d %H:%M"
    } else {
        "%Y-%m-%d %H:%M"
    };
    let Some((start, minutes, line)) = gaps.iter().max_by_key(|gap| gap.1) else {
        return;
    };
    let when = |time: &NaiveDateTime| {
        format!(
            "{}/{} hour {} ({})",
            time.month(),
            time.day(),
            time.hour() + 1,
            time.format(pattern)
        )
    };
    let message = if absent_hours == 1 {
        format!(
            "1 hour absent: {}; {} of {span_hours} hours are there",
            when(start),
            span_hours - absent_hours
        )
    } else {
        format!(
            "{absent_hours} hours absent in {}, {} of {span_hours} are there; longest gap {} h from {}",
            counted(gaps.len(), "gap"),
            span_hours.saturating_sub(absent_hours),
            minutes / 60,
            start.format(pattern)
        )
    };
    problems.push(Problem::new(
        Severity::Warning,
        "time.absent",
        Some(*line),
        message,
    ));
}

fn declared_hours(from: MonthDay, until: MonthDay, leap_day: bool) -> usize {
    let year = if leap_day { 2000 } else { 2001 };
    let (Some(start), Some(mut end)) = (from.in_year(year), until.in_year(year)) else {
        return 0;
    };
    if end < start {
        end = until.in_year(year + 1).unwrap_or(end);
    }
    usize::try_from((end - start).num_days() + 1).unwrap_or(0) * 24
}

/// Hours of the calendar years that a stretch nearly fills; zero if it does not.
fn calendar_years(first: NaiveDateTime, end: NaiveDateTime) -> usize {
    let near = TimeDelta::days(NEAR_NEW_YEAR_DAYS);
    let new_year = |year: i32| {
        chrono::NaiveDate::from_ymd_opt(year, 1, 1).and_then(|date| date.and_hms_opt(0, 0, 0))
    };
    let opening = new_year((first + near).year());
    let closing = new_year((end + near).year());
    match (opening, closing) {
        (Some(opening), Some(closing))
            if closing > opening
                && (first - opening).abs() <= near
                && (closing - end).abs() <= near =>
        {
            usize::try_from((closing - opening).num_hours()).unwrap_or(0)
        }
        _ => 0,
    }
}

/// True on the day and at the hours at which clocks are changed nearly everywhere.
pub(super) fn clocks_may_change(time: NaiveDateTime) -> bool {
    time.weekday() == Weekday::Sun && time.hour() <= 3
}
