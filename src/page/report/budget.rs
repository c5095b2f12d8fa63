//! For the budget: months, and low, middle and high years.

use super::by_option::{Choice, by_option};
use super::compared::deciding;
use super::sensitivity::through_years;
use super::view::View;
use crate::answer::figures::{LEAST_CASES, MonthFigures, OptionFigures, is_fuel};
use crate::number::{Measure, fixed, with_unit};
use crate::page::kit::cell::Cell;
use crate::page::parts::{
    Head, Row, Table, column, counted, in_words, listed, month_label, one_behind_the_other, rounding_note, rows_of,
};
use serde::Serialize;
use std::collections::BTreeSet;

/// The second section.
#[derive(Debug, Serialize)]
pub(super) struct Budget {
    choices: Vec<Choice>,
    table: Table,
    /// The baseline's months, where another option is shown: stands in the appendix.
    baseline: Option<Table>,
    periods: Option<Table>,
    /// Low, middle and high of every option: stands in the appendix.
    years: Option<Table>,
}

/// Builds it.
pub(super) fn budget(view: &View<'_>) -> Budget {
    Budget {
        choices: by_option(view),
        table: months(view, view.shown()),
        baseline: view.something_beats_the_baseline().then(|| months(view, view.baseline())),
        periods: periods(view),
        years: (view.weather_years() > 1 || view.figures.uncertainty.is_some()).then(|| years(view)),
    }
}

fn row_name(month: &MonthFigures, all: &[MonthFigures]) -> String {
    let name = month_label(month, all);
    if month.in_season { name } else { format!("{name} (after season)") }
}

/// Where the electricity falls in the periods of its tariff, for those that stand out; nothing where its price is the
/// same at all times.
fn periods(view: &View<'_>) -> Option<Table> {
    let shown = deciding(view);
    let names: Vec<String> = view.shown().periods.iter().map(|period| period.name.clone()).collect();
    if names.len() < 2 {
        return None;
    }
    let code = view.money.code();
    let (mut heads, mut columns) = (Vec::new(), Vec::new());
    for option in shown {
        heads.push(Head::number(format!("{}: energy", option.name), "MWh"));
        columns.push(column(&option.periods.iter().map(|period| period.kwh / 1000.0).collect::<Vec<_>>()));
        heads.push(Head::number("share", "%"));
        columns.push(option.periods.iter().map(|period| Cell::number(period.share_pct, 0)).collect());
        heads.push(Head::number("cost", code));
        columns.push(column(&option.periods.iter().map(|period| period.cost).collect::<Vec<_>>()));
    }
    let caption = "Electricity by the periods of its tariff, before demand and fixed charges and tax";
    Some(Table::new(caption, "period", heads, rows_of(names, &columns)))
}

/// Name of a cost, what of a month, the season's sum, and whether it is a part of the bill.
type Cost = (&'static str, fn(&MonthFigures) -> f64, f64, bool);

fn months(view: &View<'_>, option: &OptionFigures) -> Table {
    let code = view.money.code();
    let fuels: BTreeSet<&String> = option.carriers.keys().filter(|name| is_fuel(name)).collect();
    let mut heads = vec![Head::number("electricity", "kWh")];
    let mut lines: Vec<Vec<f64>> = vec![option.months.iter().map(|m| m.electricity_kwh).collect()];
    let mut sums = vec![lines[0].iter().sum::<f64>()];
    for fuel in fuels {
        let unit = &option.carriers[fuel].unit;
        heads.push(Head::number(fuel.clone(), Measure::fuel(unit)));
        let line: Vec<f64> = option.months.iter().map(|m| m.carriers.get(fuel).map_or(0.0, |c| c.quantity)).collect();
        sums.push(line.iter().sum());
        lines.push(line);
        if option.carriers[fuel].own_quantity > 0.0 {
            heads.push(Head::number("of which own", Measure::fuel(unit)));
            let of_month = |m: &MonthFigures| m.carriers.get(fuel).map_or(0.0, |c| c.own_quantity);
            let own: Vec<f64> = option.months.iter().map(of_month).collect();
            sums.push(own.iter().sum());
            lines.push(own);
        }
    }
    let peak_at = lines.len();
    heads.push(Head::number("peak demand", "kW"));
    let peaks: Vec<f64> = option.months.iter().map(|m| m.electric_peak_kw).collect();
    sums.push(option.electric_peak_kw);
    lines.push(peaks);
    let costs: [Cost; 4] = [
        ("energy", |m| m.energy_cost, option.energy_cost, true),
        ("demand", |m| m.demand_cost, option.demand_cost, true),
        ("fixed and tax", |m| m.other_cost, option.other_cost, true),
        ("in all", |m| m.total_cost, option.total_cost, false),
    ];
    for (name, of, sum, is_part) in costs {
        let line: Vec<f64> = option.months.iter().map(of).collect();
        // A charge that the tariff does not know needs no column of zeros.
        if is_part && line.iter().all(|cost| *cost == 0.0) {
            continue;
        }
        heads.push(Head::number(name, code));
        lines.push(line);
        sums.push(sum);
    }
    for (line, sum) in lines.iter_mut().zip(sums) {
        line.push(sum);
    }
    // The peak demand of a season is no sum.
    let added = heads.iter().zip(&lines).enumerate().filter(|(at, _)| *at != peak_at);
    let rounding = rounding_note(added.map(|(_, (head, line))| head.told(line)));
    let columns: Vec<_> = lines.iter().map(|line| column(line)).collect();
    let names = option.months.iter().map(|month| row_name(month, &option.months)).chain(["season".to_owned()]);
    let mut rows = rows_of(names, &columns);
    if let Some(last) = rows.last_mut() {
        last.class = "sum";
    }
    let after: Vec<String> =
        option.months.iter().filter(|month| !month.in_season).map(|month| month_label(month, &option.months)).collect();
    let note = if after.is_empty() {
        String::new()
    } else {
        let dries = option
            .months
            .iter()
            .any(|month| !month.in_season && (month.water_kg > 0.0 || month.heat_delivered_kwh > 0.0));
        let uses: Vec<&str> =
            [(dries, "dries the last batches"), (view.has_cool_store(), "keeps the nuts in store cool")]
                .into_iter()
                .filter_map(|(is_so, words)| is_so.then_some(words))
                .collect();
        if uses.is_empty() {
            format!("In {} nothing is received.", listed(&after))
        } else {
            format!("In {} the energy {}.", listed(&after), uses.join(" and "))
        }
    };
    Table::new(
        format!("Energy that “{}” uses and what it costs, month by month, in a mean weather year; peak demand that of all years", option.name),
        "month",
        heads,
        rows,
    )
    .note(one_behind_the_other(&[&note, &outside(view, option), rounding]))
}

/// What the rest of a year is billed, for who budgets a year; empty where nothing is.
fn outside(view: &View<'_>, option: &OptionFigures) -> String {
    if option.fixed_outside_bill <= 0.0 {
        return String::new();
    }
    let months = option.months_outside_bill;
    // The weather years may end in unlike months.
    let count = fixed(months, usize::from(months.fract() != 0.0));
    let rest = if months > 0.0 { format!(" ({})", with_unit(&count, "months")) } else { String::new() };
    let of_fuels = option.fuels_outside_bill();
    let upkeep = if of_fuels > 0.0 {
        format!("; {} of it are those of fuels, counted as upkeep", view.money.prose(of_fuels))
    } else {
        String::new()
    };
    format!(
        "The rest of the year{rest} adds fixed charges of {}: {} in all{upkeep}.{}",
        view.money.prose(option.fixed_outside_bill),
        view.money.prose(option.billed_in_year),
        if is_connection_alike(view) { "" } else { UNLIKE_MONTHS }
    )
}

/// Said where the bills of some options reach more months than those of others.
const UNLIKE_MONTHS: &str =
    " Bills that reach more months have more fixed charges of electricity, and a year of them no more.";

/// True if the connection to the grid is billed as much outside every option's bill.
fn is_connection_alike(view: &View<'_>) -> bool {
    let of = |option: &OptionFigures| option.fixed_outside_bill - option.fuels_outside_bill();
    view.figures.options.iter().all(|option| (of(option) - of(view.baseline())).abs() < 0.005)
}

fn years(view: &View<'_>) -> Table {
    let code = view.money.code();
    let mut rows: Vec<Row> = Vec::new();
    let mut lines: [Vec<f64>; 6] = Default::default();
    let mut names = Vec::new();
    for option in &view.figures.options {
        names.push(option.name.clone());
        let (cost, energy) = (&option.uncertainty.total_cost, &option.uncertainty.purchased_kwh);
        for (line, value) in lines.iter_mut().zip([
            cost.low(),
            cost.p50,
            cost.high(),
            energy.low() / 1000.0,
            energy.p50 / 1000.0,
            energy.high() / 1000.0,
        ]) {
            line.push(value);
        }
    }
    let columns: Vec<_> = lines.iter().map(|line| column(line)).collect();
    rows.extend(rows_of(names, &columns));
    let heads = ["low", "middle", "high"]
        .map(|year| Head::number(format!("bill, {year}"), code))
        .into_iter()
        .chain(["low", "middle", "high"].map(|year| Head::heat(format!("purchased, {year}"), "MWh")))
        .collect();
    let (caption, note) = years_words(view);
    Table::new(caption, "option", heads, rows).note(note)
}

/// What the low and the high are made of.
fn years_words(view: &View<'_>) -> (&'static str, String) {
    let years = view.weather_years();
    if let Some(sampled) = &view.figures.uncertainty {
        let drawn = format!(
            "{}, each in {}. What was drawn stands below.",
            counted(sampled.samples, "draw", "draws"),
            through_years(sampled),
        );
        if sampled.samples < LEAST_CASES {
            return (
                "The lowest, the middle and the highest season of bill and purchased energy, over draws of the uncertain inputs and over weather years",
                drawn,
            );
        }
        return (
            "A low, a middle and a high season of bill and purchased energy, over draws of the uncertain inputs and over weather years: one season in ten lies below the low, one in ten above the high (P10, P50, P90)",
            drawn,
        );
    }
    if years < LEAST_CASES {
        return (
            "The lowest, the median and the highest weather year of bill and purchased energy",
            format!("From {} weather years nothing can be said of how often such a season comes.", in_words(years)),
        );
    }
    (
        "A low, a middle and a high year of bill and purchased energy: one year in ten lies below the low, one in ten above the high (P10, P50, P90)",
        String::new(),
    )
}
