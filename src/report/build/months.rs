//! The calendar months of an option, and what they add up to.

use super::Unreckoned;
use crate::ledger::{Account, Book};
use crate::money::{Amount, EnergyUse, SeasonBill};
use crate::report::figures::{CarrierFigures, MonthFigures};
use crate::study::Study;
use std::collections::BTreeMap;

/// Months from the season's first on, each the mean over the weather years. Every sum of money is
/// rounded once, here; totals add what was rounded.
pub(super) fn months(
    study: &Study,
    books: &[Book],
    bills: &[SeasonBill],
) -> Result<Vec<MonthFigures>, Unreckoned> {
    let currency = study.currency;
    let years = books.len().max(1) as f64;
    let first = study.season.starts.month();
    let mut all = Vec::new();
    for month in (0..12).map(|ahead| (first - 1 + ahead) % 12 + 1) {
        let accounts: Vec<Account> = books
            .iter()
            .map(|book| Account::of(book, |hour| crate::ledger::month_of(hour).1 == month))
            .collect();
        if accounts.iter().all(|account| account.hours == 0) {
            continue;
        }
        let sum = |of: &dyn Fn(&Account) -> f64| accounts.iter().map(of).sum::<f64>() / years;
        let of_month: Vec<_> =
            bills.iter().flat_map(|bill| &bill.months).filter(|line| line.month == month).collect();
        let amount = |of: &dyn Fn(&crate::money::SiteMonth) -> Amount| {
            let total: f64 = of_month.iter().map(|line| currency.value(of(line))).sum();
            currency.amount(total / years)
        };
        let energy = amount(&|line| line.electricity.energy_cost())?;
        let demand = amount(&|line| line.electricity.demand_cost())?;
        let other = amount(&|line| line.other_cost())?;
        let electricity_kwh = sum(&|account| account.electricity_kwh);
        let mut carriers = BTreeMap::from([(
            "electricity".to_owned(),
            CarrierFigures {
                unit: "kWh".to_owned(),
                cost: currency.value(energy + demand + other),
                carbon_kg: electricity_kwh * study.carriers.electricity_carbon_kg_per_kwh,
                ..of_energy(EnergyUse { used_kwh: electricity_kwh, own_kwh: 0.0 }, 1.0)
            },
        )]);
        let mut fuel_cost = Amount::ZERO;
        for (name, carrier) in &study.carriers.fuels {
            let fuel =
                |line: &crate::money::SiteMonth| line.fuels.get(name).copied().unwrap_or_default();
            let kwh = of_month.iter().map(|line| fuel(line).kwh).sum::<f64>() / years;
            if kwh <= 0.0 {
                continue;
            }
            let own_kwh = of_month.iter().map(|line| fuel(line).own_kwh).sum::<f64>() / years;
            let cost = amount(&|line| fuel(line).cost)?;
            fuel_cost += cost;
            carriers.insert(
                name.clone(),
                CarrierFigures {
                    unit: carrier.unit.symbol().to_owned(),
                    cost: currency.value(cost),
                    carbon_kg: carrier.carbon_kg(kwh),
                    ..of_energy(EnergyUse { used_kwh: kwh, own_kwh }, carrier.kwh_per_unit)
                },
            );
        }
        let of_carriers = |of: fn(&CarrierFigures) -> f64| carriers.values().map(of).sum::<f64>();
        all.push(MonthFigures {
            month,
            used_kwh: of_carriers(|carrier| carrier.used_kwh),
            own_kwh: of_carriers(|carrier| carrier.own_kwh),
            purchased_kwh: of_carriers(|carrier| carrier.purchased_kwh),
            in_season: books.iter().any(|book| {
                book.hours
                    .iter()
                    .any(|hour| hour.in_season && crate::ledger::month_of(hour).1 == month)
            }),
            water_kg: sum(&|account| account.evaporated_kg),
            heat_need_kwh: sum(&|account| account.heat_need_kwh),
            heat_delivered_kwh: sum(&|account| account.heat_delivered_kwh),
            fan_kwh: sum(&Account::fan_kwh),
            cool_store_kwh: sum(&|account| account.store_kwh),
            heat_electricity_kwh: sum(&|account| account.source_electricity_kwh),
            electricity_kwh,
            electric_peak_kw: accounts.iter().map(|a| a.electric_peak_kw).fold(0.0, f64::max),
            carriers,
            energy_cost: currency.value(energy + fuel_cost),
            demand_cost: currency.value(demand),
            other_cost: currency.value(other),
            total_cost: currency.value(energy + fuel_cost + demand + other),
            recovered_gross_kwh: sum(&|account| account.credit.gross_kwh),
            recovered_useful_kwh: sum(&|account| account.credit.useful_kwh),
            recovered_penalty_kwh: sum(&|account| account.credit.penalty_kwh),
            recovered_net_kwh: sum(&|account| account.credit.net_kwh()),
            recovered_net_money: of_month.iter().map(|line| line.credit_money).sum::<f64>() / years,
        });
    }
    Ok(all)
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
        sum.carbon_kg += month.carbon_kg;
    }
    all
}

pub(super) fn sum_money(months: &[MonthFigures], of: impl Fn(&MonthFigures) -> f64) -> f64 {
    (months.iter().map(of).sum::<f64>() * 1000.0).round() / 1000.0
}
