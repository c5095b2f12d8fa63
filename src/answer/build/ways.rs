//! The way from the baseline to every package and to the proposal: what the need for heat, its conversion, fans, store and
//! charges save, and what each measure of a package adds where it stands, alone and last.
//!
//! Order changes what is laid to which measure, and not the sum: each step is the difference of two seasons, and what lies
//! between falls out.

use super::causes::Uses;
use super::life_cycle::{net_present_cost, plan};
use super::made_of::{Season, Unreckoned, baseline_place};
use super::marches::march_beside;
use super::reckoned::{Reckoned, reckon};
use crate::answer::figures::{StepFigures, WayFigures, WaySums};
use crate::ledger::Book;
use crate::study::Study;
use crate::trial::{Join, PackageParts};
use rayon::prelude::*;
use std::collections::BTreeMap;

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

/// The ways to all packages, in the order of the study, and to the proposals where they are none of them.
pub(crate) fn ways(
    season: &Season<'_>,
    asked: Vec<WayAsked>,
    proposals: &[String],
) -> Result<Vec<WayFigures>, Unreckoned> {
    let study = season.study;
    let base = baseline_place(study);
    let reckoned = season.books.iter().map(|books| reckon(study, books)).collect::<Result<Vec<_>, _>>()?;
    let sums = (0..reckoned.len()).map(|place| sums(study, place, &reckoned[place])).collect::<Result<Vec<_>, _>>()?;
    let to = |place: usize| WayFigures {
        option: study.heatings[place].name.clone(),
        saved: sums[base].less(sums[place]),
        causes: Uses::of(study, &reckoned[place]).saved_of(&Uses::of(study, &reckoned[base])),
        steps: Vec::new(),
        why_no_steps: None,
    };
    let mut all = Vec::new();
    for way in asked {
        let found: BTreeMap<Vec<usize>, Result<WaySums, String>> = way
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
    for name in proposals {
        let place = study.heatings.iter().position(|heating| heating.name == *name);
        let is_told = all.iter().any(|way| way.option == *name);
        all.extend(place.filter(|&place| place != base && !is_told).map(to));
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
    let plan = plan(study, baseline_place(study), place, false, option.carriers());
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
    run: &BTreeMap<Vec<usize>, Result<WaySums, String>>,
) -> Result<Vec<StepFigures>, String> {
    let base = options[baseline_place(study)];
    let name = |place: &usize| study.heatings[*place].name.as_str();
    let of = |join: Join| match join {
        Join::Baseline => Ok(base),
        Join::Option(place) => Ok(options[place]),
        Join::Season(measures) => run.get(&measures).cloned().unwrap_or_else(|| {
            let names: Vec<&str> = measures.iter().map(name).collect();
            Err(format!("no season was run of {} joined", names.join(" and ")))
        }),
    };
    let mut steps = Vec::new();
    for (at, &measure) in parts.measures.iter().enumerate() {
        let package = options[parts.package];
        steps.push(StepFigures {
            measure: name(&measure).to_owned(),
            in_order: of(parts.first(at))?.less(of(parts.first(at + 1))?),
            alone: base.less(options[measure]),
            last: of(parts.all_but(measure))?.less(package),
        });
    }
    Ok(steps)
}
