//! How sure: the spread over weather years.

use super::reckoned::{Reckoned, over};
use crate::answer::figures::{Quantiles, UncertaintyFigures};
use crate::ledger::Account;
use crate::money::EnergyUse;
use crate::study::Study;
use crate::uncertainty::Cases;

pub(super) fn uncertainty(study: &Study, all: &[Reckoned<'_>], base: usize, place: usize) -> UncertaintyFigures {
    let option = &all[place];
    let (totals, baseline) = (option.totals(study), all[base].totals(study));
    // Paired: each year's bill against the baseline's bill of the same year.
    let cheaper = totals.iter().zip(&baseline).filter(|(own, base)| own < base).count();
    let years = Cases::Years(totals.len());
    let of = |value: &dyn Fn(&Account) -> f64| Quantiles::of(option.accounts.iter().map(value), years);
    let energy = |value: fn(&EnergyUse) -> f64| Quantiles::of(option.energy.iter().map(value), years);
    let per_dried_t = totals.iter().zip(option.books).map(|(total, book)| over(*total, book.tonnage.dried_kg / 1000.0));
    UncertaintyFigures {
        weather_years: years.count(),
        draws: 0,
        cheaper_than_baseline_pct: over(cheaper as f64, totals.len() as f64) * 100.0,
        cost_per_dried_t: Quantiles::of(per_dried_t, years),
        electric_peak_kw: of(&|account| account.electric_peak_kw),
        total_cost: Quantiles::of(totals, years),
        heat_need_kwh: of(&|account| account.heat_need_kwh),
        used_kwh: energy(|year| year.used_kwh),
        own_kwh: energy(|year| year.own_kwh),
        purchased_kwh: energy(EnergyUse::purchased_kwh),
        net_present_cost: None,
        does_the_work_in_draws_pct: None,
        nuts_spoil_in_draws_pct: None,
        best_in_draws_pct: None,
        best_in_draws: None,
        weather_alone: None,
    }
}
