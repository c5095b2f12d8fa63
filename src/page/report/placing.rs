//! Where the condensers should stand: the decision in a sentence, why, what would change it, and a table.

use super::view::View;
use crate::answer::figures::{PlacementFigures, StackPlacements};
use crate::answer::places::{Place, PlaceWords};
use crate::number::{Measure, energy, heat, percent, plain, three, with_unit};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, column, one_behind_the_other, quoted};
use serde::Serialize;

/// What is said of the places.
#[derive(Debug, Serialize)]
pub(super) struct Placing {
    /// The decision; empty where there is nothing to decide.
    decision: String,
    /// What the first decision rests on and what would change it.
    reasons: Vec<String>,
    tables: Vec<Table>,
    /// The same of the others: stands in the appendix, as the tables of those do that do not decide.
    more_reasons: Vec<String>,
    more_tables: Vec<Table>,
}

/// Builds it.
pub(super) fn placing(view: &View<'_>) -> Placing {
    let (deciding, others) = by_weight(view);
    let (first, rest) = deciding.split_at(deciding.len().min(1));
    let rest: Vec<&StackPlacements> = rest.iter().chain(&others).copied().collect();
    let reasons = |stacks: &[&StackPlacements]| -> Vec<String> {
        stacks.iter().filter_map(|stack| reasons(view, stack)).collect()
    };
    // What the columns are is said once, below the first table.
    let tables = |stacks: &[&StackPlacements]| -> Vec<Table> {
        let with_note = |(at, stack): (usize, &&StackPlacements)| {
            let columns = if at == 0 { columns_note(stack) } else { String::new() };
            table(view, stack).note(one_behind_the_other(&[&columns, &not_in_question(stack)]))
        };
        stacks.iter().enumerate().map(with_note).collect()
    };
    Placing {
        decision: decision(view, &deciding),
        reasons: reasons(first),
        tables: tables(first),
        more_reasons: reasons(&rest),
        more_tables: tables(&rest),
    }
}

/// Those beside the sources of the recommended option and of the next best, in this order, and the others. Where none
/// of them was tried, or none is recommended, all decide.
pub(super) fn by_weight<'a>(view: &View<'a>) -> (Vec<&'a StackPlacements>, Vec<&'a StackPlacements>) {
    let all = || view.figures.condensers.iter();
    let mut deciding: Vec<&StackPlacements> = Vec::new();
    for option in view.recommended().into_iter().chain(view.runner_up()) {
        let has_its_sources = |stack: &&StackPlacements| sources(view, &stack.option) == sources(view, &option.name);
        let of_option = all().find(|stack| stack.option == option.name).or_else(|| all().find(has_its_sources));
        deciding.extend(of_option.filter(|stack| deciding.iter().all(|known| known.option != stack.option)));
    }
    if deciding.is_empty() {
        return (all().collect(), Vec::new());
    }
    let others = all().filter(|stack| deciding.iter().all(|known| known.option != stack.option)).collect();
    (deciding, others)
}

fn words(placement: &PlacementFigures) -> PlaceWords {
    PlaceWords::of(placement.place, placement.room.as_deref())
}

fn at(stack: &StackPlacements, place: Place) -> Option<&PlacementFigures> {
    stack.placements.iter().find(|placement| placement.place == place)
}

/// The best of the others, by what ranks them: what they save over the period.
fn next_best(stack: &StackPlacements) -> Option<&PlacementFigures> {
    stack
        .placements
        .iter()
        .filter(|placement| placement.place != stack.best && placement.keeps_up)
        .max_by(|a, b| a.present_saved.total_cmp(&b.present_saved))
}

fn decision(view: &View<'_>, stacks: &[&StackPlacements]) -> String {
    let clauses: Vec<String> = stacks.iter().filter_map(|stack| clause(view, stack)).collect();
    if clauses.is_empty() {
        return String::new();
    }
    let tried = match view
        .figures
        .condensers
        .iter()
        .flat_map(|stack| &stack.placements)
        .filter(|placement| placement.place != Place::Outdoors)
        .find_map(|placement| placement.room.as_ref())
    {
        Some(room) => format!(
            " Of several rooms they were tried in “{room}” alone, where the study has them: what another would save is not known here."
        ),
        None => String::new(),
    };
    // What a place saves is held against no price: installation, ducts and dampers are in none of these sums.
    let moves = stacks.iter().filter_map(|stack| at(stack, stack.best)).any(|best| best.place != Place::Outdoors);
    let unpriced = if moves { " What installing them there costs is not priced here." } else { "" };
    format!("At this site the condensers should stand {}.{unpriced}{tried}", clauses.join(". They should stand "))
}

/// Names of an option's sources.
fn sources<'a>(view: &View<'a>, option: &str) -> Vec<&'a str> {
    let options = view.figures.options.iter().filter(|known| known.name == option);
    options.flat_map(|option| &option.sources).map(|source| source.name.as_str()).collect()
}

fn years_in_words(view: &View<'_>) -> String {
    with_unit(&plain(f64::from(view.figures.study.money_years)), "years")
}

fn clause(view: &View<'_>, stack: &StackPlacements) -> Option<String> {
    let (best, next) = (at(stack, stack.best)?, next_best(stack));
    let beside = format!("beside the sources of {}", quoted(&stack.option));
    let place = words(best).stand;
    let years = years_in_words(view);
    if best.place != Place::Outdoors {
        let against = next.map_or_else(String::new, |next| {
            format!(", against {} {}", view.money.prose(next.present_saved), words(next).short)
        });
        return Some(format!(
            "{place} {beside}, because {} of what they reject there meets a need for {} more electricity: that lowers the seasonal energy cost by {}, and {} over {years}{against}",
            heat(best.useful_kwh),
            energy(best.penalty_kwh.max(0.0)),
            view.money.prose(best.bill_saved),
            view.money.prose(best.present_saved),
        ));
    }
    let most_useful = stack.placements.iter().max_by(|a, b| a.useful_kwh.total_cmp(&b.useful_kwh))?;
    let why = if most_useful.useful_kwh <= 0.0 {
        "because none of their heat would meet a need anywhere".to_owned()
    } else if let Some(next) = next.filter(|next| next.present_saved < 0.0) {
        // Fuel saved and penalty of a season; what top-up electricity takes is the rest of the loss.
        let takes_top_up = next.displaced_electricity_money < 0.0;
        let reason = if takes_top_up && next.displaced_fuel_money > next.penalty_money {
            format!(
                "because what is left of the need then falls more often below what the first source can turn down to: electricity for {} a season tops it up, for {} of fuel saved",
                view.money.prose(-next.displaced_electricity_money),
                view.money.prose(next.displaced_fuel_money),
            )
        } else if takes_top_up {
            "because the heat that they would save costs less than the electricity that recovering it takes, and what is left of the need falls more often below what the first source can turn down to".to_owned()
        } else {
            "because the heat that they would save costs less than the electricity that recovering it takes".to_owned()
        };
        format!(
            "{reason}: {}, the next best, would lose {} over {years}",
            words(next).short,
            view.money.prose(-next.present_saved)
        )
    } else if next.is_some() {
        "because their heat saves nothing on the bill anywhere".to_owned()
    } else {
        "because the cooling units could not keep the store cold, or the nuts would not become dry, anywhere else"
            .to_owned()
    };
    Some(format!("{place} {beside}, {why}"))
}

/// What the decision rests on and what would change it.
fn reasons(view: &View<'_>, stack: &StackPlacements) -> Option<String> {
    let best = at(stack, stack.best)?;
    let mut said = Vec::new();
    // Beside sources for which recovery does not pay, the terms of the place that recovers most.
    let told = if best.useful_kwh > 0.0 {
        best
    } else {
        stack
            .placements
            .iter()
            .filter(|placement| placement.keeps_up)
            .max_by(|a, b| a.useful_kwh.total_cmp(&b.useful_kwh))?
    };
    if told.useful_kwh > 0.0 {
        said.push(terms(view, told));
    }
    if best.useful_kwh <= 0.0 && told.present_saved < 0.0 {
        said.push(format!(
            "With all that follows for the sources it would lose {} over {}.",
            view.money.prose(-told.present_saved),
            years_in_words(view)
        ));
    }
    if best.present_saved > 0.0 {
        let study = &view.figures.study;
        said.push(format!(
            "Over {} at {} a year, with demand charges, tax and the growth of prices as in the life-cycle cost, it pays for an installation of up to {} after grant, if that lasts the whole period.",
            years_in_words(view),
            percent(study.discount_rate * 100.0),
            view.money.prose(best.present_saved)
        ));
    }
    said.extend(rule(view, stack, best));
    if best.place != Place::Outdoors {
        said.extend(damper(view, stack, best));
    }
    said.push(changes(stack));
    Some(format!("Beside {}: {}", quoted(&stack.option), said.join(" ")))
}

/// The rule by which a simpler place goes before one that saves a little more, where it decides.
fn rule(view: &View<'_>, stack: &StackPlacements, best: &PlacementFigures) -> Option<String> {
    let most = at(stack, stack.saves_most).filter(|most| most.place != best.place)?;
    Some(format!(
        "Condensers {} would save {} more over the period: less than the {} of what it saves by which a less simple place must better a simpler one to pay for its damper or ducts.",
        words(most).short,
        view.money.prose(most.present_saved - best.present_saved),
        percent(stack.simpler_within_pct),
    ))
}

/// What turning the condensers outdoors brings when their heat is not wanted; nothing where the rule has said
/// it.
fn damper(view: &View<'_>, stack: &StackPlacements, best: &PlacementFigures) -> Option<String> {
    let there = |switched: bool| {
        stack.placements.iter().find(|placement| {
            placement.place.has_damper() == switched
                && placement.place.without_damper() == best.place.without_damper()
                && placement.keeps_up
        })
    };
    let (with, without) = (there(true)?, there(false)?);
    let more = with.present_saved - without.present_saved;
    if best.place.has_damper() {
        return Some(format!(
            "Of that a damper that turns them outdoors when their heat is not wanted brings {} over the period: with its ducts it must cost less than that, or they had better stand there without it.",
            view.money.prose(more)
        ));
    }
    if with.place == stack.saves_most {
        return None;
    }
    Some(if more > 0.0 {
        format!(
            "A damper that turned them outdoors when their heat is not wanted would bring {} more over the period.",
            view.money.prose(more)
        )
    } else {
        "A damper that turned them outdoors when their heat is not wanted would bring nothing more.".to_owned()
    })
}

/// Useful heat for a kWh of penalty above which the penalty is practically nothing.
const PRACTICALLY_FREE: f64 = 500.0;

/// What a kilowatt-hour of recovered heat takes, and what a heat pump would take for it.
fn terms(view: &View<'_>, told: &PlacementFigures) -> String {
    let pump = told.useful_kwh / told.heat_pump_kwh.max(1e-9);
    let recovery = match told.cop_of_recovery {
        Some(cop) if cop > PRACTICALLY_FREE => format!(
            "with the condensers {} the heat takes practically nothing more at the compressors, where an air-source heat pump in the same hours would bring {} for a kWh",
            words(told).short,
            with_unit(&three(pump), "kWh")
        ),
        Some(cop) => format!(
            "with the condensers {} a kWh more at the compressors brings {} of useful heat, where an air-source heat pump in the same hours would bring {}",
            words(told).short,
            with_unit(&three(cop), "kWh"),
            with_unit(&three(pump), "kWh")
        ),
        None => format!(
            "with the condensers {} the heat takes no more at the compressors, where an air-source heat pump in the same hours would bring {} for a kWh",
            words(told).short,
            with_unit(&three(pump), "kWh")
        ),
    };
    format!(
        "{recovery}; for the season’s useful heat that is {} against {}.",
        view.money.prose(told.penalty_money),
        view.money.prose(told.heat_pump_money)
    )
}

/// What would make another place the best.
fn changes(stack: &StackPlacements) -> String {
    let subject = |place: Place| at(stack, place).map_or_else(String::new, |there| words(there).subject);
    let price = match &stack.price_flip {
        Some(flip) => format!(
            "With fuels as they are, electricity at {} times its price or {} would make {} the choice",
            three(flip.electricity_factor),
            if flip.electricity_factor > 1.0 { "dearer" } else { "cheaper" },
            subject(flip.becomes)
        ),
        None => "No price of electricity changes the ranking".to_owned(),
    };
    let temperature = by_temperature(stack, subject);
    let by_rule = format!("a choice saves the most, or as much to within {}", percent(stack.simpler_within_pct));
    let joined = if stack.price_flip.is_some() {
        format!("{price} ({by_rule}); {temperature}")
    } else {
        format!("{price}; {temperature}")
    };
    format!("{joined}.")
}

/// What warmer or cooler air would make the best, on which side of what.
fn by_temperature(stack: &StackPlacements, subject: impl Fn(Place) -> String) -> String {
    let one_temperature = stack.set_temperatures_c.len() == 1;
    let Some(flip) = &stack.temperature_flip else {
        if one_temperature {
            let (low, high) = stack.temperatures_tried_c;
            let celsius = Measure::of("°C");
            let (low, high) = (celsius.number(low), celsius.plain_figure(high));
            return format!("no drying air that was tried does, between {low} and {high}");
        }
        let (low, high) = stack.shifts_tried_k;
        let (shift_k, side) = if high > 0.0 { (high, "warmer") } else { (-low, "cooler") };
        let shift = Measure::of("K").plain_figure(shift_k);
        return format!("no stage set up to {shift} {side} does, and the other side was not tried");
    };
    let is_cooler = flip.no_more_shift_k < 0.0;
    let becomes = subject(flip.becomes);
    let by = |shift_k: f64| {
        let warmer = if is_cooler { "cooler" } else { "warmer" };
        format!("{} {warmer}", Measure::of("K").three(shift_k.abs()))
    };
    if one_temperature {
        format!(
            "drying air set at {} or {} would make {becomes} the choice (at {} nothing changes yet)",
            Measure::of("°C").three(flip.no_more_c),
            if is_cooler { "below" } else { "above" },
            Measure::of("°C").three(flip.still_c),
        )
    } else {
        let not_yet = if flip.still_shift_k == 0.0 {
            String::new()
        } else {
            format!(" (at {} nothing changes yet)", by(flip.still_shift_k))
        };
        format!("every stage set {} would make {becomes} the choice{not_yet}", by(flip.no_more_shift_k))
    }
}

fn table(view: &View<'_>, stack: &StackPlacements) -> Table {
    let of = |value: fn(&PlacementFigures) -> f64| column(&stack.placements.iter().map(value).collect::<Vec<f64>>());
    let columns = [
        of(|p| p.gross_kwh),
        of(|p| p.useful_kwh),
        of(|p| p.penalty_kwh),
        of(|p| p.net_kwh),
        of(|p| p.net_money),
        of(|p| p.bill_saved),
        of(|p| p.present_saved),
    ];
    let cops = || stack.placements.iter().filter_map(|p| p.cop_of_recovery);
    let decimals = column_decimals(cops());
    let rows = stack
        .placements
        .iter()
        .enumerate()
        .map(|(at, placement)| {
            let mut cells: Vec<Cell> = columns.iter().map(|column| column[at].clone()).collect();
            cells.push(Cell::number_or(placement.cop_of_recovery, decimals, "no penalty"));
            let row = Row::new(words(placement).short, cells);
            row.class(if placement.place == stack.best { "chosen" } else { "" })
        })
        .collect();
    let code = view.money.code();
    let heads = vec![
        Head::heat("rejected where usable", "kWh"),
        Head::heat("useful", "kWh"),
        Head::heat("penalty", "kWh"),
        Head::heat("net", "kWh"),
        Head::number("net", code),
        Head::number("bill saving", code),
        Head::number(format!("bill saving over {}", years_in_words(view)), code),
        Head::number("useful per penalty", "kWh/kWh"),
    ];
    Table::new(
        format!("Condensers at every place, beside the sources of {}", quoted(&stack.option)),
        "place",
        heads,
        rows,
    )
}

/// What the columns count.
fn columns_note(stack: &StackPlacements) -> String {
    format!(
        "Net is at the hour’s prices; bill saving counts demand charges and tax, and over the years the growth of prices and the discount rate. The installation is not counted. Marked: the place that saves most over the years, or a simpler one that saves as much to within {}.",
        percent(stack.simpler_within_pct)
    )
}

/// Places that are not in question; nothing where all are.
fn not_in_question(stack: &StackPlacements) -> String {
    let fails: Vec<String> = stack
        .placements
        .iter()
        .filter(|placement| !placement.keeps_up)
        .map(|placement| words(placement).short)
        .collect();
    if fails.is_empty() {
        return String::new();
    }
    format!(
        "Not in question, since work is left undone there that is done with the condensers outdoors (the store is not kept as cold, or the nuts do not all become dry): {}.",
        fails.join(", ")
    )
}
