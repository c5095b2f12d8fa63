//! Open-Meteo CSV.
//!
//! Source: the files' own layout (from memory, not verified): two lines of
//! `latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation`, a blank line, then
//! `time,temperature_2m (°C),...` with ISO times in the zone of the offset.

use super::known::Known;
use crate::table::{Header, parse_either};
use crate::weather::columns::Zone;
use crate::weather::problem::WeatherError;
use crate::weather::read::guess;
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading};
use chrono::{NaiveDate, Offset, TimeZone};
use chrono_tz::{OffsetComponents, Tz};

const FORMAT: Format = Format::named("open-meteo csv");

pub(super) const KNOWN: Known = Known {
    recognises,
    read,
    #[cfg(test)]
    sample: "latitude,longitude,elevation,utc_offset_seconds\n45.0,8.0,250.0,0\n\ntime,temperature_2m (°C)\n2024-01-01T00:00,5.6\n",
};

/// The first block, of the place: a line of names and one of values.
fn place(text: &str) -> Option<Header<'_>> {
    let names = ["latitude", "longitude", "elevation", "utc_offset_seconds"];
    Header::find(text, 1, |found| found.starts_with(&names))
}

/// The names of the hours, a table of its own below the first.
fn hours(text: &str) -> Option<Header<'_>> {
    Header::find(text, 9, |names| {
        names.first() == Some(&"time") && names.iter().any(|name| name.contains("temperature_2m"))
    })
}

fn recognises(text: &str) -> bool {
    place(text).is_some() && hours(text).is_some()
}

fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let refused = |why: String| WeatherError::refused(file, why);
    let (place, hours) = place(text).zip(hours(text)).ok_or_else(|| WeatherError::no_names(file))?;
    let values = place.cells(text.lines().nth(1).unwrap_or_default());
    let value = |name: &str| {
        let at = place.names.iter().position(|other| *other == name)?;
        values.get(at).copied()
    };
    let number = |name: &str| parse_either(value(name)?.as_bytes(), hours.decimal);
    let guess = guess::guess(&text[hours.at..]).map_err(refused)?;
    let mut map = guess.map;
    // The service shifts all times by one constant offset, even where daylight saving is kept.
    let offset_minutes = number("utc_offset_seconds")
        .map(|seconds| seconds / 60.0)
        .and_then(|minutes| i32::try_from(crate::table::whole(minutes)).ok());
    map.zone = offset_minutes.map_or(Zone::LocalStandard, Zone::Offset);
    let mut draft = table::draft(file, text, &map, FORMAT)?;
    draft.problems.splice(0..0, guess.problems);
    draft.station.latitude = number("latitude");
    draft.station.longitude = number("longitude");
    draft.station.elevation_m = number("elevation");
    draft.station.name = "Open-Meteo grid cell".into();
    draft.station.utc_offset_minutes = value("timezone")
        .filter(|zone| !["GMT", "UTC"].contains(zone))
        .and_then(|zone| zone.parse::<Tz>().ok())
        .and_then(standard_offset_minutes)
        .or(offset_minutes.filter(|minutes| *minutes != 0));
    draft.finish()
}

/// Standard time of a zone today; zones change seldom.
fn standard_offset_minutes(zone: Tz) -> Option<i32> {
    let noon = NaiveDate::from_ymd_opt(2020, 1, 1)?.and_hms_opt(12, 0, 0)?;
    let offset = zone.offset_from_utc_datetime(&noon);
    let daylight = i32::try_from(offset.dst_offset().num_minutes()).ok()?;
    Some(offset.fix().local_minus_utc() / 60 - daylight)
}
