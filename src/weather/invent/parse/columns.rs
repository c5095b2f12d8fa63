//! The columns of a table of normals.

use crate::table;

/// A column and the values it can hold.
pub(crate) struct Column {
    pub name: &'static str,
    pub units: &'static [&'static str],
    pub range: (f64, f64),
    pub range_text: &'static str,
}

impl Column {
    /// The column as a table writes it.
    pub(super) const fn written(&self) -> table::Column {
        table::Column { name: self.name, units: self.units }
    }
}

const fn column(
    name: &'static str,
    units: &'static [&'static str],
    range: (f64, f64),
    range_text: &'static str,
) -> Column {
    Column { name, units, range, range_text }
}

const CELSIUS: &[&str] = &["°C", "C", "degC"];
const PERCENT: &[&str] = &["%", "pct"];

pub(crate) const MONTH: &str = "month";
pub(crate) const MIN: Column = column("min_c", CELSIUS, (-55.0, 45.0), "a temperature in °C, -55..45");
pub(crate) const MAX: Column = column("max_c", CELSIUS, (-50.0, 55.0), "a temperature in °C, -50..55");
pub(crate) const MEAN_RH: Column =
    column("relative_humidity_pct", PERCENT, (5.0, 99.0), "a relative humidity in percent, 5..99");
pub(crate) const MORNING_RH: Column =
    column("morning_relative_humidity_pct", PERCENT, (5.0, 99.0), "a relative humidity in percent, 5..99");
pub(crate) const AFTERNOON_RH: Column =
    column("afternoon_relative_humidity_pct", PERCENT, (5.0, 99.0), "a relative humidity in percent, 5..99");
pub(crate) const DAILY_SUN: Column =
    column("global_horizontal_kwh_per_m2_day", &["kWh/m2", "kWh/m²"], (0.0, 13.0), "kWh/m² a day, 0..13");
pub(crate) const MEAN_SUN: Column =
    column("global_horizontal_w_per_m2", &["W/m2", "W/m²"], (0.0, 540.0), "the mean of day and night in W/m², 0..540");
pub(crate) const WIND: Column = column("wind_m_per_s", &["m/s"], (0.1, 30.0), "a wind speed in m/s, 0.1..30");
