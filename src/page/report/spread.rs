//! The spread over weather years.

use super::view::View;
use crate::page::chart::{Pen, RangeRow, RangeRows};
use crate::page::parts::{Figure, Head, Key, Of, Table, column, figure, how_often, label, rows_of};
use serde::Serialize;

/// The eighth section; only where there is more than one weather year.
#[derive(Debug, Serialize)]
pub(super) struct Spread {
    figures: Vec<Figure>,
    table: Table,
}

/// Builds it.
pub(super) fn spread(view: &View<'_>) -> Option<Spread> {
    if view.weather_years() < 2 {
        return None;
    }
    let options = &view.figures.options;
    let best = view.shown();
    let cost = best.uncertainty.bill_over_years();
    let mut sentence = format!(
        "From {} the bill of “{}” goes from {} to {}.",
        if cost.has_tenths() { "a low to a high year" } else { "the lowest to the highest year" },
        best.name,
        view.money.prose(cost.low()),
        view.money.prose(cost.high())
    );
    if view.something_beats_the_baseline() {
        let often = how_often(best.uncertainty.cheaper_than_baseline_pct);
        sentence += " Year by year it is below the baseline’s ";
        sentence += &often;
        sentence.push('.');
    }
    let chart = RangeRows {
        label: label("years", "The seasonal energy cost in each weather year", sentence),
        unit: format!("{} a season", view.money.code()),
        rows: options
            .iter()
            .map(|option| {
                let cost = option.uncertainty.bill_over_years();
                RangeRow {
                    name: option.name.clone(),
                    values: option.years.iter().map(|year| year.total_cost).collect(),
                    range: [cost.low(), cost.p50, cost.high()],
                }
            })
            .collect(),
    };
    let key = vec![
        Key::fill(Pen::Fill6, "a weather year"),
        Key::fill(Pen::Band, if cost.has_tenths() { "P10 to P90: eight years of ten" } else { "lowest to highest" }),
        Key::line(Pen::Tick, "the median year"),
    ];
    let figures = vec![figure(Of::AllYears, &chart, &chart.label, key)];
    Some(Spread { figures, table: table(view) })
}

fn table(view: &View<'_>) -> Table {
    let (base, best) = (view.baseline(), view.shown());
    let code = view.money.code();
    let mut lines = vec![
        base.years.iter().map(|y| y.heat_need_kwh / 1000.0).collect::<Vec<_>>(),
        base.years.iter().map(|y| y.purchased_kwh / 1000.0).collect(),
        base.years.iter().map(|y| y.total_cost).collect(),
    ];
    let mut heads = vec![
        Head::heat(
            if view.plants_differ() { format!("heat need, {}", base.name) } else { "heat need".to_owned() },
            "MWh",
        ),
        Head::heat(format!("energy purchased, {}", base.name), "MWh"),
        Head::number(format!("bill, {}", base.name), code),
    ];
    if view.something_beats_the_baseline() {
        lines.push(best.years.iter().map(|y| y.purchased_kwh / 1000.0).collect());
        lines.push(best.years.iter().map(|y| y.total_cost).collect());
        heads.push(Head::heat(format!("energy purchased, {}", best.name), "MWh"));
        heads.push(Head::number(format!("bill, {}", best.name), code));
    }
    let columns: Vec<_> = lines.iter().map(|line| column(line)).collect();
    let names = base.years.iter().map(|year| year.label.clone());
    Table::new("Each weather year, the same for all options", "weather year", heads, rows_of(names, &columns))
}
