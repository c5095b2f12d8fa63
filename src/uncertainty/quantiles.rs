//! Quantiles of what was computed.

use serde::Serialize;

/// The share below a low value: one in ten.
pub const LOW: f64 = 0.1;
/// The share below a high value: one in ten lies above it.
pub const HIGH: f64 = 0.9;

/// Quantiles of a set of values.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Quantiles {
    /// 10 % of them lie below.
    pub p10: f64,
    /// Half of them lie below.
    pub p50: f64,
    /// 90 % of them lie below.
    pub p90: f64,
}

impl Quantiles {
    /// Empirical quantiles, linear between order statistics (Hyndman & Fan 1996, definition 7); zeros of
    /// no values.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Self {
        let mut values: Vec<f64> = values.into_iter().collect();
        values.sort_by(f64::total_cmp);
        let at = |share: f64| {
            let Some(last) = values.len().checked_sub(1) else {
                return 0.0;
            };
            let place = share * last as f64;
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0..=last
            let low = place.floor() as usize;
            let high = (low + 1).min(last);
            values[low] + (place - low as f64) * (values[high] - values[low])
        };
        Self { p10: at(LOW), p50: at(0.5), p90: at(HIGH) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn quantiles_are_linear_between_order_statistics() {
        // R: quantile(c(1, 2, 4, 8, 16), c(.1, .5, .9)) gives 1.4, 4, 12.8 (definition 7).
        let q = Quantiles::of([16.0, 1.0, 4.0, 2.0, 8.0]);
        assert_relative_eq!(q.p10, 1.4);
        assert_relative_eq!(q.p50, 4.0);
        assert_relative_eq!(q.p90, 12.8);
        let one = Quantiles::of([3.0]);
        assert_eq!((one.p10, one.p50, one.p90), (3.0, 3.0, 3.0));
    }
}
