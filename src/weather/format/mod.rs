//! Readers, one file for each format, and how a file is recognised: by what it holds, never by its
//! name.

mod asos;
mod epw;
mod isd_lite;
mod nsrdb;
mod open_meteo;
mod own;
mod power;
mod pvgis;
mod table;
mod tmy3;

use super::problem::WeatherError;
use super::reading::Reading;
use super::{ColumnMap, text};

/// Reads whatever this is.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Reading, WeatherError> {
    refuse_nothing(file, bytes)?;
    let mut problems = Vec::new();
    let text = text::decode(bytes, &mut problems);
    let mut reading = dispatch(file, &text)?;
    if !problems.is_empty() {
        problems.append(&mut reading.problems);
        reading.problems = problems;
    }
    Ok(reading)
}

/// Tells by content whether a text is of a format.
type Recognises = fn(&str) -> bool;
/// Reads a text of a format.
type Read = fn(&str, &str) -> Result<Reading, WeatherError>;

/// Known formats, the more distinctive first.
const FORMATS: [(Recognises, Read); 9] = [
    (
        |text| epw::recognises(text.as_bytes()),
        |file, text| epw::read(file, text.as_bytes()),
    ),
    (own::recognises, own::read),
    (tmy3::recognises, tmy3::read),
    (pvgis::recognises, pvgis::read),
    (power::recognises, power::read),
    (open_meteo::recognises, open_meteo::read),
    (nsrdb::recognises, nsrdb::read),
    (
        |text| isd_lite::recognises(text.as_bytes()),
        |file, text| isd_lite::read(file, text.as_bytes()),
    ),
    (asos::recognises, asos::read),
];

fn dispatch(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let known = FORMATS.iter().find(|(recognises, _)| recognises(text));
    known.map_or(table::read as Read, |(_, read)| *read)(file, text)
}

/// Reads a table by a given column map.
pub(super) fn read_with(
    file: &str,
    bytes: &[u8],
    map: &ColumnMap,
) -> Result<Reading, WeatherError> {
    refuse_nothing(file, bytes)?;
    let mut problems = Vec::new();
    let text = text::decode(bytes, &mut problems);
    let mut reading = super::table::read(file, &text, map, super::Format::Table)?;
    problems.append(&mut reading.problems);
    reading.problems = problems;
    Ok(reading)
}

fn refuse_nothing(file: &str, bytes: &[u8]) -> Result<(), WeatherError> {
    if bytes.trim_ascii().is_empty() {
        return Err(WeatherError::refused(
            file,
            "empty file: it holds no weather at all; get it again",
        ));
    }
    Ok(())
}
