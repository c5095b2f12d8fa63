//! The workbook as its formulas work it, without a spreadsheet program: each gives the value that is written with it, and
//! what a person changes moves the money, and the application with it, as the study would.

use super::faults::replace;
use super::spreadsheet::Spreadsheet;
use super::workbook::{Options, assert_money, opened, reported, rich, rows};
use crate::bundled::{DEMO, TWO_ROOMS, WALNUT};
use calamine::Data;
use serde_json::Value;
use std::path::Path;
use tempfile::TempDir;

/// Cells in which the working gives another value than the one that was written with the formula.
fn differences(bytes: &[u8], worked: &Spreadsheet) -> Vec<String> {
    let mut book = opened(bytes);
    let mut found = Vec::new();
    for sheet in worked.sheets() {
        let (written, anew) = (rows(&mut book, &sheet), worked.rows(&sheet));
        for (at, (written, anew)) in written.iter().zip(&anew).enumerate() {
            for (column, (cell, other)) in written.iter().zip(anew).enumerate() {
                let is_same = match (cell, other) {
                    (Data::Float(a), Data::Float(b)) => (a - b).abs() <= 1e-6_f64.max(1e-9 * a.abs()),
                    _ => cell.to_string() == other.to_string(),
                };
                if !is_same {
                    found.push(format!("{sheet}, row {}, column {}: {cell} is {other}", at + 1, column + 1));
                }
            }
        }
    }
    found
}

#[test]
fn every_formula_gives_the_value_that_is_written_with_it() {
    let small = reported(rich().path(), &[]).0;
    for (name, bytes) in
        [("small", &small), ("demo", &DEMO.workbook), ("walnut", &WALNUT.workbook), ("two rooms", &TWO_ROOMS.workbook)]
    {
        let worked = Spreadsheet::of(bytes);
        assert_eq!(differences(bytes, &worked), Vec::<String>::new(), "{name}");
        let formulas: usize = worked.sheets().iter().map(|sheet| worked.formulas(sheet)).sum();
        assert!(formulas > 1000, "{name}: {formulas} formulas");
    }
}

/// The rich study that proposes gas: all its carriers have a price that may be changed.
fn proposing_gas() -> TempDir {
    let folder = rich();
    replace(folder.path(), "study.toml", "proposal = \"condensers in room\"", "proposal = \"gas\"");
    folder
}

/// Figures of the application whose own prices the workbook does not have: heat's own costs.
fn stays(figure: &Value) -> bool {
    ["heat-yearly", "heat-levelised"].contains(&figure["key"].as_str().unwrap_or_default())
}

/// Figures of an application, each with its sheet's row and what either option and the proposal have of it.
fn figures_of(figures: &Value) -> Vec<Value> {
    let of = |part: &str| figures["application"][part].as_array().expect("figures").clone();
    [of("of_both"), of("of_the_proposal")].concat()
}

fn row_of<'a>(table: &'a [Vec<Data>], figure: &Value) -> (usize, &'a Vec<Data>) {
    let is_own = |(_, row): &(usize, &Vec<Data>)| figure["name"] == row[1].to_string().as_str();
    table.iter().enumerate().find(is_own).unwrap_or_else(|| panic!("no row of {figure}"))
}

/// Every figure of the application on a worked sheet is that of the figures; how many numbers were held.
fn assert_application(worked: &Spreadsheet, figures: &Value, what: &str) -> usize {
    let table = worked.rows("Application");
    let mut held = 0;
    for figure in figures_of(figures).iter().filter(|figure| !stays(figure)) {
        let (_, row) = row_of(&table, figure);
        for (key, column) in [("baseline", 3), ("proposal", 4), ("saved", 5), ("value", 4)] {
            let Some(expected) = figure.get(key).and_then(Value::as_f64) else { continue };
            let Data::Float(found) = row[column] else { panic!("{what}: {row:?}, not {expected}") };
            assert!((found - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{what}: {row:?}, not {expected}");
            held += 1;
        }
        if figure.get("proposal").is_none() && figure.get("value").is_none() {
            assert_eq!(figure["why"], row[4].to_string().as_str(), "{what}: {row:?}");
            held += 1;
        }
    }
    held
}

/// What a formula of the report is made of other figures is one in the workbook too, and so is the money that is told in
/// words.
#[test]
fn every_figure_of_the_application_that_is_worked_is_a_formula() {
    for folder in [rich(), proposing_gas()] {
        let (bytes, figures) = reported(folder.path(), &[]);
        let worked = Spreadsheet::of(&bytes);
        assert!(assert_application(&worked, &figures, "as reported") > 60);
        let table = rows(&mut opened(&bytes), "Application");
        for figure in figures_of(&figures) {
            let (row, _) = row_of(&table, &figure);
            let is_live = worked.is_formula("Application", u32::try_from(row).expect("a row"), 4);
            let formula = figure["formula"].as_str().expect("a formula");
            let key = figure["key"].as_str().map_or_else(|| "of a carrier".to_owned(), str::to_owned);
            let in_words = formula.contains("the season")
                || ["sum of all hours", "highest hour", "by sources and recovery", "sources, upkeep, fuel"]
                    .iter()
                    .any(|begins| formula.starts_with(begins));
            assert_eq!(is_live, !in_words, "{key}: {formula}");
        }
    }
}

fn changed_study(folder: &Path, set: &str) -> Value {
    reported(folder, &["--set", set]).1
}

/// Another price in the workbook gives the money of the study with that price, and its application.
#[test]
fn what_is_changed_moves_the_money_as_the_study_does() {
    let folder = proposing_gas();
    let (bytes, before) = reported(folder.path(), &[]);
    for (name, value, set) in [
        ("price_lpg", 2.05, "carrier.lpg.price=2.05"),
        ("discount_rate", 0.08, "money.discount_rate=0.08"),
        ("analysis_years", 17.0, "money.years=17"),
        ("grant_share", 0.15, "money.grant_share=0.15"),
        ("grant_most", 900.0, "application.tests.grant_max=900"),
        ("rise_electricity", -0.01, "money.escalation.electricity=-0.01"),
    ] {
        let figures = changed_study(folder.path(), set);
        let money = |figures: &Value| -> Vec<Value> {
            figures_of(figures)
                .into_iter()
                .map(|figure| figure.get("value").unwrap_or(&figure["proposal"]).clone())
                .collect()
        };
        assert_ne!(money(&figures), money(&before), "{set} changes nothing of the application");
        let changed = Spreadsheet::of(&bytes).with(name, value);
        assert_money(&Options::from_rows(changed.rows("Options")), &figures, set);
        assert!(assert_application(&changed, &figures, set) > 60, "{set}");
    }
}
