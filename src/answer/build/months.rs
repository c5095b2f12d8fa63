//! The months of an option's bill, and what they add up to.
//!
//! A month here is a month of the bill ([`crate::money::BillingDays`]): energy, water and money of one row belong
//! to the same hours. Months of two years are two rows, whatever the names they share.

use crate::answer::figures::{CarrierFigures, MonthFigures};
use crate::ledger::{Account, Book, Entry};
use crate::money::{Amount, Carriers, Currency, ELECTRICITY, EnergyUse, SeasonBill, SiteMonth};
use std::collections::{BTreeMap, BTreeSet};

/// Months in their order, each the mean over the weather years. The cells of a table of months add to the mean
/// of the years' bills to the minor unit ([`Rounding`]).
pub(super) fn months(
    currency: Currency,
    carriers: &Carriers,
    parts: &[Vec<OfMonth>],
    bills: &[SeasonBill],
) -> Vec<MonthFigures> {
    let places: BTreeSet<i32> = bills.iter().flat_map(places_of).collect();
    let mut rounding = Rounding::over(parts.len());
    places.into_iter().map(|place| Month::of(place, parts, bills).figures(currency, carriers, &mut rounding)).collect()
}

/// A book's hours of one month of its bill.
pub(super) struct OfMonth {
    /// Year and month (1..12).
    month: (i32, u32),
    account: Account,
    /// True if any of them is in the drying season.
    in_season: bool,
}

impl OfMonth {
    /// All months of a book's bill.
    pub(super) fn all(book: &Book, bill: &SeasonBill) -> Vec<Self> {
        let month_of = |hour: &Entry| bill.days.month(hour.starts);
        let in_season: BTreeSet<(i32, u32)> =
            book.hours.iter().filter(|hour| hour.in_season).map(|hour| month_of(&hour)).collect();
        let of = |(month, account)| Self { month, account, in_season: in_season.contains(&month) };
        Account::by(book, month_of).into_iter().map(of).collect()
    }
}

/// Months that a bill has, counted from its first.
fn places_of(bill: &SeasonBill) -> impl Iterator<Item = i32> {
    bill.months.iter().map(|month| place(bill, (month.year, month.month)))
}

/// Months between a bill's first and this one.
fn place(bill: &SeasonBill, (year, month): (i32, u32)) -> i32 {
    let count = |year: i32, month: u32| year * 12 + i32::try_from(month).unwrap_or(0);
    bill.months.first().map_or(0, |first| count(year, month) - count(first.year, first.month))
}

/// One month over all weather years that have it.
struct Month<'a> {
    /// Calendar years since the season's first month, from 0.
    years_on: i32,
    /// Its name: 1..12.
    of_year: u32,
    accounts: Vec<&'a Account>,
    bills: Vec<&'a SiteMonth>,
    in_season: bool,
    /// Weather years, those without this month too.
    years: f64,
}

impl<'a> Month<'a> {
    fn of(wanted: i32, parts: &'a [Vec<OfMonth>], bills: &'a [SeasonBill]) -> Self {
        let mut month = Self {
            years_on: 0,
            of_year: 0,
            accounts: Vec::new(),
            bills: Vec::new(),
            in_season: false,
            years: parts.len().max(1) as f64,
        };
        for (parts, bill) in parts.iter().zip(bills) {
            let is_wanted = |line: &&SiteMonth| place(bill, (line.year, line.month)) == wanted;
            let (Some(line), Some(first)) = (bill.months.iter().find(is_wanted), bill.months.first()) else {
                continue;
            };
            (month.years_on, month.of_year) = (line.year - first.year, line.month);
            for part in parts.iter().filter(|part| part.month == (line.year, line.month)) {
                month.accounts.push(&part.account);
                month.in_season |= part.in_season;
            }
            month.bills.push(line);
        }
        month
    }

    /// Mean over the weather years of what each account of the month has.
    fn mean(&self, of: impl Fn(&Account) -> f64) -> f64 {
        self.accounts.iter().copied().map(of).sum::<f64>() / self.years
    }

    fn figures(&self, currency: Currency, carriers: &Carriers, rounding: &mut Rounding) -> MonthFigures {
        let mut cell = |of: &dyn Fn(&SiteMonth) -> Amount| rounding.cell(self.bills.iter().map(|line| of(line)).sum());
        let energy = cell(&|line| line.electricity.energy_cost());
        let demand = cell(&|line| line.electricity.demand_cost());
        let other = cell(&SiteMonth::other_cost);
        let electricity_kwh = self.mean(|account| account.electricity_kwh);
        let mut of_carriers = BTreeMap::from([(
            ELECTRICITY.to_owned(),
            CarrierFigures {
                unit: "kWh".to_owned(),
                cost: currency.value(energy + demand + other),
                carbon_kg: electricity_kwh * carriers.electricity_carbon_kg_per_kwh,
                ..of_energy(EnergyUse { used_kwh: electricity_kwh, own_kwh: 0.0 }, 1.0)
            },
        )]);
        let mut fuel_cost = Amount::ZERO;
        for (name, carrier) in &carriers.fuels {
            let fuel = |line: &SiteMonth| line.fuels.get(name).copied().unwrap_or_default();
            let mean = |of: &dyn Fn(&SiteMonth) -> f64| self.bills.iter().map(|l| of(l)).sum::<f64>() / self.years;
            let kwh = mean(&|line| fuel(line).kwh);
            let cost = cell(&|line| fuel(line).cost);
            fuel_cost += cost;
            // A tank that stands by costs its rent in months in which nothing is burnt.
            if kwh <= 0.0 && cost == Amount::ZERO {
                continue;
            }
            let own_kwh = mean(&|line| fuel(line).own_kwh);
            let worth = carrier.own.map_or(0.0, |supply| supply.worth_per_unit);
            of_carriers.insert(
                name.clone(),
                CarrierFigures {
                    unit: carrier.unit.symbol().to_owned(),
                    cost: currency.value(cost),
                    own_worth: own_kwh / carrier.kwh_per_unit * worth,
                    carbon_kg: carrier.carbon_kg(kwh),
                    biogenic_co2_kg: carrier.biogenic_kg_per_kwh * kwh,
                    ..of_energy(EnergyUse { used_kwh: kwh, own_kwh }, carrier.kwh_per_unit)
                },
            );
        }
        let sum = |of: fn(&CarrierFigures) -> f64| of_carriers.values().map(of).sum::<f64>();
        MonthFigures {
            year: u32::try_from(self.years_on).unwrap_or(0) + 1,
            month: self.of_year,
            used_kwh: sum(|carrier| carrier.used_kwh),
            own_kwh: sum(|carrier| carrier.own_kwh),
            purchased_kwh: sum(|carrier| carrier.purchased_kwh),
            in_season: self.in_season,
            water_kg: self.mean(|account| account.evaporated_kg),
            heat_need_kwh: self.mean(|account| account.heat_need_kwh),
            heat_delivered_kwh: self.mean(|account| account.heat_delivered_kwh),
            fan_kwh: self.mean(Account::fan_kwh),
            cool_store_kwh: self.mean(|account| account.store_kwh),
            heat_electricity_kwh: self.mean(|account| account.source_electricity_kwh),
            electricity_kwh,
            electric_peak_kw: self.accounts.iter().map(|a| a.electric_peak_kw).fold(0.0, f64::max),
            carriers: of_carriers,
            energy_cost: currency.value(energy + fuel_cost),
            demand_cost: currency.value(demand),
            other_cost: currency.value(other),
            total_cost: currency.value(energy + fuel_cost + demand + other),
            recovered_gross_kwh: self.mean(|account| account.credit.gross_kwh),
            recovered_useful_kwh: self.mean(|account| account.credit.useful_kwh),
            recovered_penalty_kwh: self.mean(|account| account.credit.penalty_kwh),
            recovered_net_kwh: self.mean(|account| account.credit.net_kwh()),
            recovered_net_money: self.bills.iter().map(|line| line.credit_money).sum::<f64>() / self.years,
        }
    }
}

/// Means over the weather years, rounded so that they add up: each cell is what the mean of all cells so far,
/// rounded, lies above the mean of those before it, rounded. A cell is less than one minor unit from its own mean,
/// and the sum of all cells is the mean of the years' bills, rounded once.
struct Rounding {
    years: i64,
    of_years: i64,
    given: i64,
}

impl Rounding {
    fn over(years: usize) -> Self {
        Self { years: i64::try_from(years).unwrap_or(i64::MAX).max(1), of_years: 0, given: 0 }
    }

    /// The mean of this sum over all weather years.
    fn cell(&mut self, of_years: Amount) -> Amount {
        self.of_years += of_years.minor();
        let mean = half_to_even(self.of_years, self.years);
        let cell = Amount::from_minor(mean - self.given);
        self.given = mean;
        cell
    }
}

/// `whole / parts`, a half to the even; `parts` above 0.
fn half_to_even(whole: i64, parts: i64) -> i64 {
    let (down, rest) = (whole.div_euclid(parts), whole.rem_euclid(parts));
    match (2 * rest).cmp(&parts) {
        std::cmp::Ordering::Less => down,
        std::cmp::Ordering::Greater => down + 1,
        std::cmp::Ordering::Equal => down + down.rem_euclid(2),
    }
}

/// Energy of a carrier and its quantities, with so many kWh in a unit: what it costs and emits is left open.
fn of_energy(energy: EnergyUse, kwh_per_unit: f64) -> CarrierFigures {
    let purchased_kwh = energy.purchased_kwh();
    CarrierFigures {
        kwh: energy.used_kwh,
        used_kwh: energy.used_kwh,
        own_kwh: energy.own_kwh,
        purchased_kwh,
        quantity: energy.used_kwh / kwh_per_unit,
        own_quantity: energy.own_kwh / kwh_per_unit,
        purchased_quantity: purchased_kwh / kwh_per_unit,
        ..CarrierFigures::default()
    }
}

pub(super) fn sum_carriers(months: &[MonthFigures]) -> BTreeMap<String, CarrierFigures> {
    let mut all: BTreeMap<String, CarrierFigures> = BTreeMap::new();
    for (name, month) in months.iter().flat_map(|month| &month.carriers) {
        let sum = all.entry(name.clone()).or_default();
        sum.kwh += month.kwh;
        sum.used_kwh += month.used_kwh;
        sum.own_kwh += month.own_kwh;
        sum.purchased_kwh += month.purchased_kwh;
        sum.quantity += month.quantity;
        sum.own_quantity += month.own_quantity;
        sum.purchased_quantity += month.purchased_quantity;
        sum.unit.clone_from(&month.unit);
        // Whole cents below 2^53 add exactly once rounded again.
        sum.cost = ((sum.cost + month.cost) * 1000.0).round() / 1000.0;
        sum.own_worth += month.own_worth;
        sum.carbon_kg += month.carbon_kg;
        sum.biogenic_co2_kg += month.biogenic_co2_kg;
    }
    all
}

pub(super) fn sum_money(months: &[MonthFigures], of: impl Fn(&MonthFigures) -> f64) -> f64 {
    (months.iter().map(of).sum::<f64>() * 1000.0).round() / 1000.0
}

#[cfg(test)]
mod tests;
