//! Readers, one file for each format, and how a file is recognised: by what it holds, never by its
//! name.

mod epw;
mod own;

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

fn dispatch(file: &str, text: &str) -> Result<Reading, WeatherError> {
    if epw::recognises(text.as_bytes()) {
        return epw::read(file, text.as_bytes());
    }
    if own::recognises(text) {
        return own::read(file, text);
    }
    Err(WeatherError::refused(
        file,
        "not a weather file of a known format",
    ))
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
