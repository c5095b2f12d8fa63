//! National Solar Radiation Database CSV, with and without its two lines of metadata.
//!
//! Source: the files' own header lines (`Source,Location ID,City,...,Latitude,Longitude,Time Zone,Elevation,Local Time
//! Zone,...` and their values), then `Year,Month,Day,Hour,Minute,...`: °C, %, mbar, W/m², m/s (from memory, not verified, for
//! files without metadata), local standard time unless asked for in UTC.

use super::known::Known;
use crate::table::{Header, parse_either, whole};
use crate::weather::columns::{Column, ColumnMap, TimeColumns};
use crate::weather::problem::{Problem, WeatherError};
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading};
use crate::weather::units::{HumidityUnit, IrradianceUnit, PressureUnit, SpeedUnit, TemperatureUnit};

const FORMAT: Format = Format::named("nsrdb csv");

pub(super) const KNOWN: Known = Known {
    recognises,
    read,
    #[cfg(test)]
    sample: "Year,Month,Day,Hour,Minute,GHI,Temperature,Relative Humidity,Pressure\n2020,1,1,0,30,0,-11.4,73.8,787\n",
};

const NAMES: [&str; 5] = ["Year", "Month", "Day", "Hour", "Minute"];

fn header(text: &str) -> Option<Header<'_>> {
    Header::find(text, 4, |names| {
        let at = usize::from(names.first() == Some(&""));
        names.get(at..at + 5) == Some(&NAMES)
            && find(names, &["Temperature", "Air Temperature"]).is_some()
            && find(names, &["GHI", "DNI", "DHI", "Solar Zenith Angle", "Clearsky GHI"]).is_some()
    })
}

fn find<'a>(cells: &[&'a str], names: &[&str]) -> Option<&'a str> {
    cells.iter().find(|cell| names.contains(&plain(cell))).copied()
}

/// The name without a unit in brackets.
fn plain(cell: &str) -> &str {
    cell.split(['(', '[']).next().unwrap_or(cell).trim()
}

fn recognises(text: &str) -> bool {
    header(text).is_some()
}

fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let header = header(text).ok_or_else(|| WeatherError::no_names(file))?;
    let column = |names: &[&str]| find(&header.names, names);
    let mut map = ColumnMap::below(&header, "", column(&["Temperature", "Air Temperature"]).unwrap_or_default());
    map.time = TimeColumns::Parts {
        year: "Year".into(),
        month: Some("Month".into()),
        day: "Day".into(),
        hour: "Hour".into(),
        minute: Some("Minute".into()),
    };
    map.relative_humidity = column(&["Relative Humidity"]).map(|name| Column::new(name, HumidityUnit::Percent));
    map.dew_point =
        column(&["Dew Point", "Dew Point Temperature"]).map(|name| Column::new(name, TemperatureUnit::Celsius));
    map.pressure = column(&["Pressure", "Surface Pressure"]).map(|name| Column::new(name, PressureUnit::Hectopascal));
    map.global_horizontal = column(&["GHI"]).map(|name| Column::new(name, IrradianceUnit::WattPerSquareMetre));
    map.wind = column(&["Wind Speed"]).map(|name| Column::new(name, SpeedUnit::MetrePerSecond));
    let mut draft = table::draft(file, text, &map, FORMAT)?;
    if header.line > 2 {
        metadata(&header, text, &mut draft);
    } else {
        draft.problems.push(Problem::note(
            "station.unknown",
            "the file lacks its two lines of metadata: place, zone and elevation are unknown; rows are taken as local \
             standard time",
        ));
    }
    draft.finish()
}

/// The first two lines: names and values.
fn metadata<'t>(header: &Header<'t>, text: &'t str, draft: &mut crate::weather::read::draft::Draft) {
    let mut lines = text.lines().map(|line| header.cells(line));
    let (Some(names), Some(values)) = (lines.next(), lines.next()) else {
        return;
    };
    let text_of = |wanted: &str| {
        let at = names.iter().position(|name| *name == wanted);
        at.and_then(|at| values.get(at)).copied().unwrap_or_default()
    };
    let number = |wanted: &str| parse_either(text_of(wanted).as_bytes(), header.decimal);
    let minutes = |hours: f64| i32::try_from(whole(hours * 60.0)).ok();
    let station = &mut draft.station;
    let name = format!("{} {}", text_of("Source"), text_of("Location ID"));
    name.trim().clone_into(&mut station.name);
    station.latitude = number("Latitude");
    station.longitude = number("Longitude");
    station.elevation_m = number("Elevation");
    station.utc_offset_minutes = number("Local Time Zone").and_then(minutes);
    draft.clock_offset_minutes = number("Time Zone").and_then(minutes);
    station.utc_offset_minutes = station.utc_offset_minutes.or(draft.clock_offset_minutes);
}
