//! Hours in a row, mended: what seasons are cut from.

use crate::weather::hour::Hour;
use crate::weather::month_day::Dates;
use crate::weather::problem::Problem;
use chrono::{NaiveDateTime, TimeDelta};

/// Hours without weather that the rules did not allow to fill.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// Its first hour.
    pub starts: NaiveDateTime,
    /// Its length, h.
    pub hours: usize,
}

impl Gap {
    /// True if one of its hours falls on one of these days.
    pub fn touches(&self, dates: Dates) -> bool {
        (0..self.hours)
            .filter_map(|hour| i64::try_from(hour).ok())
            .any(|hour| dates.contains((self.starts + TimeDelta::hours(hour)).date()))
    }
}

/// Hours that were filled in, by cause. An hour that lacked temperature and humidity counts once.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Mends {
    /// Short gaps: straight between the hours before and after.
    pub interpolated_hours: usize,
    /// Longer gaps: from the same hour of the days around.
    pub neighbour_day_hours: usize,
    /// A 29 February that the file leaves out, from the days around.
    pub leap_day_hours: usize,
    /// Hours between the rows of a file whose step is longer than an hour.
    pub between_rows_hours: usize,
    /// Hours whose pressure is the standard atmosphere's at the elevation. Their temperature and
    /// humidity may be as read, so they are no part of [`Mends::filled_hours`].
    pub standard_pressure_hours: usize,
}

impl Mends {
    /// Hours whose temperature or humidity was filled in.
    pub fn filled_hours(&self) -> usize {
        self.interpolated_hours + self.neighbour_day_hours + self.leap_day_hours + self.between_rows_hours
    }
}

/// Mended weather in local standard time.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// Hours in order of time. Where time jumps there is an open gap or a pause between stretches. A
    /// typical year stands in the nominal year 2001 (2000 if it has a 29 February).
    pub hours: Vec<Hour>,
    /// True for a typical year, which goes on from December to January.
    pub typical: bool,
    /// True if any of its hours come from a file that says they are invented, not measured.
    pub invented: bool,
    /// How many of its hours come from such files.
    pub invented_hours: usize,
    /// Offset of its clock from UTC, minutes, where known.
    pub utc_offset_minutes: Option<i32>,
    /// What was filled in.
    pub mends: Mends,
    /// What was not.
    pub open_gaps: Vec<Gap>,
    /// What came up in joining and mending, beside the problems of each reading.
    pub problems: Vec<Problem>,
}

impl Series {
    /// The hour that starts at this time.
    pub fn at(&self, starts: NaiveDateTime) -> Option<&Hour> {
        self.hours.binary_search_by_key(&starts, |hour| hour.starts).ok().map(|at| &self.hours[at])
    }

    /// True if this is a typical year from its first day to its last, so that it goes on from December to
    /// January; gaps in it do not matter here.
    pub fn is_ring(&self) -> bool {
        let open: usize = self.open_gaps.iter().map(|gap| gap.hours).sum();
        self.typical && self.hours.len() + open >= 8_760
    }
}
