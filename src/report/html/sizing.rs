//! Sizing: how much heat in how many hours, the peak week, and guards that fired.

use super::hours::{
    capacity_for, day_name, days, drying_hours, energy_above, loads, peak_week, sum_by_day,
};
use super::parts::{Figure, Head, Row, Table, figure, label};
use super::view::View;
use crate::report::chart::{Drawn, Duration, DurationCurve};
use crate::report::number::{self, Cell, energy, mass, percent, three, with_unit};
use serde::Serialize;

/// The seventh section.
#[derive(Debug, Serialize)]
pub struct Sizing {
    none: String,
    duration: Option<Figure>,
    capacity: Option<Table>,
    peak_week: String,
    guards: Vec<OptionGuards>,
    guards_none: String,
}

/// Guards of one option.
#[derive(Debug, Serialize)]
struct OptionGuards {
    name: String,
    sentences: Vec<String>,
}

const SHARES: [f64; 4] = [0.90, 0.95, 0.99, 1.0];

/// Builds it.
pub fn sizing(view: &View<'_>) -> Drawn<Sizing> {
    let need = loads(&view.books[view.base], |hour| hour.heat_need_kwh);
    let has_need = !need.is_empty();
    let guards: Vec<OptionGuards> = view
        .figures
        .options
        .iter()
        .filter(|option| !option.guards.is_empty())
        .map(|option| OptionGuards {
            name: option.name.clone(),
            sentences: option.guards.iter().map(|g| g.sentence.clone()).collect(),
        })
        .collect();
    Ok(Sizing {
        none: if has_need {
            String::new()
        } else {
            "No hour needs heat, so there is nothing to size.".to_owned()
        },
        duration: if has_need {
            Some(duration(view, need)?)
        } else {
            None
        },
        capacity: has_need.then(|| capacity(view)),
        peak_week: week(view),
        guards_none: if guards.is_empty() {
            "No guard fired in any option or weather year: nuts never waited too long, nothing stood above the mould threshold for too long, and heat and cooling were always enough.".to_owned()
        } else {
            String::new()
        },
        guards,
    })
}

fn duration(view: &View<'_>, need: Vec<f64>) -> Drawn<Figure> {
    let (hours, most) = (need.len(), need[0]);
    let years = view.weather_years().max(1) as f64;
    let p95 = capacity_for(&need, 0.95);
    let sentence = format!(
        "{} of heat capacity cover 95\u{a0}% of the hours with a heat need, {} cover all; the last 5\u{a0}% of the hours hold {} of the energy above that line. There are {} such hours in a season.",
        with_unit(&three(p95), "kW"),
        with_unit(&three(most), "kW"),
        percent(energy_above(&need, p95) * 100.0),
        number::fixed(hours as f64 / years, 0),
    );
    let levels = SHARES
        .iter()
        .rev()
        .map(|&share| {
            let kw = capacity_for(&need, share);
            let words = format!(
                "{} % of hours: {} kW",
                number::fixed(share * 100.0, 0),
                three(kw)
            );
            (words, kw)
        })
        .collect();
    let mut curves = vec![DurationCurve {
        name: "heat need".to_owned(),
        kw: need,
    }];
    if view.recommended().recovered.useful_kwh > 0.0 {
        curves.push(DurationCurve {
            name: "less recovered heat".to_owned(),
            kw: loads(&view.books[view.chosen], |hour| {
                hour.heat_need_kwh - hour.recovered_kwh
            }),
        });
    }
    let mut key = vec![super::parts::Key::line(
        crate::report::chart::Pen::Line1,
        "heat need (baseline)",
    )];
    if curves.len() > 1 {
        key.push(super::parts::Key::line(
            crate::report::chart::Pen::Line2,
            format!(
                "what recovered heat leaves to the sources, {}",
                view.recommended().name
            ),
        ));
    }
    key.push(super::parts::Key::line(
        crate::report::chart::Pen::Level,
        "capacity that covers 90, 95, 99 and 100 % of the hours",
    ));
    let chart = Duration {
        label: label("duration", "Load-duration curve of heat", sentence),
        curves,
        levels,
    };
    figure(&chart, &chart.label, key)
}

/// What sources of each option must give, after recovered heat.
fn capacity(view: &View<'_>) -> Table {
    let mut rows = Vec::new();
    for (option, books) in view.figures.options.iter().zip(view.books) {
        let left = loads(books, |hour| hour.heat_need_kwh - hour.recovered_kwh);
        let mut cells: Vec<Cell> = SHARES
            .iter()
            .map(|&share| Cell::number(capacity_for(&left, share), 1))
            .collect();
        let p95 = capacity_for(&left, 0.95);
        cells.push(Cell::number(energy_above(&left, p95) * 100.0, 2));
        cells.push(Cell::number(option.heat_capacity_kw, 1));
        cells.push(Cell::number(option.hours_short, 1));
        rows.push(Row::new(option.name.clone(), cells));
    }
    let mut heads: Vec<Head> = SHARES
        .iter()
        .map(|share| {
            Head::number(
                format!("{} % of hours", number::fixed(share * 100.0, 0)),
                "kW",
            )
        })
        .collect();
    heads.push(Head::number("energy above the 95 % line", "%"));
    heads.push(Head::number("installed", "kW"));
    heads.push(Head::number("hours short", "h a season"));
    Table::new(
        "Heat capacity that the sources need, after recovered heat, by share of the hours with a heat need (all weather years)",
        "option",
        heads,
        rows,
    )
}

fn week(view: &View<'_>) -> String {
    let book = &view.books[view.base][view.year];
    let hours = drying_hours(book);
    let span = days(hours);
    let need = sum_by_day(hours, |hour| hour.heat_need_kwh);
    let Some((day, kwh)) = peak_week(&need) else {
        return "The season is shorter than a week.".to_owned();
    };
    let of_week = &hours[day * 24..((day + 7) * 24).min(hours.len())];
    let sum = |of: &dyn Fn(&crate::ledger::Entry) -> f64| of_week.iter().map(of).sum::<f64>();
    let bins = sum(&|hour| f64::from(hour.bins_drying + hour.bins_cooling)) / of_week.len() as f64;
    let waiting = of_week
        .iter()
        .map(|hour| hour.waiting_t)
        .fold(0.0, f64::max);
    format!(
        "The week of most heat ({}) is {} to {}: {} of heat ({} in the mean), {} of water, {} of {} bins in use and at most {} of nuts waiting.",
        view.year_words(),
        day_name(span.at(day)),
        day_name(span.at(day + 6)),
        energy(kwh),
        with_unit(&three(kwh / of_week.len() as f64), "kW"),
        mass(sum(&|hour| hour.evaporated_kg)),
        three(bins),
        view.figures.season.bins,
        with_unit(&three(waiting), "t"),
    )
}
