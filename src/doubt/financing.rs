//! Terms of money typed as percentages, and terms that no plant is reckoned over.

use super::Doubts;
use crate::money::{Loan, ProfitTax};

/// Rates below this, where they are not zero, are more often percentages of a percentage (assumption).
const LITTLE_RATE: f64 = 0.001;
/// A discount rate or a grant below this, where it is not zero, is typed wrong more often than meant (assumption).
const LITTLE_SHARE: f64 = 0.01;
/// Inflation and interest beyond this, a year (assumption: higher ones are of a crisis, and nobody plans by them).
const HIGH_RATE: f64 = 0.2;
/// Loans are paid back within so many years, and purchases written off (common practice, no published source).
const LONG_YEARS: u32 = 30;
/// A loan on less than this share of a purchase is hardly one (assumption).
const LITTLE_LOAN: f64 = 0.05;
/// Tax on profit lies between these where there is any (common practice, no published source).
const USUAL_TAX: (f64, f64) = (0.05, 0.6);
/// Tax on electricity beyond this share (common practice, no published source: value added tax is some 0.05 to 0.27).
const HIGH_ENERGY_TAX: f64 = 0.5;
/// No heater is judged over fewer years (assumption: shorter than any heater's life by far).
const FEWEST_YEARS: u32 = 3;

impl Doubts<'_> {
    /// Terms of money.
    pub(super) fn financing(&mut self) {
        let money = &self.study.money;
        let mut found: Vec<(&'static str, &'static str, String, &'static str)> = Vec::new();
        let little = |share: f64, least: f64| share > 0.0 && share < least;
        let discount = money.discount_rate;
        if little(discount, LITTLE_SHARE) {
            let what = format!("discount_rate is {discount}, that is {} % a year", discount * 100.0);
            found.push(("money.discount_rate", "money.discount_rate", what, "6 % is 0.06"));
        }
        if little(money.grant_share, LITTLE_SHARE) {
            let what = format!("grant_share is {}, hardly a grant", money.grant_share);
            found.push(("money.grant_share", "money.grant_share", what, "30 % is 0.3"));
        }
        if little(money.inflation, LITTLE_RATE) || money.inflation > HIGH_RATE {
            let what = format!("inflation is {}, that is {} % a year", money.inflation, money.inflation * 100.0);
            found.push(("money.inflation", "money.inflation", what, "2 % is 0.02"));
        }
        if money.years < FEWEST_YEARS {
            let what =
                format!("years is {}: what is left of a heater's life then decides more than its bills", money.years);
            found.push(("money.years", "money.years", what, "look at the years that the plant will stand, as 15"));
        }
        if let Some(Loan { share, rate, years }) = money.financing.loan {
            if little(rate, LITTLE_RATE) || rate > HIGH_RATE {
                let what = format!("the loan's rate is {rate}, that is {} % a year", rate * 100.0);
                found.push(("money.loan", "money.loan.rate", what, "5 % is 0.05"));
            }
            if share < LITTLE_LOAN {
                let what = format!("the loan pays {} % of a purchase", share * 100.0);
                found.push(("money.loan", "money.loan.share", what, "70 % is 0.7; `rate` is the interest"));
            }
            if years > LONG_YEARS {
                let what = format!("the loan is paid back in {years} years");
                found.push(("money.loan", "money.loan.years", what, "give years, not months"));
            }
        }
        if let Some(ProfitTax { rate, depreciation_years }) = money.financing.tax {
            if !(USUAL_TAX.0..=USUAL_TAX.1).contains(&rate) {
                let what = format!("tax on profit is {rate}, that is {} %", rate * 100.0);
                found.push(("money.tax", "money.tax.rate", what, "25 % is 0.25"));
            }
            if depreciation_years > LONG_YEARS {
                let what = format!("purchases are written off in {depreciation_years} years");
                found.push(("money.tax", "money.tax.depreciation_years", what, "give years, not months"));
            }
        }
        let tax = self.study.carriers.electricity.tax;
        if tax > HIGH_ENERGY_TAX {
            let what = format!("tax_share is {tax}: tax of {} % on every bill", tax * 100.0);
            found.push(("tariff.tax", "carrier.electricity.tariff.tax_share", what, "10 % is 0.10"));
        }
        let barely: Vec<String> = money
            .escalation
            .iter()
            .filter(|(_, rise)| rise.abs() > 0.0 && rise.abs() < LITTLE_RATE)
            .map(|(name, _)| format!("money.escalation.{name}"))
            .collect();
        for (code, path, what, cure) in found {
            self.doubt(code, path, what, cure);
        }
        for path in barely {
            let what = "a price that rises by less than a tenth of a percent a year".to_owned();
            self.doubt("money.escalation", &path, what, "2 % is 0.02");
        }
    }
}
