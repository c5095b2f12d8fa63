//! Any other table of hours: its column map is guessed, told, and open to correction.

use crate::weather::problem::WeatherError;
use crate::weather::read::guess;
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading};

pub(crate) fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let guess = guess::guess(text).map_err(|why| WeatherError::refused(file, why))?;
    let mut draft = table::draft(file, text, &guess.map, Format::TABLE)?;
    draft.problems.splice(0..0, guess.problems);
    let offset = draft.station.utc_offset_minutes;
    draft.station = guess.station;
    draft.station.utc_offset_minutes = draft.station.utc_offset_minutes.or(offset);
    draft.column_map = Some(guess.map);
    draft.finish()
}
