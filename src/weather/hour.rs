//! One checked hour of outside air, and a run of them that makes a season.

use crate::air::MoistAir;
use chrono::NaiveDateTime;
use std::sync::Arc;

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
    pub hours: Arc<[Hour]>,
    /// Hours from the first to the last day of the season, both included.
    pub season_hours: usize,
    /// Hours after the season that were not in the files and were taken from the same calendar dates
    /// of another year (or, for a typical year, from its own beginning).
    pub borrowed_hours: usize,
}

impl WeatherYear {
    /// The same weather so many kelvin warmer in every hour, its relative humidity, sun and wind as they are: an
    /// assumption, that warmer air holds as large a share of the water that it can. An hour that would leave the range of
    /// moist air stays as it is.
    #[must_use]
    pub fn warmer_by(&self, kelvin: f64) -> Self {
        let warmer = |hour: &Hour| {
            let air = hour.air;
            let relative_humidity = air.relative_humidity().clamp(0.0, 1.0);
            let warmed =
                MoistAir::from_relative_humidity(air.dry_bulb_c() + kelvin, relative_humidity, air.pressure_pa());
            Hour { air: warmed.unwrap_or(air), ..*hour }
        };
        Self { hours: self.hours.iter().map(warmer).collect(), ..self.clone() }
    }

    /// The hours of the season itself.
    pub fn season(&self) -> &[Hour] {
        &self.hours[..self.season_hours]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use chrono::NaiveDate;

    #[test]
    fn warmer_weather_is_as_damp_and_two_ways_there_end_alike() {
        let starts = NaiveDate::from_ymd_opt(2031, 3, 1).and_then(|day| day.and_hms_opt(0, 0, 0)).unwrap();
        let air = MoistAir::from_relative_humidity(12.0, 0.8, 95_000.0).unwrap();
        let hour = Hour { starts, air, global_horizontal_w_per_m2: Some(300.0), wind_m_per_s: None, mended: false };
        let year = WeatherYear { label: "2031".into(), hours: [hour].into(), season_hours: 1, borrowed_hours: 0 };
        let warmer = year.warmer_by(2.0).hours[0];
        assert_relative_eq!(warmer.air.dry_bulb_c(), 14.0);
        assert_relative_eq!(warmer.air.relative_humidity(), 0.8, max_relative = 1e-9);
        assert_eq!((warmer.starts, warmer.global_horizontal_w_per_m2), (starts, Some(300.0)));
        let (once, twice) = (year.warmer_by(2.0), year.warmer_by(3.0).warmer_by(-1.0));
        assert_relative_eq!(
            once.hours[0].air.humidity_ratio(),
            twice.hours[0].air.humidity_ratio(),
            max_relative = 1e-9
        );
    }
}
