//! The one axis: round ends, round steps, and words at them.

use super::cell::MILLION;
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

/// From here on an axis counts in millions: more digits have no room beside it.
const MANY: f64 = 1e7;

/// Ticks with their words: as many decimals as the step needs, and `2.5 M` where they count millions.
pub(crate) fn tick_words(ticks: &[f64]) -> Vec<(f64, String)> {
    let most = ticks.iter().fold(0.0_f64, |most, tick| most.max(tick.abs()));
    let (unit, sign) = if most >= MANY { (MILLION, "M") } else { (1.0, "") };
    let step = ticks.get(1).map_or(1.0, |second| second - ticks[0]) / unit;
    let decimals = (0..4_u8)
        .find(|&places| {
            let scaled = step * 10f64.powi(i32::from(places));
            (scaled - scaled.round()).abs() < 1e-6 * scaled.abs().max(1e-9)
        })
        .unwrap_or(3);
    let word = |tick: f64| {
        // Nothing is nothing, whatever it is counted in.
        let sign = if tick == 0.0 { "" } else { sign };
        number::with_unit(&number::fixed(tick / unit, usize::from(decimals)), sign)
    };
    ticks.iter().map(|&tick| (tick, word(tick))).collect()
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

    #[test]
    fn an_axis_of_many_digits_counts_in_millions() {
        let words = |ticks: &[f64]| tick_words(ticks).into_iter().map(|(_, word)| word).collect::<Vec<_>>();
        assert_eq!(words(&[0.0, 2e6, 4e6]), ["0", "2\u{202f}000\u{202f}000", "4\u{202f}000\u{202f}000"]);
        assert_eq!(words(&[0.0, 5e6, 10e6]), ["0", "5\u{a0}M", "10\u{a0}M"]);
        assert_eq!(words(&[0.0, 1.5e9, 3e9]), ["0", "1\u{202f}500\u{a0}M", "3\u{202f}000\u{a0}M"]);
        assert_eq!(words(&[-7.5e6, 0.0, 12.5e6])[0], "\u{2212}7.5\u{a0}M");
    }
}
