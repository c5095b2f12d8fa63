//! What a fit found: the constants, how well they are known, and the samples beside the model.

use super::doubt::Doubt;
use super::law::activation_of;
use crate::crop::Isotherm;
use crate::dryer::Nuts;

/// A constant with the ends of its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The constant.
    pub value: f64,
    /// Low end of its 95 % interval.
    pub low: f64,
    /// High end.
    pub high: f64,
}

/// A sample beside what the fitted model says of it, % w.b.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Residual {
    /// Hours since drying began.
    pub hours: f64,
    /// The sample.
    pub measured_pct: f64,
    /// The model.
    pub fitted_pct: f64,
}

impl Residual {
    /// Sample less model, points w.b.
    pub fn points(&self) -> f64 {
        self.measured_pct - self.fitted_pct
    }
}

/// Constants from logs.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Nuts with the constants found.
    pub nuts: Nuts,
    /// Temperature for which the rate is stated, °C: that of the nuts while they gave up their water, in whole
    /// degrees, where the rate owes least to the activation energy.
    pub reference_c: f64,
    /// Rate at that temperature, 1/h.
    pub rate_per_h: Estimate,
    /// Activation energy, kJ/mol; `None` where it is the one given.
    pub activation_kj_per_mol: Option<Estimate>,
    /// Factor on the moisture that the isotherm says nuts hold; `None` where it is the one given.
    pub isotherm_factor: Option<Estimate>,
    /// Moisture at the start of each log, % w.b.
    pub start_pct: Vec<Estimate>,
    /// Samples beside the model, log by log.
    pub residuals: Vec<Vec<Residual>>,
    /// Standard deviation of the misses, points w.b., with what the constants took counted off.
    pub residual_sd_points: f64,
    /// Share of the samples' variance about the mean of their log that the model explains.
    pub r_squared: f64,
    /// Samples less constants sought.
    pub over: usize,
    /// What remains in doubt.
    pub doubts: Vec<Doubt>,
}

impl Fit {
    /// Isotherm of the nuts with the constants found.
    pub fn isotherm(&self) -> &Isotherm {
        &self.nuts.isotherm
    }

    /// Activation energy in use, kJ/mol: found or given.
    pub fn activation_in_use_kj_per_mol(&self) -> f64 {
        activation_of(&self.nuts.thin_layer)
    }
}
