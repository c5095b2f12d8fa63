//! The way from the baseline to packages and to the proposal: by cause, and measure by measure.

use super::view::View;
use crate::answer::figures::{CauseFigures, StepFigures, WayCause, WayFigures, WaySums};
use crate::number::Measure;
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, quoted, rounding_note};
use serde::Serialize;

/// A part of the section that compares; only where there is a package or a proposal.
#[derive(Debug, Serialize)]
pub(super) struct Ways {
    tables: Vec<Table>,
    /// Why a package is not told measure by measure.
    without: Vec<String>,
}

/// Builds it.
pub(super) fn ways(view: &View<'_>) -> Option<Ways> {
    let all = &view.figures.ways;
    let tables = all.iter().flat_map(|way| std::iter::once(by_cause(view, way)).chain(by_measure(view, way))).collect();
    let without = all.iter().filter_map(|way| {
        Some(format!("{} is not told measure by measure: {}.", quoted(&way.option), way.why_no_steps.as_ref()?))
    });
    (!all.is_empty()).then(|| Ways { tables, without: without.collect() })
}

fn words(cause: WayCause) -> &'static str {
    match cause {
        WayCause::HeatNeed => "less heat is needed",
        WayCause::Conversion => "a kWh of heat takes less",
        WayCause::FansAndLights => "drying fans and lights",
        WayCause::Store => "cool store",
        WayCause::Demand => "demand charges",
        WayCause::Standing => "standing charges and the rest",
    }
}

fn by_cause(view: &View<'_>, way: &WayFigures) -> Table {
    // What changes nothing is no cause: a plant without a cool store has none to speak of.
    let tells =
        |cause: &&CauseFigures| [cause.purchased_kwh, cause.carbon_kg, cause.bill].iter().any(|part| *part != 0.0);
    let causes: Vec<_> = way.causes.iter().filter(tells).collect();
    let columns: [Vec<f64>; 3] = [
        causes.iter().map(|cause| cause.purchased_kwh / 1000.0).chain([way.saved.purchased_kwh / 1000.0]).collect(),
        causes.iter().map(|cause| cause.carbon_kg / 1000.0).chain([way.saved.carbon_kg / 1000.0]).collect(),
        causes.iter().map(|cause| cause.bill).chain([way.saved.bill]).collect(),
    ];
    let cells: Vec<Vec<Cell>> = columns.iter().map(|column| crate::page::parts::column(column)).collect();
    let names = causes.iter().map(|cause| words(cause.cause).to_owned()).chain(["saved in all".to_owned()]);
    let mut rows = crate::page::parts::rows_of(names, &cells);
    if let Some(last) = rows.pop() {
        rows.push(last.class("sum"));
    }
    let heads = vec![
        Head::heat("purchased energy", "MWh"),
        Head::number("carbon", "t CO₂e"),
        Head::number("bill", view.money.code()),
    ];
    let note = format!(
        "A season, the mean of the weather years; below zero where there is more of it. A lower need counts at what a kWh of heat took before, the conversion at the need that is left. {}",
        rounding_note(columns.iter().map(Vec::as_slice))
    );
    Table::new(
        format!("From {} to {}, by cause", quoted(&view.baseline().name), quoted(&way.option)),
        "what saves it",
        heads,
        rows,
    )
    .note(note.trim_end())
}

/// A figure of sums.
type OfSums = fn(&WaySums) -> f64;

/// Where in the way a measure is looked at.
#[derive(Clone, Copy)]
enum Standing {
    InOrder,
    Alone,
    Last,
}

impl Standing {
    const ALL: [Self; 3] = [Self::InOrder, Self::Alone, Self::Last];

    fn words(self) -> &'static str {
        match self {
            Self::InOrder => "in this order",
            Self::Alone => "alone",
            Self::Last => "last",
        }
    }

    fn of(self, step: &StepFigures) -> WaySums {
        match self {
            Self::InOrder => step.in_order,
            Self::Alone => step.alone,
            Self::Last => step.last,
        }
    }

    /// What all measures save together; in order alone they add up to it.
    fn sum(self, way: &WayFigures) -> Option<WaySums> {
        match self {
            Self::InOrder => Some(way.saved),
            Self::Alone | Self::Last => None,
        }
    }
}

fn by_measure(view: &View<'_>, way: &WayFigures) -> Option<Table> {
    if way.steps.is_empty() {
        return None;
    }
    let code = view.money.code();
    let sums: [(&str, Measure, OfSums); 3] = [
        ("energy", Measure::heat("MWh"), |sums| sums.purchased_kwh / 1000.0),
        ("bill", Measure::of(code), |sums| sums.bill),
        ("net present cost", Measure::of(code), |sums| sums.net_present_cost),
    ];
    let mut heads = Vec::new();
    let mut columns: Vec<Vec<Cell>> = Vec::new();
    for (name, unit, of) in sums {
        for standing in Standing::ALL {
            let steps = way.steps.iter().map(|step| Some(standing.of(step)));
            let values: Vec<Option<f64>> = steps.chain([standing.sum(way)]).map(|sums| sums.as_ref().map(of)).collect();
            let decimals = column_decimals(values.iter().copied().flatten());
            columns.push(values.into_iter().map(|value| Cell::number_or(value, decimals, "–")).collect());
            heads.push(Head::number(format!("{name} saved, {}", standing.words()), unit.clone()));
        }
    }
    let names = way.steps.iter().map(|step| step.measure.clone()).chain(["all together".to_owned()]);
    let mut rows: Vec<Row> = crate::page::parts::rows_of(names, &columns);
    if let Some(last) = rows.pop() {
        rows.push(last.class("sum"));
    }
    Some(
        Table::new(format!("From {} to {}, measure by measure", quoted(&view.baseline().name), quoted(&way.option)), "measure", heads, rows)
            .note("In this order each adds to those above it, and the sum is what the package saves. Alone and last show how they act on each other: the two differ where measures share a saving. Net present cost is before any grant."),
    )
}
