//! An option: the mean over its weather years, and each year's own.

use super::causes::Uses;
use super::flow::flow;
use super::loads::option_loads;
use super::mean_day::mean_day;
use super::months::sum_money;
use super::periods::periods;
use super::prices::billed_months;
use super::reckoned::{Reckoned, mean, over, over_water};
use super::recovered::recovered;
use super::spread::uncertainty;
use super::words::{describe, free_heat_from};
use crate::answer::figures::{
    CarrierFigures, LifeCycleFigures, OptionFigures, OptionYearFigures, ResidualFigures, SourceFigures,
};
use crate::answer::judgement::{Left, Work};
use crate::answer::{cover, guards};
use crate::heat::{Drawn, Source};
use crate::ledger::{Account, Book, Hours};
use crate::number::Sentence;
use crate::study::Study;
use std::collections::BTreeMap;

pub(super) fn option_figures(
    study: &Study,
    all: &[Reckoned<'_>],
    base: usize,
    place: usize,
    (work, life_cycle): (Work, LifeCycleFigures),
) -> OptionFigures {
    let option = &all[place];
    let heating = &study.heatings[place];
    let dried_t = option.dried_t();
    let carriers = option.carriers();
    let energy = option.mean_energy();
    let (sources, uses) = (sources(study, place, option), Uses::of(study, option));
    let total_cost = option.bill();
    let fixed_outside_bill = carriers.values().filter_map(|carrier| carrier.fixed_outside_bill).sum::<f64>();
    let after_season: f64 = mean(option.books.iter().map(|book| Account::of(book, |hour| !hour.in_season).store_kwh));
    let evaporated = option.mean(|account| account.evaporated_kg);
    let purchased_mj = over_water(option, |account, energy| account.purchased_mj_per_kg_water(energy.own_kwh));
    OptionFigures {
        name: heating.name.clone(),
        includes: study.measures[place].includes.clone(),
        set: Vec::new(),
        own_season: None,
        description: Sentence::of(|| describe(&study.of_option(place).plant, heating)),
        dried_t,
        condensers: heating.condensers.place.place(),
        heat_need_kwh: option.mean(|account| account.heat_need_kwh),
        heat_delivered_kwh: option.mean(|account| account.heat_delivered_kwh),
        heat_need_peak_kw: peak(option.books, |hour| hour.heat_need_kwh),
        heat_spared_kwh: heat_spared_kwh(heating, option),
        below_set_kh: option.mean(|account| account.below_set_kh),
        drying_hours_longer: mean_of_some(option.books, drying_hours_longer),
        last_dry_days_later: mean_of_some(option.books, last_dry_days_later),
        heat_capacity_kw: heat_capacity_kw(heating),
        hours_short: option.mean(|account| account.hours_short as f64),
        heat_short_kwh: option.mean(|account| account.heat_short_kwh),
        does_the_work: work.is_done(),
        work_left: work.left().iter().map(Left::figures).collect(),
        place: None,
        fan_kwh: option.mean(Account::fan_kwh),
        bin_fan_kwh: option.mean(|account| account.bin_fan_kwh),
        extraction_fan_kwh: option.mean(|account| account.extraction_fan_kwh),
        cool_store_kwh: option.mean(|account| account.store_kwh),
        cool_store_after_season_kwh: after_season,
        store_cooling_kwh: option.mean(|account| account.store_cooling_kwh),
        recovered: recovered(option),
        flow: flow(option, &sources),
        sources,
        electric_peak_kw: option.electric_peak_kw(),
        used_kwh: energy.used_kwh,
        own_kwh: energy.own_kwh,
        purchased_kwh: energy.purchased_kwh(),
        energy_cost: sum_money(&option.months, |month| month.energy_cost),
        demand_cost: sum_money(&option.months, |month| month.demand_cost),
        other_cost: sum_money(&option.months, |month| month.other_cost),
        total_cost,
        heat_cost: uses.heat.bill,
        fan_cost: uses.fans_and_lights.bill,
        cool_store_cost: uses.cool_store.bill,
        cost_per_dried_t: over(total_cost, dried_t),
        kwh_per_dried_t: over(energy.purchased_kwh(), dried_t),
        used_kwh_per_dried_t: over(energy.used_kwh, dried_t),
        mj_per_kg_water: over_water(option, |account, _| account.mj_per_kg_water()),
        used_mj_per_kg_water: over_water(option, |account, _| account.used_mj_per_kg_water()),
        purchased_mj_per_kg_water: purchased_mj,
        kg_water_per_purchased_kwh: purchased_mj.filter(|mj| *mj > 0.0 && evaporated > 0.0).map(|mj| 3.6 / mj),
        carbon_kg: option.carbon_kg(),
        carbon_scope1_kg: carbon_of(&carriers, |name| name != crate::money::ELECTRICITY),
        carbon_scope2_kg: carbon_of(&carriers, |name| name == crate::money::ELECTRICITY),
        biogenic_co2_kg: carriers.values().map(|carrier| carrier.biogenic_co2_kg).sum(),
        own_worth: carriers.values().map(|carrier| carrier.own_worth).sum(),
        months_outside_bill: option.months_outside_bill(),
        fixed_outside_bill,
        billed_in_year: total_cost + fixed_outside_bill,
        residuals: residuals(option.books),
        heat_exits_kwh: BTreeMap::from([
            ("air".to_owned(), option.mean(|account| account.ventilation_kwh)),
            ("envelope".to_owned(), option.mean(|account| account.envelope_kwh)),
            ("nuts and steel".to_owned(), option.mean(|account| account.warming_kwh)),
            ("freeing bound water".to_owned(), option.mean(|account| account.binding_kwh)),
        ]),
        heat_entries_kwh: BTreeMap::from([
            ("fan heat".to_owned(), option.mean(|account| account.fan_heat_kwh)),
            ("lights and people".to_owned(), option.mean(|account| account.gains_kwh)),
            ("recovered, purged".to_owned(), option.mean(|account| account.purged_kwh)),
        ]),
        years: (0..option.books.len()).map(|year| option_year(study, option, year)).collect(),
        uncertainty: uncertainty(study, all, base, place),
        guards: guards::sentences(option.books),
        cover: cover::cover(option.books),
        loads: option_loads(option.books),
        months: option.months.clone(),
        mean_day: mean_day(option.books),
        periods: periods(study, option),
        carriers,
        by_cause: uses.year(&life_cycle),
        life_cycle,
    }
}

/// Carbon of the carriers of these names, kg.
fn carbon_of(carriers: &BTreeMap<String, CarrierFigures>, is_wanted: impl Fn(&str) -> bool) -> f64 {
    let wanted = carriers.iter().filter(|(name, _)| is_wanted(name));
    wanted.map(|(_, carrier)| carrier.carbon_kg).sum()
}

/// What a source that takes water out of the air spares: the need less what was given and what was short;
/// less than zero for a flame, whose water must be carried out. `None` where no source moves water.
pub(super) fn heat_spared_kwh(heating: &crate::season::Heating, option: &Reckoned<'_>) -> Option<f64> {
    heating
        .sources
        .iter()
        .any(Source::moves_water)
        .then(|| option.mean(|account| account.heat_need_kwh - account.heat_delivered_kwh - account.heat_short_kwh))
}

/// Mean hours from loading to dry above the reference's.
fn drying_hours_longer(book: &Book) -> Option<f64> {
    Some(book.mean_drying_hours()? - book.reference.mean_drying_hours?)
}

/// Days from the reference's last dry batch to this march's.
fn last_dry_days_later(book: &Book) -> Option<f64> {
    Some((book.last_dry_hour()? - book.reference.last_dry_hour?) / 24.0)
}

/// Mean over the years that have one.
fn mean_of_some(books: &[Book], of: impl Fn(&Book) -> Option<f64>) -> Option<f64> {
    let values: Vec<f64> = books.iter().filter_map(of).collect();
    (!values.is_empty()).then(|| mean(values.into_iter()))
}

/// What its sources can give together; a heat store makes no heat of its own.
fn heat_capacity_kw(heating: &crate::season::Heating) -> f64 {
    let makes = |source: &&Source| !source.kind.says().is_store();
    let sources = heating.sources.iter().filter(makes);
    sources.map(|source| source.capacity_kw).sum()
}

fn peak(books: &[Book], of: impl Fn(&crate::ledger::Entry) -> f64) -> f64 {
    books.iter().flat_map(|book| &book.hours).map(|hour| of(&hour)).fold(0.0, f64::max)
}

fn residuals(books: &[Book]) -> ResidualFigures {
    books.iter().map(Book::residuals).fold(ResidualFigures::default(), |worst, one| ResidualFigures {
        water: worst.water.max(one.water),
        energy: worst.energy.max(one.energy),
    })
}

fn sources(study: &Study, place: usize, option: &Reckoned<'_>) -> Vec<SourceFigures> {
    let years = option.books.len().max(1) as f64;
    let all = &study.heatings[place].sources;
    all.iter()
        .enumerate()
        .map(|(at, source)| {
            let mut sum = Drawn::default();
            let mut figures = SourceFigures {
                name: source.name.clone(),
                kind: source.kind.says().words().to_owned(),
                capacity_kw: source.capacity_kw,
                fuel: source.fuel().map(str::to_owned),
                free_heat_from: source.free_heat(all).map(free_heat_from),
                ..SourceFigures::default()
            };
            for draw in option.books.iter().flat_map(|book| &book.sources[at].given) {
                sum.heat_kwh += draw.heat_kwh / years;
                sum.electricity_kwh += draw.electricity_kwh / years;
                sum.fuel_kwh += draw.fuel_kwh / years;
                sum.charged_kwh += draw.charged_kwh / years;
                figures.peak_kw = figures.peak_kw.max(draw.heat_kwh);
                figures.hours += if works(&draw) { 1.0 / years } else { 0.0 };
            }
            for book in option.books {
                figures.starts += starts(&book.sources[at].given) / years;
            }
            let conversion = source.conversion(&sum);
            SourceFigures {
                heat_kwh: sum.heat_kwh,
                electricity_kwh: sum.electricity_kwh,
                fuel_kwh: sum.fuel_kwh,
                free_heat_kwh: conversion.free_kwh,
                loss_kwh: conversion.lost_kwh,
                seasonal_performance: (sum.electricity_kwh + sum.fuel_kwh > 0.0)
                    .then(|| sum.heat_kwh / (sum.electricity_kwh + sum.fuel_kwh)),
                ..figures
            }
        })
        .collect()
}

/// True of an hour in which a source gives heat.
fn works(draw: &Drawn) -> bool {
    draw.heat_kwh > 1e-6
}

/// Hours in which a source works and did not in the hour before.
fn starts(given: &Hours<Drawn>) -> f64 {
    let before = std::iter::once(false).chain(given.iter().map(|draw| works(&draw)));
    given.iter().zip(before).filter(|(draw, worked)| works(draw) && !worked).count() as f64
}

fn option_year(study: &Study, option: &Reckoned<'_>, year: usize) -> OptionYearFigures {
    let (book, account) = (&option.books[year], &option.accounts[year]);
    let energy = option.energy[year];
    let carbon: f64 = account.electricity_kwh * study.carriers.electricity_carbon_kg_per_kwh
        + book
            .sources
            .iter()
            .zip(&account.source_fuel_kwh)
            .filter_map(|(source, kwh)| Some(study.carriers.fuels.get(source.fuel.as_ref()?)?.carbon_kg(*kwh)))
            .sum::<f64>();
    let last_dry = book.last_dry_hour();
    OptionYearFigures {
        label: book.year.clone(),
        heat_need_kwh: account.heat_need_kwh,
        heat_delivered_kwh: account.heat_delivered_kwh,
        used_kwh: energy.used_kwh,
        own_kwh: energy.own_kwh,
        purchased_kwh: energy.purchased_kwh(),
        electricity_kwh: account.electricity_kwh,
        electric_peak_kw: account.electric_peak_kw,
        hours_short: account.hours_short,
        heat_short_kwh: account.heat_short_kwh,
        below_set_kh: account.below_set_kh,
        drying_hours_longer: drying_hours_longer(book),
        last_dry_days_later: last_dry_days_later(book),
        total_cost: study.currency.value(option.bills[year].total()),
        carbon_kg: carbon,
        last_dry: last_dry.and_then(|hour| book.moment(hour)).map(|moment| moment.date().to_string()),
        residuals: residuals(std::slice::from_ref(book)),
        bill: billed_months(study.currency, &option.bills[year]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_starts_after_every_hour_of_rest() {
        let given = [1.0, 2.0, 0.0, 0.0, 3.0, 0.0].map(|heat_kwh| Drawn { heat_kwh, ..Drawn::default() });
        assert_eq!(starts(&given.to_vec().into()), 2.0);
        assert_eq!(starts(&Hours::default()), 0.0);
    }
}
