//! Sizing by money: the plant of least net present cost that keeps the limits, with what lies about it.
//!
//! Every plant that is tried is an option behind the study's text, read by the reader that reads options, marched in all
//! weather years and priced by the life cycle that a report goes by. So the block that is handed out, pasted, gives what
//! is said of it.

mod figures;
mod frontier;
mod limits;
mod search;
mod seasons;
mod tries;

pub(crate) use figures::{ByMoneyFigures, NextSize, SizedFigures, SizedPlant};
pub(crate) use tries::{PosedByMoney, least_seasons};

use super::build::Unreckoned;
use figures::{guards_longer, next_size, plant_figures};
use frontier::frontier;
use search::{Ground, search};
use tries::Tries;

/// A first stride is so large a share of what stands (assumption: it halves down to a step).
const FIRST_STRIDE: f64 = 0.4;

/// Sizes a plant with at most so many seasons, [`least_seasons`] at least. `done` is called as seasons end, with how many.
pub(crate) fn size_by_money(
    posed: &PosedByMoney<'_>,
    most_seasons: usize,
    done: &(dyn Fn(usize) + Sync),
) -> Result<ByMoneyFigures, Unreckoned> {
    let plant = posed.plant;
    let mut tries = Tries::begin(posed, most_seasons, done)?;
    let start = tries.as_it_stands();
    let (at, worth) = search(&ground(posed), start.clone(), &mut tries)?;
    let ran_out = tries.is_spent();
    let mut numbers = Vec::new();
    for (place, number) in plant.numbers.iter().enumerate() {
        let mut beside = [None, None];
        for (next, by) in beside.iter_mut().zip([-1, 1]) {
            let other = at[place].checked_add_signed(by).filter(|other| *other < number.sizes.len());
            let Some(other) = other else { continue };
            let mut point = at.clone();
            point[place] = other;
            tries.try_beside(&point)?;
            *next = tries.known(&point).map(|tried| next_size(number.sizes[other], tried, tries.known(&at)));
        }
        let [smaller, larger] = beside;
        numbers.push(SizedFigures::of(number, at[place], smaller, larger));
    }
    let as_it_stands = plant_figures(plant, tries.known(&start.0));
    let best = if worth.keeps() { plant_figures(plant, tries.known(&at)) } else { None };
    let option = best.as_ref().map(|_| plant.option(&at));
    let waiting_limit_h = tries.limits().waiting_h;
    Ok(ByMoneyFigures {
        study: posed.study.title.clone(),
        option: plant.on.clone(),
        currency: posed.study.currency.to_string(),
        weather_years: posed.years.iter().map(|year| year.label.clone()).collect(),
        years: posed.study.money.years,
        waiting_limit_days: waiting_limit_h / 24.0,
        less_gives_money_back: !plant.is_installed,
        as_it_stands,
        guards_longer: guards_longer(tries.known(&at).filter(|_| worth.keeps()), tries.known(&start.0)),
        guards_are_limits: posed.keeps_guards,
        numbers,
        best,
        frontier: frontier(plant, tries.all()),
        not_sized: plant.not_sized.iter().map(Into::into).collect(),
        seasons: tries.seasons(),
        ran_out_of_seasons: ran_out,
        option_to_paste: option,
    })
}

fn ground(posed: &PosedByMoney<'_>) -> Ground {
    let numbers = &posed.plant.numbers;
    let stride = |now: f64, sizes: &[f64]| {
        let within = sizes.iter().filter(|size| **size <= now && **size > now * (1.0 - FIRST_STRIDE)).count();
        // The largest power of two that is no more, so that it halves down to one.
        1 << within.max(1).ilog2()
    };
    Ground {
        counts: numbers.iter().map(|number| number.sizes.len()).collect(),
        strides: numbers.iter().map(|number| stride(number.as_it_stands(), &number.sizes)).collect(),
        sources: numbers.iter().filter(|number| number.of == crate::trial::SizedOf::Source).count(),
    }
}
