//! One checked hour of outside air, and a run of them that makes a season.

use crate::air::MoistAir;
use chrono::NaiveDateTime;

/// One hour of outside air. Nothing in it is missing: gaps were mended (and flagged) or refused
/// before an `Hour` exists.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hour {
    /// Start of the hour, local standard time.
    pub starts: NaiveDateTime,
    /// The air: dry bulb, humidity ratio and station pressure.
    pub air: MoistAir,
    /// Global irradiance on the horizontal, W/m², where the file has it.
    pub global_horizontal_w_per_m2: Option<f64>,
    /// Wind speed, m/s, where the file has it.
    pub wind_m_per_s: Option<f64>,
    /// True if temperature or humidity was filled in rather than read. Pressure taken from the altitude is
    /// counted by the series instead: it touches whole files and changes little.
    pub mended: bool,
}

/// The weather of one season: from its first day on, with as many hours after its last day as the
/// nuts may still need.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherYear {
    /// How people name it: `2021`, `2021/22` across New Year, or `typical year`.
    pub label: String,
    /// Hours in order, without a gap. The first `season_hours` belong to the season.
    pub hours: Vec<Hour>,
    /// Hours from the first to the last day of the season, both included.
    pub season_hours: usize,
    /// Hours after the season that were not in the files and were taken from the same calendar dates
    /// of another year (or, for a typical year, from its own beginning).
    pub borrowed_hours: usize,
}

impl WeatherYear {
    /// The hours of the season itself.
    pub fn season(&self) -> &[Hour] {
        &self.hours[..self.season_hours]
    }
}
