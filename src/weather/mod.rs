//! Outside air, hour by hour: what a weather file holds, what is wrong with it, what was mended.
//!
//! ```text
//! bytes ─> format (which kind?) ─> rows ─> clock (order, steps) ─> values (limits, units) ─> Reading
//! Reading(s) ─> mend ─> Series ─> seasons ─> WeatherYear(s)
//! ```
//!
//! Nothing is repaired in silence: every finding is a [`Problem`], every filled hour is flagged and
//! counted by its cause. Relative humidity is taken over ice below 0 °C, as the moist-air equations
//! take it; meteorological services report it over water, which makes their air up to a few percent
//! (of a very small humidity ratio) drier here than it was.

mod against_site;
mod agreement;
mod cells;
mod clock;
mod column_keys;
mod columns;
mod coverage;
mod daylight;
mod draft;
mod fill;
mod format;
mod guess;
mod guess_station;
mod guess_time;
mod heat_to;
mod hour;
mod layout;
mod mend;
mod month_day;
pub mod normals;
mod number;
mod pressure;
mod problem;
mod reading;
mod seasons;
mod serial;
mod series;
mod slots;
pub mod solar;
mod stamp;
mod station;
mod summary;
mod sun;
mod table;
mod text;
pub mod typical;
mod units;
mod unlikely;
mod values;
mod words;
mod written;

pub use against_site::{SiteDatum, SiteDoubt, Spot, doubts_of_place, doubts_of_site};
pub use column_keys::{ColumnMapError, MISSING_KEY, TEXT_KEYS};
pub use columns::{
    Column, ColumnMap, IrradianceUnit, PressureUnit, Separator, SpeedUnit, TemperatureUnit,
    TimeColumns, TimeForm, TimeMark, Zone,
};
pub use draft::HumidityUnit;
pub use heat_to::{Dates, HeatSum, MonthOfHeat, heat_of_hours, heat_of_reading};
pub use hour::{Hour, WeatherYear};
pub use mend::{MendRules, mend};
pub use month_day::{MonthDay, NotAMonthDay};
pub use number::{DecimalMark, whole};
pub use problem::{Problem, Severity, WeatherError};
pub use reading::{Format, PressureLevel, Reading, Row, Station};
pub use seasons::{SeasonWindow, seasons};
pub use series::{Gap, Mends, Series};
pub use stamp::DateOrder;
pub use summary::{Means, MonthOfRows, Summary, summarise};
pub use written::to_csv;

use std::path::Path;

/// Reads a weather file of any format, recognised by what it holds.
pub fn read(path: &Path) -> Result<Reading, WeatherError> {
    format::read(&path.display().to_string(), &bytes_of(path)?)
}

/// Reads weather from bytes; `name` is what messages call them.
pub fn read_bytes(name: &str, bytes: &[u8]) -> Result<Reading, WeatherError> {
    format::read(name, bytes)
}

/// Reads a table by a given column map, whatever it looks like.
pub fn read_with(path: &Path, map: &ColumnMap) -> Result<Reading, WeatherError> {
    format::read_with(&path.display().to_string(), &bytes_of(path)?, map)
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
pub fn read_bytes_known_or_with(
    name: &str,
    bytes: &[u8],
    map: &ColumnMap,
) -> Result<Reading, WeatherError> {
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
