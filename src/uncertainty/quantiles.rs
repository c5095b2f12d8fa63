//! How far what was computed ranges.

use schemars::JsonSchema;
use serde::Serialize;
use std::cmp::Ordering;

/// The share below a low value: one in ten.
pub(crate) const LOW: f64 = 0.1;
/// The share below a high value: one in ten lies above it.
pub(crate) const HIGH: f64 = 0.9;
/// From fewer weather years or draws than this nothing is said of one in ten: the lowest and the highest stand
/// instead. With ten, one lies in each tenth.
pub(crate) const LEAST_CASES: usize = 10;
/// Values within this share of each other read as one in three figures.
const SAME_SHARE: f64 = 5e-4;

/// What a range is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Cases {
    /// So many weather years.
    Years(usize),
    /// So many draws, each in every weather year.
    Draws(usize),
}

impl Cases {
    /// How many.
    pub(crate) fn count(self) -> usize {
        match self {
            Self::Years(count) | Self::Draws(count) => count,
        }
    }
}

impl Default for Cases {
    fn default() -> Self {
        Self::Years(0)
    }
}

/// How far a set of values ranges.
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct Quantiles {
    /// 10 % of them lie below; null of fewer than ten years or draws.
    pub p10: Option<f64>,
    /// Half of them lie below.
    pub p50: f64,
    /// 90 % of them lie below; null of fewer than ten years or draws.
    pub p90: Option<f64>,
    /// The lowest.
    pub lowest: f64,
    /// The highest.
    pub highest: f64,
    /// What they are over: `years` or `draws`, and how many.
    #[serde(flatten)]
    pub cases: Cases,
}

impl Quantiles {
    /// Empirical quantiles, linear between order statistics (Hyndman & Fan 1996, definition 7); zeros of
    /// no values.
    pub(crate) fn of(values: impl IntoIterator<Item = f64>, cases: Cases) -> Self {
        let mut values: Vec<f64> = values.into_iter().collect();
        values.sort_by(f64::total_cmp);
        let one_in_ten = |share: f64| (cases.count() >= LEAST_CASES).then(|| at(&values, share));
        Self {
            p10: one_in_ten(LOW),
            p50: at(&values, 0.5),
            p90: one_in_ten(HIGH),
            lowest: at(&values, 0.0),
            highest: at(&values, 1.0),
            cases,
        }
    }

    /// The P10, or the lowest where there is none.
    pub(crate) fn low(&self) -> f64 {
        self.p10.unwrap_or(self.lowest)
    }

    /// The P90, or the highest where there is none.
    pub(crate) fn high(&self) -> f64 {
        self.p90.unwrap_or(self.highest)
    }

    /// True if its ends are the P10 and the P90.
    pub(crate) fn has_tenths(&self) -> bool {
        self.p10.is_some() && self.p90.is_some()
    }

    /// On which side of its two ends a value lies; equal within them, and so near to one that three figures do not tell.
    pub(crate) fn side_of(&self, value: f64) -> Ordering {
        let is_above = |one: f64, other: f64| one - other > SAME_SHARE * other.abs();
        if is_above(self.low(), value) {
            Ordering::Less
        } else if is_above(value, self.high()) {
            Ordering::Greater
        } else {
            Ordering::Equal
        }
    }

    /// The same in another unit.
    #[must_use]
    pub(crate) fn times(self, factor: f64) -> Self {
        Self {
            p10: self.p10.map(|value| value * factor),
            p50: self.p50 * factor,
            p90: self.p90.map(|value| value * factor),
            lowest: self.lowest * factor,
            highest: self.highest * factor,
            cases: self.cases,
        }
    }
}

/// The quantile of values in rising order.
fn at(values: &[f64], share: f64) -> f64 {
    let Some(last) = values.len().checked_sub(1) else {
        return 0.0;
    };
    let place = share * last as f64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0..=last
    let low = place.floor() as usize;
    let high = (low + 1).min(last);
    values[low] + (place - low as f64) * (values[high] - values[low])
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn quantiles_are_linear_between_order_statistics() {
        // R: quantile(c(1, 2, 4, 8, 16), c(.1, .5, .9)) gives 1.4, 4, 12.8 (definition 7).
        let q = Quantiles::of([16.0, 1.0, 4.0, 2.0, 8.0], Cases::Draws(10));
        assert_relative_eq!(q.p10.unwrap(), 1.4);
        assert_relative_eq!(q.p50, 4.0);
        assert_relative_eq!(q.p90.unwrap(), 12.8);
        assert_eq!((q.lowest, q.highest), (1.0, 16.0));
    }

    #[test]
    fn a_value_lies_within_a_range_or_on_a_side_of_it() {
        let range = Quantiles::of([1000.0, 2000.0], Cases::Draws(2));
        let sides = [900.0, 999.0, 999.9, 1500.0, 2000.9, 2002.0].map(|value| range.side_of(value));
        let (less, equal, greater) = (Ordering::Less, Ordering::Equal, Ordering::Greater);
        assert_eq!(sides, [less, less, equal, equal, equal, greater]);
    }

    #[test]
    fn fewer_than_ten_years_have_a_lowest_and_a_highest_alone() {
        for (years, has_tenths) in [(1_u32, false), (2, false), (9, false), (10, true)] {
            let bills = (0..years).map(f64::from);
            let q = Quantiles::of(bills, Cases::Years(years as usize));
            assert_eq!(q.has_tenths(), has_tenths, "{years}");
            assert_eq!((q.lowest, q.highest), (0.0, f64::from(years) - 1.0));
            let low = if has_tenths { 0.9 } else { 0.0 };
            assert_relative_eq!(q.low(), low, epsilon = 1e-12);
            assert_relative_eq!(q.high(), f64::from(years) - 1.0 - low, epsilon = 1e-12);
        }
    }
}
