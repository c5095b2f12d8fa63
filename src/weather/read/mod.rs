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
pub use format::{read_bytes, read_bytes_known_or_with, read_bytes_with};

use super::columns::ColumnMap;
use super::problem::WeatherError;
use super::reading::Reading;
use std::path::Path;

/// Reads a weather file of any format, recognised by what it holds.
pub fn read(path: &Path) -> Result<Reading, WeatherError> {
    read_bytes(&path.display().to_string(), &bytes_of(path)?)
}

/// Reads a file of a known format as what it is, and any other table by this column map.
pub fn read_known_or_with(path: &Path, map: &ColumnMap) -> Result<Reading, WeatherError> {
    read_bytes_known_or_with(&path.display().to_string(), &bytes_of(path)?, map)
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
