//! How sure: the spread over weather years.

use super::reckoned::{Reckoned, over};
use crate::ledger::Account;
use crate::report::figures::{Quantiles, UncertaintyFigures};
use crate::study::Study;

pub(super) fn uncertainty(
    study: &Study,
    all: &[Reckoned<'_>],
    base: usize,
    place: usize,
) -> UncertaintyFigures {
    let option = &all[place];
    let (totals, baseline) = (option.totals(study), all[base].totals(study));
    // Paired: each year's bill against the baseline's bill of the same year.
    let cheaper = totals
        .iter()
        .zip(&baseline)
        .filter(|(own, base)| own < base)
        .count();
    let of =
        |value: &dyn Fn(&Account) -> f64| quantiles(option.accounts.iter().map(value).collect());
    UncertaintyFigures {
        weather_years: totals.len(),
        cheaper_than_baseline_pct: over(cheaper as f64, totals.len() as f64) * 100.0,
        total_cost: quantiles(totals),
        heat_need_kwh: of(&|account| account.heat_need_kwh),
        purchased_kwh: of(&Account::purchased_kwh),
    }
}

/// Empirical quantiles, linear between order statistics (Hyndman & Fan 1996, definition 7).
fn quantiles(mut values: Vec<f64>) -> Quantiles {
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
    Quantiles {
        p10: at(0.1),
        p50: at(0.5),
        p90: at(0.9),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn quantiles_are_linear_between_order_statistics() {
        // R: quantile(c(1, 2, 4, 8, 16), c(.1, .5, .9)) gives 1.4, 4, 12.8 (definition 7).
        let q = quantiles(vec![16.0, 1.0, 4.0, 2.0, 8.0]);
        assert_relative_eq!(q.p10, 1.4);
        assert_relative_eq!(q.p50, 4.0);
        assert_relative_eq!(q.p90, 12.8);
        let one = quantiles(vec![3.0]);
        assert_eq!((one.p10, one.p50, one.p90), (3.0, 3.0, 3.0));
    }
}
