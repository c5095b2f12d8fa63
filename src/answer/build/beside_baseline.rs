//! An option that a study does not have, judged and priced beside its baseline as a report would.

use super::grants::Scheme;
use super::life_cycle::{life_cycle, plan};
use super::made_of::{Unreckoned, baseline_place};
use super::reckoned::reckon;
use crate::answer::figures::LifeCycleFigures;
use crate::answer::judgement::Work;
use crate::ledger::Book;
use crate::money::CashPlan;
use crate::study::Study;

/// What a report says of an option.
pub(in crate::answer) struct Told {
    pub work: Work,
    /// Mean bill over the weather years.
    pub bill: f64,
    pub life_cycle: LifeCycleFigures,
}

/// The option at a place of a study, by its books and the baseline's, one a weather year. What a scheme says to an
/// option hangs on the baseline and on itself alone, and so does its money.
pub(in crate::answer) fn beside_baseline(
    study: &Study,
    place: usize,
    (base_books, books): (&[Book], &[Book]),
) -> Result<Told, Unreckoned> {
    let pair = study.with_options(&[baseline_place(study), place]);
    let (base, own) = (0, 1);
    let reckoned = [reckon(&pair, base_books)?, reckon(&pair, books)?];
    let scheme = Scheme::of(&pair, base, &reckoned);
    let grants = [base, own].map(|place| scheme.decision(place));
    let plans: Vec<CashPlan> = reckoned
        .iter()
        .enumerate()
        .map(|(place, option)| plan(&pair, base, place, grants[place].is_paid(), option.carriers()))
        .collect();
    let mut life_cycle = life_cycle(&pair, &plans, &grants[own], base, own, &reckoned[own])?;
    life_cycle.may_have_grant = scheme.may_pay(own);
    Ok(Told { work: scheme.works[own], bill: reckoned[own].bill(), life_cycle })
}
