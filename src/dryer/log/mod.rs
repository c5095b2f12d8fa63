//! The drying log of a plant, and the constants of the nuts that it implies.
//!
//! A log is what an operator writes down while a batch dries: mean moisture by the hour and the air that
//! dries it. [`fit`] seeks the constants with which the bed model itself (the one of the season) passes
//! closest to the samples, so that what a deep bed does to its air is not mistaken for slow nuts.

mod course;
mod doubt;
mod fit;
mod found;
mod held;
mod law;
mod least_squares;
mod scrutiny;

pub use doubt::{Doubt, Place};
pub use fit::{FitError, IsothermPart, RATE_RANGE_PER_H, fit};
pub use found::{Estimate, Fit, Residual};
pub use held::holding;

use crate::air::MoistAir;

/// Fewest samples from which a log can tell a rate: the rate, the moisture at the start, and one to see
/// how well they agree.
pub const FEWEST_SAMPLES: usize = 3;

/// Longest log, h. No batch dries for twelve weeks; a time in minutes or seconds looks like it.
pub const LONGEST_LOG_H: f64 = 2000.0;

/// Mean moisture of the nuts at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Hours since drying began.
    pub hours: f64,
    /// Moisture, dry basis.
    pub moisture: f64,
}

/// Air that enters the nuts at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirReading {
    /// Hours since drying began.
    pub hours: f64,
    /// The air.
    pub air: MoistAir,
}

/// The bed that was dried, as far as its drying depends on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DriedBed {
    /// Drying air, m³/s at its own state, per tonne of nuts as they were at the start.
    pub airflow_m3_per_s_per_tonne: f64,
    /// Layers in which it is computed.
    pub layers: usize,
    /// Temperature of the nuts at the start, °C.
    pub nuts_c: f64,
}

/// One batch as it dried: samples and air in order of time, checked when made.
#[derive(Clone, Debug, PartialEq)]
pub struct DryingLog {
    samples: Vec<Sample>,
    air: Vec<AirReading>,
    bed: Option<DriedBed>,
}

/// Why samples and air make no log.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum LogError {
    /// Too few samples.
    #[error(
        "{0} {samples} of moisture, where {FEWEST_SAMPLES} are the fewest that tell a rate; ten or more spread over the \
         whole drying time tell it well",
        samples = if *.0 == 1 { "sample" } else { "samples" }
    )]
    TooFewSamples(usize),
    /// Times of samples or of air are not finite, or do not rise from zero on.
    #[error("times must be numbers that rise")]
    Times,
    /// Longer than any batch dries, h.
    #[error(
        "the samples span {0:.0} h, where {LONGEST_LOG_H} h are the most that a batch dries; times are in hours, not in \
         minutes or seconds"
    )]
    TooLong(f64),
    /// A moisture is negative or not finite.
    #[error("moistures must be positive numbers")]
    Moistures,
    /// There is no air.
    #[error("no state of the drying air is known")]
    NoAir,
    /// A bed without airflow or layers, or of a temperature where no nuts are dried.
    #[error("a bed needs an airflow above zero, one layer or more, and nuts between 0 and 100 °C")]
    Bed,
}

fn rising(hours: impl Iterator<Item = f64>) -> bool {
    let mut last = f64::NEG_INFINITY;
    for now in hours {
        if !(now.is_finite() && now > last) {
            return false;
        }
        last = now;
    }
    true
}

impl DryingLog {
    /// A log of samples in the air given. Between readings the air changes on a straight line; before the
    /// first and after the last it stays as it is. Drying begins with the first sample. Without a bed the
    /// nuts lie in a thin layer and have the air's temperature.
    pub fn new(samples: Vec<Sample>, air: Vec<AirReading>, bed: Option<DriedBed>) -> Result<Self, LogError> {
        if samples.len() < FEWEST_SAMPLES {
            return Err(LogError::TooFewSamples(samples.len()));
        }
        if !rising(samples.iter().map(|sample| sample.hours)) || !rising(air.iter().map(|reading| reading.hours)) {
            return Err(LogError::Times);
        }
        let span = samples[samples.len() - 1].hours - samples[0].hours;
        if span > LONGEST_LOG_H {
            return Err(LogError::TooLong(span));
        }
        if !samples.iter().all(|sample| sample.moisture.is_finite() && sample.moisture > 0.0) {
            return Err(LogError::Moistures);
        }
        if air.is_empty() {
            return Err(LogError::NoAir);
        }
        if let Some(bed) = bed {
            let flows = bed.airflow_m3_per_s_per_tonne.is_finite() && bed.airflow_m3_per_s_per_tonne > 0.0;
            if !flows || bed.layers == 0 || !(0.0..=100.0).contains(&bed.nuts_c) {
                return Err(LogError::Bed);
            }
        }
        Ok(Self { samples, air, bed })
    }

    /// The samples, first to last.
    pub fn samples(&self) -> &[Sample] {
        &self.samples
    }

    /// The bed; `None` for a thin layer.
    pub fn bed(&self) -> Option<&DriedBed> {
        self.bed.as_ref()
    }

    /// Dry bulb (°C), humidity ratio (kg/kg) and pressure (Pa) of the drying air at a time.
    pub fn air_at(&self, hours: f64) -> (f64, f64, f64) {
        let state = |air: &MoistAir| (air.dry_bulb_c(), air.humidity_ratio(), air.pressure_pa());
        let after = self.air.partition_point(|reading| reading.hours <= hours);
        // The log has air, so one of the two neighbours is there.
        let before = &self.air[after.saturating_sub(1)];
        let Some(next) = self.air.get(after).filter(|_| after > 0) else {
            return state(&before.air);
        };
        let share = (hours - before.hours) / (next.hours - before.hours);
        let (a, b) = (state(&before.air), state(&next.air));
        let between = |a: f64, b: f64| a + share * (b - a);
        (between(a.0, b.0), between(a.1, b.1), between(a.2, b.2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn air(dry_bulb_c: f64) -> MoistAir {
        MoistAir::from_relative_humidity(dry_bulb_c, 0.2, 101_325.0).unwrap()
    }

    fn readings(times: &[(f64, f64)]) -> Vec<AirReading> {
        times.iter().map(|&(hours, c)| AirReading { hours, air: air(c) }).collect()
    }

    fn samples(times: &[f64]) -> Vec<Sample> {
        times.iter().map(|&hours| Sample { hours, moisture: 0.2 }).collect()
    }

    #[test]
    fn air_goes_straight_between_readings_and_stays_beyond_them() {
        let log = DryingLog::new(samples(&[0.0, 1.0, 2.0]), readings(&[(1.0, 40.0), (3.0, 50.0)]), None).unwrap();
        let temperatures = [0.0, 1.0, 2.0, 3.0, 9.0].map(|hours| log.air_at(hours).0);
        assert_eq!(temperatures, [40.0, 40.0, 45.0, 50.0, 50.0]);
    }

    #[test]
    fn what_is_no_log_is_refused() {
        let one = readings(&[(0.0, 40.0)]);
        let made = |times: &[f64], air: Vec<AirReading>| DryingLog::new(samples(times), air, None);
        assert_eq!(made(&[0.0, 1.0], one.clone()), Err(LogError::TooFewSamples(2)));
        assert_eq!(made(&[0.0, 2.0, 1.0], one.clone()), Err(LogError::Times));
        assert_eq!(made(&[0.0, f64::NAN, 1.0], one.clone()), Err(LogError::Times));
        assert_eq!(made(&[0.0, 360.0, 3600.0], one.clone()), Err(LogError::TooLong(3600.0)));
        assert_eq!(made(&[0.0, 1.0, 2.0], Vec::new()), Err(LogError::NoAir));
        let still = DriedBed { airflow_m3_per_s_per_tonne: 0.0, layers: 4, nuts_c: 20.0 };
        assert_eq!(DryingLog::new(samples(&[0.0, 1.0, 2.0]), one, Some(still)), Err(LogError::Bed));
    }
}
