//! Cash by year of every option: over planned growth, with loan and tax, and the year in which it is worth buying.

use super::capital::is_installed;
use super::life_cycle::{assets, horizon, plan, standing_costs, yearly_cost};
use super::made_of::{Unreckoned, baseline_place};
use crate::answer::figures::{
    CarrierFigures, CashFigures, CashYearFigures, LoanFigures, OptionCashFigures, OptionFigures, PlannedFigures,
    ProfitTaxFigures, PurchaseFigures,
};
use crate::answer::phase::GrownOption;
use crate::money::{
    Asset, CashPlan, Financing, Horizon, Loan, ProfitTax, YearlyCost, Years, cash_flow, present_cost, present_of_cash,
    single_present_value, upkeep,
};
use crate::study::{Planned, Study};
use std::collections::{BTreeMap, HashSet};

/// Sums of money this close are one: what rounding leaves of sums of many years.
const SAME_MONEY: f64 = 0.005;

/// A span of seasons in which the plant is one: as it stands, or after a phase of growth.
struct Stage<'a> {
    years: Years,
    /// The phase; nothing of the plant as it stands.
    phase: Option<(&'a str, &'a Planned)>,
    /// What a season of it is in each option.
    seasons: Vec<Option<StageSeason<'a>>>,
}

/// A season of an option.
#[derive(Clone, Copy)]
struct StageSeason<'a> {
    carriers: &'a BTreeMap<String, CarrierFigures>,
    dried_t: f64,
    does_the_work: bool,
}

/// Cash by year of these options. `grown` are the options in every phase that is planned.
pub(crate) fn cash(study: &Study, options: &[OptionFigures], grown: &[GrownOption]) -> Result<CashFigures, Unreckoned> {
    let base = baseline_place(study);
    let stages = stages(study, options, grown);
    let Horizon { years, discount } = horizon(study);
    let at_prices = Horizon { years, discount: discount.with_inflation(study.money.inflation) };
    let Financing { loan, tax } = study.money.financing;
    let mut told = Vec::new();
    for (place, option) in options.iter().enumerate() {
        let is_paid_a_grant = option.life_cycle.grant > 0.0;
        let whole = Bought { study, base, place, from: 1 }.plan(&stages, is_paid_a_grant);
        let cost = present_cost(&whole, horizon(study))?.total;
        let flow = cash_flow(&whole.with_inflation(study.money.inflation), at_prices, study.money.financing)?;
        let undone_in: Vec<String> = stages
            .iter()
            .filter_map(|stage| Some((stage.phase?.0, stage.seasons[place]?)))
            .filter(|(_, season)| !season.does_the_work)
            .map(|(name, _)| name.to_owned())
            .collect();
        let dried_t = present_dried_t(&stages, place, horizon(study));
        let mut so_far = 0.0;
        told.push(OptionCashFigures {
            option: option.name.clone(),
            does_the_work: option.does_the_work && undone_in.is_empty(),
            undone_in,
            guards_in_growth: guards_in_growth(grown, place),
            net_present_cost: cost,
            net_present_cost_paid: present_of_cash(&flow, at_prices.discount),
            cost_per_dried_t: (dried_t > 0.0).then(|| cost / dried_t),
            purchase: if option.does_the_work { purchase(study, &stages, base, place)? } else { None },
            years: flow
                .iter()
                .map(|year| {
                    so_far += year.paid() * single_present_value(at_prices.discount.rate(), year.year);
                    CashYearFigures {
                        year: year.year,
                        bought: year.bought,
                        grant: year.grant,
                        replaced: year.replaced,
                        residual: year.residual,
                        energy: year.energy,
                        upkeep: year.upkeep,
                        borrowed: year.borrowed,
                        interest: year.interest,
                        repaid: year.repaid,
                        tax: year.tax,
                        paid: year.paid(),
                        paid_so_far: so_far,
                    }
                })
                .collect(),
        });
    }
    Ok(CashFigures {
        inflation_pct: study.money.inflation * 100.0,
        discount_rate_pct: at_prices.discount.rate() * 100.0,
        loan: loan.map(|Loan { share, rate, years }| LoanFigures {
            share_pct: share * 100.0,
            rate_pct: rate * 100.0,
            years,
        }),
        tax: tax.map(|ProfitTax { rate, depreciation_years }| ProfitTaxFigures {
            rate_pct: rate * 100.0,
            depreciation_years,
        }),
        growth: stages
            .iter()
            .filter_map(|stage| stage.phase)
            .map(|(name, planned)| PlannedFigures { name: name.to_owned(), year: planned.year })
            .collect(),
        best: least(&told, |option| option.net_present_cost),
        best_paid: least(&told, |option| option.net_present_cost_paid),
        options: told,
    })
}

/// Names of the guards that fire with this option in growth that is planned, each once.
fn guards_in_growth(grown: &[GrownOption], place: usize) -> Vec<String> {
    let grown = grown.iter().filter(|own| own.place == place && own.figures.year.is_some());
    let mut names: Vec<String> = grown.flat_map(|own| &own.figures.guards).map(|guard| guard.name.clone()).collect();
    let mut told = HashSet::new();
    names.retain(|name| told.insert(name.clone()));
    names
}

/// The first of least cost among those that do the work throughout.
fn least(options: &[OptionCashFigures], of: impl Fn(&OptionCashFigures) -> f64) -> Option<String> {
    let able = options.iter().filter(|option| option.does_the_work);
    able.min_by(|a, b| of(a).total_cmp(&of(b))).map(|option| option.option.clone())
}

/// The plant as it stands, then after each phase that is planned.
fn stages<'a>(study: &'a Study, options: &'a [OptionFigures], grown: &'a [GrownOption]) -> Vec<Stage<'a>> {
    let planned = study.phases.iter().enumerate();
    let planned: Vec<(usize, &str, &Planned)> =
        planned.filter_map(|(at, phase)| Some((at, phase.growth.name.as_str(), phase.planned.as_ref()?))).collect();
    let until = |at: usize| planned.get(at).map_or(u32::MAX, |(_, _, next)| next.year - 1);
    let as_it_stands = options.iter().map(|option| {
        Some(StageSeason { carriers: &option.carriers, dried_t: option.dried_t, does_the_work: option.does_the_work })
    });
    let now = Stage { years: Years { from: 1, to: until(0) }, phase: None, seasons: as_it_stands.collect() };
    let later = planned.iter().enumerate().map(|(at, &(phase, name, when))| Stage {
        years: Years { from: when.year, to: until(at + 1) },
        phase: Some((name, when)),
        seasons: (0..options.len())
            .map(|place| {
                let own = grown.iter().find(|one| one.phase == Some(phase) && one.place == place)?;
                Some(StageSeason {
                    carriers: &own.carriers,
                    dried_t: own.figures.dried_t,
                    does_the_work: own.figures.does_the_work,
                })
            })
            .collect(),
    });
    std::iter::once(now).chain(later).collect()
}

/// Dried tonnes of all seasons, each discounted as its money is.
fn present_dried_t(stages: &[Stage<'_>], place: usize, horizon: Horizon) -> f64 {
    let of_year = |year: u32| {
        let stage = stages.iter().find(|stage| stage.years.from <= year && year <= stage.years.to);
        stage.and_then(|stage| stage.seasons[place]).map_or(0.0, |season| season.dried_t)
    };
    (1..=horizon.years).map(|year| of_year(year) * single_present_value(horizon.discount.rate(), year)).sum()
}

/// An option that is run from a season on, and the baseline until then.
struct Bought<'a> {
    study: &'a Study,
    base: usize,
    place: usize,
    /// The first season with it: 1 for the start.
    from: u32,
}

impl Bought<'_> {
    /// Its cash; a grant is one that is offered at the start.
    fn plan(&self, stages: &[Stage<'_>], is_paid_a_grant: bool) -> CashPlan {
        let Self { study, base, place, from } = *self;
        let mut whole = if from == 1 { plan(study, base, place, is_paid_a_grant, []) } else { self.assets() };
        for stage in stages {
            let before = Years { from: stage.years.from, to: stage.years.to.min(from - 1) };
            let after = Years { from: stage.years.from.max(from), to: stage.years.to };
            for (who, years) in [(base, before), (place, after)] {
                let Some(season) = stage.seasons[who].filter(|_| years.from <= years.to) else { continue };
                for (name, carrier) in season.carriers {
                    let cost = yearly_cost(study, name.clone(), carrier.cost);
                    whole.yearly.push(YearlyCost { years, ..cost });
                }
                whole.yearly.extend(standing_costs(season.carriers, years));
            }
            if let Some((name, planned)) = stage.phase {
                self.grow(&mut whole, name, planned);
            }
        }
        whole
    }

    /// What is bought with it, and upkeep of what of the baseline it replaces, until then.
    fn assets(&self) -> CashPlan {
        let Self { study, base, place, from } = *self;
        let mut whole = assets(study, base, place, from - 1);
        let until = Years { from: 1, to: from - 1 };
        // Of the baseline only upkeep is left to pay: it stands.
        let replaced = study.costs[base].items.iter().filter(|item| !study.costs[place].items.contains(item));
        whole.yearly.extend(replaced.filter_map(|item| upkeep(&item.name, item.upkeep_per_year, until)));
        whole
    }

    /// What is bought for growth: for whoever runs then; and what the option's costs more once it is bought.
    fn grow(&self, whole: &mut CashPlan, name: &str, planned: &Planned) {
        let Self { study, base, place, from } = *self;
        let of = |who: usize| planned.capital_of(&study.heatings[who].name);
        let (now, later) =
            if planned.year < from { (of(base), (of(place) - of(base)).max(0.0)) } else { (of(place), 0.0) };
        for (cost, upkeep, year) in [(now, planned.upkeep_per_year, planned.year), (later, 0.0, from)] {
            if cost != 0.0 || upkeep != 0.0 {
                let asset = Asset { name: name.to_owned(), cost, life_years: Some(planned.life_years), upkeep };
                whole.add_asset_bought(&asset, year - 1, horizon(study));
            }
        }
    }
}

/// When an option is worth buying beside a baseline that stands; nothing of the baseline itself, of an option that buys
/// nothing, and where the baseline does not stand yet.
fn purchase(
    study: &Study,
    stages: &[Stage<'_>],
    base: usize,
    place: usize,
) -> Result<Option<PurchaseFigures>, Unreckoned> {
    let buys = study.costs[place].items.iter().any(|item| item.capital > 0.0 && !is_installed(study, base, item));
    if place == base || !study.application.baseline_installed || !buys {
        return Ok(None);
    }
    let cost = |who: usize, from: u32| -> Result<f64, Unreckoned> {
        let whole = Bought { study, base, place: who, from }.plan(stages, false);
        Ok(present_cost(&whole, horizon(study))?.total)
    };
    let never = cost(base, 1)?;
    let mut told = PurchaseFigures { first_year: None, best_year: None, saved: 0.0 };
    for from in 1..=study.money.years {
        let saved = never - cost(place, from)?;
        if saved > SAME_MONEY && told.first_year.is_none() {
            told.first_year = Some(from);
        }
        if saved > told.saved + SAME_MONEY {
            told.best_year = Some(from);
            told.saved = saved;
        }
    }
    Ok(Some(told))
}
