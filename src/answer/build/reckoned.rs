//! An option with everything reckoned from its books, and the means over its weather years.

use super::made_of::Unreckoned;
use super::months::{OfMonth, months, sum_carriers, sum_money};
use crate::answer::figures::{CarrierFigures, MonthFigures};
use crate::ledger::{Account, Book};
use crate::money::{ELECTRICITY, EnergyUse, SeasonBill, StandingCharges};
use crate::study::Study;
use std::collections::BTreeMap;
use std::slice::from_ref;

/// Accounts and bills of weather years whose books need not be kept.
#[derive(Default)]
pub(in crate::answer) struct Tally {
    pub accounts: Vec<Account>,
    pub bills: Vec<SeasonBill>,
    /// Energy used, and whose it was.
    energy: Vec<EnergyUse>,
    /// Each year by the months of its bill.
    by_month: Vec<Vec<OfMonth>>,
}

impl Tally {
    /// Adds a weather year; gives its account and its bill.
    pub(in crate::answer) fn add(&mut self, study: &Study, book: &Book) -> Result<(&Account, &SeasonBill), Unreckoned> {
        let at = self.accounts.len();
        let bill = SeasonBill::of(book, &study.carriers, study.currency)?;
        let account = Account::of_all(book);
        self.energy.push(EnergyUse { used_kwh: account.used_kwh(), own_kwh: bill.own_kwh() });
        self.by_month.push(OfMonth::all(book, &bill));
        self.accounts.push(account);
        self.bills.push(bill);
        Ok((&self.accounts[at], &self.bills[at]))
    }

    /// The mean of the weather years by month.
    pub(super) fn months(&self, study: &Study) -> Vec<MonthFigures> {
        months(study.currency, &study.carriers, &self.by_month, &self.bills)
    }
}

/// An option with everything reckoned from its books.
pub(super) struct Reckoned<'a> {
    pub books: &'a [Book],
    pub accounts: Vec<Account>,
    pub bills: Vec<SeasonBill>,
    /// Energy used, and whose it was, one a weather year.
    pub energy: Vec<EnergyUse>,
    by_month: Vec<Vec<OfMonth>>,
    pub months: Vec<MonthFigures>,
}

pub(super) fn reckon<'a>(study: &Study, books: &'a [Book]) -> Result<Reckoned<'a>, Unreckoned> {
    let mut tally = Tally::default();
    for book in books {
        tally.add(study, book)?;
    }
    let months = tally.months(study);
    let Tally { accounts, bills, energy, by_month } = tally;
    Ok(Reckoned { books, accounts, bills, energy, by_month, months })
}

impl Reckoned<'_> {
    /// Mean over the weather years.
    pub(super) fn mean(&self, of: impl Fn(&Account) -> f64) -> f64 {
        mean(self.accounts.iter().map(of))
    }

    /// Mean energy of the weather years.
    pub(super) fn mean_energy(&self) -> EnergyUse {
        EnergyUse {
            used_kwh: mean(self.energy.iter().map(|year| year.used_kwh)),
            own_kwh: mean(self.energy.iter().map(|year| year.own_kwh)),
        }
    }

    /// Its carriers over a mean season, each with what the rest of the year is billed.
    pub(super) fn carriers(&self) -> BTreeMap<String, CarrierFigures> {
        let mut all = sum_carriers(&self.months);
        for (name, carrier) in &mut all {
            carrier.fixed_outside_bill = Some(mean(self.bills.iter().map(|bill| standing_of(&bill.standing, name))));
        }
        all
    }

    /// Months of a year that the bill does not reach, the mean of the weather years.
    pub(super) fn months_outside_bill(&self) -> f64 {
        mean(self.bills.iter().map(|bill| f64::from(bill.standing.months)))
    }

    /// Carbon of a season, the mean of the weather years, kg CO2e.
    pub(super) fn carbon_kg(&self) -> f64 {
        sum_carriers(&self.months).values().map(|carrier| carrier.carbon_kg).sum()
    }

    /// Carbon of each weather year's season, kg CO2e.
    pub(super) fn carbon_kg_by_year(&self, study: &Study) -> Vec<f64> {
        let of = |(parts, bill)| {
            let months = months(study.currency, &study.carriers, from_ref(parts), from_ref(bill));
            sum_carriers(&months).values().map(|carrier| carrier.carbon_kg).sum()
        };
        self.by_month.iter().zip(&self.bills).map(of).collect()
    }

    /// Bill of a season, the mean of the weather years.
    pub(super) fn bill(&self) -> f64 {
        sum_money(&self.months, |month| month.total_cost)
    }

    /// Highest hour of electricity of all weather years, kW.
    pub(super) fn electric_peak_kw(&self) -> f64 {
        self.accounts.iter().map(|account| account.electric_peak_kw).fold(0.0, f64::max)
    }

    pub(super) fn mean_credit_money(&self) -> f64 {
        mean(self.bills.iter().map(|bill| bill.months.iter().map(|m| m.credit_money).sum()))
    }

    pub(super) fn dried_t(&self) -> f64 {
        mean(self.books.iter().map(|book| book.tonnage.dried_kg)) / 1000.0
    }

    pub(super) fn totals(&self, study: &Study) -> Vec<f64> {
        self.bills.iter().map(|bill| study.currency.value(bill.total())).collect()
    }
}

/// What the rest of a year is billed of a carrier.
fn standing_of(standing: &StandingCharges, carrier: &str) -> f64 {
    if carrier == ELECTRICITY { standing.electricity } else { standing.fuels.get(carrier).copied().unwrap_or(0.0) }
}

/// Mean of a specific energy over the years that have one.
pub(super) fn over_water(option: &Reckoned<'_>, of: impl Fn(&Account, EnergyUse) -> Option<f64>) -> Option<f64> {
    let years = option.accounts.iter().zip(&option.energy);
    let values: Vec<f64> = years.filter_map(|(account, energy)| of(account, *energy)).collect();
    (!values.is_empty()).then(|| mean(values.iter().copied()))
}

pub(super) fn mean(values: impl ExactSizeIterator<Item = f64>) -> f64 {
    let count = values.len();
    if count == 0 { 0.0 } else { values.sum::<f64>() / count as f64 }
}

/// Share of a whole; zero of nothing.
pub(super) fn over(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}
