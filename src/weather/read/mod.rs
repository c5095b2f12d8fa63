//! From the bytes of a weather file to a checked reading: which format it is, which column holds what.

mod column_keys;
mod draft;
mod format;
mod guess;
mod layout;
mod places;
mod stated_units;
mod table;
mod words;

pub use column_keys::{ColumnMapError, MISSING_KEY, TEXT_KEYS};

use super::columns::ColumnMap;
use super::problem::WeatherError;
use super::reading::Reading;
use std::path::Path;

/// Reads a weather file of any format, recognised by what it holds.
pub fn read(path: &Path) -> Result<Reading, WeatherError> {
    format::read(&path.display().to_string(), &bytes_of(path)?)
}

/// Reads weather from bytes; `name` is what messages call them.
pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<Reading, WeatherError> {
    format::read(name, bytes)
}

/// Reads a table from bytes by a given column map.
pub fn read_bytes_with(name: &str, bytes: &[u8], map: &ColumnMap) -> Result<Reading, WeatherError> {
    format::read_with(name, bytes, map)
}

/// Reads a file of a known format as what it is, and any other table by this column map.
pub fn read_known_or_with(path: &Path, map: &ColumnMap) -> Result<Reading, WeatherError> {
    format::read_known_or_with(&path.display().to_string(), &bytes_of(path)?, map)
}

/// Reads weather from bytes: a known format as what it is, any other table by this column map.
pub fn read_bytes_known_or_with(name: &str, bytes: &[u8], map: &ColumnMap) -> Result<Reading, WeatherError> {
    format::read_known_or_with(name, bytes, map)
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, WeatherError> {
    let failure = |cause| WeatherError::File { path: path.to_owned(), cause };
    let kind = std::fs::metadata(path).map_err(failure)?;
    if !kind.is_file() && !kind.is_dir() {
        let what = "a pipe or a device, not a file; write what it gives into a file first";
        return Err(failure(std::io::Error::other(what)));
    }
    std::fs::read(path).map_err(failure)
}
