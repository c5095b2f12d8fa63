//! Present values: what a later sum is worth today, after NIST Handbook 135 (1995, 2020) as public texts
//! quote it.

/// Present value of 1 paid once at the end of year `n` (single present value): `(1 + d)^-n`.
pub fn single_present_value(discount_rate: f64, year: u32) -> f64 {
    (1.0 + discount_rate).powf(-f64::from(year))
}

/// Present value of 1 paid at the end of each year (uniform present value):
/// `((1 + d)^n - 1) / (d (1 + d)^n)`, and `n` when `d` is 0.
pub fn uniform_present_value(discount_rate: f64, years: u32) -> f64 {
    escalating_present_value(discount_rate, 0.0, years)
}

/// Present value of yearly sums that are 1 at base-year prices and rise by `escalation` from the first
/// year on (modified uniform present value, UPV*): `(1+e)/(d-e) (1 - ((1+e)/(1+d))^n)`, and `n` when
/// `d` is `e`. Summed year by year, which has no singular point.
pub fn escalating_present_value(discount_rate: f64, escalation: f64, years: u32) -> f64 {
    let ratio = (1.0 + escalation) / (1.0 + discount_rate);
    let mut factor = 1.0;
    (0..years)
        .map(|_| {
            factor *= ratio;
            factor
        })
        .sum()
}

/// How the future is discounted. Escalations in a plan are stated on the same footing as the rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Discount {
    /// A rate without inflation; escalations are those above inflation.
    Real {
        /// Share a year.
        rate: f64,
    },
    /// A rate with inflation in it; escalations include it too, and whatever has no escalation of its
    /// own (upkeep, replacements, residuals) rises with inflation.
    Nominal {
        /// Share a year.
        rate: f64,
        /// Share a year.
        inflation: f64,
    },
}

impl Discount {
    /// A rate without inflation, put with this inflation in it.
    pub fn with_inflation(self, inflation: f64) -> Self {
        Self::Nominal { rate: (1.0 + self.real_rate()) * (1.0 + inflation) - 1.0, inflation }
    }

    /// The rate as stated.
    pub const fn rate(self) -> f64 {
        match self {
            Self::Real { rate } | Self::Nominal { rate, .. } => rate,
        }
    }

    /// The rate without inflation: `(1 + d) / (1 + i) - 1`.
    pub fn real_rate(self) -> f64 {
        (1.0 + self.rate()) / (1.0 + self.price_growth()) - 1.0
    }

    /// How prices without an escalation of their own grow, share a year.
    pub const fn price_growth(self) -> f64 {
        match self {
            Self::Real { .. } => 0.0,
            Self::Nominal { inflation, .. } => inflation,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn escalation_at_the_discount_rate_counts_the_years() {
        assert_relative_eq!(escalating_present_value(0.05, 0.05, 20), 20.0, epsilon = 1e-12);
        assert_relative_eq!(uniform_present_value(0.0, 12), 12.0);
        assert_eq!(uniform_present_value(0.08, 0), 0.0);
    }

    #[test]
    fn the_sum_is_the_closed_form_away_from_its_singular_point() {
        let (d, e, n) = (0.08_f64, 0.03_f64, 15);
        let ratio: f64 = (1.0 + e) / (1.0 + d);
        let closed = (1.0 + e) / (d - e) * (1.0 - ratio.powi(n));
        assert_relative_eq!(escalating_present_value(d, e, 15), closed, epsilon = 1e-12);
    }

    #[test]
    fn a_nominal_rate_without_its_inflation_is_real() {
        let discount = Discount::Nominal { rate: 1.05 * 1.02 - 1.0, inflation: 0.02 };
        assert_relative_eq!(discount.real_rate(), 0.05, epsilon = 1e-12);
    }
}
