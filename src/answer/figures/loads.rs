//! Loads by the hour: what capacity covers how many hours, and the week with the most.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

/// A load through the hours of all weather years together.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct HourlyLoad {
    /// Hours to be covered, mean a season.
    pub hours: f64,
    /// Energy, mean a season, kWh.
    pub energy_kwh: f64,
    /// Highest hour, kW.
    pub peak_kw: f64,
    /// Mean load over the highest, fraction: of heat over the hours to be covered, of electricity and cooling over
    /// all hours of the run. Nothing where nothing is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load_factor: Option<f64>,
    /// Capacity that covers 90, 95, 99 and 100 % of those hours.
    pub covers: Vec<CoverFigures>,
    /// Capacity that leaves as much of it short as is let pass of an option that does the work, kW.
    pub least_kw_let_pass: f64,
    /// The hours to be covered, sorted.
    pub sorted: SortedLoad,
}

impl HourlyLoad {
    /// The capacity for this share of the hours, percent, as it stands in [`HourlyLoad::covers`].
    pub(crate) fn cover(&self, hours_pct: f64) -> Option<&CoverFigures> {
        self.covers.iter().find(|cover| cover.hours_pct == hours_pct)
    }
}

/// Hours sorted by their load, the highest first: at most 240 of them, and the last.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SortedLoad {
    /// Hours of a mean season up to each.
    pub hours: Vec<f64>,
    /// Load there, kW.
    pub kw: Vec<f64>,
}

/// What a capacity covers.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct CoverFigures {
    /// Share of the hours with a load, percent.
    pub hours_pct: f64,
    /// Capacity, kW.
    pub capacity_kw: f64,
    /// Energy above it, mean a season, kWh.
    pub energy_above_kwh: f64,
    /// The same, percent of all.
    pub energy_above_pct: f64,
}

/// Seven days in a row.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct PeakWeekFigures {
    /// `heat` or `water`.
    pub what: String,
    /// Unit of `sum`.
    pub unit: String,
    /// First day, `YYYY-MM-DD`.
    pub starts: NaiveDate,
    /// The week's sum.
    pub sum: f64,
    /// Mean heat need over the week, kW.
    pub mean_heat_kw: f64,
    /// Water evaporated in the week, kg.
    pub water_kg: f64,
    /// Bins in use, mean over the week.
    pub bins_in_use: f64,
    /// Most nuts waiting in any hour of the week, t.
    pub waiting_t: f64,
    /// Most nuts waiting for a bin to fall free in any hour of it, t.
    pub waiting_for_bin_t: f64,
}
