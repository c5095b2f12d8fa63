//! Hourly CSV of airport stations (ASOS and its kin): °F, sea-level pressure, often on the wall clock.
//!
//! Source: the columns as found in such files (`temp,dewp,humid,...,pressure,visib` and `tmpf,dwpf,relh,sknt,alti,mslp`);
//! they name no units: °F, %, miles per hour or knots, hPa at sea level (from memory, not verified).

use crate::weather::columns::{Column, ColumnMap, PressureUnit, SpeedUnit, TemperatureUnit};
use crate::weather::guess;
use crate::weather::problem::WeatherError;
use crate::weather::reading::{Format, PressureLevel, Reading};
use crate::weather::table;

fn header(text: &str) -> Option<Vec<String>> {
    let line = text.lines().take(20).find(|line| !line.starts_with('#'))?;
    let names: Vec<String> =
        line.split(',').map(|cell| cell.trim().trim_matches('"').to_lowercase()).collect();
    let all = |wanted: &[&str]| wanted.iter().all(|name| names.iter().any(|n| n == name));
    (all(&["temp", "dewp", "humid", "visib"]) || all(&["tmpf", "dwpf"])).then_some(names)
}

pub(super) fn recognises(text: &str) -> bool {
    header(text).is_some()
}

pub(super) fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let names = header(text).unwrap_or_default();
    let guess = guess::guess(text).map_err(|why| WeatherError::refused(file, why))?;
    let map = with_units(guess.map, &names);
    let mut draft = table::draft(file, text, &map, Format::Asos)?;
    // What the guess doubted of the units is settled by the format.
    let problems = guess.problems.into_iter().filter(|p| p.code != "columns.unit");
    draft.problems.splice(0..0, problems);
    let row = text
        .lines()
        .find(|line| !line.starts_with('#') && line.contains(|c: char| c.is_ascii_digit()));
    let at = names.iter().position(|name| ["origin", "station"].contains(&name.as_str()));
    if let (Some(row), Some(at)) = (row, at) {
        let cell = row.split(',').nth(at).unwrap_or_default();
        cell.trim().trim_matches('"').clone_into(&mut draft.station.name);
    }
    draft.finish()
}

fn with_units(mut map: ColumnMap, names: &[String]) -> ColumnMap {
    let has = |name: &str| names.iter().any(|other| other == name);
    map.dry_bulb.unit = TemperatureUnit::Fahrenheit;
    for column in [&mut map.dew_point, &mut map.wet_bulb].into_iter().flatten() {
        column.unit = TemperatureUnit::Fahrenheit;
    }
    let pressure = [
        ("mslp", PressureUnit::Hectopascal),
        ("pressure", PressureUnit::Hectopascal),
        ("alti", PressureUnit::InchOfMercury),
    ]
    .into_iter()
    .find(|(name, _)| has(name));
    map.pressure = pressure.map(|(name, unit)| Column::new(name, unit));
    map.pressure_level = PressureLevel::SeaLevel;
    let wind = [("sknt", SpeedUnit::Knot), ("wind_speed", SpeedUnit::MilePerHour)]
        .into_iter()
        .find(|(name, _)| has(name));
    map.wind = wind.map(|(name, unit)| Column::new(name, unit));
    map
}
