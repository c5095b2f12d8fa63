//! The owner's sheet: the decision on one page, in the report's own charts.

use super::carriers::Carriers;
use super::view::View;
use crate::answer::figures::{OptionFigures, PointFigures, Quantiles, YearlyFigures};
use crate::answer::told_sheet;
use crate::number::{fixed, three};
use crate::page::chart::{MonthPanel, MonthPanels, Pen, RankedRow, RankedRows};
use crate::page::kit::cell::{Cell, MILLION, are_many, column_decimals};
use crate::page::parts::{Figure, Head, Key, Of, Row, Table, figure, in_words, label, millions_of};
use serde::Serialize;
use std::cmp::Ordering;
use std::fmt::Write;

/// The first page.
#[derive(Debug, Serialize)]
pub(super) struct Sheet {
    headline: String,
    support: Vec<String>,
    figures: Vec<Figure>,
    table: Table,
    could_go_wrong: Vec<PointFigures>,
    next: Vec<String>,
}

/// Builds it.
pub(super) fn sheet(view: &View<'_>) -> Sheet {
    // Said once more, to its reader.
    let said = told_sheet(view.figures);
    let carriers = Carriers::of(view);
    Sheet {
        headline: said.headline,
        support: said.support,
        figures: vec![ranked(view, &carriers), months(view, &carriers)],
        table: three_figures(view),
        could_go_wrong: said.could_go_wrong,
        next: said.next,
    }
}

/// Those that are shown beside each other, and what each is.
fn shown<'a>(view: &View<'a>) -> Vec<(&'static str, &'a OptionFigures)> {
    let all = view.figures.deciding().into_iter();
    all.map(|(what, place)| (what.words(), &view.figures.options[place])).collect()
}

/// Options on the sheet at most; the rest stands in the tables.
const MOST_ROWS: usize = 11;

fn ranked(view: &View<'_>, carriers: &Carriers) -> Figure {
    let all = &view.figures.sheet.yearly;
    let is_base = |one: &YearlyFigures| one.option == view.baseline().name;
    let base_place = all.iter().position(is_base).unwrap_or(0);
    let first = if base_place < MOST_ROWS { MOST_ROWS } else { MOST_ROWS - 1 };
    let yearly: Vec<&YearlyFigures> = all
        .iter()
        .enumerate()
        .filter(|(place, _)| *place < first || *place == base_place)
        .map(|(_, one)| one)
        .collect();
    let code = view.money.code();
    let (has_growth, has_range) =
        (yearly.iter().any(|one| one.price_growth > 0.0), yearly.iter().any(|one| one.range.is_some()));
    let has_level = yearly.iter().any(|one| one.level_with_best);
    let decimals = column_decimals(yearly.iter().map(|one| one.total));
    let mut pens = carriers.pens();
    pens.extend([Pen::Fill6, Pen::Fill5, Pen::Hollow]);
    let best = view.recommended().map(|best| best.name.as_str());
    let rows = yearly
        .iter()
        .map(|one| {
            let cost = |name: &String| one.energy.iter().find(|(own, _)| own == name).map_or(0.0, |(_, cost)| *cost);
            let mut parts: Vec<f64> = carriers.names().map(cost).collect();
            parts.extend([one.charges, one.owning, one.price_growth]);
            let place = view.figures.options.iter().position(|option| option.name == one.option);
            let mut name = place.map_or_else(|| one.option.clone(), |place| view.name_of(place));
            if !one.does_the_work {
                name += ", work undone";
            }
            let mark = if one.level_with_best { "≈ " } else { "" };
            RankedRow {
                name,
                parts,
                total: format!("{mark}{}", fixed(one.total, decimals)),
                range: one.range.map(|range| [range.low(), range.high()]),
                is_chosen: best == Some(one.option.as_str()),
            }
        })
        .collect();
    let mut sentence = match (yearly.first(), yearly.get(1)) {
        (Some(first), Some(second)) if first.does_the_work && second.does_the_work => format!(
            "“{}” at {} is followed by “{}” at {}.",
            first.option,
            view.money.prose(first.total),
            second.option,
            view.money.prose(second.total)
        ),
        (Some(first), _) => format!("“{}”: {} a year.", first.option, view.money.prose(first.total)),
        (None, _) => String::new(),
    };
    if yearly.len() < all.len() {
        let more = in_words(all.len() - yearly.len());
        let _ = write!(sentence, " Options compared has {more} more.");
    }
    let is_beyond = |one: &&&YearlyFigures| one.range.is_some_and(|range| range.side_of(one.total).is_ne());
    if let Some(beyond) = yearly.iter().find(is_beyond) {
        let _ = write!(sentence, " “{}” as studied lies outside its draws.", beyond.option);
    }
    if has_level {
        sentence += " What is marked ≈ cannot be told apart from the first.";
    }
    let mut key = carriers.keys();
    if yearly.iter().any(|one| one.charges > 0.0) {
        key.push(Key::fill(Pen::Fill6, "peak and fixed charges"));
    }
    key.push(Key::fill(Pen::Fill5, "owning: capital after grant, upkeep"));
    if has_growth {
        key.push(Key::fill(Pen::Hollow, "growth of prices"));
    }
    if has_range {
        let tenths = yearly.iter().filter_map(|one| one.range).all(|range| range.has_tenths());
        key.push(Key::line(Pen::Whisker, if tenths { "eight draws of ten" } else { "lowest to highest draw" }));
    }
    let chart = RankedRows {
        label: label("yearly", "What each way of heating costs in a year, energy and owning", sentence),
        unit: format!("{code} a year"),
        pens,
        rows,
    };
    figure(Of::MeanOfYears, &chart, &chart.label, key)
}

fn months(view: &View<'_>, carriers: &Carriers) -> Figure {
    let money = &view.money;
    let mut pens = carriers.pens();
    pens.push(Pen::Fill6);
    let panels: Vec<MonthPanel> = shown(view)
        .into_iter()
        .map(|(part, option)| MonthPanel {
            name: option.name.clone(),
            part: part.to_owned(),
            months: option
                .months
                .iter()
                .map(|month| {
                    let cost = |name: &String| month.energy_cost_of(name);
                    let mut parts: Vec<f64> = carriers.names().map(cost).collect();
                    parts.push(month.demand_cost + month.other_cost);
                    (month.month, parts)
                })
                .collect(),
        })
        .collect();
    let highest = panels.first().and_then(MonthPanel::highest);
    let sentence = highest.map_or_else(
        || "No month has a bill.".to_owned(),
        |(month, cost)| {
            format!("The costliest month of “{}” is {month}, at {}.", shown(view)[0].1.name, money.prose(cost))
        },
    );
    let chart = MonthPanels {
        label: label("bill-by-month", "The bill by month", sentence),
        unit: format!("{} a month, all to one scale", money.code()),
        pens,
        panels,
    };
    figure(Of::MeanOfYears, &chart, &chart.label, Vec::new())
}

/// Head of a range, by what its ends are.
fn its_range(view: &View<'_>, shown: &[(&str, &OptionFigures)]) -> &'static str {
    let has_tenths = shown.iter().all(|(_, option)| option.uncertainty.total_cost.has_tenths());
    match (view.figures.uncertainty.is_some(), has_tenths) {
        (true, true) => "its range, P10 to P90",
        (true, false) => "its range, lowest to highest",
        (false, _) => "its range over the years",
    }
}

/// A range beside the figure as studied, with a word where that lies outside it.
fn range(as_studied: f64, range: &Quantiles) -> Cell {
    let beyond = match range.side_of(as_studied) {
        Ordering::Less => ", above the figure",
        Ordering::Greater => ", below the figure",
        Ordering::Equal => "",
    };
    Cell::words(format!("{} to {}{beyond}", three(range.low()), three(range.high())))
}

/// Bill, peak demand and carbon of those that stand out, with their ranges where they are known.
fn three_figures(view: &View<'_>) -> Table {
    let all = shown(view);
    let has_range = view.figures.uncertainty.is_some() || view.weather_years() > 1;
    let code = view.money.code();
    let costs = || all.iter().flat_map(|(_, option)| [option.total_cost, option.uncertainty.total_cost.high()]);
    // A bill and its range beside it are told in one unit.
    let (unit, each) = if are_many(costs()) { (millions_of(code), MILLION) } else { (code.to_owned(), 1.0) };
    let bills = column_decimals(all.iter().map(|(_, option)| option.total_cost / each));
    // As many figures as the ranges beside them: a small plant's peak of 3.44 kW is not 3.
    let peaks = column_decimals(all.iter().map(|(_, option)| option.electric_peak_kw));
    let carbons = column_decimals(all.iter().map(|(_, option)| option.carbon_kg / 1000.0));
    let mut heads = vec![Head::number("energy cost of a season, as studied", unit)];
    let has_carbon = all.iter().any(|(_, option)| option.carbon_kg > 0.0);
    let its_range = Head::words(its_range(view, &all));
    heads.extend(has_range.then(|| its_range.clone()));
    heads.push(Head::number("peak demand", "kW"));
    heads.extend(has_range.then_some(its_range));
    if has_carbon {
        heads.push(Head::number("carbon", "t CO₂e"));
    }
    let rows = all
        .iter()
        .map(|(part, option)| {
            let mut cells = vec![Cell::number(option.total_cost / each, bills)];
            if has_range {
                cells.push(range(option.total_cost / each, &option.uncertainty.total_cost.times(1.0 / each)));
            }
            cells.push(Cell::number(option.electric_peak_kw, peaks));
            if has_range {
                cells.push(range(option.electric_peak_kw, &option.uncertainty.electric_peak_kw));
            }
            if has_carbon {
                cells.push(Cell::number(option.carbon_kg / 1000.0, carbons));
            }
            Row::new(format!("{}, {part}", option.name), cells)
        })
        .collect();
    Table::new("Three figures to plan with", "option", heads, rows)
}
