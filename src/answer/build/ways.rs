//! The way from the baseline to every package and to the proposal: what the need for heat, its conversion, fans, store and
//! charges save, and what each measure of a package adds where it stands, alone and last.
//!
//! Order changes what is laid to which measure, and not the sum: each step is the difference of two seasons, and what lies
//! between falls out.

use super::life_cycle::{net_present_cost, plan};
use super::made_of::{Season, Unreckoned, baseline_place};
use super::marches::march_beside;
use super::months::{sum_carriers, sum_money};
use super::reckoned::{Reckoned, mean, reckon};
use crate::answer::figures::{CauseFigures, StepFigures, WayCause, WayFigures, WaySums};
use crate::ledger::Book;
use crate::study::{PackageParts, Study};
use rayon::prelude::*;

/// A package, with the studies that have its measures joined in part.
pub(crate) struct WayAsked {
    pub parts: PackageParts,
    pub joined: Vec<Joined>,
}

/// Some measures of a package joined, by the last option of a study, or why they cannot be.
pub(crate) struct Joined {
    pub measures: Vec<usize>,
    pub study: Result<Study, String>,
}

/// The ways to all packages, in the order of the study, and to the proposal where it is none of them.
pub(crate) fn ways(
    season: &Season<'_>,
    asked: Vec<WayAsked>,
    proposal: Option<&str>,
) -> Result<Vec<WayFigures>, Unreckoned> {
    let study = season.study;
    let base = baseline_place(study);
    let reckoned = season.books.iter().map(|books| reckon(study, books)).collect::<Result<Vec<_>, _>>()?;
    let sums = (0..reckoned.len()).map(|place| sums(study, place, &reckoned[place])).collect::<Result<Vec<_>, _>>()?;
    let to = |place: usize| WayFigures {
        option: study.heatings[place].name.clone(),
        saved: sums[base].less(sums[place]),
        causes: causes(study, &reckoned[base], &reckoned[place]),
        steps: Vec::new(),
        why_no_steps: None,
    };
    let mut all = Vec::new();
    for way in asked {
        let found: Vec<(Vec<usize>, Result<WaySums, String>)> = way
            .joined
            .into_par_iter()
            .map(|joined| Ok((joined.measures, run(season, joined.study)?)))
            .collect::<Result<_, Unreckoned>>()?;
        let mut figures = to(way.parts.package);
        match steps(study, &way.parts, &sums, &found) {
            Ok(steps) => figures.steps = steps,
            Err(why) => figures.why_no_steps = Some(why),
        }
        all.push(figures);
    }
    let proposed = proposal.and_then(|name| study.heatings.iter().position(|heating| heating.name == name));
    let is_told = |place: usize| all.iter().any(|way| way.option == study.heatings[place].name);
    if let Some(place) = proposed.filter(|&place| place != base && !is_told(place)) {
        all.push(to(place));
    }
    Ok(all)
}

/// The seasons of joined measures, or why there are none.
fn run(season: &Season<'_>, joined: Result<Study, String>) -> Result<Result<WaySums, String>, Unreckoned> {
    let with = match joined {
        Ok(with) => with,
        Err(why) => return Ok(Err(why)),
    };
    let place = with.heatings.len() - 1;
    let known = (season.study.of_option(baseline_place(season.study)), season.references);
    let books: Vec<Book> = season.years.par_iter().map(|year| march_beside(known, (&with, place), year)).collect();
    Ok(Ok(sums(&with, place, &reckon(&with, &books)?)?))
}

fn sums(study: &Study, place: usize, option: &Reckoned<'_>) -> Result<WaySums, Unreckoned> {
    let plan = plan(study, baseline_place(study), place, false, sum_carriers(&option.months));
    Ok(WaySums {
        purchased_kwh: option.mean_energy().purchased_kwh(),
        electric_peak_kw: option.electric_peak_kw(),
        carbon_kg: option.carbon_kg(),
        bill: option.bill(),
        net_present_cost: net_present_cost(study, &plan)?,
    })
}

/// Measure by measure; or why not.
fn steps(
    study: &Study,
    parts: &PackageParts,
    options: &[WaySums],
    found: &[(Vec<usize>, Result<WaySums, String>)],
) -> Result<Vec<StepFigures>, String> {
    let base = options[baseline_place(study)];
    let all = &parts.measures;
    let package = options[parts.package];
    // What of some measures joined: nothing is the baseline, one is its option, others were run.
    let of = |measures: &[usize]| -> Result<WaySums, String> {
        match measures {
            [] => Ok(base),
            [one] => Ok(options[*one]),
            _ => match found.iter().find(|(set, _)| set == measures) {
                Some((_, found)) => found.clone(),
                // All of them are the package.
                None => Ok(package),
            },
        }
    };
    let mut steps = Vec::new();
    for (at, &measure) in all.iter().enumerate() {
        let rest: Vec<usize> = all.iter().copied().filter(|other| *other != measure).collect();
        steps.push(StepFigures {
            measure: study.heatings[measure].name.clone(),
            in_order: of(&all[..at])?.less(of(&all[..=at])?),
            alone: Some(base.less(options[measure])),
            last: Some(of(&rest)?.less(package)),
        });
    }
    Ok(steps)
}

/// What of an option's season belongs to which use.
struct Uses {
    need_kwh: f64,
    heat: Amounts,
    fans: Amounts,
    store: Amounts,
    demand: f64,
    total_bill: f64,
}

/// Purchased energy, carbon and money.
#[derive(Clone, Copy)]
struct Amounts {
    kwh: f64,
    carbon_kg: f64,
    bill: f64,
}

impl Uses {
    fn of(study: &Study, option: &Reckoned<'_>) -> Self {
        let grid = study.carriers.electricity_carbon_kg_per_kwh;
        let electric = |kwh: f64, bill: f64| Amounts { kwh, carbon_kg: kwh * grid, bill };
        let purpose =
            |of: fn(&crate::money::ByPurpose) -> f64| mean(option.bills.iter().map(|bill| of(&bill.purposes)));
        let fans =
            electric(option.mean(|account| account.fan_kwh() + account.lights_kwh), purpose(|purposes| purposes.fans));
        let store = electric(
            option.mean(|account| account.store_kwh - account.credit.penalty_kwh),
            purpose(|purposes| purposes.cool_store),
        );
        let heat = Amounts {
            kwh: option.mean_energy().purchased_kwh() - fans.kwh - store.kwh,
            carbon_kg: option.carbon_kg() - fans.carbon_kg - store.carbon_kg,
            bill: purpose(|purposes| purposes.heat),
        };
        Self {
            need_kwh: option.mean(|account| account.heat_need_kwh),
            heat,
            fans,
            store,
            demand: sum_money(&option.months, |month| month.demand_cost),
            total_bill: option.bill(),
        }
    }

    /// What is billed for no use of energy, and no demand.
    fn standing(&self) -> f64 {
        self.total_bill - self.heat.bill - self.fans.bill - self.store.bill - self.demand
    }
}

/// By cause; each column sums to what is saved.
fn causes(study: &Study, before: &Reckoned<'_>, after: &Reckoned<'_>) -> Vec<CauseFigures> {
    let (before, after) = (Uses::of(study, before), Uses::of(study, after));
    let heat = |of: fn(&Amounts) -> f64| split([before.need_kwh, after.need_kwh], [of(&before.heat), of(&after.heat)]);
    let (kwh, carbon, bill) = (heat(|one| one.kwh), heat(|one| one.carbon_kg), heat(|one| one.bill));
    let cause = |cause, purchased_kwh, carbon_kg, bill| CauseFigures { cause, purchased_kwh, carbon_kg, bill };
    let of_use = |which, one: &Amounts, other: &Amounts| {
        cause(which, one.kwh - other.kwh, one.carbon_kg - other.carbon_kg, one.bill - other.bill)
    };
    vec![
        cause(WayCause::HeatNeed, kwh[0], carbon[0], bill[0]),
        cause(WayCause::Conversion, kwh[1], carbon[1], bill[1]),
        of_use(WayCause::Fans, &before.fans, &after.fans),
        of_use(WayCause::Store, &before.store, &after.store),
        cause(WayCause::Demand, 0.0, 0.0, before.demand - after.demand),
        cause(WayCause::Standing, 0.0, 0.0, before.standing() - after.standing()),
    ]
}

/// What a lower need saves of something that heat takes, at what a kilowatt-hour took before, and what is saved at the
/// need that is left.
fn split(need_kwh: [f64; 2], taken: [f64; 2]) -> [f64; 2] {
    let each = if need_kwh[0] > 0.0 { taken[0] / need_kwh[0] } else { 0.0 };
    let by_need = (need_kwh[0] - need_kwh[1]) * each;
    [by_need, taken[0] - taken[1] - by_need]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 100 kWh of need take 120; 60 of need take 30. Forty kWh less need spare 48, and the sixty left take 42
    /// less than the 72 that they took.
    #[test]
    fn need_and_conversion_share_what_heat_saves() {
        assert_eq!(split([100.0, 60.0], [120.0, 30.0]), [48.0, 42.0]);
        assert_eq!(split([0.0, 60.0], [0.0, 30.0]), [0.0, -30.0]);
    }
}
