//! Open-Meteo CSV.
//!
//! Source: the files' own layout (from memory, not verified): two lines of
//! `latitude,longitude,elevation,utc_offset_seconds,timezone,timezone_abbreviation`, a blank line, then
//! `time,temperature_2m (°C),...` with ISO times in the zone of the offset.

use crate::table::{DecimalMark, parse};
use crate::weather::columns::Zone;
use crate::weather::guess;
use crate::weather::problem::WeatherError;
use crate::weather::reading::{Format, Reading};
use crate::weather::table;
use chrono::{NaiveDate, Offset, TimeZone};
use chrono_tz::{OffsetComponents, Tz};

pub(super) fn recognises(text: &str) -> bool {
    let mut lines = text.lines();
    lines
        .next()
        .is_some_and(|line| line.starts_with("latitude,longitude,elevation,utc_offset_seconds"))
        && lines.take(8).any(|line| line.starts_with("time,") && line.contains("temperature_2m"))
}

pub(super) fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    // The first block is a table of its own; the hours begin after it.
    let names: Vec<&str> = text.lines().next().unwrap_or_default().split(',').collect();
    let values: Vec<&str> = text.lines().nth(1).unwrap_or_default().split(',').collect();
    let value = |name: &str| {
        let at = names.iter().position(|other| other.trim() == name)?;
        values.get(at).map(|value| value.trim())
    };
    let number = |name: &str| parse(value(name)?.as_bytes(), DecimalMark::Point);
    let hours_at = text.find("\ntime,").map_or(0, |at| at + 1);
    let guess = guess::guess(&text[hours_at..]).map_err(|why| WeatherError::refused(file, why))?;
    let mut map = guess.map;
    // The service shifts all times by one constant offset, even where daylight saving is kept.
    let offset_minutes = number("utc_offset_seconds")
        .map(|seconds| seconds / 60.0)
        .and_then(|minutes| i32::try_from(crate::table::whole(minutes)).ok());
    map.zone = offset_minutes.map_or(Zone::LocalStandard, Zone::Offset);
    let mut draft = table::draft(file, text, &map, Format::OpenMeteo)?;
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
