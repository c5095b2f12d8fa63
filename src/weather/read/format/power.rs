//! NASA POWER hourly CSV.
//!
//! Source: the files' own header block (`-BEGIN HEADER-` .. `-END HEADER-`; layout from memory, not verified):
//! place, elevation, the code of missing values, `LST` or `UTC`, and each parameter with its unit.

use super::known::Known;
use crate::table::{DecimalMark, Header};
use crate::weather::columns::{Column, ColumnMap, TimeColumns, Zone};
use crate::weather::problem::WeatherError;
use crate::weather::read::guess::station::first_number;
use crate::weather::read::stated_units;
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading, Station};
use crate::weather::units::{HumidityUnit, IrradianceUnit, PressureUnit, SpeedUnit, TemperatureUnit};

const FORMAT: Format = Format::named("nasa power csv");

pub(super) const KNOWN: Known = Known {
    recognises,
    read,
    #[cfg(test)]
    sample: "-BEGIN HEADER-\nLocation: Latitude  45.0   Longitude 8.0\n-END HEADER-\nYEAR,MO,DY,HR,T2M,RH2M,PS\n2024,1,1,0,5.6,80.1,98.2\n",
};

/// How far down the header block may reach.
const BLOCK: usize = 80;
/// The last line of the header block.
const END: &str = "-END HEADER-";

/// The lines of the header block, without the marks that a spreadsheet leaves at their ends.
fn block(text: &str) -> impl Iterator<Item = &str> {
    text.lines().take(BLOCK).map(|line| line.trim_end_matches([',', ';', '\t', ' ']).trim())
}

fn header(text: &str) -> Option<Header<'_>> {
    Header::find(text, BLOCK, |names| names.first() == Some(&"YEAR") && names.contains(&"T2M"))
}

fn recognises(text: &str) -> bool {
    block(text).any(|line| line == END) && header(text).is_some()
}

fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let block: Vec<&str> = block(text).take_while(|line| *line != END).collect();
    let header = header(text).ok_or_else(|| WeatherError::no_names(file))?;
    let find = |names: &[&str]| header.first_of(names);
    // `PS  MERRA-2 Surface Pressure (kPa)`
    let legend = |name: &str| {
        block.iter().find(|line| line.split_whitespace().next() == Some(name)).copied().unwrap_or_default()
    };
    let mut map = ColumnMap::below(&header, "", "T2M");
    map.time = TimeColumns::Parts {
        year: "YEAR".into(),
        month: Some(find(&["MO", "MM"]).unwrap_or("MO").into()),
        day: find(&["DY", "DD"]).unwrap_or("DY").into(),
        hour: find(&["HR", "HH"]).unwrap_or("HR").into(),
        minute: None,
    };
    map.relative_humidity = Column::among(&header, &["RH2M"], HumidityUnit::Percent);
    map.dew_point = Column::among(&header, &["T2MDEW"], TemperatureUnit::Celsius);
    map.wet_bulb = Column::among(&header, &["T2MWET"], TemperatureUnit::Celsius);
    map.pressure = find(&["PS"]).map(|name| {
        let unit = stated_units::pressure("", legend(name)).unwrap_or(PressureUnit::Kilopascal);
        Column::new(name, unit)
    });
    map.global_horizontal = find(&["ALLSKY_SFC_SW_DWN"]).map(|name| {
        let unit = stated_units::irradiance("", legend(name)).unwrap_or(IrradianceUnit::WattPerSquareMetre);
        Column::new(name, unit)
    });
    map.wind = Column::among(&header, &["WS2M", "WS10M"], SpeedUnit::MetrePerSecond);
    let in_utc = block.iter().any(|line| line.starts_with("Dates") && (line.ends_with("UTC") || line.ends_with("GMT")));
    if in_utc {
        map.zone = Zone::Offset(0);
    }
    let mut draft = table::draft(file, text, &map, FORMAT)?;
    draft.station = station(&block);
    draft.finish()
}

/// `Location: Latitude  -16.9   Longitude 145.6` and `Elevation from MERRA-2: Average for ... = 540.1 meters`.
fn station(block: &[&str]) -> Station {
    let after = |line: &str, word: &str| {
        let at = line.find(word)? + word.len();
        first_number(&line[at..], DecimalMark::Point)
    };
    let mut station = Station::default();
    for line in block {
        if line.starts_with("Location") {
            station.latitude = after(line, "Latitude");
            station.longitude = after(line, "Longitude");
            station.name = "NASA POWER grid cell".into();
        } else if line.starts_with("Elevation") {
            station.elevation_m = after(line, "=");
        }
    }
    station
}
