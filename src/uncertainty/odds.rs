//! Paired odds, and how far so many draws can know them.

use schemars::JsonSchema;
use serde::Serialize;
use statrs::distribution::{Beta, ContinuousCDF};

/// In how many draws something held, and between which shares of all draws there could be that says it lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct DrawOdds {
    /// Draws in which it held.
    pub in_draws: usize,
    /// Of so many.
    pub of_draws: usize,
    /// At least this share, 0..1, with 95 % confidence.
    pub low: f64,
    /// At most this share, 0..1, with 95 % confidence.
    pub high: f64,
    /// The draw from which on the running share stays within [`STEADY_SHARE`] of the last; null where it still
    /// moved in the second half of the draws, or there are fewer than `LEAST_STEADY`.
    pub steady_from: Option<usize>,
}

/// One-sided confidence of each bound.
const CONFIDENCE: f64 = 0.95;
/// How far a running share may move and still be steady: five percentage points.
pub(crate) const STEADY_SHARE: f64 = 0.05;
/// How far a running quantile may move, as a share of the last, and still be steady.
pub(crate) const STEADY_RANGE: f64 = 0.02;
/// Fewer draws say nothing about what is steady.
pub(super) const LEAST_STEADY: usize = 20;

impl DrawOdds {
    /// Of draws in their order; true where it held.
    ///
    /// The bounds are exact for independent draws: of `k` in `n`, the low is the 5 % point of the beta distribution
    /// with `k` and `n - k + 1`, the high the 95 % point with `k + 1` and `n - k` (Clopper & Pearson 1934,
    /// Biometrika 26:404-413; from memory, not verified). Draws of a Latin hypercube fill the ranges more evenly
    /// than that, so that they know rather more than the bounds say.
    pub(crate) fn of(held: &[bool]) -> Self {
        let (in_draws, of_draws) = (held.iter().filter(|held| **held).count(), held.len());
        let (low, high) = bounds(in_draws, of_draws);
        let mut count = 0.0;
        let running = held.iter().enumerate().map(|(at, held)| {
            count += f64::from(u8::from(*held));
            count / (at + 1) as f64
        });
        let running: Vec<f64> = running.collect();
        Self { in_draws, of_draws, low, high, steady_from: steady_from(&running, STEADY_SHARE) }
    }

    /// Share of the draws, 0..1; zero of none.
    pub(crate) fn share(&self) -> f64 {
        if self.of_draws == 0 { 0.0 } else { self.in_draws as f64 / self.of_draws as f64 }
    }
}

/// The bounds of a share of which `hits` in `draws` were seen.
fn bounds(hits: usize, draws: usize) -> (f64, f64) {
    let point = |a: usize, b: usize, share: f64, none: f64| {
        if a == 0 || b == 0 {
            return none;
        }
        Beta::new(a as f64, b as f64).map_or(none, |beta| beta.inverse_cdf(share))
    };
    let missed = draws - hits;
    if draws == 0 {
        return (0.0, 1.0);
    }
    (point(hits, missed + 1, 1.0 - CONFIDENCE, 0.0), point(hits + 1, missed, CONFIDENCE, 1.0))
}

/// The first of these running values, counted from 1, from which on all lie within `width` of the last; `None`
/// where that is in their second half, or there are few.
pub(crate) fn steady_from(running: &[f64], width: f64) -> Option<usize> {
    let last = *running.last().filter(|_| running.len() >= LEAST_STEADY)?;
    let off = running.iter().rposition(|one| (one - last).abs() > width);
    let first = off.map_or(1, |off| off + 2);
    (first <= running.len() / 2).then_some(first)
}

/// Share of pairs in which the first is below the second, 0..1: both saw the same draw, so that what moves
/// both alike says nothing about which is better. Equal ones do not count; zero of no pairs.
pub(crate) fn share_below(own: &[f64], other: &[f64]) -> f64 {
    let pairs = own.len().min(other.len());
    if pairs == 0 {
        return 0.0;
    }
    let below = own.iter().zip(other).filter(|(own, other)| own < other);
    below.count() as f64 / pairs as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn pairs_are_compared_one_by_one() {
        // Each range covers the other's, and yet the first is always the cheaper.
        assert_eq!(share_below(&[1.0, 5.0, 9.0], &[2.0, 6.0, 10.0]), 1.0);
        assert_eq!(share_below(&[1.0, 7.0], &[2.0, 7.0]), 0.5);
        assert_eq!(share_below(&[], &[]), 0.0);
    }

    /// Of n in n the bound has a closed form, 0.05^(1/n). The rest: `scipy.stats.beta.ppf(0.05, 10, 11)` and
    /// `beta.ppf(0.95, 11, 10)`, and `beta.ppf(0.05, 45, 4)`, `beta.ppf(0.95, 46, 3)` (scipy 1.x).
    #[test]
    fn odds_carry_their_exact_interval() {
        for draws in [6, 48, 256] {
            let (low, high) = bounds(draws, draws);
            assert_relative_eq!(low, 0.05_f64.powf(1.0 / draws as f64), epsilon = 1e-9);
            assert_eq!(high, 1.0);
            let (low, high) = bounds(0, draws);
            assert_eq!(low, 0.0);
            assert_relative_eq!(high, 1.0 - 0.05_f64.powf(1.0 / draws as f64), epsilon = 1e-9);
        }
        let (low, high) = bounds(10, 20);
        assert_relative_eq!(low, 0.301953911, epsilon = 1e-6);
        assert_relative_eq!(high, 0.698046089, epsilon = 1e-6);
        let (low, high) = bounds(45, 48);
        assert_relative_eq!(low, 0.846311001, epsilon = 1e-6);
        assert_relative_eq!(high, 0.982749667, epsilon = 1e-6);
        assert_eq!(bounds(0, 0), (0.0, 1.0));
    }

    #[test]
    fn a_share_is_steady_from_the_draw_after_its_last_move() {
        let mut held = vec![false; 4];
        held.extend([true; 36]);
        // 4 misses: the running share passes 0.85 (0.90 less 0.05) at 27 draws of 40, in the second half.
        assert_eq!(DrawOdds::of(&held).steady_from, None);
        held.extend([true; 160]);
        // Of 200 the share is 0.98; 0.93 is passed at 58 draws (54/58 = 0.931).
        assert_eq!(DrawOdds::of(&held).steady_from, Some(58));
        assert_eq!(DrawOdds::of(&[true; 30]).steady_from, Some(1));
        assert_eq!(DrawOdds::of(&[true; 19]).steady_from, None, "too few to say");
    }
}
