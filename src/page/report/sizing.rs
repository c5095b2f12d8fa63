//! Sizing: how much heat in how many hours, the peak week, and guards that fired.

use super::quantities::rows;
use super::view::View;
use crate::answer::figures::{CoverFigures, HourlyLoad};
use crate::answer::hours::day_name;
use crate::answer::over_years::told_phases;
use crate::answer::phase::{phase_heads, phase_rows};
use crate::number::{self, Measure, Unit, heat, percent, three, water, with_unit};
use crate::page::chart::{LoadCurve, Pen, SortedLoads};
use crate::page::kit::cell::Cell;
use crate::page::parts::{
    Figure, Head, Key, Of, Table, column, cover_heads, half_figure, label, listed, quoted, rows_of,
};
use chrono::Days;
use serde::Serialize;

/// The seventh section.
#[derive(Debug, Serialize)]
pub(super) struct Sizing {
    none: String,
    figures: Vec<Figure>,
    capacity: Option<Table>,
    peak_week: String,
    guards: Vec<OptionGuards>,
    guards_none: String,
    growth: Option<Table>,
}

/// Guards of one option.
#[derive(Debug, Serialize)]
struct OptionGuards {
    name: String,
    sentences: Vec<String>,
}

/// Builds it.
pub(super) fn sizing(view: &View<'_>) -> Sizing {
    let has_need = view.shown_season().heat_need.hours > 0.0;
    let guards = guards(view);
    let covered = has_need.then(|| super::covered::covered(view)).flatten();
    Sizing {
        none: if has_need { String::new() } else { "No hour needs heat, so there is nothing to size.".to_owned() },
        figures: duration(view).into_iter().chain(covered).collect(),
        capacity: has_need.then(|| capacity(view)),
        peak_week: week(view),
        guards_none: if guards.is_empty() {
            format!(
                "No guard fired in any option or weather year of the study as it stands: nuts waited {} at most, the growth index of mould came to {} (its limit is 1), and {} always enough. All of it rests on the crop’s values as they stand.",
                with_unit(&number::fixed(view.figures.season.longest_wait_h, 0), "h"),
                number::apart(view.figures.season.mould_index_max, 1.0, 2).0,
                if view.has_cool_store() { "heat and cooling were" } else { "heat was" }
            )
        } else {
            String::new()
        },
        guards,
        growth: (!view.figures.phases.is_empty()).then(|| growth(view)),
    }
}

/// The study and its phases of growth, a row for each with an option.
fn growth(view: &View<'_>) -> Table {
    let rows = phase_rows(&told_phases(view.figures));
    let named = phase_heads();
    let mut columns: Vec<_> = named
        .iter()
        .enumerate()
        .map(|(at, (_, unit))| {
            let values: Vec<f64> = rows.iter().map(|row| row.numbers[at]).collect();
            if *unit == Unit::Count {
                values.iter().map(|value| Cell::number(*value, 0)).collect()
            } else {
                column(&values)
            }
        })
        .collect();
    let fired = |guards: &[String]| {
        if guards.is_empty() { "none".to_owned() } else { guards.join(", ") }
    };
    // A phase is named, and what fires in it, where its first option stands.
    let goes_on = |at: usize| at > 0 && rows[at - 1].phase == rows[at].phase;
    let names = (0..rows.len()).map(|at| match &rows[at] {
        row if goes_on(at) => format!("and {}", row.option),
        row => format!("{}, {}", row.phase, row.option),
    });
    let guards = (0..rows.len()).map(|at| match &rows[at].guards {
        guards if goes_on(at) && !guards.is_empty() && *guards == rows[at - 1].guards => "the same".to_owned(),
        guards => fired(guards),
    });
    columns.push(guards.map(Cell::words).collect());
    let code = view.money.code();
    let mut heads: Vec<Head> = named.into_iter().map(|(name, unit)| Head::number(name, unit.measure(code))).collect();
    heads.push(Head::words("guards that fired"));
    Table::new(
        "The study as it stands and its phases of growth, mean of the weather years",
        "phase and option",
        heads,
        rows_of(names, &columns),
    )
    .note("Without capital: that of planned growth is in cash by year. Where a guard fired, the cost is none to plan by: nuts that spoil cost more.")
}

/// Guards by option; options of which the same is said stand together.
fn guards(view: &View<'_>) -> Vec<OptionGuards> {
    let mut said: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for option in view.figures.options.iter().filter(|o| !o.guards.is_empty()) {
        let sentences: Vec<String> = option.guards.iter().map(|g| g.sentence.to_string()).collect();
        match said.iter_mut().find(|(_, known)| *known == sentences) {
            Some((names, _)) => names.push(quoted(&option.name)),
            None => said.push((vec![quoted(&option.name)], sentences)),
        }
    }
    let all = view.figures.options.len();
    said.into_iter()
        .map(|(names, sentences)| OptionGuards {
            name: if names.len() == all && all > 1 {
                "In every option".to_owned()
            } else {
                format!("With {}", listed(&names))
            },
            sentences,
        })
        .collect()
}

/// Heat need and what recovered heat leaves of it; `None` where no hour needs heat.
fn duration(view: &View<'_>) -> Option<Figure> {
    let need = &view.shown_season().heat_need;
    let p95 = need.cover(95.0)?;
    let measure = Measure::heat("kW");
    let sentence = format!(
        "{}{} of heat capacity cover 95\u{a0}% of the hours with a heat need, {} cover all. {} of the season’s heat lies above the 95\u{a0}% line; by this curve {} leave the {} of it short that is let pass. {} hours of a season need heat.",
        view.shown_plant_words(),
        measure.three(p95.capacity_kw),
        measure.three(need.peak_kw),
        percent(p95.energy_above_pct),
        measure.three(need.least_kw_let_pass),
        percent(view.figures.judgement.heat_short_limit_pct),
        number::fixed(need.hours, 0),
    );
    let level = |cover: &CoverFigures| {
        let level = measure.value(cover.capacity_kw);
        (format!("{} %: {} {}", number::fixed(cover.hours_pct, 0), three(level), measure.sign()), level)
    };
    let levels = need.covers.iter().rev().map(level).collect();
    let curve = |name: &str, pen: Pen, load: &HourlyLoad| LoadCurve {
        name: name.to_owned(),
        pen,
        hours: load.sorted.hours.clone(),
        kw: measure.values(&load.sorted.kw),
    };
    let mut curves = vec![curve("heat need", Pen::LineBase, need)];
    let mut key = vec![Key::line(Pen::LineBase, "heat need")];
    let shown = view.shown();
    if shown.recovered.useful_kwh > 0.0 {
        curves.push(curve("less recovered heat", Pen::LineBest, &shown.loads.heat_after_recovery));
        key.push(Key::line(Pen::LineBest, format!("what recovered heat leaves to the sources, {}", shown.name)));
    }
    key.push(Key::line(Pen::Level, "capacity that covers 90, 95, 99 and 100 % of the hours"));
    let chart = SortedLoads {
        label: label("duration", "Load-duration curve of heat", sentence),
        y_title: format!("heat, {}", measure.sign()),
        curves,
        levels,
    };
    Some(half_figure(Of::AllYears, &chart, &chart.label, key))
}

/// What sources of each option must give, after recovered heat.
fn capacity(view: &View<'_>) -> Table {
    let mut lines: [Vec<f64>; 7] = Default::default();
    for option in &view.figures.options {
        let left = &option.loads.heat_after_recovery;
        let above = left.cover(95.0).map_or(0.0, |p95| p95.energy_above_pct);
        let of_shares = left.covers.iter().map(|cover| cover.capacity_kw);
        let values = of_shares.chain([above, option.heat_capacity_kw, option.hours_short]);
        for (line, value) in lines.iter_mut().zip(values) {
            line.push(value);
        }
    }
    let columns: Vec<_> = lines.iter().map(|line| column(line)).collect();
    let rows = rows(view, &columns);
    let mut heads = cover_heads(&Measure::heat("kW"));
    heads.push(Head::number("energy above the 95 % line", "%"));
    heads.push(Head::heat("installed", "kW"));
    heads.push(Head::number("hours short", "h a season"));
    Table::new(
        format!(
            "Heat capacity that the sources need{}, by share of the hours with a heat need (all weather years)",
            if view.has_cool_store() { ", after recovered heat" } else { "" }
        ),
        "option",
        heads,
        rows,
    )
}

fn week(view: &View<'_>) -> String {
    let season = view.shown_season();
    let Some(week) = &season.peak_week_of_heat else {
        return "The season is shorter than a week.".to_owned();
    };
    format!(
        "{}The week of most heat of all weather years ({}) is {} to {}: {} of heat (mean {}), {} of water, {} of {} bins in use and at most {} of nuts waiting for a bin to fall free.",
        view.shown_plant_words(),
        season.peak_week_of_heat_year.as_deref().unwrap_or_default(),
        day_name(week.starts),
        day_name(week.starts + Days::new(6)),
        heat(week.sum),
        Measure::heat("kW").three(week.mean_heat_kw),
        water(week.water_kg),
        three(week.bins_in_use),
        season.bins,
        Measure::of("t").three(week.waiting_for_bin_t),
    )
}
