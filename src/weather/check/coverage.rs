//! What period the rows cover, and which hours of it are absent.

use crate::weather::month_day::MonthDay;
use crate::weather::problem::{Problem, Severity, counted};
use crate::weather::reading::Row;
use chrono::{Datelike, NaiveDateTime, TimeDelta, Timelike};

/// A pause longer than this parts two stretches of weather rather than being a gap in one.
const STRETCH_PAUSE_DAYS: i64 = 120;
/// How near to New Year a file must begin and end to be taken for a whole calendar year.
const NEAR_NEW_YEAR_DAYS: i64 = 3;

/// Hours expected and hours absent, with the absences told.
pub(crate) fn coverage(
    rows: &[Row],
    step: i64,
    regular: bool,
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
        // Unevenly spaced rows are judged by the clock hours they fall into.
        let time = |row: &Row| {
            if regular { row.starts } else { full_hour(row.starts) }
        };
        let (before, after) = (time(&pair[0]), time(&pair[1]));
        let jump = after - before;
        if jump > pause && !typical {
            stretches += 1;
            span_minutes += step.num_minutes();
            continue;
        }
        span_minutes += jump.num_minutes();
        if jump > step {
            let minutes = (jump - step).num_minutes();
            absent_minutes += minutes;
            gaps.push((before + step, minutes, pair[1].line));
        }
    }
    let hours = |minutes: i64| usize::try_from(minutes / 60).unwrap_or(0);
    report_gaps(&gaps, hours(span_minutes), hours(absent_minutes), typical, problems);
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
            format!("{expected} hours are not a full year: no annual figure can be had from this file alone"),
        ));
    }
    (expected, hours(absent_minutes))
}

fn full_hour(time: NaiveDateTime) -> NaiveDateTime {
    time - TimeDelta::minutes(i64::from(time.minute())) - TimeDelta::seconds(i64::from(time.second()))
}

fn report_gaps(
    gaps: &[(NaiveDateTime, i64, u32)],
    span_hours: usize,
    absent_hours: usize,
    typical: bool,
    problems: &mut Vec<Problem>,
) {
    // The nominal year of a typical year means nothing to the reader.
    let pattern = if typical { "%m-%d %H:%M" } else { "%Y-%m-%d %H:%M" };
    let Some((start, minutes, line)) = gaps.iter().max_by_key(|gap| gap.1) else {
        return;
    };
    if absent_hours == 0 {
        // Single rows of a finer file: their hours still have others.
        return;
    }
    let when = |time: &NaiveDateTime| {
        format!("{}/{} hour {} ({})", time.month(), time.day(), time.hour() + 1, time.format(pattern))
    };
    let message = if absent_hours == 1 {
        format!("1 hour absent: {}; {} of {span_hours} hours are there", when(start), span_hours - absent_hours)
    } else {
        format!(
            "{absent_hours} hours absent in {}, {} of {span_hours} are there; longest gap {} h from {}",
            counted(gaps.len(), "gap"),
            span_hours.saturating_sub(absent_hours),
            minutes / 60,
            start.format(pattern)
        )
    };
    problems.push(Problem::new(Severity::Warning, "time.absent", Some(*line), message));
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
    let new_year = |year: i32| chrono::NaiveDate::from_ymd_opt(year, 1, 1).and_then(|date| date.and_hms_opt(0, 0, 0));
    let opening = new_year((first + near).year());
    let closing = new_year((end + near).year());
    match (opening, closing) {
        (Some(opening), Some(closing))
            if closing > opening && (first - opening).abs() <= near && (closing - end).abs() <= near =>
        {
            usize::try_from((closing - opening).num_hours()).unwrap_or(0)
        }
        _ => 0,
    }
}
