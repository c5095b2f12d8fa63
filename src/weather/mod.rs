//! Outside air, hour by hour: what a weather file holds, what is wrong with it, what was mended.
//!
//! ```text
//! read    bytes ─> which format? ─> rows ─┐
//! check   order, steps, limits, units <───┴─> Reading; a Reading beside its site
//! year    Reading(s) ─> mend ─> Series ─> seasons ─> WeatherYear(s); typical years; the sun
//! invent  monthly normals ─> hours
//! ```
//!
//! Each folder knows those before it in this order: `check`, `read`, `year`, `invent`; the files beside them are the
//! ground of all.
//!
//! Nothing is repaired in silence: every finding is a [`Problem`], every filled hour is flagged and
//! counted by its cause. Relative humidity is taken over ice below 0 °C, as the moist-air equations
//! take it; meteorological services report it over water, which makes their air up to a few percent
//! (of a very small humidity ratio) drier here than it was.

mod check;
mod columns;
mod hour;
pub mod invent;
mod month_day;
mod problem;
mod read;
mod reading;
mod units;
mod year;

pub use crate::table::{DateOrder, DecimalMark, Separator};
pub use check::{SiteDatum, SiteDoubt, Spot, doubts_of_place, doubts_of_site};
pub use columns::{Column, ColumnMap, TimeColumns, TimeForm, TimeMark, Zone};
pub use hour::{Hour, WeatherYear};
pub use month_day::{Dates, MonthDay, NotAMonthDay};
pub use problem::{Problem, Severity, WeatherError};
pub use read::{
    ColumnMapError, MISSING_KEY, TEXT_KEYS, read, read_bytes, read_bytes_known_or_with, read_bytes_with,
    read_known_or_with,
};
pub use reading::{Format, Reading, Row, Station};
pub use units::{HumidityUnit, IrradianceUnit, PressureLevel, PressureUnit, SpeedUnit, TemperatureUnit};
pub use year::{
    Gap, HeatSum, Means, MendRules, Mends, MonthOfHeat, MonthOfRows, SeasonWindow, Series, Summary, YearRules,
    heat_of_hours, heat_of_reading, mend, seasons, solar, summarise, to_csv, typical, years,
};
