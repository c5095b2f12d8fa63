//! Which column of a table holds what, in which unit: the column map.

use super::units::{HumidityUnit, IrradianceUnit, PressureLevel, PressureUnit, SpeedUnit, TemperatureUnit};
use crate::table::{DateOrder, DecimalMark, Header, Separator};
use chrono_tz::Tz;

/// A column with the unit of its values. A name such as `#3` means the third column, for tables without
/// a header.
#[derive(Clone, Debug, PartialEq)]
pub struct Column<U> {
    /// The header's text, or `#` and the place from 1.
    pub name: String,
    /// Unit of its values.
    pub unit: U,
}

impl<U> Column<U> {
    /// A column of this name and unit.
    pub fn new(name: impl Into<String>, unit: U) -> Self {
        Self { name: name.into(), unit }
    }

    /// The first of these names that a table has, in this unit.
    pub(crate) fn among(header: &Header<'_>, names: &[&str], unit: U) -> Option<Self> {
        header.first_of(names).map(|name| Self::new(name, unit))
    }
}

/// The columns that hold the time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TimeColumns {
    /// Date and clock in one column.
    Stamp(String),
    /// A column for each.
    DateAndClock {
        /// The date.
        date: String,
        /// The clock, or the hour alone.
        clock: String,
    },
    /// A column for each part.
    Parts {
        /// Year, four digits.
        year: String,
        /// Month, 1..12; without it the day is that of the year.
        month: Option<String>,
        /// Day of the month, or of the year from 1.
        day: String,
        /// Hour 0..23 or 1..24.
        hour: String,
        /// Minute, if there is one.
        minute: Option<String>,
    },
}

/// How a time is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TimeForm {
    /// In digits or with month names, in this order.
    Written(DateOrder),
    /// A spreadsheet's serial number: days since 30 December 1899.
    Serial,
    /// Seconds or milliseconds since 1970, UTC.
    Epoch,
    /// By a `strftime` pattern such as `%d.%m.%y %H:%M`.
    Pattern(String),
}

/// What the time of a row marks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TimeMark {
    /// The start of the interval (or an instant).
    #[default]
    Start,
    /// Its end: `01:00` for the first hour of the day.
    End,
}

/// Whose clock the times are of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Zone {
    /// Local standard time, whatever its offset.
    #[default]
    LocalStandard,
    /// The clock on the wall; daylight saving is looked for.
    Wall,
    /// A fixed offset from UTC, minutes; 0 is UTC.
    Offset(i32),
    /// A named zone of the IANA data base, with its daylight saving.
    Named(Tz),
}

/// How to read a table of hours: which columns, which units, which times.
///
/// In a study this is the block `[weather.columns]`; every key takes a text:
///
/// | key | meaning | values |
/// | --- | --- | --- |
/// | `time` | column of date and clock in one | a header, or `#1` by place |
/// | `date`, `clock` | instead of `time`: two columns | headers |
/// | `year`, `month`, `day`, `hour`, `minute` | instead: a column for each part (`minute` may be left out; without `month`, `day` is the day of the year) | headers |
/// | `time_form` | how it is written | `year-month-day` (default), `day-month-year`, `month-day-year`, `serial`, `epoch`, or a `strftime` pattern with `%` |
/// | `time_marks` | what it marks | `start` (default), `end` |
/// | `zone` | whose clock | `local standard` (default), `wall clock`, `UTC`, `+10:00`, `Europe/Lisbon` |
/// | `utc` | a second column with the same times in UTC | a header |
/// | `dry_bulb`, `dew_point`, `wet_bulb` | temperatures | headers |
/// | `dry_bulb_unit`, `dew_point_unit`, `wet_bulb_unit` | | `C` (default), `F`, `K`, `0.1 C` |
/// | `relative_humidity` | | a header |
/// | `relative_humidity_unit` | | `%` (default), `fraction` |
/// | `pressure`, `pressure_unit` | | a header; `Pa`, `hPa` (default), `mbar`, `kPa`, `inHg`, `mmHg` |
/// | `pressure_level` | | `station` (default), `sea` |
/// | `global_horizontal`, `global_horizontal_unit` | | a header; `W/m2` (default), `kJ/m2`, `J/cm2`, `MJ/m2` |
/// | `wind`, `wind_unit` | | a header; `m/s` (default), `km/h`, `mph`, `knot` |
/// | `separator` | | `,` (default), `;`, `tab`, `|`, `blanks` |
/// | `decimal` | | `.` (default), `,` |
/// | `missing` | texts that mean "no value", beside the usual ones | `"-99; err"`, parted by `;` |
#[derive(Clone, Debug, PartialEq)]
pub struct ColumnMap {
    /// What parts the cells.
    pub separator: Separator,
    /// The decimal mark.
    pub decimal: DecimalMark,
    /// Columns of the time.
    pub time: TimeColumns,
    /// How it is written.
    pub time_form: TimeForm,
    /// What it marks.
    pub time_marks: TimeMark,
    /// Whose clock.
    pub zone: Zone,
    /// The same times in UTC, if the table has them too.
    pub utc: Option<String>,
    /// Dry bulb.
    pub dry_bulb: Column<TemperatureUnit>,
    /// Relative humidity.
    pub relative_humidity: Option<Column<HumidityUnit>>,
    /// Dew point.
    pub dew_point: Option<Column<TemperatureUnit>>,
    /// Wet bulb.
    pub wet_bulb: Option<Column<TemperatureUnit>>,
    /// Pressure.
    pub pressure: Option<Column<PressureUnit>>,
    /// Where the pressure is measured.
    pub pressure_level: PressureLevel,
    /// Global irradiance on the horizontal.
    pub global_horizontal: Option<Column<IrradianceUnit>>,
    /// Wind speed.
    pub wind: Option<Column<SpeedUnit>>,
    /// Texts that mean "no value", beside the usual ones.
    pub missing: Vec<String>,
}

impl ColumnMap {
    /// A map of a table with this line of names: one time column, a dry bulb in °C, and defaults for the rest.
    pub(crate) fn below(header: &Header<'_>, time: impl Into<String>, dry_bulb: impl Into<String>) -> Self {
        let mut map = Self::new(time, dry_bulb);
        map.separator = header.separator;
        map.decimal = header.decimal;
        map
    }

    /// A map with one time column, a dry bulb in °C, and defaults for the rest.
    pub fn new(time: impl Into<String>, dry_bulb: impl Into<String>) -> Self {
        Self {
            separator: Separator::Byte(b','),
            decimal: DecimalMark::Point,
            time: TimeColumns::Stamp(time.into()),
            time_form: TimeForm::Written(DateOrder::YearFirst),
            time_marks: TimeMark::Start,
            zone: Zone::LocalStandard,
            utc: None,
            dry_bulb: Column::new(dry_bulb, TemperatureUnit::Celsius),
            relative_humidity: None,
            dew_point: None,
            wet_bulb: None,
            pressure: None,
            pressure_level: PressureLevel::Station,
            global_horizontal: None,
            wind: None,
            missing: Vec::new(),
        }
    }
}
