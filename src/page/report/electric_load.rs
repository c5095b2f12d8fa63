//! The site's electricity by hours, and the cooling that its store asks for: for the connection, the
//! tariff and the units.

use super::quantities::rows;
use super::view::View;
use crate::answer::figures::{HourlyLoad, OptionFigures};
use crate::number::{Measure, percent, three, with_unit};
use crate::page::chart::{LoadCurve, Pen, SortedLoads};
use crate::page::parts::{Figure, Head, Key, Of, Table, column, cover_heads, half_figure, label, quoted};
use serde::Serialize;

/// Electricity by hours.
#[derive(Debug, Serialize)]
pub(super) struct ElectricLoad {
    figures: Vec<Figure>,
    table: Table,
    cooling: String,
}

/// Builds it.
pub(super) fn electric_load(view: &View<'_>) -> ElectricLoad {
    ElectricLoad { figures: curves(view).into_iter().collect(), table: table(view), cooling: cooling(view) }
}

/// Peak of a load, and what it is no more than in 95 % of the hours.
fn most(load: &HourlyLoad) -> [String; 2] {
    let p95 = load.cover(95.0).map_or(0.0, |cover| cover.capacity_kw);
    [load.peak_kw, p95].map(|kw| with_unit(&three(kw), "kW"))
}

/// Draws the baseline's and, where another is recommended, its curve; `None` where the baseline takes none.
fn curves(view: &View<'_>) -> Option<Figure> {
    let load = |option: &OptionFigures| option.loads.site_electricity.clone();
    let line = |option: &OptionFigures, pen: Pen| {
        let sorted = load(option).sorted;
        LoadCurve { name: option.name.clone(), pen, hours: sorted.hours, kw: sorted.kw }
    };
    let (base, shown) = (view.baseline(), view.shown());
    if load(base).hours == 0.0 {
        return None;
    }
    let mut lines = vec![line(base, Pen::LineBase)];
    let mut key = vec![Key::line(Pen::LineBase, base.name.clone())];
    let [peak, p95] = most(&load(base));
    let mut sentences = vec![format!(
        "With {} the peak demand of the site is {peak}, and it takes no more than {p95} in 95\u{a0}% of the hours.",
        quoted(&base.name),
    )];
    if view.something_beats_the_baseline() {
        let [peak, p95] = most(&load(shown));
        sentences.push(format!("With {} it is {peak} and {p95}.", quoted(&shown.name)));
        lines.push(line(shown, Pen::LineBest));
        key.push(Key::line(Pen::LineBest, shown.name.clone()));
    }
    let chart = SortedLoads {
        label: label("electric-duration", "Load-duration curve of the site’s electricity", sentences.join(" ")),
        y_title: "electricity, kW".to_owned(),
        curves: lines,
        levels: Vec::new(),
    };
    Some(half_figure(Of::AllYears, &chart, &chart.label, key))
}

fn table(view: &View<'_>) -> Table {
    let mut lines: [Vec<f64>; 5] = Default::default();
    for option in &view.figures.options {
        let load = &option.loads.site_electricity;
        let covers = load.covers.iter().map(|cover| cover.capacity_kw);
        let factor = load.load_factor.unwrap_or(0.0) * 100.0;
        for (line, value) in lines.iter_mut().zip(covers.chain([factor])) {
            line.push(value);
        }
    }
    let columns: Vec<_> = lines.iter().map(|line| column(line)).collect();
    let mut heads = cover_heads(&Measure::of("kW"));
    heads.push(Head::number("load factor", "%"));
    Table::new(
        "Electricity of the site: the most it takes, by share of the hours in which it takes any (all weather years)",
        "option",
        heads,
        rows(view, &columns),
    )
    .note("Load factor: mean of all hours of the run, those that take none too, over the highest. A meter that bills quarter-hours may see a higher peak than an hour’s mean.")
}

/// What the cool store asks of its units, in a sentence; empty without a store.
fn cooling(view: &View<'_>) -> String {
    let cooling = view.shown_season().store_cooling.as_ref();
    let Some((cooling, p95)) = cooling.and_then(|load| Some((load, load.cover(95.0)?))) else {
        return String::new();
    };
    format!(
        "{}Cooling given to the store: {} cover 95\u{a0}% of the hours with a load, {} all of them; {} of the cooling lies above the 95\u{a0}% line.",
        view.shown_plant_words(),
        Measure::heat("kW").three(p95.capacity_kw),
        Measure::heat("kW").three(cooling.peak_kw),
        percent(p95.energy_above_pct),
    )
}
