//! What schemes ask of an application beside savings: tests, all measures ranked, costs apart, sizes, meters.

use super::view::View;
use crate::answer::figures::{ApplicationFigures, OfferFigures};
use crate::answer::hours::day_name;
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, quoted};
use serde::Serialize;

/// A part of the section for an application; only where there is a proposal.
#[derive(Debug, Serialize)]
pub(super) struct Offers {
    benefits: Option<String>,
    tables: Vec<Table>,
}

/// Builds it.
pub(super) fn offers(view: &View<'_>) -> Option<Offers> {
    let first = view.figures.application.as_ref()?;
    let is_one = view.figures.more_applications.is_empty();
    let mut tables = Vec::new();
    for (at, figures) in view.figures.applications().enumerate() {
        let whose = if is_one { "the proposal".to_owned() } else { quoted(&figures.proposal) };
        tables.push(tests(figures, &whose));
        if at == 0 {
            // Every option is a measure, whichever of them is proposed.
            tables.push(measures(view, figures));
        }
        tables.extend([costs(view, figures, &whose), specifications(figures, &whose)]);
        let plan = if is_one { "Measurement plan".to_owned() } else { format!("Measurement plan for {whose}") };
        tables.push(meters(figures, plan));
    }
    Some(Offers { benefits: first.benefits.clone(), tables })
}

fn tests(figures: &ApplicationFigures, whose: &str) -> Table {
    let rows = figures.tests.iter().map(|test| {
        let decimals = column_decimals([test.asked, test.found].into_iter().flatten());
        let verdict = match (test.passed, test.short_by) {
            (true, _) => "passed".to_owned(),
            (false, Some(by)) => {
                format!("fails by {}", crate::number::with_unit(&crate::number::three(by), &test.short_by_unit))
            }
            (false, None) => "fails".to_owned(),
        };
        let cells = vec![
            Cell::number_or(test.asked, decimals, "–"),
            Cell::number_or(test.found, decimals, "–"),
            Cell::words(verdict),
        ];
        Row::new(test.name.clone(), cells).unit(test.unit.clone())
    });
    let heads = vec![Head::number("asked for", ""), Head::number("found", ""), Head::words("verdict")];
    Table::of_unlike_rows(format!("Tests of {whose}"), "test", heads, rows.collect())
        .note("The first two no scheme is without; the others are those that the study names. A test that fails pays no grant.")
}

fn measures(view: &View<'_>, figures: &ApplicationFigures) -> Table {
    let code = view.money.code();
    let all = &figures.measures;
    let column = |of: &dyn Fn(&OfferFigures) -> Option<f64>, why: &str| -> Vec<Cell> {
        let decimals = column_decimals(all.iter().filter_map(of));
        all.iter().map(|offer| Cell::number_or(of(offer), decimals, why)).collect()
    };
    let rank = |of: fn(&OfferFigures) -> Option<usize>| -> Vec<Cell> {
        all.iter().map(|offer| Cell::number_or(of(offer).map(|rank| rank as f64), 0, "–")).collect()
    };
    let columns = [
        column(&|offer| Some(offer.extra_investment), ""),
        column(&|offer| Some(offer.energy_saved_kwh / 1000.0), ""),
        column(&|offer| Some(offer.carbon_saved_kg / 1000.0), ""),
        column(&|offer| Some(offer.bill_saved), ""),
        column(&|offer| Some(offer.net_saving), ""),
        column(&|offer| offer.simple_payback_years, "never"),
        column(&|offer| offer.owning_per_kwh_saved, "none saved"),
        rank(|offer| offer.rank_by_kwh),
        column(&|offer| offer.owning_per_t_saved, "none saved"),
        rank(|offer| offer.rank_by_t),
        column(&|offer| offer.net_cost_per_t_saved, "none saved"),
    ];
    let heads = vec![
        Head::number("extra investment", code),
        Head::number("energy saved", "MWh/a"),
        Head::number("carbon saved", "t CO₂e/a"),
        Head::number("bill saved", format!("{code}/a")),
        Head::number("net present saving", code),
        Head::number("simple payback", "years"),
        Head::number("owning per kWh saved", format!("{code}/kWh")),
        Head::number("rank", ""),
        Head::number("owning per tonne saved", format!("{code}/t CO₂e")),
        Head::number("rank", ""),
        Head::number("owning less bill saved, per tonne", format!("{code}/t CO₂e")),
    ];
    let rows = all.iter().enumerate().map(|(at, offer)| {
        let cells = columns.iter().map(|column| column[at].clone()).collect();
        Row::new(offer.option.clone(), cells)
    });
    Table::new("Every measure against the baseline", "option", heads, rows.collect()).note(
        "Extra investment is after grant. Owning is capital after grant, upkeep and replacements above the baseline’s, as an equal yearly sum. What leaves work undone has no rank.",
    )
}

fn costs(view: &View<'_>, figures: &ApplicationFigures, whose: &str) -> Table {
    let code = view.money.code();
    let capital = column_decimals(figures.costs.iter().map(|item| item.capital));
    let rows = figures.costs.iter().map(|item| {
        let cells = vec![
            Cell::number(item.capital, capital),
            Cell::words(if item.eligible { "yes" } else { "no: the baseline has it" }),
            Cell::number(item.upkeep_per_year, 0),
            Cell::number(item.life_years, 0),
        ];
        Row::new(item.name.clone(), cells)
    });
    let heads = vec![
        Head::number("capital", code),
        Head::words("eligible"),
        Head::number("upkeep", format!("{code}/a")),
        Head::number("life", "years"),
    ];
    Table::new(format!("Costs of {whose}, the eligible apart"), "item", heads, rows.collect())
}

fn specifications(figures: &ApplicationFigures, whose: &str) -> Table {
    let rows = figures.specifications.iter().map(|size| {
        let decimals = column_decimals([Some(size.most), size.size].into_iter().flatten());
        let at = size
            .at
            .map_or_else(|| "never".to_owned(), |at| format!("{} {}", day_name(at.date()), at.format("%Y, %H:%M")));
        let cells = vec![Cell::number_or(size.size, decimals, "–"), Cell::number(size.most, decimals), Cell::words(at)];
        Row::new(size.name.clone(), cells).unit(size.unit.clone())
    });
    let heads =
        vec![Head::number("in the study", ""), Head::number("most asked of it", ""), Head::words("in the hour from")];
    Table::of_unlike_rows(format!("Sizes of {whose}, and the hour that decides each"), "size", heads, rows.collect())
}

fn meters(figures: &ApplicationFigures, caption: String) -> Table {
    let rows = figures.meters.iter().map(|meter| {
        let cells = [&meter.by, &meter.every, &meter.serves].map(|words| Cell::words(words.clone()));
        Row::new(meter.what.clone(), cells.to_vec())
    });
    let heads = vec![Head::words("by"), Head::words("how often"), Head::words("what for")];
    Table::new(caption, "what", heads, rows.collect()).note(
        "By the parts that change and by the whole site (options B and C of the international protocol for measurement and verification; from memory, not verified); where and how often is common practice, no published source. This report is an estimate that can serve an energy audit, and is none.",
    )
}
