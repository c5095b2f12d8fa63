//! The constants that bring the bed model closest to the samples, and how well these tell them.
//!
//! Sought are the logarithm of the rate k; the moisture at the start of each log, which its first sample
//! knows no better than any other; the activation energy where the air had more than one temperature; and,
//! where asked for, a factor on the moisture that nuts hold. Misses are taken in points of moisture, wet
//! basis, all of one variance. The intervals hold 95 %: t times the root of s² (JᵀJ)⁻¹, s² being the
//! residual variance (nonlinear least squares by linearisation, Seber & Wild 1989 ch. 5, from memory, not
//! verified); those of k and of the factor are taken in the logarithm.

use super::course::Course;
use super::doubt::Doubt;
use super::found::{Estimate, Fit, Residual};
use super::held::holding;
use super::law::{activation_of, with_constants};
use super::least_squares::{Minimum, Parameter, least_squares, squares};
use super::{DryingLog, Sample, scrutiny};
use crate::crop::water::percent_of_dry_basis;
use crate::dryer::Nuts;
use statrs::distribution::{ContinuousCDF, StudentsT};

/// Rates, 1/h, among which the rate is sought: those that a crop may have.
pub const RATE_RANGE_PER_H: (f64, f64) = (1e-4, 20.0);
/// Activation energies, kJ/mol, that a crop may have.
const ACTIVATION_RANGE: (f64, f64) = (0.0, 100.0);
/// Factors on the isotherm's moisture within which one is sought.
const FACTOR_RANGE: (f64, f64) = (0.25, 4.0);
/// Moistures at the start, % w.b., within which it is sought.
const START_RANGE_PCT: (f64, f64) = (0.1, 85.0);
/// Least spread of the air's temperature, K, from which an activation energy is sought.
const LEAST_SPREAD_K: f64 = 5.0;
/// Widest half interval with which an activation energy, kJ/mol, is still taken as told.
const WIDEST_ACTIVATION: f64 = 25.0;
/// The same for the logarithm of the factor.
const WIDEST_LN_FACTOR: f64 = 0.35;
/// Temperature for which a rate is stated until that of the nuts is known, °C.
const FIRST_REFERENCE_C: f64 = 40.0;
const CONFIDENCE: f64 = 0.95;

/// What to do with the isotherm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IsothermPart {
    /// Take it as it is.
    Given,
    /// Seek the factor on its moisture that fits best.
    Sought,
}

/// Why logs give no constants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FitError {
    /// There is no log.
    #[error("there is no log to fit")]
    NoLog,
    /// Fewer samples than constants.
    #[error(
        "{samples} samples cannot tell {sought} constants (the rate, the moisture at the start of each log and what \
         else is sought): take more samples"
    )]
    TooFewSamples {
        /// Samples.
        samples: usize,
        /// Constants sought.
        sought: usize,
    },
    /// The nuts do not dry in the samples.
    #[error(
        "no drying rate follows from these samples: the best one is at {at}; check that moisture falls with time and \
         that the air is the air that entered the nuts"
    )]
    NoRate {
        /// Where the search ended, in words.
        at: &'static str,
    },
}

/// What is sought beside rate and starts.
#[derive(Clone, Copy)]
struct Sought {
    activation: bool,
    factor: bool,
}

const RATE_ALONE: Sought = Sought { activation: false, factor: false };

/// The search in one place: logs, and what stays as it is.
struct Search<'a> {
    nuts: &'a Nuts,
    logs: &'a [DryingLog],
    courses: Vec<Course>,
    reference_c: f64,
    measured_pct: Vec<Vec<f64>>,
}

/// Seeks the constants of these nuts in one log or several.
pub fn fit(nuts: &Nuts, logs: &[DryingLog], isotherm: IsothermPart) -> Result<Fit, FitError> {
    if logs.is_empty() {
        return Err(FitError::NoLog);
    }
    let search = Search::new(nuts, logs);
    let spread_k = search.spread_k();
    let mut sought = Sought { activation: spread_k >= LEAST_SPREAD_K, factor: isotherm == IsothermPart::Sought };
    let mut doubts = Vec::new();
    if !sought.activation {
        doubts.push(Doubt::OneTemperature { spread_k });
    }
    // A constant that the samples do not tell is given up, the activation energy first.
    loop {
        let tried = search.minimum(sought).and_then(|at| search.told(at, sought));
        let drop_activation = match &tried {
            Err(FitError::TooFewSamples { .. } | FitError::NoRate { .. }) => sought.activation,
            Err(FitError::NoLog) => false,
            Ok(fit) => fit
                .activation_kj_per_mol
                .is_some_and(|e| (e.high - e.low) / 2.0 > WIDEST_ACTIVATION || at_end(e.value, ACTIVATION_RANGE)),
        };
        let drop_factor = match &tried {
            Err(_) => sought.factor,
            Ok(fit) => fit
                .isotherm_factor
                .is_some_and(|e| (e.high / e.low).ln() / 2.0 > WIDEST_LN_FACTOR || at_end(e.value, FACTOR_RANGE)),
        };
        if drop_activation {
            sought.activation = false;
            doubts.push(Doubt::ActivationNotTold);
        } else if drop_factor {
            sought.factor = false;
            doubts.push(Doubt::IsothermNotTold);
        } else {
            let mut fit = tried?;
            doubts.extend(scrutiny::doubts(logs, &fit));
            fit.doubts = doubts;
            return Ok(fit);
        }
    }
}

fn at_end(value: f64, range: (f64, f64)) -> bool {
    let near = 1e-6 * (range.1 - range.0);
    value <= range.0 + near || value >= range.1 - near
}

impl<'a> Search<'a> {
    fn new(nuts: &'a Nuts, logs: &'a [DryingLog]) -> Self {
        let courses: Vec<Course> = logs.iter().map(Course::of).collect();
        let percent = |sample: &Sample| percent_of_dry_basis(sample.moisture);
        let mut search = Self {
            nuts,
            logs,
            courses,
            reference_c: FIRST_REFERENCE_C,
            measured_pct: logs.iter().map(|log| log.samples().iter().map(percent).collect()).collect(),
        };
        search.reference_c = search.temperature_of_drying_c();
        search
    }

    /// Temperature of the nuts while they gave up their water, whole °C, by the best rate of a coarse row.
    fn temperature_of_drying_c(&self) -> f64 {
        let nuts = self.nuts_of(&[self.rate_parameter().start], RATE_ALONE);
        let (mut weighted, mut water) = (0.0, 0.0);
        for (course, log) in self.courses.iter().zip(&self.measured_pct) {
            let (of_log, water_of_log) = course.water_by_temperature(&nuts, log[0]);
            weighted += of_log;
            water += water_of_log;
        }
        if water > 0.0 { (weighted / water).round().clamp(0.0, 100.0) } else { self.reference_c }
    }

    /// Coldest to hottest air between two samples, K.
    fn spread_k(&self) -> f64 {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for air_c in self.courses.iter().flat_map(Course::air_c) {
            low = low.min(air_c);
            high = high.max(air_c);
        }
        high - low
    }

    /// The nuts that these constants make: ln k first, then what else is sought.
    fn nuts_of(&self, at: &[f64], sought: Sought) -> Nuts {
        let given = &self.nuts.thin_layer;
        let mut others = at[1..].iter().copied();
        let activation = if sought.activation { others.next() } else { None }.unwrap_or_else(|| activation_of(given));
        let factor = if sought.factor { others.next() } else { None }.map(f64::exp);
        Nuts {
            isotherm: factor.map_or(self.nuts.isotherm, |f| holding(&self.nuts.isotherm, f)),
            thin_layer: with_constants(*given, at[0].exp(), self.reference_c, activation),
            ..*self.nuts
        }
    }

    /// Moistures, % w.b., log by log.
    fn fitted_pct(&self, nuts: &Nuts, starts: &[f64]) -> Vec<Vec<f64>> {
        self.courses
            .iter()
            .zip(starts)
            .map(|(course, start)| course.moistures(nuts, *start).into_iter().map(percent_of_dry_basis).collect())
            .collect()
    }

    fn misses(&self, nuts: &Nuts, starts: &[f64]) -> Vec<f64> {
        self.fitted_pct(nuts, starts)
            .iter()
            .flatten()
            .zip(self.measured_pct.iter().flatten())
            .map(|(fitted, measured)| measured - fitted)
            .collect()
    }

    fn minimum(&self, sought: Sought) -> Result<Minimum, FitError> {
        let mut parameters = vec![self.rate_parameter()];
        if sought.activation {
            parameters.push(Parameter {
                start: activation_of(&self.nuts.thin_layer),
                low: ACTIVATION_RANGE.0,
                high: ACTIVATION_RANGE.1,
                scale: 10.0,
            });
        }
        if sought.factor {
            parameters.push(Parameter { start: 0.0, low: FACTOR_RANGE.0.ln(), high: FACTOR_RANGE.1.ln(), scale: 1.0 });
        }
        let constants = parameters.len();
        parameters.extend(self.measured_pct.iter().map(|log| Parameter {
            start: log[0].clamp(START_RANGE_PCT.0, START_RANGE_PCT.1),
            low: START_RANGE_PCT.0,
            high: START_RANGE_PCT.1,
            scale: 1.0,
        }));
        let samples = self.samples();
        if samples <= parameters.len() {
            return Err(FitError::TooFewSamples { samples, sought: parameters.len() });
        }
        least_squares(&parameters, |at| self.misses(&self.nuts_of(at, sought), &at[constants..]))
            .ok_or(FitError::NoRate { at: "a place where it does not matter" })
    }

    fn samples(&self) -> usize {
        self.measured_pct.iter().map(Vec::len).sum()
    }

    /// ln k, starting from the best of a coarse row over the whole range.
    fn rate_parameter(&self) -> Parameter {
        let (low, high) = (RATE_RANGE_PER_H.0.ln(), RATE_RANGE_PER_H.1.ln());
        let starts: Vec<f64> = self.measured_pct.iter().map(|log| log[0]).collect();
        let (mut best, mut least) = (low, f64::INFINITY);
        for part in 1..24 {
            let ln_rate = low + (high - low) * f64::from(part) / 24.0;
            let sum = squares(&self.misses(&self.nuts_of(&[ln_rate], RATE_ALONE), &starts));
            if sum < least {
                (best, least) = (ln_rate, sum);
            }
        }
        Parameter { start: best, low, high, scale: 1.0 }
    }

    /// What a minimum says, in constants with their intervals.
    fn told(&self, minimum: Minimum, sought: Sought) -> Result<Fit, FitError> {
        let Minimum { at, residuals, inverse } = minimum;
        let ln_range = (RATE_RANGE_PER_H.0.ln(), RATE_RANGE_PER_H.1.ln());
        if at_end(at[0], ln_range) {
            let slow = at[0] < 0.0;
            return Err(FitError::NoRate { at: if slow { "no drying at all" } else { "drying in an instant" } });
        }
        let over = residuals.len() - at.len();
        let variance = squares(&residuals) / over as f64;
        let t = StudentsT::new(0.0, 1.0, over as f64).map_or(f64::NAN, |t| t.inverse_cdf(0.5 + CONFIDENCE / 2.0));
        let interval = |which: usize| {
            let half = t * (variance * inverse[which][which]).sqrt();
            Estimate { value: at[which], low: at[which] - half, high: at[which] + half }
        };
        let out_of_ln = |e: Estimate| Estimate { value: e.value.exp(), low: e.low.exp(), high: e.high.exp() };
        let after_activation = 1 + usize::from(sought.activation);
        let constants = after_activation + usize::from(sought.factor);
        let nuts = self.nuts_of(&at, sought);
        let residuals = self.beside(&self.fitted_pct(&nuts, &at[constants..]));
        Ok(Fit {
            nuts,
            reference_c: self.reference_c,
            rate_per_h: out_of_ln(interval(0)),
            activation_kj_per_mol: sought.activation.then(|| interval(1)),
            isotherm_factor: sought.factor.then(|| out_of_ln(interval(after_activation))),
            start_pct: (constants..at.len()).map(interval).collect(),
            r_squared: 1.0 - variance * over as f64 / self.variation(),
            residuals,
            residual_sd_points: variance.sqrt(),
            over,
            doubts: Vec::new(),
        })
    }

    fn beside(&self, fitted: &[Vec<f64>]) -> Vec<Vec<Residual>> {
        self.logs
            .iter()
            .zip(self.measured_pct.iter().zip(fitted))
            .map(|(log, (measured, fitted))| {
                log.samples()
                    .iter()
                    .zip(measured.iter().zip(fitted))
                    .map(|(sample, (measured_pct, fitted_pct))| Residual {
                        hours: sample.hours,
                        measured_pct: *measured_pct,
                        fitted_pct: *fitted_pct,
                    })
                    .collect()
            })
            .collect()
    }

    /// Sum of squares of the samples about the mean of their log.
    fn variation(&self) -> f64 {
        self.measured_pct
            .iter()
            .map(|log| {
                let mean = log.iter().sum::<f64>() / log.len() as f64;
                log.iter().map(|m| (m - mean) * (m - mean)).sum::<f64>()
            })
            .sum()
    }
}
