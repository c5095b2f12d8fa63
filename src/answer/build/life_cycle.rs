//! Life-cycle money: the cash that an option takes over the horizon, against the baseline's.

use super::capital::{eligible, is_installed};
use super::grants::Decision;
use super::made_of::Unreckoned;
use super::months::sum_carriers;
use super::option::heat_spared_kwh;
use super::reckoned::{Reckoned, Tally, mean, over};
use crate::answer::figures::{CarrierFigures, LifeCycleFigures, MonthFigures, is_fuel};
use crate::money::{
    Asset, BadPlan, CashPlan, Discount, ELECTRICITY, Horizon, Running, YearlyCost, Years, compare,
    levelised_cost_per_kwh, present_cost, upkeep,
};
use crate::number::Money;
use crate::study::Study;
use std::collections::BTreeMap;

pub(super) fn life_cycle(
    study: &Study,
    plans: &[CashPlan],
    grant: &Decision,
    base: usize,
    place: usize,
    option: &Reckoned<'_>,
) -> Result<LifeCycleFigures, Unreckoned> {
    let horizon = horizon(study);
    let whole = &plans[place];
    let cost = present_cost(whole, horizon)?;
    let carriers = option.carriers();
    let owning = present_cost(&owned(study, base, place, grant.is_paid(), &carriers), horizon)?.annual_equivalent;
    let bill = option.bill();
    let heat_cost = present_cost(&heat_plan(study, base, place, grant.is_paid(), option), horizon)?;
    // What a source spared by taking water from the air was served as well as what was given.
    let heat_kwh = option.mean(|account| account.heat_delivered_kwh)
        + heat_spared_kwh(&study.heatings[place], option).unwrap_or(0.0);
    let mut figures = LifeCycleFigures {
        capital: whole.first_cost,
        grant: whole.grant(),
        grant_refused: grant.refusal_sentence(&Money::of(study.currency.code())),
        eligible_capital: eligible(study, base, place),
        upkeep_per_year: study.costs[place].items.iter().map(|item| item.upkeep_per_year).sum::<f64>()
            + standing(&carriers).map(|(_, cost)| cost).sum::<f64>(),
        net_present_cost: cost.total,
        annual_equivalent: cost.annual_equivalent,
        owning_per_year: owning,
        price_growth_per_year: to_mills(cost.annual_equivalent - owning - bill),
        heat_annual_equivalent: heat_cost.annual_equivalent,
        levelised_heat_cost_per_kwh: levelised_cost_per_kwh(&heat_cost, heat_kwh),
        ..LifeCycleFigures::default()
    };
    if place != base {
        let against = compare(&plans[base], whole, horizon)?;
        figures.saved_per_year = Some(to_mills(against.saving_a_year));
        figures.simple_payback_years = against.simple_payback_years;
        figures.discounted_payback_years = against.discounted_payback_years.map(f64::from);
        figures.irr = against.internal_return;
        figures.savings_to_investment = against.savings_to_investment;
        figures.net_saving = against.net_saving;
        figures.running_saving = against.running_saving;
        figures.added_investment = against.added_investment;
    }
    Ok(figures)
}

/// Net present cost of a plan.
pub(super) fn net_present_cost(study: &Study, plan: &CashPlan) -> Result<f64, BadPlan> {
    Ok(present_cost(plan, horizon(study))?.total)
}

/// Present cost of an option's yearly bill over the horizon, of electricity and of all fuels, as its life cycle
/// has it: with demand charges, tax and the growth of prices, without any capital.
pub(in crate::answer) fn present_bills(study: &Study, tally: &Tally) -> Result<PresentBills, Unreckoned> {
    present_bills_of(study, &tally.months(study))
}

/// The same of months that are reckoned already.
pub(super) fn present_bills_of(study: &Study, months: &[MonthFigures]) -> Result<PresentBills, Unreckoned> {
    let mut bills = PresentBills::default();
    for (name, carrier) in sum_carriers(months) {
        let is_electricity = name == ELECTRICITY;
        let present = present_of_yearly(study, &name, carrier.cost)?;
        if is_electricity {
            bills.electricity += present;
        } else {
            bills.fuels += present;
        }
    }
    Ok(bills)
}

/// Present cost of a yearly bill of one carrier over the horizon, with the growth of its price.
pub(super) fn present_of_yearly(study: &Study, carrier: &str, cost: f64) -> Result<f64, Unreckoned> {
    let yearly = vec![yearly_cost(study, carrier.to_owned(), cost)];
    let plan = CashPlan { first_cost: 0.0, grant_share: 0.0, single: Vec::new(), yearly };
    Ok(net_present_cost(study, &plan)?)
}

/// Present cost of yearly bills.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::answer) struct PresentBills {
    pub electricity: f64,
    pub fuels: f64,
}

impl PresentBills {
    /// Of all carriers.
    pub(super) fn all(&self) -> f64 {
        self.electricity + self.fuels
    }
}

pub(super) fn yearly_cost(study: &Study, name: String, cost: f64) -> YearlyCost {
    let escalation = Some(study.money.escalation_of(&name));
    YearlyCost { name, of: Running::Energy, years: Years::EVERY, cost, escalation }
}

/// What an option has, each for what it costs: what of it does not stand yet is bought at the end of this year, 0 for the
/// start. What an installed baseline has costs nothing, and neither replacement nor residual is counted of it: it is taken
/// to last.
pub(super) fn assets(study: &Study, base: usize, place: usize, bought: u32) -> CashPlan {
    let mut plan = CashPlan::default();
    for item in &study.costs[place].items {
        let (name, upkeep) = (item.name.clone(), item.upkeep_per_year);
        if is_installed(study, base, item) {
            plan.add_asset(&Asset { name, cost: 0.0, life_years: None, upkeep }, horizon(study));
        } else {
            let asset = Asset { name, cost: item.capital, life_years: Some(item.life_years), upkeep };
            plan.add_asset_bought(&asset, bought, horizon(study));
        }
    }
    plan
}

/// The cash an option takes over the horizon: its assets, and a yearly bill for each carrier, less its grant
/// if it is paid one.
pub(super) fn plan(
    study: &Study,
    base: usize,
    place: usize,
    is_paid_a_grant: bool,
    carriers: impl IntoIterator<Item = (String, CarrierFigures)>,
) -> CashPlan {
    let carriers = carriers.into_iter().collect();
    let mut plan = owned(study, base, place, is_paid_a_grant, &carriers);
    for (name, carrier) in carriers {
        plan.yearly.push(yearly_cost(study, name, carrier.cost));
    }
    plan
}

/// What it takes to have an option, whatever is burnt: its assets less its grant, and what its fuels are billed outside
/// the season.
fn owned(
    study: &Study,
    base: usize,
    place: usize,
    is_paid_a_grant: bool,
    carriers: &BTreeMap<String, CarrierFigures>,
) -> CashPlan {
    let mut plan = assets(study, base, place, 0);
    if is_paid_a_grant {
        let grant = study.application.grant.pays(eligible(study, base, place));
        plan.grant_share = over(grant, plan.first_cost);
    }
    plan.yearly.extend(standing_costs(carriers, Years::EVERY));
    plan
}

/// Fixed charges of fuels in the months that no season's bill reaches, as upkeep of what burns them: a plant without the
/// burner does not pay them. Those of the connection to the grid stand whatever heats, and perhaps for other uses too, so
/// that they are in no comparison.
pub(super) fn standing_costs(
    carriers: &BTreeMap<String, CarrierFigures>,
    years: Years,
) -> impl Iterator<Item = YearlyCost> {
    standing(carriers).filter_map(move |(name, cost)| upkeep(name, cost, years))
}

fn standing(carriers: &BTreeMap<String, CarrierFigures>) -> impl Iterator<Item = (&str, f64)> {
    let fuels = carriers.iter().filter(|(name, _)| is_fuel(name));
    fuels.filter_map(|(name, carrier)| Some((name.as_str(), carrier.fixed_outside_bill?)))
}

/// The same plan with nothing but heat in it: the sources and what they burn, standing charges of their fuels,
/// and the penalty of recovery; demand charges and the fixed charge of electricity left out.
fn heat_plan(study: &Study, base: usize, place: usize, is_paid_a_grant: bool, option: &Reckoned<'_>) -> CashPlan {
    let mut carriers = option.carriers();
    let heat_electricity = mean(option.bills.iter().map(|bill| bill.purposes.heat_electricity));
    if let Some(electricity) = carriers.get_mut(ELECTRICITY) {
        electricity.cost = heat_electricity;
    }
    plan(study, base, place, is_paid_a_grant, carriers)
}

/// Money to a thousandth: what sums differ by from rounding alone is nothing.
fn to_mills(money: f64) -> f64 {
    (money * 1000.0).round() / 1000.0 + 0.0
}

pub(super) fn horizon(study: &Study) -> Horizon {
    Horizon { years: study.money.years, discount: Discount::Real { rate: study.money.discount_rate } }
}
