//! Reading a table of normals.
//!
//! ```text
//! # latitude: -16.9
//! # longitude: 145.6
//! # altitude_m: 540
//! # utc_offset: +10:00
//! month,min_c,max_c,relative_humidity_pct
//! 1,19.8,28.9,80
//! ```
//!
//! Head lines start with `#`; those that are not `key: value` are remarks. Columns come in any order:
//! `month,min_c,max_c`, then `relative_humidity_pct` (mean of all hours) or
//! `morning_relative_humidity_pct,afternoon_relative_humidity_pct` (at 9 and 15 h, or at the hours of
//! `# morning_hour:` and `# afternoon_hour:`), and, if known, `global_horizontal_kwh_per_m2_day` (or
//! `global_horizontal_w_per_m2`, the mean of day and night) and `wind_m_per_s`.

mod head;
mod table;

use super::{Humidity, Monthly, Normals, NormalsError};
use crate::weather::solar::{Place, extraterrestrial_horizontal_w_per_m2};
use chrono::{NaiveDate, TimeDelta};
use head::Head;
use table::Table;

/// A column and the values it can hold.
struct Column {
    name: &'static str,
    range: (f64, f64),
    range_text: &'static str,
}

const fn column(name: &'static str, range: (f64, f64), range_text: &'static str) -> Column {
    Column { name, range, range_text }
}

const MONTH: &str = "month";
const MIN: Column = column("min_c", (-55.0, 45.0), "a temperature in °C, -55..45");
const MAX: Column = column("max_c", (-50.0, 55.0), "a temperature in °C, -50..55");
const MEAN_RH: Column =
    column("relative_humidity_pct", (5.0, 99.0), "a relative humidity in percent, 5..99");
const MORNING_RH: Column =
    column("morning_relative_humidity_pct", (5.0, 99.0), "a relative humidity in percent, 5..99");
const AFTERNOON_RH: Column =
    column("afternoon_relative_humidity_pct", (5.0, 99.0), "a relative humidity in percent, 5..99");
const DAILY_SUN: Column =
    column("global_horizontal_kwh_per_m2_day", (0.0, 13.0), "kWh/m² a day, 0..13");
const MEAN_SUN: Column =
    column("global_horizontal_w_per_m2", (0.0, 540.0), "the mean of day and night in W/m², 0..540");
const WIND: Column = column("wind_m_per_s", (0.1, 30.0), "a wind speed in m/s, 0.1..30");

/// The clearest month that can be generated, as a share of the light outside the atmosphere. High deserts
/// reach it, nothing lower does (assumption).
const CLEAREST_MONTH: f64 = 0.77;
/// Reads and checks a table of monthly normals (form above).
pub fn parse(text: &str) -> Result<Normals, NormalsError> {
    let text = text.trim_start_matches('\u{feff}');
    let mut head = Head::default();
    let mut table: Option<Table> = None;
    for (index, line) in text.lines().enumerate() {
        let (number, line) = (index + 1, line.trim());
        if line.is_empty() {
            continue;
        }
        if let Some(remark) = line.strip_prefix('#') {
            head.read(number, remark);
        } else if let Some(table) = &mut table {
            table.read(number, line)?;
        } else {
            table = Some(Table::named(number, line)?);
        }
    }
    let table = table.ok_or(NormalsError::NoTable)?;
    let place = head.place()?;
    let altitude_m =
        head.number("altitude_m", "540", (-450.0, 5000.0), "metres above the sea, -450..5000")?;
    let normals = Normals {
        site: head.text("site"),
        place,
        altitude_m,
        min_c: table.needed(&MIN, "add the mean daily minimum in °C")?,
        max_c: table.needed(&MAX, "add the mean daily maximum in °C")?,
        humidity: table.humidity(&head)?,
        global_horizontal_kwh_per_m2_day: table.sun()?,
        wind_m_per_s: table.values(&WIND)?,
    };
    check_together(&table, &normals)?;
    Ok(normals)
}

fn number_in(text: &str, range: (f64, f64)) -> Option<f64> {
    let value: f64 = text.parse().ok()?;
    (range.0..=range.1).contains(&value).then_some(value)
}

/// What a row's values must be to each other and to the sky.
fn check_together(table: &Table, normals: &Normals) -> Result<(), NormalsError> {
    for month0 in 0..12 {
        let (line, cells) = table.row(month0)?;
        let cell =
            |name: &str| table.place_of(name).map_or_else(String::new, |at| cells[at].clone());
        if normals.max_c[month0] < normals.min_c[month0] + 0.5 {
            return Err(NormalsError::Cell {
                line: *line,
                column: MAX.name,
                found: cell(MAX.name),
                expected: format!(
                    "at least half a kelvin above the month's min_c of {}",
                    cell(MIN.name)
                ),
            });
        }
        let Some(sun) = &normals.global_horizontal_kwh_per_m2_day else {
            continue;
        };
        let most = CLEAREST_MONTH * outside_atmosphere_kwh(normals.place, month0);
        if sun[month0] > most + 0.05 {
            let column = if table.place_of(DAILY_SUN.name).is_some() {
                DAILY_SUN.name
            } else {
                MEAN_SUN.name
            };
            return Err(NormalsError::Cell {
                line: *line,
                column,
                found: cell(column),
                expected: format!(
                    "at most {most:.2} kWh/m² a day, the clearest such a month is at latitude {}",
                    normals.place.latitude
                ),
            });
        }
    }
    Ok(())
}

/// Irradiation outside the atmosphere on the middle day of a month, kWh/m².
fn outside_atmosphere_kwh(place: Place, month0: usize) -> f64 {
    let month = u32::try_from(month0 + 1).unwrap_or(1);
    let day = NaiveDate::from_ymd_opt(2031, month, 15);
    day.and_then(|day| day.and_hms_opt(0, 0, 0)).map_or(0.0, |midnight| {
        (0..24)
            .map(|h| extraterrestrial_horizontal_w_per_m2(place, midnight + TimeDelta::hours(h)))
            .sum::<f64>()
            / 1000.0
    })
}

#[cfg(test)]
mod tests;
