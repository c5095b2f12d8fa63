//! The course of one season: of the option and in the weather year that the charts show.

use super::PeakWeekFigures;
use chrono::{NaiveDate, NaiveDateTime};
use schemars::JsonSchema;
use serde::Serialize;

/// What the charts of the season show, from the season's first hour to the last in which something is dried.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct CourseFigures {
    /// The option shown: the recommended one, else the baseline.
    pub option: String,
    /// The weather year shown: the middle one by the heat need of that option.
    pub weather_year: String,
    /// Mean dry bulb outside, °C.
    pub outside_mean_c: f64,
    /// Mean relative humidity outside, %.
    pub outside_mean_relative_humidity_pct: f64,
    /// The coldest hour outside, °C.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coldest_hour: Option<HourFigures>,
    /// The day with the most heat need, kWh.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_heat_day: Option<DayFigures>,
    /// The hour with the most heat need, kW; nothing where none needs heat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_heat_hour: Option<HourFigures>,
    /// The six hours of the day in a row that take most of the season's heat.
    pub heaviest_hours: HeaviestHours,
    /// The seven days in a row in which most water leaves the nuts; nothing of a season shorter than a week.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub peak_week_of_water: Option<PeakWeekFigures>,
    /// Days shown.
    pub days: usize,
    /// Of which days on which all bins are in use for at least 95 % of the bin-hours.
    pub days_of_full_bins: usize,
    /// The hour in which most nuts wait for a bin to fall free, t; nothing where none do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_waiting_for_bin: Option<HourFigures>,
    /// The hour in which most nuts wait until a load has come together, t; nothing where none do.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_waiting_for_load: Option<HourFigures>,
    /// The same days one by one.
    pub by_day: DailyCourse,
    /// Heat need hour by hour from the first day's first, kW; `hourly.csv` has it.
    #[serde(skip)]
    pub heat_need_kw: Vec<f64>,
    /// The batches in their bins.
    pub bins: BinCourse,
}

/// Every day of a season, the first day first.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct DailyCourse {
    /// The first day.
    pub starts: NaiveDate,
    /// Dry bulb outside: lowest, mean and highest of the day, °C.
    pub outside_c: Vec<[f64; 3]>,
    /// Relative humidity outside, likewise, %.
    pub outside_relative_humidity_pct: Vec<[f64; 3]>,
    /// Recovered heat that met a need, kWh.
    pub recovered_kwh: Vec<f64>,
    /// What each source gave, in the order of the stack.
    pub sources: Vec<SourceByDay>,
    /// Heat not met, kWh.
    pub heat_short_kwh: Vec<f64>,
    /// Bins drying or cooling, mean of the day.
    pub bins_in_use: Vec<f64>,
    /// Nuts waiting, most of the day, t.
    pub waiting_t: Vec<f64>,
    /// Of which for a bin to fall free, most of the day, t.
    pub waiting_for_bin_t: Vec<f64>,
    /// Water evaporated, kg.
    pub water_kg: Vec<f64>,
}

/// Heat of one source by day.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SourceByDay {
    /// Its name.
    pub name: String,
    /// Heat given, kWh.
    pub heat_kwh: Vec<f64>,
}

/// The bins from the season's first hour to the hour in which the last batch was out.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct BinCourse {
    /// Bins there are, of all rooms.
    pub bins: usize,
    /// The rooms in the order in which batches pass them, and the bins of each.
    pub rooms: Vec<RoomBins>,
    /// Batches loaded.
    pub batches: usize,
    /// Days to the end, the last one counted whole.
    pub days: usize,
    /// Share of the bins' days in which they are in use, percent.
    pub in_use_pct: f64,
    /// Stays of batches, in the order in which they were loaded.
    pub stays: Vec<Stay>,
    /// Guards that fired in this option and weather year, day by day.
    pub guards: Vec<GuardDays>,
}

/// The bins of a room.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct RoomBins {
    /// Name of the room.
    pub room: String,
    /// Its bins.
    pub bins: usize,
}

/// A guard that fired, by day.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct GuardDays {
    /// The guard, as people call it.
    pub name: String,
    /// Hours of the season in which it was broken, in `unit`.
    pub hours: f64,
    /// `h`, or `batch-hours` where it watches batches.
    pub unit: String,
    /// The same hours from the season's first day to the last on which it was broken.
    pub hours_by_day: Vec<f64>,
}

/// A batch's stay in a bin, in days from the season's first hour.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct Stay {
    /// Bin, from 0, counted through all rooms.
    pub bin: usize,
    /// When it was loaded.
    pub loaded: f64,
    /// When it was dry and began to cool; as `out` if it never was.
    pub dry: f64,
    /// When it left.
    pub out: f64,
    /// Mean moisture on loading, every six hours of the season while it stays, and on leaving: days from the season's first
    /// hour, and % w.b.
    pub moisture: Vec<(f64, f64)>,
}

/// An hour that stands out.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct HourFigures {
    /// Its value.
    pub value: f64,
    /// Unit of it.
    pub unit: String,
    /// When it begins, by the site's standard time.
    pub starts: NaiveDateTime,
}

/// A day that stands out.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct DayFigures {
    /// Its value.
    pub value: f64,
    /// Unit of it.
    pub unit: String,
    /// The day.
    pub day: NaiveDate,
}

/// Six hours of the day in a row.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct HeaviestHours {
    /// Hour of the day at which they begin, 0..23.
    pub from_hour: u32,
    /// Hour of the day at which they end, 0..23.
    pub to_hour: u32,
    /// Their share of the heat need, percent.
    pub share_pct: f64,
}
