//! Cash by year: what the deciding options pay from the start on, and what becomes of all of them over planned growth,
//! with loan and tax. An appendix.

use super::quantities::rows;
use super::view::View;
use crate::answer::figures::{CashFigures, CashYearFigures, OptionCashFigures, PurchaseFigures};
use crate::answer::over_years::over_years_sentences;
use crate::number::{Unit, plain, tonne, with_unit};
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, column, one_behind_the_other, quoted, rows_of};
use serde::Serialize;

/// Cash by year.
#[derive(Debug, Serialize)]
pub(super) struct Cash {
    lead: String,
    /// All options; nothing where it would say no more than the table of money.
    options: Option<Table>,
    /// Year by year, of the baseline and of those that are best.
    years: Vec<Table>,
}

/// Builds it; nothing where it was not reckoned.
pub(super) fn cash(view: &View<'_>) -> Option<Cash> {
    let cash = view.figures.cash.as_ref()?;
    let sentences = over_years_sentences(view.figures);
    let said: Vec<&str> = sentences.iter().map(String::as_str).collect();
    let mut named = vec![view.baseline().name.as_str()];
    for name in view.recommended().map(|best| &best.name).into_iter().chain(&cash.best).chain(&cash.best_paid) {
        if !named.contains(&name.as_str()) {
            named.push(name);
        }
    }
    let note = note(view, cash);
    let options = named.iter().filter_map(|name| cash.option(name));
    Some(Cash {
        lead: one_behind_the_other(&said),
        options: options_table(view, cash),
        years: options.map(|option| years(view, option, &note)).collect(),
    })
}

/// How the sums are meant.
fn note(view: &View<'_>, cash: &CashFigures) -> String {
    let pct = |value: f64| with_unit(&plain(value), "%");
    let prices = if cash.inflation_pct > 0.0 {
        format!("Sums are at the prices of each year, with general inflation of {} a year.", pct(cash.inflation_pct))
    } else {
        "Sums are at today’s prices, those of energy with what it grows dearer beyond inflation.".to_owned()
    };
    let mut said = vec![
        prices,
        format!(
            "Each is paid at the end of its year, and “so far” discounts it at {} a year; below zero is received.",
            pct(rounded(cash.discount_rate_pct))
        ),
    ];
    if let Some(loan) = cash.loan {
        said.push(format!(
            "{} of what is invested, at the start and for growth, is borrowed at {} a year and paid back in {} equal yearly sums.",
            pct(loan.share_pct),
            pct(loan.rate_pct),
            loan.years
        ));
    }
    if let Some(tax) = cash.tax {
        said.push(format!(
            "Tax of {} is saved on energy, upkeep, interest and what is written off in {} years, the profit being taken to be there (an assumption; ask a tax adviser).",
            pct(tax.rate_pct),
            tax.depreciation_years
        ));
    }
    if view.figures.options.iter().any(|option| option.life_cycle.grant > 0.0) {
        said.push("A grant is one of the start; growth is paid none.".to_owned());
    }
    one_behind_the_other(&said.iter().map(String::as_str).collect::<Vec<_>>())
}

/// A rate that was put together from two, to a thousandth of a percent.
fn rounded(pct: f64) -> f64 {
    (pct * 1000.0).round() / 1000.0
}

/// What stands in a column of the years: its head, and what it is.
type Column = (&'static str, fn(&CashYearFigures) -> f64);

const COLUMNS: [Column; 12] = [
    ("invested", |year| year.bought),
    ("grant", |year| year.grant),
    ("replaced", |year| year.replaced),
    ("worth at the end", |year| year.residual),
    ("energy", |year| year.energy),
    ("upkeep", |year| year.upkeep),
    ("borrowed", |year| year.borrowed),
    ("interest", |year| year.interest),
    ("paid back", |year| year.repaid),
    ("tax", |year| year.tax),
    ("paid", |year| year.paid),
    ("so far, present value", |year| year.paid_so_far),
];

fn years(view: &View<'_>, option: &OptionCashFigures, note: &str) -> Table {
    let kept: Vec<&Column> = COLUMNS.iter().filter(|(_, of)| option.years.iter().any(|year| of(year) != 0.0)).collect();
    let columns: Vec<Vec<f64>> = kept.iter().map(|(_, of)| option.years.iter().map(of).collect()).collect();
    let decimals = column_decimals(columns.iter().flatten().copied());
    let cells: Vec<Vec<Cell>> =
        columns.iter().map(|column| column.iter().map(|value| Cell::number(*value, decimals)).collect()).collect();
    let heads = kept.iter().map(|(head, _)| Head::number(*head, view.money.code())).collect();
    let names = option.years.iter().map(|year| if year.year == 0 { "start".to_owned() } else { year.year.to_string() });
    Table::new(format!("Cash by year, {}", quoted(&option.option)), "year", heads, rows_of(names, &cells)).note(note)
}

/// The options over the years; nothing where there is neither growth nor loan nor tax nor a baseline that stands.
fn options_table(view: &View<'_>, cash: &CashFigures) -> Option<Table> {
    let (is_grown, is_paid) = (!cash.growth.is_empty(), cash.loan.is_some() || cash.tax.is_some());
    let is_bought = cash.options.iter().any(|option| option.purchase.is_some());
    if !is_grown && !is_paid && !is_bought {
        return None;
    }
    let code = view.money.code();
    let values =
        |of: fn(&OptionCashFigures) -> f64| -> Vec<Cell> { column(&cash.options.iter().map(of).collect::<Vec<_>>()) };
    let mut heads = vec![Head::number("net present cost", code)];
    let mut columns = vec![values(|option| option.net_present_cost)];
    if is_paid {
        heads.push(Head::number("paid by the owner", code));
        columns.push(values(|option| option.net_present_cost_paid));
    }
    heads.push(Head::number(format!("per dried {}, capital in it", tonne()), Unit::MoneyPer("t").measure(code)));
    columns.push(per_tonne(cash));
    if is_bought {
        heads.push(Head::words("worth it from season"));
        heads.push(Head::words("costs least from season"));
        columns.push(seasons(view, cash, |when| when.first_year));
        columns.push(seasons(view, cash, |when| when.best_year));
    }
    if is_grown {
        heads.push(Head::words("guards that fire once grown"));
        columns.push(cash.options.iter().map(|option| Cell::words(listed_or_none(&option.guards_in_growth))).collect());
        heads.push(Head::words("leaves work undone in"));
        columns.push(cash.options.iter().map(|option| Cell::words(listed_or_none(&option.undone_in))).collect());
    }
    let caption = if is_grown { "The options over planned growth" } else { "The options over the years" };
    let told: Vec<Row> = rows(view, &columns);
    let bought = if is_bought {
        "Seasons are counted from the first of the reckoning; until an option is built the baseline is run, and no grant is counted."
    } else {
        ""
    };
    Some(
        Table::new(caption, "option", heads, told)
            .note(one_behind_the_other(&["Of the study’s own values, without doubt.", bought])),
    )
}

fn listed_or_none(names: &[String]) -> String {
    if names.is_empty() { "none".to_owned() } else { names.join(", ") }
}

fn per_tonne(cash: &CashFigures) -> Vec<Cell> {
    let all: Vec<f64> = cash.options.iter().filter_map(|option| option.cost_per_dried_t).collect();
    let decimals = column_decimals(all.iter().copied());
    cash.options.iter().map(|option| Cell::number_or(option.cost_per_dried_t, decimals, "none dried")).collect()
}

fn seasons(view: &View<'_>, cash: &CashFigures, of: fn(&PurchaseFigures) -> Option<u32>) -> Vec<Cell> {
    let told = |option: &OptionCashFigures| match &option.purchase {
        None if option.option == view.baseline().name => Cell::because("baseline"),
        None => Cell::because("asks for nothing, or leaves work undone"),
        Some(when) => of(when).map_or_else(|| Cell::words("never"), |year| Cell::words(year.to_string())),
    };
    cash.options.iter().map(told).collect()
}
