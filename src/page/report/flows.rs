//! Where each kWh goes: one option large, the others small beside it and to one scale.

mod places;

use super::carriers::Carriers;
use super::quantities::rows;
use super::view::View;
use super::whose;
use crate::answer::figures::{FlowFigures, OptionFigures};
use crate::number::{Measure, fixed, heat, percent, unit_of_energy};
use crate::page::chart::{Flow, FlowWords, SLIGHT};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Figure, Head, Of, Table, figure, half_figure, label, one_behind_the_other};
use places::Picture;
use serde::Serialize;

/// Where energy goes.
#[derive(Debug, Serialize)]
pub(super) struct Flows {
    /// What it is called, by the unit in which its reader has energy.
    heading: String,
    large: Figure,
    /// What the small charts have in common; empty where there is no other option.
    beside: String,
    small: Vec<Figure>,
    /// Heat in and out of the drying air of every option: stands in the appendix.
    table: Table,
}

/// Height of what comes in at the left of the large chart, and of the largest small one, px.
const LARGE_PX: f64 = 230.0;
const SMALL_PX: f64 = 84.0;

/// Builds it.
pub(super) fn flows(view: &View<'_>) -> Flows {
    let carriers = Carriers::of(view);
    let picture = |option: &OptionFigures| Picture::of(option, &carriers);
    let others: Vec<(usize, &OptionFigures)> =
        view.figures.options.iter().enumerate().filter(|(place, _)| *place != view.shown).collect();
    let largest = others.iter().map(|(_, option)| picture(option).comes_in()).fold(1.0, f64::max);
    let small = others.iter().map(|(place, option)| {
        let picture = picture(option);
        let chart = Flow {
            label: label(format!("flow-{place}"), view.name_of(*place), whose::briefly(option)),
            nodes: picture.nodes(),
            ribbons: picture.ribbons,
            px_per_kwh: SMALL_PX / largest,
            words: FlowWords::Brief,
        };
        half_figure(Of::MeanOfYears, &chart, &chart.label, Vec::new())
    });
    Flows {
        heading: heading(),
        large: large(view, picture(view.shown())),
        beside: if others.is_empty() {
            String::new()
        } else {
            format!(
                "The other options, in {} and all to one scale. Named is what comes in and goes out, from {} of it on; sources, fans, lights and store stand between.",
                Measure::heat("MWh").sign(),
                percent(SLIGHT * 100.0)
            )
        },
        small: small.collect(),
        table: table(view),
    }
}

fn heading() -> String {
    format!("Where each {} goes", unit_of_energy())
}

fn large(view: &View<'_>, picture: Picture) -> Figure {
    let option = view.shown();
    let px_per_kwh = LARGE_PX / picture.comes_in().max(1.0);
    let chart = Flow {
        label: label("flow", format!("{}: {}", heading(), option.name), sentence(option)),
        nodes: picture.nodes(),
        ribbons: picture.ribbons,
        px_per_kwh,
        words: FlowWords::All,
    };
    figure(Of::MeanOfYears, &chart, &chart.label, Vec::new())
}

fn sentence(option: &OptionFigures) -> String {
    let flow = &option.flow;
    let air = flow.air_in_kwh.max(1e-9);
    let exits = [
        ("leaves with extracted air", flow.extracted_air_kwh),
        ("leaves through the envelope", flow.envelope_kwh),
        ("warms nuts and steel", flow.warming_kwh),
        ("is heat of desorption", flow.desorption_kwh),
    ];
    let (way, most) = exits.into_iter().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or(exits[0]);
    format!(
        "The site {}. Of the heat in the drying air, {}, {} evaporates water, which is what drying is for; {} {way}. What goes in comes out: every balance closes (Appendix).",
        whose::uses(option),
        heat(flow.air_in_kwh),
        percent(flow.evaporation_kwh / air * 100.0),
        percent(most / air * 100.0),
    )
}

/// What a column tells of an option, kWh.
type Part = (&'static str, fn(&OptionFigures) -> f64);

/// Heat into the drying air, and its sum.
const INTO_AIR: [Part; 8] = [
    ("from sources", |option| option.sources.iter().map(|source| source.heat_kwh).sum()),
    ("recovered", |option| option.flow.rejected_to_air_kwh),
    ("fan heat", |option| option.flow.fan_heat_kwh),
    ("lights and people", |option| option.flow.lights_kwh + option.flow.people_kwh),
    ("given by nuts and steel", |option| option.flow.nuts_cooling_kwh),
    ("in through the envelope", |option| option.flow.envelope_gain_kwh),
    ("given by outside air", |option| option.flow.outside_air_kwh),
    ("heat into the drying air", |option| option.flow.air_in_kwh),
];

/// Heat out of it: the same sum.
const OUT_OF_AIR: [Part; 5] = [
    ("evaporation", |option| option.flow.evaporation_kwh),
    ("extracted air", |option| option.flow.extracted_air_kwh),
    ("envelope", |option| option.flow.envelope_kwh),
    ("warming of nuts and steel", |option| option.flow.warming_kwh),
    ("heat of desorption", |option| option.flow.desorption_kwh),
];

/// Heat into the drying air and out of it, each part that any option has, and how well the two agree.
fn table(view: &View<'_>) -> Table {
    let options = &view.figures.options;
    let mwh = |of: fn(&OptionFigures) -> f64| options.iter().map(|option| of(option) / 1000.0).collect::<Vec<_>>();
    let kept: Vec<(&str, Vec<f64>)> = INTO_AIR
        .iter()
        .chain(&OUT_OF_AIR)
        .map(|(name, of)| (*name, mwh(*of)))
        .filter(|(_, line)| line.iter().any(|part| *part != 0.0))
        .collect();
    // One more than the sum can bear: the least part is a hundredth of it.
    let decimals = column_decimals(kept.iter().flat_map(|(_, line)| line).copied()) + 1;
    let mut columns: Vec<Vec<Cell>> =
        kept.iter().map(|(_, line)| line.iter().map(|part| Cell::number(*part, decimals)).collect()).collect();
    columns.push(options.iter().map(|option| residual(&option.flow)).collect());
    let heads = kept.iter().map(|(name, _)| Head::heat(*name, "MWh"));
    let heads = heads.chain([Head::number("in less out", "%")]).collect();
    Table::new("Heat of the drying air, in and out", "option", heads, rows(view, &columns))
        .note(one_behind_the_other(&[ADDS, if options.iter().any(nuts_give) { NUTS_GIVE } else { "" }]))
}

const ADDS: &str = "What stands before the heat into the drying air adds up to it, and so does what stands behind it, but for the last digit: each number is rounded by itself.";
const NUTS_GIVE: &str = "Nuts and steel give heat where they leave colder than they came.";

fn nuts_give(option: &OptionFigures) -> bool {
    option.flow.nuts_cooling_kwh > 0.0
}

/// What enters the drying air less what leaves it, as a share.
fn residual(flow: &FlowFigures) -> Cell {
    let share_pct = (flow.air_in_kwh - flow.air_out_kwh).abs() / flow.air_in_kwh.max(1e-9) * 100.0;
    if share_pct < 0.05 { Cell::digits(format!("below {}", fixed(0.05, 2))) } else { Cell::number(share_pct, 2) }
}
