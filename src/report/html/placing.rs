//! Where the condensers should stand: the decision in a sentence, why, what would change it, and a table.

use super::parts::{Head, Row, Table, column, quoted};
use super::view::View;
use crate::money::uniform_present_value;
use crate::report::condensers::{PlacementFigures, StackPlacements};
use crate::report::number::{Cell, column_decimals, energy, percent, plain, three, with_unit};
use serde::Serialize;
use std::fmt::Write;

/// What is said of the places.
#[derive(Debug, Serialize)]
pub struct Placing {
    /// The decision; empty where there is nothing to decide.
    decision: String,
    /// Sentences by stack: what it rests on and what would change it.
    reasons: Vec<String>,
    tables: Vec<Table>,
}

/// Builds it.
pub fn placing(view: &View<'_>) -> Placing {
    let stacks = &view.figures.condensers;
    Placing {
        decision: decision(view, stacks),
        reasons: stacks.iter().filter_map(|stack| reasons(view, stack)).collect(),
        tables: stacks.iter().map(|stack| table(view, stack)).collect(),
    }
}

fn best(stack: &StackPlacements) -> Option<&PlacementFigures> {
    stack.placements.iter().find(|placement| placement.place == stack.best)
}

/// The plant's place without its damper.
fn spot(place: &str) -> &str {
    place.strip_prefix("switched-").unwrap_or(place)
}

/// The one that is worth most of those that stand elsewhere than the best.
fn next_best(stack: &StackPlacements) -> Option<&PlacementFigures> {
    stack
        .placements
        .iter()
        .filter(|placement| spot(&placement.place) != spot(&stack.best) && placement.keeps_up)
        .max_by(|a, b| a.net_money.total_cmp(&b.net_money))
}

fn where_in_words(place: &str) -> &'static str {
    match place {
        "room" => "in the drying room",
        "fresh-air" => "in the fresh-air intake",
        "switched-room" => {
            "in the drying room while their heat is wanted there, and outdoors otherwise"
        }
        "switched-fresh-air" => {
            "in the fresh-air intake while their heat is wanted there, and outdoors otherwise"
        }
        _ => "outdoors",
    }
}

/// The same in few words, for a table and for comparing.
fn where_in_short(place: &str) -> &'static str {
    match place {
        "room" => "in the room",
        "fresh-air" => "in the intake",
        "switched-room" => "switched, room or outdoors",
        "switched-fresh-air" => "switched, intake or outdoors",
        _ => "outdoors",
    }
}

/// The place as the subject of a sentence.
fn named(place: &str) -> &'static str {
    match place {
        "room" => "the room",
        "fresh-air" => "the intake",
        "switched-room" => "a damper between room and outdoors",
        "switched-fresh-air" => "a damper between intake and outdoors",
        _ => "outdoors",
    }
}

fn decision(view: &View<'_>, stacks: &[StackPlacements]) -> String {
    let clauses: Vec<String> = stacks.iter().filter_map(|stack| clause(view, stack)).collect();
    if clauses.is_empty() {
        return String::new();
    }
    format!("At this site the condensers should stand {}.", clauses.join("; and "))
}

fn clause(view: &View<'_>, stack: &StackPlacements) -> Option<String> {
    let (best, next) = (best(stack)?, next_best(stack));
    let beside = format!("beside the sources of {}", quoted(&stack.option));
    let place = where_in_words(&best.place);
    if best.place != "outdoors" {
        let against = next.map_or_else(String::new, |next| {
            format!(
                ", against {} {}",
                view.money.prose(next.net_money),
                where_in_short(&next.place)
            )
        });
        return Some(format!(
            "{place} {beside}, because {} of what they give off there meets a need for {} more electricity and is worth {} a season net of it{against}",
            energy(best.useful_kwh),
            energy(best.penalty_kwh.max(0.0)),
            view.money.prose(best.net_money),
        ));
    }
    let most_useful =
        stack.placements.iter().max_by(|a, b| a.useful_kwh.total_cmp(&b.useful_kwh))?;
    let why = if most_useful.useful_kwh <= 0.0 {
        "because none of their heat would meet a need anywhere".to_owned()
    } else if let Some(next) = next {
        let falls_short = if next.displaced_electricity_money < 0.0 {
            ", and what is left of the need falls more often below what the first source can turn down to"
        } else {
            ""
        };
        format!(
            "because the heat that they would save costs less than the electricity that recovering it takes{falls_short}: {}, the next best, would lose {} a season",
            where_in_short(&next.place),
            view.money.prose(-next.net_money)
        )
    } else {
        "because the units could not keep the store cold anywhere else".to_owned()
    };
    Some(format!("{place} {beside}, {why}"))
}

/// What the decision rests on and what would change it.
fn reasons(view: &View<'_>, stack: &StackPlacements) -> Option<String> {
    let best = best(stack)?;
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
    if best.net_money > 0.0 {
        let study = &view.figures.study;
        let worth = best.net_money * uniform_present_value(study.discount_rate, study.money_years);
        said.push(format!(
            "Over {} at {} a year it pays for works of up to {}.",
            with_unit(&plain(f64::from(study.money_years)), "years"),
            percent(study.discount_rate * 100.0),
            view.money.prose(worth)
        ));
    }
    if best.place != "outdoors" {
        said.extend(damper(view, stack, best));
    }
    said.push(changes(stack));
    Some(format!("Beside {}: {}", quoted(&stack.option), said.join(" ")))
}

/// What turning the condensers outdoors brings when their heat is not wanted.
fn damper(view: &View<'_>, stack: &StackPlacements, best: &PlacementFigures) -> Option<String> {
    let there = |switched: bool| {
        stack.placements.iter().find(|placement| {
            placement.place.starts_with("switched-") == switched
                && spot(&placement.place) == spot(&best.place)
                && placement.keeps_up
        })
    };
    let more = there(true)?.net_money - there(false)?.net_money;
    Some(if best.place.starts_with("switched-") {
        format!(
            "Of that a damper that turns them outdoors when their heat is not wanted brings {} a season.",
            view.money.prose(more)
        )
    } else if more > 0.0 {
        format!(
            "A damper that turned them outdoors when their heat is not wanted would bring {} a season more.",
            view.money.prose(more)
        )
    } else {
        "A damper that turned them outdoors when their heat is not wanted would bring nothing more."
            .to_owned()
    })
}

/// What a kilowatt-hour of recovered heat takes, and what a heat pump would take for it.
fn terms(view: &View<'_>, told: &PlacementFigures) -> String {
    let pump = told.useful_kwh / told.heat_pump_kwh.max(1e-9);
    let recovery = match told.cop_of_recovery {
        Some(cop) => format!(
            "{} a kWh more at the compressors brings {} of useful heat, where an air-source heat pump in the same hours would bring {}",
            where_at_start(&told.place),
            with_unit(&three(cop), "kWh"),
            with_unit(&three(pump), "kWh")
        ),
        None => format!(
            "{} the heat takes no more at the compressors, where an air-source heat pump in the same hours would bring {} for a kWh",
            where_at_start(&told.place),
            with_unit(&three(pump), "kWh")
        ),
    };
    format!(
        "{recovery}; for the season’s useful heat that is {} against {}.",
        view.money.prose(told.penalty_money),
        view.money.prose(told.heat_pump_money)
    )
}

fn where_at_start(place: &str) -> &'static str {
    match place {
        "room" => "in the drying room",
        "fresh-air" => "in the fresh-air intake",
        "switched-room" => "switched between drying room and outdoors,",
        "switched-fresh-air" => "switched between intake and outdoors,",
        _ => "outdoors",
    }
}

/// What would make another place the best.
fn changes(stack: &StackPlacements) -> String {
    let price = match &stack.price_flip {
        Some(flip) => format!(
            "With fuels as they are, electricity at {} times its price would make {} the best",
            three(flip.electricity_factor),
            named(&flip.becomes)
        ),
        None => "No price of electricity changes the ranking".to_owned(),
    };
    let (low, high) = stack.temperatures_tried_c;
    let temperature = match &stack.temperature_flip {
        Some(flip) => {
            let (a, b) = (flip.still_c.min(flip.no_more_c), flip.still_c.max(flip.no_more_c));
            format!(
                "drying air set between {} and {} would make {} the best",
                plain(a),
                with_unit(&plain(b), "°C"),
                named(&flip.becomes)
            )
        }
        None => format!(
            "no drying air between {} and {} does",
            plain(low),
            with_unit(&plain(high), "°C")
        ),
    };
    let joined = if stack.price_flip.is_some() && stack.temperature_flip.is_none() {
        format!("{price}; {temperature}, as far as was tried")
    } else {
        format!("{price}; {temperature}")
    };
    format!("{joined}.")
}

fn table(view: &View<'_>, stack: &StackPlacements) -> Table {
    let of = |value: fn(&PlacementFigures) -> f64| {
        column(&stack.placements.iter().map(value).collect::<Vec<f64>>())
    };
    let columns = [
        of(|p| p.gross_kwh),
        of(|p| p.useful_kwh),
        of(|p| p.penalty_kwh),
        of(|p| p.net_kwh),
        of(|p| p.net_money),
        of(|p| p.bill_saved),
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
            let row = Row::new(where_in_short(&placement.place), cells);
            row.class(if placement.place == stack.best { "chosen" } else { "" })
        })
        .collect();
    let heads = vec![
        Head::number("given off", "kWh"),
        Head::number("useful", "kWh"),
        Head::number("penalty", "kWh"),
        Head::number("net", "kWh"),
        Head::number("net", view.money.code()),
        Head::number("off the bill", view.money.code()),
        Head::number("useful per penalty", "kWh/kWh"),
    ];
    let fails: Vec<&str> = stack
        .placements
        .iter()
        .filter(|placement| !placement.keeps_up)
        .map(|placement| where_in_short(&placement.place))
        .collect();
    let mut note = "The same sources with the condensers at every place, whether an option of the study has them there or not. Net is at the hour’s prices without demand charges; off the bill counts demand charges and tax. Works are not counted.".to_owned();
    if !fails.is_empty() {
        let _ = write!(
            note,
            " Not in question, since the store is not kept as cold or the nuts do not all become dry: {}.",
            fails.join(", ")
        );
    }
    Table::new(
        format!("Condensers at every place, beside the sources of {}", quoted(&stack.option)),
        "place",
        heads,
        rows,
    )
    .note(note)
}
