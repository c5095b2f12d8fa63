//! The site's electricity by hours, and the cooling that its store asks for: for the connection, the
//! tariff and the units.

use super::parts::{Figure, Head, Key, Table, column, figure, label, quoted, rows_of};
use super::view::View;
use crate::ledger::{Book, DurationCurve, Entry, SHARES};
use crate::report::chart::{Drawn, Duration, LoadCurve, Pen};
use crate::report::number::{self, percent, three, with_unit};
use serde::Serialize;

/// Electricity by hours.
#[derive(Debug, Serialize)]
pub struct ElectricLoad {
    figure: Option<Figure>,
    table: Table,
    cooling: String,
}

/// Builds it.
pub fn electric_load(view: &View<'_>) -> Drawn<ElectricLoad> {
    Ok(ElectricLoad { figure: curves(view)?, table: table(view), cooling: cooling(view) })
}

fn of_all(books: &[Book], load: impl Fn(&Entry) -> f64) -> DurationCurve {
    DurationCurve::of(books.iter().flat_map(|book| &book.hours).map(load))
}

fn curves(view: &View<'_>) -> Drawn<Option<Figure>> {
    let of = |place: usize| of_all(&view.books[place], Entry::site_electricity_kwh);
    let base = of(view.base);
    if base.hours() == 0 {
        return Ok(None);
    }
    let name = |place: usize| view.figures.options[place].name.clone();
    let line = |place: usize, curve: &DurationCurve| LoadCurve {
        name: name(place),
        kw: curve.kw().to_vec(),
    };
    let mut lines = vec![line(view.base, &base)];
    let mut key = vec![Key::line(Pen::Line1, name(view.base))];
    let most = |curve: &DurationCurve| {
        [curve.peak_kw(), curve.capacity_for(0.95)].map(|kw| with_unit(&three(kw), "kW"))
    };
    let [peak, p95] = most(&base);
    let mut sentences = vec![format!(
        "With {} the peak demand of the site is {peak}, and it takes no more than {p95} in 95\u{a0}% of the hours.",
        quoted(&name(view.base)),
    )];
    if view.something_beats_the_baseline() {
        let chosen = of(view.shown);
        let [peak, p95] = most(&chosen);
        sentences.push(format!("With {} it is {peak} and {p95}.", quoted(&name(view.shown))));
        lines.push(line(view.shown, &chosen));
        key.push(Key::line(Pen::Line2, name(view.shown)));
    }
    let chart = Duration {
        label: label(
            "electric-duration",
            "Load-duration curve of the site’s electricity",
            sentences.join(" "),
        ),
        of: "electricity",
        years: view.weather_years().max(1) as f64,
        curves: lines,
        levels: Vec::new(),
    };
    figure(&chart, &chart.label, key).map(Some)
}

fn table(view: &View<'_>) -> Table {
    let mut lines: [Vec<f64>; 5] = Default::default();
    for books in view.books {
        let curve = of_all(books, Entry::site_electricity_kwh);
        let factor = curve.load_factor().unwrap_or(0.0) * 100.0;
        let covers = SHARES.map(|share| curve.capacity_for(share));
        for (line, value) in lines.iter_mut().zip(covers.into_iter().chain([factor])) {
            line.push(value);
        }
    }
    let columns: Vec<_> = lines.iter().map(|line| column(line)).collect();
    let mut heads: Vec<Head> = SHARES
        .iter()
        .map(|share| Head::number(format!("{} % of hours", number::fixed(share * 100.0, 0)), "kW"))
        .collect();
    heads.push(Head::number("load factor", "%"));
    Table::new(
        "Electricity of the site: the most it takes, by share of the hours in which it takes any (all weather years)",
        "option",
        heads,
        rows_of(view.names(), &columns),
    )
    .note("Load factor: mean of all hours over the highest. A meter that bills quarter-hours may see a higher peak than an hour’s mean.")
}

/// What the cool store asks of its units, in a sentence; empty without a store.
fn cooling(view: &View<'_>) -> String {
    let curve = of_all(&view.books[view.base], |hour| hour.store_cooling_kwh);
    if curve.hours() == 0 {
        return String::new();
    }
    let p95 = curve.cover(0.95);
    format!(
        "Cooling given to the store: {} cover 95\u{a0}% of the hours with a load, {} all of them; {} of the cooling lies above the 95\u{a0}% line.",
        with_unit(&three(p95.capacity_kw), "kW"),
        with_unit(&three(curve.peak_kw()), "kW"),
        percent(p95.energy_above_share * 100.0),
    )
}
