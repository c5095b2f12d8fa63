//! `report.xlsx`: what a reader of spreadsheets finds in it before anything is worked again.

use super::faults::{replace, small};
use crate::bundled::{DEMO, TWO_ROOMS, WALNUT};
use crate::case::dryledger;
use calamine::{Data, Reader, Xlsx, open_workbook_from_rs};
use serde_json::Value;
use std::fs;
use std::io::Cursor;
use std::path::Path;
use tempfile::TempDir;

/// A workbook as it is read back.
pub(crate) type Book = Xlsx<Cursor<Vec<u8>>>;

pub(crate) fn opened(bytes: &[u8]) -> Book {
    open_workbook_from_rs(Cursor::new(bytes.to_vec())).expect("a workbook")
}

/// The rows of a sheet, each from its first column on.
pub(crate) fn rows(book: &mut Book, sheet: &str) -> Vec<Vec<Data>> {
    let range = book.worksheet_range(sheet).expect(sheet);
    let end = range.end().expect("cells");
    (0..=end.0)
        .map(|row| (0..=end.1).map(|at| range.get_value((row, at)).cloned().unwrap_or_default()).collect())
        .collect()
}

/// What the sheet of options says, by option and head.
pub(crate) struct Options(Vec<Vec<Data>>);

impl Options {
    pub(crate) fn of(book: &mut Book) -> Self {
        Self::from_rows(rows(book, "Options"))
    }

    /// The same of rows that were worked elsewhere.
    pub(crate) fn from_rows(rows: Vec<Vec<Data>>) -> Self {
        Self(rows)
    }

    /// A number; nothing where a word stands.
    pub(crate) fn number(&self, option: &str, head: &str) -> Option<f64> {
        let at = self.0[3].iter().position(|cell| *cell == *head).expect(head);
        let row = self.0.iter().find(|row| row[0] == *option).expect(option);
        match &row[at] {
            Data::Float(value) => Some(*value),
            Data::Int(value) => Some(*value as f64),
            _ => None,
        }
    }
}

/// Heads of the sheet of options, and where the figures say the same.
pub(crate) const MONEY: [(&str, &str); 12] = [
    ("seasonal energy cost", "/total_cost"),
    ("demand charges", "/demand_cost"),
    ("fixed charges and tax", "/other_cost"),
    ("capital", "/life_cycle/capital"),
    ("a grant may be a share of", "/life_cycle/eligible_capital"),
    ("grant", "/life_cycle/grant"),
    ("upkeep a year", "/life_cycle/upkeep_per_year"),
    ("net present cost", "/life_cycle/net_present_cost"),
    ("of which owning", "/life_cycle/owning_per_year"),
    ("simple payback", "/life_cycle/simple_payback_years"),
    ("discounted payback", "/life_cycle/discounted_payback_years"),
    ("internal rate of return", "/life_cycle/irr"),
];

/// Every option's money on the sheet is that of the figures: to a tenth of a cent, and paybacks to their digits.
pub(crate) fn assert_money(options: &Options, figures: &Value, what: &str) {
    for option in figures["options"].as_array().expect("options") {
        let name = option["name"].as_str().expect("a name");
        for (head, pointer) in MONEY {
            let (found, expected) = (options.number(name, head), option.pointer(pointer).and_then(Value::as_f64));
            let is_same = match (found, expected) {
                (Some(found), Some(expected)) => (found - expected).abs() <= 1e-3_f64.min(1e-6 * expected.abs() + 1e-6),
                (None, None) => true,
                (Some(_), None) | (None, Some(_)) => false,
            };
            assert!(is_same, "{what}, {name}: {head} is {found:?}, and {expected:?} in the figures");
        }
    }
}

/// The small study with all that money may hang on: a grant, lives of years and a half, upkeep, rising prices.
pub(crate) fn rich() -> TempDir {
    let folder = small();
    let of = |old: &str, new: &str| replace(folder.path(), "study.toml", old, new);
    of("capital = 1500.0", "capital = 1500.0\nupkeep_per_year = 40.0\nlife_years = 8.5\ngrant = true");
    of("capital = 9000.0", "capital = 9000.0\nupkeep_per_year = 90.0\nlife_years = 4.0");
    of("price = 1.35\nunit = \"kg\"", "price = 1.35\nunit = \"kg\"\nfixed_per_month = 2.5");
    of(
        "[money]\nyears = 10",
        "[money]\nyears = 12\ndiscount_rate = 0.05\ngrant_share = 0.3\n\n[money.escalation]\nelectricity = 0.02\n\
         lpg = 0.035\n\n[application]\nproposal = \"condensers in room\"\ntests = { grant_max = 400.0 }",
    );
    replace(folder.path(), "tariff.toml", "tax_share = 0.10", "fixed_per_day = 0.625\ntax_share = 0.10");
    folder
}

/// Its report: the workbook and the figures.
pub(crate) fn reported(folder: &Path, more: &[&str]) -> (Vec<u8>, Value) {
    let mut line = vec!["report", "study.toml", "--json", "--out", "out"];
    line.extend(more);
    let figures = dryledger(&line).in_folder(folder).run().json();
    (fs::read(folder.join("out/report.xlsx")).expect("a workbook"), figures)
}

#[test]
fn what_is_shown_without_working_again_is_what_the_figures_say() {
    let folder = rich();
    let (bytes, figures) = reported(folder.path(), &[]);
    let mut book = opened(&bytes);
    assert_money(&Options::of(&mut book), &figures, "a small study");
    let paid = figures["options"][2]["life_cycle"]["grant"].as_f64().expect("a grant");
    assert_eq!(paid, 400.0);
    let of_figures = |part: &str| figures["application"][part].as_array().expect("figures").clone();
    let table = rows(&mut book, "Application");
    let mut seen = 0;
    for figure in of_figures("of_both").iter().chain(&of_figures("of_the_proposal")) {
        let row = table.iter().find(|row| figure["name"] == row[1].to_string().as_str()).expect("a row");
        let value = figure.get("proposal").or(figure.get("value")).and_then(Value::as_f64);
        match (value, &row[4]) {
            (Some(value), Data::Float(found)) => {
                assert!((value - found).abs() <= 1e-6 * value.abs().max(1.0), "{row:?}");
            }
            (None, Data::String(word)) => assert_eq!(figure["why"], word.as_str()),
            (value, found) => panic!("{value:?} stands as {found:?}"),
        }
        seen += 1;
    }
    assert!(seen > 35, "{seen}");
}

/// Two weather years, own supply, a currency without a minor unit of its own: every bundled study.
#[test]
fn bundled_workbooks_show_what_the_figures_say() {
    for (name, written) in [("demo", &DEMO), ("walnut", &WALNUT), ("two-rooms", &TWO_ROOMS)] {
        let mut book = opened(&written.workbook);
        assert_money(&Options::of(&mut book), &written.figures, name);
    }
}

#[test]
fn sheets_stand_in_order_with_fixed_heads_and_named_prices() {
    let (bytes, figures) = reported(rich().path(), &[]);
    let mut book = opened(&bytes);
    let sheets =
        ["Owner", "Options", "Months", "Periods", "Recovery", "Application", "Prices", "Bills", "Means", "Years"];
    assert_eq!(book.sheet_names()[..10], sheets);
    assert_eq!(book.sheet_names()[10..], ["Cash", "Charts", "Inputs"]);
    let names: Vec<String> = book.defined_names().iter().map(|(name, _)| name.clone()).collect();
    for name in
        ["price_electricity_day", "price_demand_network", "price_lpg", "discount_rate", "grant_share", "rise_lpg"]
    {
        assert!(names.contains(&name.to_owned()), "{name} is not of {names:?}");
    }
    let inputs = rows(&mut book, "Inputs");
    for input in figures["assumptions"].as_array().expect("inputs") {
        let row = inputs.iter().find(|row| input["path"] == row[0].to_string().as_str()).expect("a row");
        assert_eq!(row[4].to_string(), input["source"].as_str().expect("a source"));
    }
    let months = rows(&mut book, "Months");
    assert_eq!((months[3][13].to_string(), months[4][13].to_string()), ("energy".to_owned(), "USD".to_owned()));
    let mut parts = zip::ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let charts =
        parts.file_names().filter(|name| name.as_ref().is_ok_and(|name| name.starts_with("xl/charts/chart"))).count();
    assert_eq!(charts, 3);
    let options = std::io::read_to_string(parts.by_name("xl/worksheets/sheet2.xml").expect("a sheet")).expect("text");
    assert!(options.contains("state=\"frozen\"") && options.contains("ySplit=\"5\""), "{}", &options[..900]);
}

#[test]
fn two_runs_write_the_same_workbook() {
    let folder = rich();
    assert!(reported(folder.path(), &[]).0 == reported(folder.path(), &[]).0);
}

#[test]
fn no_name_is_a_formula() {
    let folder = small();
    for name in ["=1+1", "+cmd", "-2+3", "@SUM(A1)"] {
        let study = folder.path().join("study.toml");
        let text = fs::read_to_string(&study).expect("text");
        let option = format!("[[option]]\nname = \"{name}\"\nsources = [\"heaters\"]\n\n[money]");
        fs::write(&study, text.replacen("[money]", &option, 1)).expect("written");
    }
    let (bytes, _) = reported(folder.path(), &[]);
    let mut book = opened(&bytes);
    for name in ["=1+1", "+cmd", "-2+3", "@SUM(A1)"] {
        let options = rows(&mut book, "Options");
        assert!(options.iter().any(|row| row[0] == Data::String(name.to_owned())), "{name}");
    }
    for sheet in book.sheet_names() {
        let formulas = book.worksheet_formula(&sheet).expect("formulas");
        for (_, _, formula) in formulas.used_cells() {
            assert!(formula != "1+1" && !formula.contains("cmd"), "{sheet}: {formula}");
        }
    }
}

/// Every formula that asks a cell asks one that is there, and none shows an error before it is worked again.
#[test]
fn no_formula_shows_an_error() {
    let (bytes, _) = reported(rich().path(), &[]);
    let mut book = opened(&bytes);
    let mut live = 0;
    for sheet in book.sheet_names() {
        for row in rows(&mut book, &sheet) {
            for cell in row {
                assert!(!matches!(cell, Data::Error(_)), "{sheet}");
                let text = cell.to_string();
                assert!(!["NaN", "inf", "-inf"].contains(&text.as_str()), "{sheet}");
            }
        }
        live +=
            book.worksheet_formula(&sheet).expect("formulas").used_cells().filter(|cell| !cell.2.is_empty()).count();
    }
    assert!(live > 1500, "{live} formulas");
}
