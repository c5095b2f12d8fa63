//! Daylight saving in a wall clock of no stated zone: one hour twice in autumn, one missing in spring.

use crate::weather::problem::{Problem, Severity};
use crate::weather::reading::Row;
use chrono::{Datelike, NaiveDateTime, TimeDelta, Timelike, Weekday};

/// Daylight saving is off for at least this long wherever it is kept (early November to March).
const SHORTEST_WINTER_DAYS: i64 = 100;

/// A change of the clock, by the place of the first row after it.
enum Change {
    /// Clocks went back: rows before were an hour ahead.
    Back(usize),
    /// Clocks went forward: rows from here on are an hour ahead.
    Forward(usize),
}

/// Puts rows back to standard time if the file shows that its clock was changed: an hour of a Sunday
/// night stands twice, with other values, one row after the other. Only then is an absent hour of
/// another Sunday night taken for the change in spring.
pub(crate) fn undo(rows: &mut [Row], problems: &mut Vec<Problem>) {
    let hour = TimeDelta::hours(1);
    let mut changes = Vec::new();
    for (at, pair) in rows.windows(2).enumerate() {
        let (before, after) = (pair[0].starts, pair[1].starts);
        if before == after && clocks_may_change(after) && differ(&pair[0], &pair[1]) {
            changes.push(Change::Back(at + 1));
        } else if after - before == hour * 2 && clocks_may_change(before + hour) {
            changes.push(Change::Forward(at + 1));
        }
    }
    if !changes.iter().any(|c| matches!(c, Change::Back(_))) {
        return;
    }
    // Forward and back must take turns; a forward after a forward was a mere gap.
    let mut ahead = Vec::new();
    let mut since: Option<usize> = None;
    let mut told: Option<(u32, NaiveDateTime)> = None;
    let mut seen_back = false;
    for change in changes {
        match change {
            Change::Forward(at) => {
                since.get_or_insert(at);
            }
            Change::Back(at) => {
                // Without a change in spring, the file began in summer.
                let from = since.take().unwrap_or(0);
                if from == 0 && seen_back {
                    continue;
                }
                seen_back = true;
                told = Some((rows[at].line, rows[at].starts));
                ahead.push(from..at);
            }
        }
    }
    // A change in spring that no autumn follows must at least come a winter after the last autumn.
    if let Some(from) = since
        && let Some((_, back)) = told
        && rows[from].starts - back > TimeDelta::days(SHORTEST_WINTER_DAYS)
    {
        ahead.push(from..rows.len());
    }
    for range in ahead {
        for row in &mut rows[range] {
            row.starts -= hour;
        }
    }
    if let Some((line, time)) = told {
        problems.push(Problem::new(
            Severity::Note,
            "time.daylight_saving",
            Some(line),
            format!(
                "the hour of {} stands twice with other values: the clock went back from daylight saving. \
                 Both rows are counted and summer rows were put back to standard time",
                time.format("%Y-%m-%d %H:%M")
            ),
        ));
    }
}

fn differ(a: &Row, b: &Row) -> bool {
    a.dry_bulb_c != b.dry_bulb_c
        || a.relative_humidity != b.relative_humidity
        || a.dew_point_c != b.dew_point_c
        || a.pressure_pa != b.pressure_pa
}

/// True on the day and at the hours at which clocks are changed nearly everywhere.
pub(crate) fn clocks_may_change(time: NaiveDateTime) -> bool {
    time.weekday() == Weekday::Sun && time.hour() <= 3
}
