//! What is known of an uncertain input.

use super::quantiles::{HIGH, LOW};
use statrs::distribution::{ContinuousCDF, LogNormal, Normal, Triangular, Uniform};
use std::fmt;

/// A distribution of one input. Every value of its type can be drawn from: [`Distribution::new`] refuses
/// what is none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Distribution {
    shape: Shape,
    limits: Limits,
    /// Shares of the shape that lie below the limits.
    below: (f64, f64),
}

/// Its shape, in the input's own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Shape {
    /// The bell.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation, above zero.
        sd: f64,
    },
    /// Rises from `low` to `mode` and falls to `high`.
    Triangular {
        /// Least.
        low: f64,
        /// Likeliest.
        mode: f64,
        /// Most.
        high: f64,
    },
    /// All values alike.
    Uniform {
        /// Least.
        low: f64,
        /// Most.
        high: f64,
    },
    /// A bell of ratios: P90 is the median times the factor, P10 the median over it.
    LogNormal {
        /// Median, above zero.
        median: f64,
        /// P90 over the median, above one.
        factor: f64,
    },
}

/// Values beyond these do not occur; the rest keep their proportions.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Limits {
    /// Least value; none if there is no such limit.
    pub low: Option<f64>,
    /// Most.
    pub high: Option<f64>,
}

/// Why there is no such distribution; completes "the distribution ...".
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub(crate) enum BadDistribution {
    /// Its numbers do not make the shape.
    #[error("{0}")]
    Shape(&'static str),
    /// The limits leave next to nothing of it.
    #[error("has less than 1 % of itself between its limits")]
    NothingLeft,
}

/// Least share of a shape that limits must leave.
const LEAST_LEFT: f64 = 0.01;
/// Draws come no nearer to certainty than this: a bell has no end.
const NEAR_CERTAIN: f64 = 1e-9;

impl Distribution {
    /// A shape within limits.
    pub(crate) fn new(shape: Shape, limits: Limits) -> Result<Self, BadDistribution> {
        shape.check()?;
        let below = (
            limits.low.map_or(0.0, |low| shape.share_below(low)),
            limits.high.map_or(1.0, |high| shape.share_below(high)),
        );
        let left = below.1 - below.0;
        if left.is_nan() || left < LEAST_LEFT {
            return Err(BadDistribution::NothingLeft);
        }
        Ok(Self { shape, limits, below })
    }

    /// The value below which a share of draws lies, share in 0..1.
    pub(crate) fn quantile(&self, share: f64) -> f64 {
        let (low, high) = self.below;
        let share = share.clamp(NEAR_CERTAIN, 1.0 - NEAR_CERTAIN);
        let value = self.shape.quantile(low + share * (high - low));
        // The inverse of a share is off by rounding; a limit is not.
        value.max(self.limits.low.unwrap_or(f64::NEG_INFINITY)).min(self.limits.high.unwrap_or(f64::INFINITY))
    }

    /// One value in ten lies below.
    pub(crate) fn low(&self) -> f64 {
        self.quantile(LOW)
    }

    /// One value in ten lies above.
    pub(crate) fn high(&self) -> f64 {
        self.quantile(HIGH)
    }
}

impl Shape {
    fn check(self) -> Result<(), BadDistribution> {
        let because = |holds: bool, why| {
            if holds { Ok(()) } else { Err(BadDistribution::Shape(why)) }
        };
        match self {
            Self::Normal { mean, sd } => {
                because(mean.is_finite() && sd > 0.0 && sd.is_finite(), "has no spread: sd must be above 0")
            }
            Self::Triangular { low, mode, high } => because(
                low <= mode && mode <= high && low < high && (high - low).is_finite(),
                "is none: low, mode and high must rise, and low must be below high",
            ),
            Self::Uniform { low, high } => {
                because(low < high && (high - low).is_finite(), "is none: low must be below high")
            }
            Self::LogNormal { median, factor } => because(
                median > 0.0 && factor > 1.0 && (median * factor).is_finite(),
                "is none: median must be above 0 and factor above 1",
            ),
        }
    }

    /// The value below which a share lies. The numbers were checked, so that the library refuses none.
    fn quantile(self, share: f64) -> f64 {
        self.with(|curve| curve.inverse_cdf(share))
    }

    fn share_below(self, value: f64) -> f64 {
        self.with(|curve| curve.cdf(value))
    }

    fn with(self, ask: impl FnOnce(&dyn ContinuousCDF<f64, f64>) -> f64) -> f64 {
        let answer = match self {
            Self::Normal { mean, sd } => Normal::new(mean, sd).map(|curve| ask(&curve)).ok(),
            Self::Triangular { low, mode, high } => Triangular::new(low, high, mode).map(|curve| ask(&curve)).ok(),
            Self::Uniform { low, high } => Uniform::new(low, high).map(|curve| ask(&curve)).ok(),
            Self::LogNormal { median, factor } => {
                // ln(P90) is the mean of the logarithms plus z90 of their deviations.
                let z90 = Normal::standard().inverse_cdf(HIGH);
                LogNormal::new(median.ln(), factor.ln() / z90).map(|curve| ask(&curve)).ok()
            }
        };
        answer.unwrap_or(f64::NAN)
    }
}

impl fmt::Display for Distribution {
    /// `normal, mean 22, sd 1.5, from 18 to 26`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.shape {
            Shape::Normal { mean, sd } => write!(f, "normal, mean {}, sd {}", short(mean), short(sd)),
            Shape::Triangular { low, mode, high } => {
                write!(f, "triangular, {} to {}, mode {}", short(low), short(high), short(mode))
            }
            Shape::Uniform { low, high } => write!(f, "uniform, {} to {}", short(low), short(high)),
            Shape::LogNormal { median, factor } => {
                write!(f, "lognormal, median {}, factor {}", short(median), short(factor))
            }
        }?;
        match (self.limits.low.map(short), self.limits.high.map(short)) {
            (None, None) => Ok(()),
            (Some(low), None) => write!(f, ", at least {low}"),
            (None, Some(high)) => write!(f, ", at most {high}"),
            (Some(low), Some(high)) => write!(f, ", cut to {low} to {high}"),
        }
    }
}

/// A number as it reads: five significant figures, and no more digits than it has.
pub(crate) fn short(value: f64) -> String {
    format!("{value:.4e}").parse::<f64>().unwrap_or(value).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn free(shape: Shape) -> Distribution {
        Distribution::new(shape, Limits::default()).expect("a distribution")
    }

    #[test]
    fn a_distribution_reads_in_few_figures() {
        let reckoned = Shape::LogNormal { median: 1.5, factor: (2.0_f64 / 1.3).sqrt() };
        assert_eq!(free(reckoned).to_string(), "lognormal, median 1.5, factor 1.2403");
        assert_eq!(free(Shape::Uniform { low: 240_000.0, high: 360_000.0 }).to_string(), "uniform, 240000 to 360000");
    }

    const BELL: Shape = Shape::Normal { mean: 0.0, sd: 1.0 };

    /// Abramowitz & Stegun 1964, table 26.5 and every table of the normal distribution: z of 0.9, 0.95,
    /// 0.975 and 0.99 are 1.28155, 1.64485, 1.95996 and 2.32635 (from memory, not verified).
    #[test]
    fn the_bell_has_the_quantiles_of_the_tables() {
        let bell = free(BELL);
        for (share, z) in [(0.9, 1.28155), (0.95, 1.64485), (0.975, 1.95996), (0.99, 2.32635)] {
            assert_relative_eq!(bell.quantile(share), z, epsilon = 6e-6);
            assert_relative_eq!(bell.quantile(1.0 - share), -z, epsilon = 6e-6);
        }
        assert_relative_eq!(bell.quantile(0.5), 0.0, epsilon = 1e-12);
        let moved = free(Shape::Normal { mean: 22.0, sd: 1.5 });
        assert_relative_eq!(moved.high(), 22.0 + 1.5 * 1.28155, epsilon = 1e-5);
    }

    /// The share below x of a triangle is the area of a smaller one, so that the quantile is a square root.
    #[test]
    fn a_triangle_is_inverted_by_its_areas() {
        let triangle = free(Shape::Triangular { low: 1.0, mode: 2.0, high: 5.0 });
        for share in [0.01, 0.1, 0.25, 0.6, 0.9, 0.99] {
            let x = triangle.quantile(share);
            let area =
                if x <= 2.0 { (x - 1.0) * (x - 1.0) / (4.0 * 1.0) } else { 1.0 - (5.0 - x) * (5.0 - x) / (4.0 * 3.0) };
            assert_relative_eq!(area, share, epsilon = 1e-12);
        }
        // A mode at an end is a triangle too.
        let right = free(Shape::Triangular { low: 0.0, mode: 1.0, high: 1.0 });
        assert_relative_eq!(right.quantile(0.25), 0.5, epsilon = 1e-12);
    }

    #[test]
    fn a_uniform_is_linear_and_a_lognormal_turns_about_its_median() {
        let even = free(Shape::Uniform { low: -2.0, high: 8.0 });
        assert_relative_eq!(even.quantile(0.3), 1.0, epsilon = 1e-12);
        let ratio = free(Shape::LogNormal { median: 1.35, factor: 1.3 });
        assert_relative_eq!(ratio.quantile(0.5), 1.35, epsilon = 1e-9);
        assert_relative_eq!(ratio.high(), 1.35 * 1.3, epsilon = 1e-9);
        assert_relative_eq!(ratio.low(), 1.35 / 1.3, epsilon = 1e-9);
    }

    /// The median of the upper half of a bell is its third quartile, 0.67449 (from memory, not verified).
    #[test]
    fn limits_cut_a_shape_and_the_rest_keeps_its_proportions() {
        let limits = Limits { low: Some(0.0), high: None };
        let half = Distribution::new(BELL, limits).unwrap();
        assert_relative_eq!(half.quantile(0.5), 0.67449, epsilon = 1e-5);
        assert!(half.quantile(0.0) >= 0.0);
        let both = Limits { low: Some(-1.0), high: Some(1.0) };
        let both = Distribution::new(BELL, both).unwrap();
        for share in [0.0, 1e-12, 0.5, 1.0] {
            assert!((-1.0..=1.0).contains(&both.quantile(share)));
        }
    }

    #[test]
    fn what_is_no_distribution_is_refused() {
        let bad = [
            Shape::Normal { mean: 1.0, sd: 0.0 },
            Shape::Normal { mean: f64::NAN, sd: 1.0 },
            Shape::Triangular { low: 1.0, mode: 0.0, high: 2.0 },
            Shape::Triangular { low: 1.0, mode: 1.0, high: 1.0 },
            Shape::Uniform { low: 1.0, high: 1.0 },
            Shape::LogNormal { median: 0.0, factor: 2.0 },
            Shape::LogNormal { median: 1.0, factor: 1.0 },
        ];
        for shape in bad {
            let refused = Distribution::new(shape, Limits::default());
            assert!(matches!(refused, Err(BadDistribution::Shape(_))), "{shape:?}");
        }
        for (low, high) in [(9.0, 10.0), (1.0, -1.0), (f64::NAN, 1.0)] {
            let limits = Limits { low: Some(low), high: Some(high) };
            assert_eq!(Distribution::new(BELL, limits), Err(BadDistribution::NothingLeft));
        }
    }

    #[test]
    fn every_share_gives_a_number() {
        for share in [-1.0, 0.0, 1e-300, 0.5, 1.0, 2.0] {
            assert!(free(BELL).quantile(share).is_finite());
            let ratio = free(Shape::LogNormal { median: 1.0, factor: 2.0 });
            assert!(ratio.quantile(share) > 0.0);
        }
    }
}
