//! The prices and terms of a study, and its bills line by line.

use super::capital::{is_installed, is_new};
use crate::answer::figures::{
    BilledFuel, BilledMonth, DemandPriceFigures, ElectricityPrices, EnergyPriceFigures, FuelPrices, GrantTerms,
    OwnedFigures, PriceFigures,
};
use crate::money::{Carrier, Currency, ELECTRICITY, FuelMonth, GrantBase, SeasonBill, Tariff};
use crate::study::{SourceCost, Study};

/// Prices and terms.
pub(super) fn price_figures(study: &Study, base: usize) -> PriceFigures {
    let grant = &study.application.grant;
    PriceFigures {
        decimals: study.currency.decimals(),
        electricity: electricity(&study.carriers.electricity, study.money.escalation_of(ELECTRICITY)),
        fuels: study
            .carriers
            .fuels
            .iter()
            .map(|(name, carrier)| fuel(name, carrier, study.money.escalation_of(name)))
            .collect(),
        grant: GrantTerms {
            share: grant.share,
            on_extra_cost: match grant.on {
                GrantBase::ExtraCost => true,
                GrantBase::Capital => false,
            },
            most: grant.most,
        },
        owned: owned(study, base),
    }
}

fn electricity(tariff: &Tariff, escalation: f64) -> ElectricityPrices {
    let energy = tariff.energy_prices();
    ElectricityPrices {
        energy: energy.map(|price| EnergyPriceFigures { period: price.name.clone(), per_kwh: price.per_kwh }).collect(),
        demand: tariff
            .demand
            .iter()
            .map(|charge| DemandPriceFigures {
                charge: charge.name.clone(),
                unit: charge.measure.unit().to_owned(),
                price: charge.price,
            })
            .collect(),
        fixed_per_month: tariff.fixed_per_month,
        fixed_per_day: tariff.fixed_per_day,
        tax: tariff.tax,
        escalation,
    }
}

fn fuel(name: &str, carrier: &Carrier, escalation: f64) -> FuelPrices {
    FuelPrices {
        carrier: name.to_owned(),
        unit: carrier.unit.symbol().to_owned(),
        kwh_per_unit: carrier.kwh_per_unit,
        price_per_unit: carrier.price_per_unit,
        fixed_per_month: carrier.fixed_per_month,
        own_worth_per_unit: carrier.own.map(|own| own.worth_per_unit),
        escalation,
    }
}

/// What the options own: what is alike in name, cost and life is one.
fn owned(study: &Study, base: usize) -> Vec<OwnedFigures> {
    let mut known: Vec<&SourceCost> = Vec::new();
    for item in study.costs.iter().flat_map(|cost| &cost.items) {
        if !known.contains(&item) {
            known.push(item);
        }
    }
    let count = |wanted: &SourceCost, items: &[SourceCost]| {
        u32::try_from(items.iter().filter(|item| *item == wanted).count()).unwrap_or(u32::MAX)
    };
    let figures = known.into_iter().map(|item| OwnedFigures {
        name: item.name.clone(),
        capital: item.capital,
        life_years: item.life_years,
        upkeep_per_year: item.upkeep_per_year,
        is_installed: is_installed(study, base, item),
        is_of_baseline: !is_new(study, base, item),
        of_options: study.costs.iter().map(|cost| count(item, &cost.items)).collect(),
    });
    figures.collect()
}

/// A bill of one weather year, month by month.
pub(super) fn billed_months(currency: Currency, bill: &SeasonBill) -> Vec<BilledMonth> {
    let first = bill.months.first().map_or(0, |month| month.year);
    let of_fuel = |(name, fuel): (&String, &FuelMonth)| BilledFuel {
        carrier: name.clone(),
        quantity: fuel.quantity,
        at_own_worth: fuel.at_own_worth,
        cost: currency.value(fuel.cost),
    };
    let months = bill.months.iter().map(|month| BilledMonth {
        year: u32::try_from(month.year - first).unwrap_or(0) + 1,
        month: month.month,
        days: month.electricity.days,
        energy_kwh: month.electricity.energy.iter().map(|line| line.kwh).collect(),
        demand: month.electricity.demand.iter().map(|line| line.demand).collect(),
        electricity_cost: currency.value(month.electricity.total()),
        fuels: month.fuels.iter().map(of_fuel).collect(),
        total_cost: currency.value(month.total()),
    });
    months.collect()
}
