//! Sizing: how much heat in how many hours, the peak week, and guards that fired.

use super::hours::{day_name, drying_hours, loads};
use super::parts::{Figure, Head, Table, column, figure, label, listed, quoted, rows_of};
use super::view::View;
use crate::ledger::{DurationCurve, SHARES, WEEK_HOURS, peak_week};
use crate::report::chart::{Drawn, Duration, LoadCurve};
use crate::report::number::{self, Cell, energy, mass, percent, three, with_unit};
use crate::report::phase::{PHASE_HEADS, phase_rows};
use chrono::Days;
use serde::Serialize;

/// The seventh section.
#[derive(Debug, Serialize)]
pub struct Sizing {
    none: String,
    duration: Option<Figure>,
    covered: Option<Figure>,
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
pub fn sizing(view: &View<'_>) -> Drawn<Sizing> {
    let need = loads(&view.books[view.base], |hour| hour.heat_need_kwh);
    let has_need = need.hours() > 0;
    let guards = guards(view);
    Ok(Sizing {
        none: if has_need {
            String::new()
        } else {
            "No hour needs heat, so there is nothing to size.".to_owned()
        },
        duration: if has_need { Some(duration(view, &need)?) } else { None },
        covered: if has_need { super::covered::covered(view)? } else { None },
        capacity: has_need.then(|| capacity(view)),
        peak_week: week(view),
        guards_none: if guards.is_empty() {
            format!(
                "No guard fired in any option or weather year: nuts never waited too long, by its growth law no mould is to be expected on them, and {} always enough.",
                if view.has_cool_store() { "heat and cooling were" } else { "heat was" }
            )
        } else {
            String::new()
        },
        guards,
        growth: (!view.figures.phases.is_empty()).then(|| growth(view)),
    })
}

/// The study and its phases of growth, a row for each with an option.
fn growth(view: &View<'_>) -> Table {
    let rows = phase_rows(&view.figures.phases);
    let mut columns: Vec<_> = PHASE_HEADS
        .iter()
        .enumerate()
        .map(|(at, (_, unit))| {
            let values: Vec<f64> = rows.iter().map(|row| row.numbers[at]).collect();
            if unit.is_empty() {
                // Things that are counted.
                values.iter().map(|value| Cell::number(*value, 0)).collect()
            } else {
                column(&values)
            }
        })
        .collect();
    columns.push(rows.iter().map(|row| Cell::words(row.guards.join(", "))).collect());
    let code = view.money.code();
    let mut heads: Vec<Head> = PHASE_HEADS
        .iter()
        .map(|(name, unit)| Head::number(*name, unit.replace("money", code)))
        .collect();
    heads.push(Head::words("guards that fired"));
    Table::new(
        "The study as it stands and its phases of growth, mean of the weather years",
        "phase and option",
        heads,
        rows_of(rows.iter().map(|row| row.name.clone()), &columns),
    )
}

/// Guards by option; options of which the same is said stand together.
fn guards(view: &View<'_>) -> Vec<OptionGuards> {
    let mut said: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for option in view.figures.options.iter().filter(|o| !o.guards.is_empty()) {
        let sentences: Vec<String> = option.guards.iter().map(|g| g.sentence.clone()).collect();
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

fn duration(view: &View<'_>, need: &DurationCurve) -> Drawn<Figure> {
    let years = view.weather_years().max(1) as f64;
    let p95 = need.cover(0.95);
    let sentence = format!(
        "{} of heat capacity cover 95\u{a0}% of the hours with a heat need, {} cover all. Only {} of the season’s heat lies above the 95\u{a0}% line. {} hours of a season need heat.",
        with_unit(&three(p95.capacity_kw), "kW"),
        with_unit(&three(need.peak_kw()), "kW"),
        percent(p95.energy_above_share * 100.0),
        number::fixed(need.hours() as f64 / years, 0),
    );
    let levels = SHARES
        .iter()
        .rev()
        .map(|&share| {
            let kw = need.capacity_for(share);
            let words = format!("{} %: {} kW", number::fixed(share * 100.0, 0), three(kw));
            (words, kw)
        })
        .collect();
    let mut curves = vec![LoadCurve { name: "heat need".to_owned(), kw: need.kw().to_vec() }];
    if view.shown().recovered.useful_kwh > 0.0 {
        curves.push(LoadCurve {
            name: "less recovered heat".to_owned(),
            kw: loads(&view.books[view.shown], |hour| hour.heat_need_kwh - hour.recovered_kwh)
                .kw()
                .to_vec(),
        });
    }
    let mut key =
        vec![super::parts::Key::line(crate::report::chart::Pen::Line1, "heat need (baseline)")];
    if curves.len() > 1 {
        key.push(super::parts::Key::line(
            crate::report::chart::Pen::Line2,
            format!("what recovered heat leaves to the sources, {}", view.shown().name),
        ));
    }
    key.push(super::parts::Key::line(
        crate::report::chart::Pen::Level,
        "capacity that covers 90, 95, 99 and 100 % of the hours",
    ));
    let chart = Duration {
        label: label("duration", "Load-duration curve of heat", sentence),
        of: "heat",
        years,
        curves,
        levels,
    };
    figure(&chart, &chart.label, key)
}

/// What sources of each option must give, after recovered heat.
fn capacity(view: &View<'_>) -> Table {
    let mut lines: [Vec<f64>; 7] = Default::default();
    for (option, books) in view.figures.options.iter().zip(view.books) {
        let left = loads(books, |hour| hour.heat_need_kwh - hour.recovered_kwh);
        let above = left.cover(0.95).energy_above_share * 100.0;
        let of_shares = SHARES.map(|share| left.capacity_for(share));
        let values =
            of_shares.into_iter().chain([above, option.heat_capacity_kw, option.hours_short]);
        for (line, value) in lines.iter_mut().zip(values) {
            line.push(value);
        }
    }
    let columns: Vec<_> = lines.iter().map(|line| column(line)).collect();
    let rows = rows_of(view.names(), &columns);
    let mut heads: Vec<Head> = SHARES
        .iter()
        .map(|share| Head::number(format!("{} % of hours", number::fixed(share * 100.0, 0)), "kW"))
        .collect();
    heads.push(Head::number("energy above the 95 % line", "%"));
    heads.push(Head::number("installed", "kW"));
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
    let book = &view.books[view.base][view.year];
    let hours = drying_hours(book);
    let Some(week) = peak_week(hours, |hour| hour.heat_need_kwh) else {
        return "The season is shorter than a week.".to_owned();
    };
    let of_week = &hours[week.first_hour..week.first_hour + WEEK_HOURS];
    let sum = |of: &dyn Fn(&crate::ledger::Entry) -> f64| of_week.iter().map(of).sum::<f64>();
    let bins = sum(&|hour| f64::from(hour.bins_drying + hour.bins_cooling)) / of_week.len() as f64;
    let waiting = of_week.iter().map(|hour| hour.waiting_for_bin_t).fold(0.0, f64::max);
    format!(
        "The week of most heat ({}) is {} to {}: {} of heat (mean {}), {} of water, {} of {} bins in use and at most {} of nuts waiting for a bin to fall free.",
        view.year_words(),
        day_name(week.starts.date()),
        day_name(week.starts.date() + Days::new(6)),
        energy(week.sum),
        with_unit(&three(week.sum / of_week.len() as f64), "kW"),
        mass(sum(&|hour| hour.evaporated_kg)),
        three(bins),
        view.figures.season.bins,
        with_unit(&three(waiting), "t"),
    )
}
