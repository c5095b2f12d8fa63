//! The one axis: round ends, round steps, and words at them.

use crate::number;
use std::ops::Range;

/// Round values that cover 0 (or `low`) to `high` in about so many steps, and the end of the range
/// that they ask for. A range of nothing becomes 0 to 1.
pub(crate) fn round_scale(low: f64, high: f64, about: usize) -> (Range<f64>, Vec<f64>) {
    let (low, high) = if high > low && (high - low).is_finite() {
        (low, high)
    } else if low.is_finite() {
        (low, low + 1.0)
    } else {
        (0.0, 1.0)
    };
    let rough = (high - low) / about.max(1) as f64;
    let size = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 2.5, 5.0, 10.0]
        .into_iter()
        .map(|times| times * size)
        .find(|step| *step >= rough * 0.999)
        .unwrap_or(10.0 * size);
    let first = (low / step + 1e-9).floor();
    let last = (high / step - 1e-9).ceil();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few steps
    let count = (last - first) as usize;
    let ticks: Vec<f64> = (0..=count).map(|at| (first + at as f64) * step).collect();
    (first * step..last * step, ticks)
}

/// Ticks with their words: as many decimals as the step needs.
pub(crate) fn tick_words(ticks: &[f64]) -> Vec<(f64, String)> {
    let step = ticks.get(1).map_or(1.0, |second| second - ticks[0]);
    let decimals = (0..4)
        .find(|&places| {
            let scaled = step * 10f64.powi(places);
            (scaled - scaled.round()).abs() < 1e-6 * scaled.abs().max(1e-9)
        })
        .unwrap_or(3);
    ticks
        .iter()
        .map(|&tick| {
            let places = usize::try_from(decimals).unwrap_or(0);
            (tick, number::fixed(tick, places))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_round_and_cover_their_values() {
        let (range, ticks) = round_scale(0.0, 93.0, 4);
        assert_eq!(range, 0.0..100.0);
        assert_eq!(ticks, [0.0, 25.0, 50.0, 75.0, 100.0]);
        let (range, _) = round_scale(-3.0, 17.0, 4);
        assert!(range.start <= -3.0 && range.end >= 17.0);
        assert_eq!(round_scale(0.0, 0.0, 4).0, 0.0..1.0);
        assert_eq!(round_scale(f64::NAN, 0.0, 4).0, 0.0..1.0);
    }
}
