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

mod columns;
mod head;
mod rows;

use super::climate::Normals;
use super::error::NormalsError;
use crate::table::Sheet;
use crate::weather::year::solar::{Place, extraterrestrial_horizontal_w_per_m2};
use chrono::{NaiveDate, TimeDelta};
use columns::{DAILY_SUN, MAX, MEAN_SUN, MIN, WIND};
use head::Head;
use rows::Table;

/// The clearest month that can be generated, as a share of the light outside the atmosphere. High deserts
/// reach it, nothing lower does (assumption).
const CLEAREST_MONTH: f64 = 0.77;
/// Reads and checks a table of monthly normals (form above).
pub fn parse(text: &str) -> Result<Normals, NormalsError> {
    let sheet = Sheet::of(text);
    let head = Head::of(&sheet);
    let table = Table::of(&sheet)?;
    let place = head.place()?;
    let altitude_m = head.number("altitude_m", "540", (-450.0, 5000.0), "metres above the sea, -450..5000")?;
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

/// What a row's values must be to each other and to the sky.
fn check_together(table: &Table<'_>, normals: &Normals) -> Result<(), NormalsError> {
    for month0 in 0..12 {
        if normals.max_c[month0] < normals.min_c[month0] + 0.5 {
            let (line, found) = table.written(month0, &MAX)?;
            let (_, lowest) = table.written(month0, &MIN)?;
            return Err(NormalsError::Cell {
                line,
                column: MAX.name,
                found: found.to_owned(),
                expected: format!("at least half a kelvin above the month's min_c of {lowest}"),
            });
        }
        let Some(sun) = &normals.global_horizontal_kwh_per_m2_day else {
            continue;
        };
        let most = CLEAREST_MONTH * outside_atmosphere_kwh(normals.place, month0);
        if sun[month0] > most + 0.05 {
            let column = if table.has(&DAILY_SUN) { &DAILY_SUN } else { &MEAN_SUN };
            let (line, found) = table.written(month0, column)?;
            return Err(NormalsError::Cell {
                line,
                column: column.name,
                found: found.to_owned(),
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
        (0..24).map(|h| extraterrestrial_horizontal_w_per_m2(place, midnight + TimeDelta::hours(h))).sum::<f64>()
            / 1000.0
    })
}

#[cfg(test)]
mod tests;
