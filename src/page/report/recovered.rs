//! Recovered heat: what condensers gave, what of it was useful, and what it cost.

use super::places_side_by_side::side_by_side;
use super::placing::{Placing, placing};
use super::view::View;
use crate::answer::figures::OptionFigures;
use crate::number::{Measure, energy, fixed, heat, percent, three, with_unit};
use crate::page::chart::{ByHour, GainMonth, GainMonths, MonthHourMap, Pen, SHARE_BOUNDS};
use crate::page::kit::months;
use crate::page::parts::{
    Figure, Head, Key, Of, Table, column, half_figure, label, month_label, one_behind_the_other, rounding_note, rows_of,
};
use serde::Serialize;
use std::fmt::Write;

/// The fifth section.
#[derive(Debug, Serialize)]
pub(super) struct Recovered {
    none: String,
    placing: Placing,
    /// Every place beside the others, for the options that decide.
    figures: Vec<Figure>,
    /// Each option of the study that recovers heat: stands in the appendix.
    options: Vec<OptionRecovered>,
}

/// One option that recovers heat.
#[derive(Debug, Serialize)]
struct OptionRecovered {
    name: String,
    verdict: String,
    figures: Vec<Figure>,
    table: Table,
}

/// Builds it.
pub(super) fn recovered(view: &View<'_>) -> Recovered {
    let mut options = Vec::new();
    for (place, option) in view.figures.options.iter().enumerate() {
        if option.recovered.gross_kwh > 0.0 {
            options.push(one(view, place, option));
        }
    }
    let none = if options.is_empty() {
        "No option puts the condensers where their heat could be used: there is nothing to credit.".to_owned()
    } else {
        String::new()
    };
    Recovered { none, placing: placing(view), figures: side_by_side(view), options }
}

fn one(view: &View<'_>, place: usize, option: &OptionFigures) -> OptionRecovered {
    let map = (!option.recovered.by_month_and_hour.is_empty()).then(|| map(place, option));
    OptionRecovered {
        name: option.name.clone(),
        verdict: verdict(view, option),
        figures: [months(place, option), day(view, place, option)].into_iter().chain(map).collect(),
        table: table(view, option),
    }
}

fn verdict(view: &View<'_>, option: &OptionFigures) -> String {
    let r = &option.recovered;
    let worth = if r.net_kwh > 0.0 && r.net_money > 0.0 {
        "it is worth having"
    } else if r.net_kwh > 0.0 {
        "it saves energy but not money"
    } else {
        "it costs more than it gives"
    };
    let penalty = match r.cop_of_recovery {
        Some(cop) => format!(
            "the compressors and their fans took {} more than with condensers outdoors ({} kWh of useful heat for each kWh)",
            energy(r.penalty_kwh),
            three(cop)
        ),
        None if r.penalty_kwh < 0.0 => {
            format!("the compressors and their fans took {} less than with condensers outdoors", energy(-r.penalty_kwh))
        }
        None => "the compressors and their fans took no more electricity than with condensers outdoors".to_owned(),
    };
    let mut said = format!(
        "The condensers rejected {} into the room or the fresh air; {} of that met a need, {} of the heat need; {penalty}. Net of the penalty it displaced {} of energy, {} a season: {worth}.",
        heat(r.gross_kwh),
        heat(r.useful_kwh),
        percent(r.share_of_need_pct),
        heat(r.net_kwh),
        view.money.prose(r.net_money),
    );
    if r.cooling_short_kwh > LACKING_KWH {
        let _ = write!(
            said,
            " The store lacked {} of cooling that it would have got with its condensers outdoors: in {} recovered heat met a need and earned no credit, {} of it, since cooling that is not given costs nothing.",
            heat(r.cooling_short_kwh),
            with_unit(&fixed(r.unearned_hours, 0), "h"),
            heat(r.unearned_useful_kwh),
        );
    }
    if r.gross_idle_pct >= WORTH_TELLING_PCT {
        let _ = write!(
            said,
            " {} of what they rejected there came while no batch dried in their room, after the season too: an idle room stands open, so that outside air cools the condensers and takes their heat.",
            percent(r.gross_idle_pct)
        );
    }
    said
}

/// Cooling short by less is rounding, kWh.
const LACKING_KWH: f64 = 1.0;

/// A share of what was given off below this is not told.
const WORTH_TELLING_PCT: f64 = 0.5;

fn months(place: usize, option: &OptionFigures) -> Figure {
    let best = option.months.iter().max_by(|a, b| a.recovered_net_kwh.total_cmp(&b.recovered_net_kwh));
    let wasted = option.recovered.gross_kwh - option.recovered.useful_kwh;
    let sentence = format!(
        "{} {} of what the condensers rejected into the room or the fresh air met no need there.",
        best.map_or_else(String::new, |month| format!(
            "Most is gained in {}: {} net.",
            month_label(month, &option.months),
            heat(month.recovered_net_kwh)
        )),
        percent(wasted.max(0.0) / option.recovered.gross_kwh.max(1e-9) * 100.0),
    );
    let measure = Measure::heat("kWh");
    let chart = GainMonths {
        label: label(format!("credit-{place}"), format!("Recovered heat by month: {}", option.name), sentence),
        unit: format!("{} a month", measure.sign()),
        months: option
            .months
            .iter()
            .map(|m| GainMonth {
                month: m.month,
                whole: measure.value(m.recovered_gross_kwh),
                gain: measure.value(m.recovered_useful_kwh),
                loss: measure.value(m.recovered_penalty_kwh),
                net: measure.value(m.recovered_net_kwh),
            })
            .collect(),
    };
    let mut key = vec![Key::fill(Pen::Hollow, "rejected where usable"), Key::fill(Pen::Fill3, "useful")];
    if option.months.iter().any(|m| m.recovered_penalty_kwh > 0.0) {
        let words = "penalty: more electricity for the cooling units";
        key.push(Key::fill(Pen::Fill1, words));
    }
    let words = "net: energy displaced less penalty";
    key.push(Key::line(Pen::Tick, words));
    half_figure(Of::MeanOfYears, &chart, &chart.label, key)
}

/// Means a day over the drying season: kWh in each hour of day.
fn day(view: &View<'_>, place: usize, option: &OptionFigures) -> Figure {
    let season_days = (view.figures.season.hours as f64 / 24.0).max(1.0);
    let mean = |sums: &[f64]| -> Vec<f64> { sums.iter().map(|kwh| kwh / season_days).collect() };
    let r = &option.recovered;
    let (need, gross, useful) =
        (mean(&r.need_by_hour_of_day_kwh), mean(&r.gross_by_hour_of_day_kwh), mean(&r.useful_by_hour_of_day_kwh));
    let top = |values: &[f64]| -> usize {
        values.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1)).map_or(0, |most| most.0)
    };
    let lacking: f64 = need.iter().zip(&useful).map(|(n, u)| n - u).sum();
    let sentence = format!(
        "Most heat is needed from {:02}:00, most is rejected from {:02}:00. On a mean day {} are left for the sources to give.",
        top(&need),
        top(&gross),
        heat(lacking.max(0.0)),
    );
    let measure = Measure::heat("kW");
    let chart = ByHour {
        label: label(format!("day-{place}"), format!("When it came and when it was needed: {}", option.name), sentence),
        unit: format!("mean of the season, {}", measure.sign()),
        filled: measure.values(&useful),
        curves: vec![
            ("needed".to_owned(), Pen::Line2, measure.values(&need)),
            ("rejected".to_owned(), Pen::Line1, measure.values(&gross)),
        ],
    };
    let key = vec![
        Key::line(Pen::Line2, "heat needed"),
        Key::line(Pen::Line1, "heat rejected by condensers"),
        Key::fill(Pen::Fill3, "useful"),
    ];
    half_figure(Of::MeanOfYears, &chart, &chart.label, key)
}

/// Which share of the need recovered heat met, by month and hour of day.
fn map(place: usize, option: &OptionFigures) -> Figure {
    let months = &option.recovered.by_month_and_hour;
    let shares: Vec<(u32, Vec<Option<f64>>)> = months
        .iter()
        .map(|month| {
            let hours = month.need_kwh.iter().zip(&month.useful_kwh);
            let shares = hours.map(|(need, useful)| (*need > 1e-6).then(|| useful / need));
            (month.month, shares.collect())
        })
        .collect();
    let of_month = |month: &crate::answer::MonthHours| -> f64 {
        let need: f64 = month.need_kwh.iter().sum();
        month.useful_kwh.iter().sum::<f64>() / need.max(1e-9) * 100.0
    };
    let needing = || months.iter().filter(|month| month.need_kwh.iter().sum::<f64>() > 1e-6);
    let by_share = |a: &&crate::answer::MonthHours, b: &&crate::answer::MonthHours| of_month(a).total_cmp(&of_month(b));
    let sentence = match (needing().min_by(by_share), needing().max_by(by_share)) {
        (Some(least), Some(most)) if least.month == most.month => format!(
            "Recovered heat met {} of the need in {}; blank hours needed none.",
            percent(of_month(most)),
            months::name(most.month),
        ),
        (Some(least), Some(most)) => format!(
            "Recovered heat met {} of the need in {} and {} in {}; blank hours needed none.",
            percent(of_month(most)),
            months::name(most.month),
            percent(of_month(least)),
            months::name(least.month),
        ),
        _ => "No hour of the season needed heat.".to_owned(),
    };
    let chart = MonthHourMap {
        label: label(
            format!("share-{place}"),
            format!("Share of the need that recovered heat met, by month and hour: {}", option.name),
            sentence,
        ),
        months: shares,
    };
    let mut low = 0.0;
    let mut key = Vec::new();
    for (step, pen) in Pen::SHADES.iter().enumerate() {
        let high = SHARE_BOUNDS.get(step).map_or(100.0, |bound| bound * 100.0);
        key.push(Key::fill(*pen, format!("{}–{}", fixed(low, 0), percent(high))));
        low = high;
    }
    half_figure(Of::MeanOfYears, &chart, &chart.label, key)
}

fn table(view: &View<'_>, option: &OptionFigures) -> Table {
    let of = |value: fn(&crate::answer::figures::MonthFigures) -> f64, sum: f64| {
        let mut line: Vec<f64> = option.months.iter().map(value).collect();
        line.push(sum);
        line
    };
    let r = &option.recovered;
    let lines = [
        of(|m| m.heat_need_kwh, option.heat_need_kwh),
        of(|m| m.recovered_gross_kwh, r.gross_kwh),
        of(|m| m.recovered_useful_kwh, r.useful_kwh),
        of(|m| m.recovered_penalty_kwh, r.penalty_kwh),
        of(|m| m.recovered_net_kwh, r.net_kwh),
        of(|m| m.recovered_net_money, r.net_money),
    ];
    let columns = lines.each_ref().map(|line| column(line));
    let names = option.months.iter().map(|month| month_label(month, &option.months)).chain(["season".to_owned()]);
    let mut rows = rows_of(names, &columns);
    if let Some(last) = rows.last_mut() {
        last.class = "sum";
    }
    let heads = vec![
        Head::heat("heat need", "kWh"),
        Head::heat("rejected", "kWh"),
        Head::heat("useful", "kWh"),
        Head::heat("penalty", "kWh"),
        Head::heat("net", "kWh"),
        Head::number("net", view.money.code()),
    ];
    let rounding = rounding_note(heads.iter().zip(&lines).map(|(head, line)| head.told(line)));
    Table::new(
        format!("Recovered heat by month: {}", option.name),
        "month",
        heads,
        rows,
    )
    .note(one_behind_the_other(&[
        "The same cool store was also run with its condensers outdoors; the penalty is what the cooling units take above the electricity that the same cooling would take there. Net money values each hour at that hour’s prices.",
        rounding,
    ]))
}
