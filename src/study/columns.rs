//! `[weather.columns]`: how the columns of a weather table that is of no known format are read.

use super::cursor::Cursor;
use super::document::Document;
use crate::problem::Problems;
use crate::weather::{ColumnMap, MISSING_KEY, TEXT_KEYS};

/// The column map, if the study has one. A wrong one is recorded as a problem.
pub(super) fn read(weather: &Cursor<'_>) -> Option<ColumnMap> {
    let columns = weather.optional_table("columns")?;
    let mut texts: Vec<(&str, String)> =
        TEXT_KEYS.iter().filter_map(|key| Some((*key, columns.text(key).optional()?))).collect();
    if let Some(missing) = columns.texts(MISSING_KEY).optional() {
        texts.push((MISSING_KEY, missing.join(";")));
    }
    columns.finish();
    let map = ColumnMap::from_keys(texts.iter().map(|(key, text)| (*key, text.as_str())));
    match map {
        Ok(map) => Some(map),
        Err(error) => {
            let cure = "`dryledger weather FILE` proposes the whole block from what the file holds";
            columns.complain(&error.key, &error.what, &error.expected, cure);
            None
        }
    }
}

/// The column map of a text that has the block, such as a study; nothing else of it is looked at.
pub(crate) fn column_map_of(file: &str, text: &str) -> Result<ColumnMap, Problems> {
    let reading = Document::new(file, text).read(|root| {
        let weather = root.required_table("weather", "name the block [weather.columns]")?;
        if weather.kind("columns").is_none() {
            weather.complain_of_missing("columns", "a block of column names", "`dryledger weather FILE` proposes one");
            return None;
        }
        read(&weather)
    })?;
    Ok(reading.value)
}
