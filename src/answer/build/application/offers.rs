//! Every option as a measure against the baseline, ranked by what a kilowatt-hour and a tonne saved cost to own.

use crate::answer::figures::{OfferFigures, OptionFigures};

/// The options but the baseline, in the order of the study.
pub(super) fn offers(base: &OptionFigures, options: &[OptionFigures]) -> Vec<OfferFigures> {
    let others = options.iter().filter(|option| option.name != base.name);
    let mut all: Vec<OfferFigures> = others.map(|option| offer(base, option)).collect();
    let by_kwh = ranks(&all, |offer| offer.owning_per_kwh_saved);
    let by_t = ranks(&all, |offer| offer.owning_per_t_saved);
    for ((offer, kwh), t) in all.iter_mut().zip(by_kwh).zip(by_t) {
        (offer.rank_by_kwh, offer.rank_by_t) = (kwh, t);
    }
    all
}

fn offer(base: &OptionFigures, option: &OptionFigures) -> OfferFigures {
    let (before, after) = (&base.life_cycle, &option.life_cycle);
    let owning = after.owning_per_year - before.owning_per_year;
    let energy_saved_kwh = base.purchased_kwh - option.purchased_kwh;
    let carbon_saved_kg = base.carbon_kg - option.carbon_kg;
    let per = |money: f64, saved: f64| (saved > 0.0).then(|| money / saved);
    let purchased = |option: &OptionFigures, name: &str| option.carriers.get(name).map_or(0.0, |one| one.purchased_kwh);
    let names = base.carriers.keys().chain(option.carriers.keys());
    OfferFigures {
        option: option.name.clone(),
        does_the_work: option.does_the_work,
        extra_investment: (after.capital - after.grant) - (before.capital - before.grant),
        extra_upkeep_per_year: after.upkeep_per_year - before.upkeep_per_year,
        extra_owning_per_year: owning,
        purchased_saved_kwh: names
            .map(|name| (name.clone(), purchased(base, name) - purchased(option, name)))
            .collect(),
        energy_saved_kwh,
        carbon_saved_kg,
        bill_saved: base.total_cost - option.total_cost,
        net_saving: after.net_saving,
        simple_payback_years: after.simple_payback_years,
        owning_per_kwh_saved: per(owning, energy_saved_kwh),
        owning_per_t_saved: per(owning, carbon_saved_kg / 1000.0),
        net_cost_per_t_saved: per(after.annual_equivalent - before.annual_equivalent, carbon_saved_kg / 1000.0),
        rank_by_kwh: None,
        rank_by_t: None,
    }
}

/// Ranks from 1, the least first, of those that do the work and have a value.
fn ranks(offers: &[OfferFigures], of: impl Fn(&OfferFigures) -> Option<f64>) -> Vec<Option<usize>> {
    let able = |offer: &OfferFigures| of(offer).filter(|_| offer.does_the_work);
    offers
        .iter()
        .map(|offer| {
            let own = able(offer)?;
            Some(1 + offers.iter().filter_map(able).filter(|other| *other < own).count())
        })
        .collect()
}
