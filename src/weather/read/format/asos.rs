//! Hourly CSV of airport stations (ASOS and its kin): °F, sea-level pressure, often on the wall clock.
//!
//! Source: the columns as found in such files (`temp,dewp,humid,...,pressure,visib` and `tmpf,dwpf,relh,sknt,alti,mslp`);
//! they name no units: °F, %, miles per hour or knots, hPa at sea level (from memory, not verified).

use super::known::Known;
use crate::table::Header;
use crate::weather::columns::{Column, ColumnMap};
use crate::weather::problem::WeatherError;
use crate::weather::read::guess;
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading};
use crate::weather::units::{PressureLevel, PressureUnit, SpeedUnit, TemperatureUnit};

const FORMAT: Format = Format::named("asos csv");

pub(super) const KNOWN: Known = Known {
    recognises,
    read,
    #[cfg(test)]
    sample: "station,valid,tmpf,dwpf,relh,sknt,mslp\nKXX,2024-01-01 00:51,41.0,33.1,73.0,5,1021.2\n",
};

fn header(text: &str) -> Option<Header<'_>> {
    Header::below_remarks(text, |names| {
        let all = |wanted: &[&str]| wanted.iter().all(|name| place_of(names, name).is_some());
        all(&["temp", "dewp", "humid", "visib"]) || all(&["tmpf", "dwpf"])
    })
}

fn place_of(names: &[&str], wanted: &str) -> Option<usize> {
    names.iter().position(|name| name.eq_ignore_ascii_case(wanted))
}

fn recognises(text: &str) -> bool {
    header(text).is_some()
}

fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let header = header(text).ok_or_else(|| WeatherError::no_names(file))?;
    let guess = guess::guess(text).map_err(|why| WeatherError::refused(file, why))?;
    let map = with_units(guess.map, &header.names);
    let mut draft = table::draft(file, text, &map, FORMAT)?;
    // What the guess doubted of the units is settled by the format.
    let problems = guess.problems.into_iter().filter(|p| p.code != "columns.unit");
    draft.problems.splice(0..0, problems);
    let row = text.lines().find(|line| !line.starts_with('#') && line.contains(|c: char| c.is_ascii_digit()));
    let at = ["origin", "station"].into_iter().find_map(|name| place_of(&header.names, name));
    if let (Some(row), Some(at)) = (row, at) {
        let cells = header.cells(row);
        cells.get(at).copied().unwrap_or_default().clone_into(&mut draft.station.name);
    }
    draft.finish()
}

fn with_units(mut map: ColumnMap, names: &[&str]) -> ColumnMap {
    let has = |name: &str| place_of(names, name).is_some();
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
    let wind =
        [("sknt", SpeedUnit::Knot), ("wind_speed", SpeedUnit::MilePerHour)].into_iter().find(|(name, _)| has(name));
    map.wind = wind.map(|(name, unit)| Column::new(name, unit));
    map
}
