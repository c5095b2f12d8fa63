//! Money in whole minor units (cents), so that lines add to their totals without drift.

use super::currency::Currency;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub};

/// A sum of money in minor units of some [`Currency`]: cents, fils, or whole yen.
///
/// [`Currency::amount`] makes one and keeps each within ±2^53 minor units, so that a thousand of them
/// add without overflow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Amount(i64);

/// Largest size of one amount, minor units: beyond it a `f64` no longer counts them one by one.
const LARGEST: f64 = 9_007_199_254_740_992.0;

/// A sum of money that cannot be held.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{value} is no sum of money; it must be a number below 9e15 in minor units")]
pub struct NoAmount {
    /// What was to be rounded.
    pub value: f64,
}

impl Amount {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// So many minor units.
    pub const fn from_minor(minor: i64) -> Self {
        Self(minor)
    }

    /// The number of minor units.
    pub const fn minor(self) -> i64 {
        self.0
    }

    /// Splits this amount by weights so that the parts add to it exactly: each part is rounded down,
    /// and the minor units left over go to the largest remainders, the earlier part first. Weights are
    /// taken as they are, at least 0; if they give no
    /// shares (all 0, say) the parts are equal. No weights give no parts.
    pub fn split(self, weights: &[f64]) -> Vec<Self> {
        let usable = |weight: &f64| {
            if weight.is_finite() { weight.max(0.0) } else { 0.0 }
        };
        let sum: f64 = weights.iter().map(usable).sum();
        let size = self.0.abs();
        let exact: Vec<f64> = weights
            .iter()
            .map(|weight| {
                if sum > 0.0 && sum.is_finite() {
                    size as f64 * (usable(weight) / sum)
                } else {
                    size as f64 / weights.len() as f64
                }
            })
            .collect();
        #[allow(clippy::cast_possible_truncation)] // at most `size`, which is an i64
        let mut parts: Vec<i64> = exact.iter().map(|part| part.floor() as i64).collect();
        let mut by_remainder: Vec<usize> = (0..parts.len()).collect();
        by_remainder.sort_by(|&a, &b| exact[b].fract().total_cmp(&exact[a].fract()));
        let mut left = size - parts.iter().sum::<i64>();
        for &index in by_remainder.iter().cycle() {
            if left == 0 {
                break;
            }
            // Rounding of very large sums can leave a unit too many as well as too few.
            parts[index] += left.signum();
            left -= left.signum();
        }
        let sign = self.0.signum();
        parts.into_iter().map(|part| Self(sign * part)).collect()
    }
}

impl Currency {
    /// Rounds to the currency's minor unit, half to even: 0.125 is 0.12, and 0.135 is 0.14. A value
    /// that is a tie in the decimals people write counts as one, though its binary form lies a hair
    /// to one side.
    pub fn amount(self, value: f64) -> Result<Amount, NoAmount> {
        let scaled = value * self.minor_per_major();
        if !scaled.is_finite() || scaled.abs() >= LARGEST {
            return Err(NoAmount { value });
        }
        let tie = scaled.floor() + 0.5;
        let hair = 4.0 * f64::EPSILON * scaled.abs();
        let rounded = if (scaled - tie).abs() <= hair { tie.round_ties_even() } else { scaled.round_ties_even() };
        #[allow(clippy::cast_possible_truncation)] // below 2^53
        Ok(Amount(rounded as i64))
    }

    /// The amount as a number in major units (dollars, not cents).
    pub fn value(self, amount: Amount) -> f64 {
        amount.0 as f64 / self.minor_per_major()
    }

    /// The amount for people: `$1,234.50`, `−€3.00`, `CHF 12.00`, `¥1,200`. The sign is a minus sign,
    /// and the space after a code does not break.
    pub fn show(self, amount: Amount) -> String {
        let decimals = usize::from(self.decimals());
        let digits = format!("{:0>width$}", amount.0.unsigned_abs(), width = decimals + 1);
        let (major, minor) = digits.split_at(digits.len() - decimals);
        let sign = if amount.0 < 0 { "\u{2212}" } else { "" };
        let point = if decimals > 0 { "." } else { "" };
        let symbol = self.symbol();
        let space = if symbol.ends_with(char::is_alphabetic) { "\u{a0}" } else { "" };
        format!("{sign}{symbol}{space}{}{point}{minor}", grouped(major))
    }
}

/// Digits in groups of three: `1,234,567`.
fn grouped(digits: &str) -> String {
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

impl Add for Amount {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Amount {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Amount {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Amount {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Sum for Amount {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn currency(code: &str) -> Currency {
        code.parse().unwrap()
    }

    #[test]
    fn halves_go_to_the_even_cent() {
        let usd = currency("USD");
        for (value, minor) in [
            (0.125, 12),
            (0.135, 14),
            (0.145, 14),
            (1.005, 100),
            (1.015, 102),
            (2.675, 268),
            (-0.125, -12),
            (-1.015, -102),
            (0.1 + 0.2, 30),
            (0.1249999, 12),
            (0.1250001, 13),
            (-0.0, 0),
        ] {
            assert_eq!(usd.amount(value).unwrap().minor(), minor, "{value}");
        }
    }

    #[test]
    fn what_is_no_money_is_refused() {
        for value in [f64::NAN, f64::INFINITY, 1e14, -1e300] {
            assert!(currency("USD").amount(value).is_err(), "{value}");
        }
    }

    #[test]
    fn amounts_read_with_their_own_symbol_and_decimals() {
        for (code, value, shown) in [
            ("USD", 1234567.5, "$1,234,567.50"),
            ("EUR", -3.0, "\u{2212}€3.00"),
            ("CHF", 12.0, "CHF\u{a0}12.00"),
            ("JPY", 1200.4, "¥1,200"),
            ("KWD", 0.0005, "KWD\u{a0}0.000"),
            ("KWD", 0.0015, "KWD\u{a0}0.002"),
            ("AUD", 0.05, "A$0.05"),
            ("USD", -0.001, "$0.00"),
            ("GBP", 999.999, "£1,000.00"),
        ] {
            let currency = currency(code);
            assert_eq!(currency.show(currency.amount(value).unwrap()), shown);
        }
    }

    #[test]
    fn a_split_gives_the_cents_left_over_to_the_largest_remainders() {
        let parts = Amount::from_minor(100).split(&[1.0, 1.0, 1.0]);
        assert_eq!(parts, [34, 33, 33].map(Amount::from_minor));
        let parts = Amount::from_minor(-100).split(&[1.0, 2.0]);
        assert_eq!(parts, [-33, -67].map(Amount::from_minor));
        assert!(Amount::from_minor(5).split(&[]).is_empty());
        let parts = Amount::from_minor(5).split(&[0.0, f64::NAN]);
        assert_eq!(parts, [3, 2].map(Amount::from_minor));
        let parts = Amount::from_minor(6).split(&[f64::MAX, f64::MAX]);
        assert_eq!(parts, [3, 3].map(Amount::from_minor));
    }

    proptest! {
        #[test]
        fn parts_add_to_the_whole(
            minor in -9_000_000_000_000_000i64..9_000_000_000_000_000,
            weights in prop::collection::vec(0.0..1e6f64, 1..20),
        ) {
            let whole = Amount::from_minor(minor);
            let parts = whole.split(&weights);
            prop_assert_eq!(parts.into_iter().sum::<Amount>(), whole);
        }

        #[test]
        fn an_amount_survives_its_way_through_a_number(minor in -1_000_000_000_000i64..1_000_000_000_000) {
            for code in ["USD", "JPY", "KWD"] {
                let currency = currency(code);
                let amount = Amount::from_minor(minor);
                prop_assert_eq!(currency.amount(currency.value(amount)).unwrap(), amount);
            }
        }
    }
}
