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
    refuse_no_weather(file, bytes)?;
    let mut problems = Vec::new();
    let text = text::decode(bytes, &mut problems);
    let mut reading = dispatch(file, &text)?;
    reading.invented = says_invented(&text);
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
    (|text| epw::recognises(text.as_bytes()), |file, text| epw::read(file, text.as_bytes())),
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
    known_reader(text).unwrap_or(table::read)(file, text)
}

fn known_reader(text: &str) -> Option<Read> {
    let known = FORMATS.iter().find(|(recognises, _)| recognises(text));
    known.map(|(_, read)| *read)
}

/// Reads a file of a known format as what it is, and any other table by this column map.
pub(super) fn read_known_or_with(
    file: &str,
    bytes: &[u8],
    map: &ColumnMap,
) -> Result<Reading, WeatherError> {
    let is_known = known_reader(&text::decode(bytes, &mut Vec::new())).is_some();
    if is_known { read(file, bytes) } else { read_with(file, bytes, map) }
}

/// Invented weather says so in the `#` lines of its head.
fn says_invented(text: &str) -> bool {
    text.lines()
        .take_while(|line| line.starts_with('#'))
        .map(str::to_lowercase)
        .any(|line| line.contains("invented") || line.contains("synthetic"))
}

/// Reads a table by a given column map.
pub(super) fn read_with(
    file: &str,
    bytes: &[u8],
    map: &ColumnMap,
) -> Result<Reading, WeatherError> {
    refuse_no_weather(file, bytes)?;
    let mut problems = Vec::new();
    let text = text::decode(bytes, &mut problems);
    let mut reading = super::table::read(file, &text, map, super::Format::Table)?;
    reading.invented = says_invented(&text);
    problems.append(&mut reading.problems);
    reading.problems = problems;
    Ok(reading)
}

/// Kinds of file that people give by mistake, by how they begin, and what to do.
const NO_WEATHER: [(&[u8], &str); 8] = [
    (b"\x1f\x8b", "a gzip archive: unpack it and give the file inside"),
    (b"PK\x03\x04", "a zip archive or a spreadsheet workbook: unpack it, or save the sheet as CSV"),
    (b"BZh", "a bzip2 archive: unpack it and give the file inside"),
    (b"\xfd7zXZ", "an xz archive: unpack it and give the file inside"),
    (b"%PDF", "a PDF: ask for the hourly data as CSV or EPW"),
    (b"CDF\x01", "a NetCDF file: export the place's hours as CSV"),
    (b"\x89HDF", "an HDF5 file: export the place's hours as CSV"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet workbook: save the sheet as CSV"),
];

fn refuse_no_weather(file: &str, bytes: &[u8]) -> Result<(), WeatherError> {
    if let Some((_, what)) = NO_WEATHER.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Err(WeatherError::refused(file, format!("not a weather file but {what}")));
    }
    match bytes.trim_ascii_start().first() {
        Some(b'{') => {
            return Err(WeatherError::refused(
                file,
                "not a weather file but JSON: ask the service for CSV",
            ));
        }
        Some(b'<') => {
            return Err(WeatherError::refused(
                file,
                "not a weather file but a web page or XML, perhaps a failed download: get the CSV or EPW itself",
            ));
        }
        _ => {}
    }
    if bytes.trim_ascii().is_empty() {
        return Err(WeatherError::refused(
            file,
            "empty file: it holds no weather at all; get it again",
        ));
    }
    Ok(())
}
