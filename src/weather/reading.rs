//! What a weather file holds, before anything is mended.

use super::columns::ColumnMap;
use super::problem::{Problem, Severity};
use super::units::PressureLevel;
use crate::air::{AirError, MoistAir, standard_pressure_pa};
use crate::table::whole;
use chrono::{Datelike, NaiveDate, NaiveDateTime};

/// A kind of file, as its reader calls it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Format(&'static str);

impl Format {
    /// Any table of hours that is of no named kind, read by a column map.
    pub const TABLE: Self = Self("csv");

    /// A kind of this name.
    pub(crate) const fn named(name: &'static str) -> Self {
        Self(name)
    }

    /// The stable name used in `--json`.
    pub fn name(self) -> &'static str {
        self.0
    }
}

/// Where a file's weather was observed, as far as the file says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Station {
    /// Name, empty if the file gives none.
    pub name: String,
    /// Latitude, degrees north.
    pub latitude: Option<f64>,
    /// Longitude, degrees east.
    pub longitude: Option<f64>,
    /// Elevation above sea level, m.
    pub elevation_m: Option<f64>,
    /// Local *standard* time minus UTC, minutes.
    pub utc_offset_minutes: Option<i32>,
}

/// One row of a file. What the file lacks, or gave as something impossible, is `None`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Line of the file, from 1.
    pub line: u32,
    /// The date the file itself writes on the row. Sums by month or by dates go by it.
    pub label: NaiveDate,
    /// Start of the interval, in the file's clock without daylight saving (see
    /// [`Reading::clock_offset_minutes`]); in a typical year moved to the nominal year 2001, or 2000 if it
    /// has a 29 February.
    pub starts: NaiveDateTime,
    /// How much of an hour the row stands for: 0.5 in a half-hourly file.
    pub hours: f64,
    /// Dry bulb, °C.
    pub dry_bulb_c: Option<f64>,
    /// Relative humidity, fraction 0..1.
    pub relative_humidity: Option<f64>,
    /// Dew point, °C.
    pub dew_point_c: Option<f64>,
    /// Wet bulb, °C.
    pub wet_bulb_c: Option<f64>,
    /// Pressure, Pa, at the level that the reading states.
    pub pressure_pa: Option<f64>,
    /// Global irradiance on the horizontal, W/m².
    pub global_horizontal_w_per_m2: Option<f64>,
    /// Wind speed, m/s.
    pub wind_m_per_s: Option<f64>,
}

impl Row {
    /// Start of the interval with the year that the file writes.
    pub fn written_start(&self) -> NaiveDateTime {
        self.label.and_time(self.starts.time())
    }

    /// A row with a time and nothing else.
    pub(crate) fn at(line: u32, label: NaiveDate, starts: NaiveDateTime) -> Self {
        Self {
            line,
            label,
            starts,
            hours: 1.0,
            dry_bulb_c: None,
            relative_humidity: None,
            dew_point_c: None,
            wet_bulb_c: None,
            pressure_pa: None,
            global_horizontal_w_per_m2: None,
            wind_m_per_s: None,
        }
    }

    /// True if the row has some measure of humidity.
    pub fn has_humidity(&self) -> bool {
        self.relative_humidity.is_some() || self.dew_point_c.is_some() || self.wet_bulb_c.is_some()
    }

    /// Takes away every measure of humidity, for a row whose humidity is not to be believed.
    pub(crate) fn forget_humidity(&mut self) {
        self.relative_humidity = None;
        self.dew_point_c = None;
        self.wet_bulb_c = None;
    }
}

/// A weather file as it was read, checked but not mended.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The name to tell people which file this is.
    pub file: String,
    /// Its kind.
    pub format: Format,
    /// Its station.
    pub station: Station,
    /// Offset from UTC, minutes, of the clock in which the rows' times are; `None` for local
    /// standard time of an unknown zone.
    pub clock_offset_minutes: Option<i32>,
    /// Minutes from one row to the next.
    pub step_minutes: u32,
    /// True for a typical year, whose months come from different years.
    pub typical: bool,
    /// True if the file says that its hours are invented, not measured.
    pub invented: bool,
    /// True if 29 February is among its days.
    pub leap_day: bool,
    /// Where its pressures are measured.
    pub pressure_level: PressureLevel,
    /// Rows in order of time (of the calendar, in a typical year), without duplicates.
    pub rows: Vec<Row>,
    /// Hours that the period should have: the one the file declares, else from its first to its last
    /// row, rounded out to the calendar year that it nearly fills.
    pub hours_expected: usize,
    /// Hours between the first and last row for which there is no row.
    pub hours_absent: usize,
    /// What was found wrong.
    pub problems: Vec<Problem>,
    /// The column map that was guessed, for a table of no known format.
    pub column_map: Option<ColumnMap>,
}

/// The year that stands for a typical year: without and with 29 February.
const NOMINAL_YEAR: i32 = 2001;
const NOMINAL_LEAP_YEAR: i32 = 2000;

/// A date-time moved into the nominal year.
pub(crate) fn in_nominal_year(time: NaiveDateTime, leap: bool) -> NaiveDateTime {
    let year = if leap { NOMINAL_LEAP_YEAR } else { NOMINAL_YEAR };
    time.with_year(year).unwrap_or(time)
}

impl Reading {
    /// Elevation for the pressures: the given one if the standard atmosphere holds there (-500..5500 m),
    /// else the file's, else sea level.
    pub fn elevation_m(&self, given_m: Option<f64>) -> f64 {
        given_m.filter(|metres| (-500.0..=5_500.0).contains(metres)).or(self.station.elevation_m).unwrap_or(0.0)
    }

    /// Local standard time minus UTC, minutes: the given one, else the station's, else for rows in UTC the nearest
    /// whole hour to the sun's time.
    pub(crate) fn standard_offset_minutes(&self, given: Option<i32>) -> Option<i32> {
        given
            .or(self.station.utc_offset_minutes)
            .or_else(|| {
                let longitude = self.station.longitude?;
                (self.clock_offset_minutes == Some(0))
                    .then(|| i32::try_from(whole(longitude / 15.0) * 60).ok())
                    .flatten()
            })
            .or(self.clock_offset_minutes)
    }

    /// Station pressure of a row, Pa: as measured, brought up from sea level, or the standard
    /// atmosphere's where the row has none.
    pub fn station_pressure_pa(&self, row: &Row, elevation_m: f64) -> f64 {
        self.pressure_at(row, standard_pressure_pa(elevation_m))
    }

    fn pressure_at(&self, row: &Row, standard_pa: f64) -> f64 {
        match (row.pressure_pa, self.pressure_level) {
            (None, _) => standard_pa,
            (Some(pressure), PressureLevel::Station) => pressure,
            // The share of the standard atmosphere that is left at this height.
            (Some(pressure), PressureLevel::SeaLevel) => pressure * (standard_pa / standard_pressure_pa(0.0)),
        }
    }

    /// The air of each row that has a temperature and a humidity, with the row. `given_m` is the
    /// elevation for files that lack it.
    pub fn air(&self, given_m: Option<f64>) -> impl Iterator<Item = (&Row, Option<MoistAir>)> {
        let standard_pa = standard_pressure_pa(self.elevation_m(given_m));
        self.rows.iter().map(move |row| {
            let pressure_pa = self.pressure_at(row, standard_pa);
            (row, air_of(row, pressure_pa).ok().flatten())
        })
    }

    /// The severest problem, if there is any.
    pub fn worst(&self) -> Option<Severity> {
        self.problems.iter().map(|problem| problem.severity).max()
    }
}

/// The air of one row at this pressure: from relative humidity, else dew point, else wet bulb.
/// `None` if temperature or humidity is missing.
fn air_of(row: &Row, pressure_pa: f64) -> Result<Option<MoistAir>, AirError> {
    let Some(dry_bulb_c) = row.dry_bulb_c else {
        return Ok(None);
    };
    if let Some(relative_humidity) = row.relative_humidity {
        MoistAir::from_relative_humidity(dry_bulb_c, relative_humidity, pressure_pa).map(Some)
    } else if let Some(dew_point_c) = row.dew_point_c {
        MoistAir::from_dew_point(dry_bulb_c, dew_point_c.min(dry_bulb_c), pressure_pa).map(Some)
    } else if let Some(wet_bulb_c) = row.wet_bulb_c {
        MoistAir::from_wet_bulb(dry_bulb_c, wet_bulb_c.min(dry_bulb_c), pressure_pa).map(Some)
    } else {
        Ok(None)
    }
}
