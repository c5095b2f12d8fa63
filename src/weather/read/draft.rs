//! From the rows a format's reader found to a checked [`Reading`].

use crate::table::whole;
use crate::weather::check::clock::{self, Clock, Ordered};
use crate::weather::check::station;
use crate::weather::check::sun;
use crate::weather::check::unlikely;
use crate::weather::check::values;
use crate::weather::columns::ColumnMap;
use crate::weather::month_day::MonthDay;
use crate::weather::problem::{Lines, Problem, Severity, WeatherError, counted};
use crate::weather::reading::{Format, Reading, Row, Station};
use crate::weather::units::{HumidityUnit, PressureLevel};
use chrono::{NaiveDateTime, TimeDelta};

/// What a format's reader hands over: rows in the order of the file, in SI units except that relative
/// humidity is still in the file's unit, with nothing checked but the missing codes.
#[derive(Debug)]
pub(crate) struct Draft {
    pub file: String,
    pub format: Format,
    pub station: Station,
    pub clock_offset_minutes: Option<i32>,
    /// The clock on the wall: daylight saving may be in it.
    pub wall_clock: bool,
    pub rows: Vec<Row>,
    pub problems: Vec<Problem>,
    /// Rows that could not be read at all, or a value of which is no number.
    pub unreadable: Lines,
    /// What to add about the unreadable rows.
    pub unreadable_detail: String,
    pub humidity_unit: HumidityUnit,
    pub pressure_level: PressureLevel,
    /// The file says it is a typical year.
    pub declared_typical: bool,
    /// The period that the file says it covers.
    pub declared_period: Option<(MonthDay, MonthDay)>,
    /// Without any humidity the file is no weather.
    pub needs_humidity: bool,
    pub column_map: Option<ColumnMap>,
}

impl Draft {
    pub(super) fn new(file: &str, format: Format) -> Self {
        Self {
            file: file.to_owned(),
            format,
            station: Station::default(),
            clock_offset_minutes: None,
            wall_clock: false,
            rows: Vec::new(),
            problems: Vec::new(),
            unreadable: Lines::default(),
            unreadable_detail: String::new(),
            humidity_unit: HumidityUnit::Percent,
            pressure_level: PressureLevel::Station,
            declared_typical: false,
            declared_period: None,
            needs_humidity: true,
            column_map: None,
        }
    }

    /// Checks everything and makes the reading, or says why the file cannot be trusted at all.
    pub(super) fn finish(mut self) -> Result<Reading, WeatherError> {
        let refused = |why: String| WeatherError::refused(&self.file, why);
        if self.rows.is_empty() {
            return Err(refused(if self.unreadable.is_empty() {
                "no data rows: there is nothing after the header; get the whole file again".into()
            } else {
                format!(
                    "no data rows: none of {} could be read ({}); {}",
                    counted(self.unreadable.len(), "row"),
                    self.unreadable,
                    if self.unreadable_detail.is_empty() {
                        "the file may be damaged or of another kind"
                    } else {
                        &self.unreadable_detail
                    }
                )
            }));
        }
        let mut problems = std::mem::take(&mut self.problems);
        if !self.unreadable.is_empty() {
            let detail =
                if self.unreadable_detail.is_empty() { String::new() } else { format!("; {}", self.unreadable_detail) };
            problems.push(Problem::new(
                Severity::Warning,
                "row.unreadable",
                self.unreadable.first(),
                format!(
                    "{} unreadable ({}) and left out{detail}",
                    counted(self.unreadable.len(), "hour"),
                    self.unreadable
                ),
            ));
        }
        station::check(&mut self.station, &mut self.clock_offset_minutes, &mut problems);
        let clock = clock::put_in_order(
            &mut self.rows,
            &Clock {
                declared_typical: self.declared_typical,
                declared_period: self.declared_period,
                on_the_wall: self.wall_clock,
            },
            &mut problems,
        )
        .map_err(|why| WeatherError::refused(&self.file, why))?;
        let pressure_level = values::check(
            &mut self.rows,
            &self.station,
            self.humidity_unit,
            self.pressure_level,
            self.needs_humidity,
            &mut problems,
        )
        .map_err(|why| WeatherError::refused(&self.file, why))?;
        unlikely::check(&self.rows, &mut problems);
        sun::check(&self.rows, &self.station, self.clock_offset_minutes, &mut problems);
        tell_unusable(&self.rows, &clock, &mut problems);
        Ok(Reading {
            file: self.file,
            format: self.format,
            station: self.station,
            clock_offset_minutes: self.clock_offset_minutes,
            step_minutes: clock.step_minutes,
            typical: clock.typical,
            invented: false,
            leap_day: clock.leap_day,
            pressure_level,
            rows: self.rows,
            hours_expected: clock.hours_expected,
            hours_absent: clock.hours_absent,
            problems,
            column_map: self.column_map,
        })
    }
}

/// The one sentence that sums up: how many hours cannot be used, and the longest run of them.
fn tell_unusable(rows: &[Row], clock: &Ordered, problems: &mut Vec<Problem>) {
    let step_h = f64::from(clock.step_minutes) / 60.0;
    let usable = |row: &Row| row.dry_bulb_c.is_some() && row.has_humidity();
    let (mut unusable, mut all) = (clock.hours_absent as f64, clock.hours_absent as f64);
    let mut longest: Option<(f64, NaiveDateTime)> = None;
    let mut last_good: Option<NaiveDateTime> = None;
    for row in rows {
        all += row.hours;
        let time = row.starts;
        if !usable(row) {
            unusable += row.hours;
        }
        // The run ends at the next usable row; at the very ends there is no run to tell.
        if usable(row) {
            if let Some(good) = last_good {
                let hours = (time - good).num_minutes() as f64 / 60.0 - step_h;
                let apart = hours > 120.0 * 24.0;
                if hours > 0.01 && !apart && longest.is_none_or(|(most, _)| hours > most) {
                    let begins = good + TimeDelta::minutes(i64::from(clock.step_minutes));
                    longest = Some((hours, begins));
                }
            }
            last_good = Some(time);
        }
    }
    let (unusable, all) = (whole(unusable), whole(all));
    if unusable == 0 || all == 0 {
        return;
    }
    let run = longest.map_or_else(String::new, |(hours, from)| {
        let pattern = if clock.typical { "%m-%d %H:%M" } else { "%Y-%m-%d %H:%M" };
        format!(", longest gap {hours:.0} h from {}", from.format(pattern))
    });
    problems.push(Problem::warning(
        "hours.missing",
        format!(
            "{unusable} of {all} hours missing ({:.1} %){run}: left out of sums, filled only when mending",
            100.0 * unusable as f64 / all as f64
        ),
    ));
}
