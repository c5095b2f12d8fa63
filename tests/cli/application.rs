//! Figures for an application: what is proposed, what a grant pays, and that every printed formula gives the printed
//! figure from printed ones.

use super::faults::{replace, small};
use super::formula::{Printed, work};
use crate::case::dryledger;
use serde_json::Value;
use std::collections::HashMap;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

pub(super) fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

pub(super) fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

pub(super) fn option<'a>(figures: &'a Value, name: &str) -> &'a Value {
    let mut options = figures["options"].as_array().expect("options").iter();
    options.find(|option| option["name"] == name).expect(name)
}

/// The small study with these lines below `[money]`'s years.
pub(super) fn study(money: &str) -> TempDir {
    let folder = small();
    replace(folder.path(), "study.toml", "years = 10", &format!("years = 10\n{money}"));
    folder
}

/// Leaves out the option of this name and all after it.
pub(super) fn leave_out_from(folder: &Path, name: &str) {
    let text = fs::read_to_string(folder.join("study.toml")).expect("the study");
    let from = text.find(&format!("[[option]]\nname = \"{name}\"")).expect("the option");
    let until = text.find("[money]").expect("money");
    let text = format!("{}{}", &text[..from], &text[until..]);
    fs::write(folder.join("study.toml"), text).expect("the study");
}

pub(super) fn life<'a>(figures: &'a Value, name: &str) -> &'a Value {
    &option(figures, name)["life_cycle"]
}

/// Text of the section, tags and ties taken out, and its tables as rows of cells.
pub(super) fn section(folder: &Path) -> (String, Vec<Vec<String>>) {
    let page = fs::read_to_string(folder.join("report.html")).expect("the page");
    // What is saved over the years stands in the appendix, where anything is proposed.
    let of = |id: &str| {
        let (_, from) = page.split_once(&format!("<section id=\"{id}\""))?;
        Some(from.split_once("</section>")?.0)
    };
    let section = [of("application").expect("the section"), of("application-in-full").unwrap_or_default()].concat();
    let text = |html: &str| {
        let mut text = String::new();
        let mut is_tag = false;
        for letter in html.chars() {
            match letter {
                '<' => is_tag = true,
                '>' => is_tag = false,
                _ if !is_tag => text.push(letter),
                _ => {}
            }
        }
        text.replace('\u{a0}', " ").replace("&#x2F;", "/").replace("&#x27;", "'")
    };
    let rows = section
        .split("<tr>")
        .skip(1)
        .map(|row| row.split("</th>").flat_map(|part| part.split("</td>")).map(text).collect())
        .collect();
    (text(&section), rows)
}

/// Works every formula of the section; how many there were, and those that are words.
fn work_all(folder: &Path) -> (usize, Vec<String>) {
    let (_, rows) = section(folder);
    let mut known: HashMap<String, Printed> = HashMap::new();
    let mut asked = Vec::new();
    for cells in &rows {
        match &cells[..] {
            [name, symbol, base, proposal, saved, formula, ..] => {
                let columns = [("0", base), ("1", proposal)];
                let Some(saved) = Printed::read(saved) else { continue };
                known.insert(format!("Δ{symbol}"), saved);
                for (column, cell) in columns {
                    let printed = Printed::read(cell).expect("a number");
                    known.insert(format!("{symbol}{column}"), printed);
                    asked.push((name.clone(), formula.clone(), printed, column));
                }
            }
            [name, symbol, value, formula, ..] => {
                let Some(printed) = Printed::read(value) else { continue };
                known.insert(symbol.clone(), printed);
                asked.push((name.clone(), formula.clone(), printed, ""));
            }
            _ => {}
        }
    }
    let (mut worked, mut words) = (0, Vec::new());
    for (name, formula, printed, column) in asked {
        // In the first table a symbol is that of the row's own column.
        let own: HashMap<String, Printed> = known
            .iter()
            .filter(|_| !column.is_empty())
            .filter_map(|(symbol, value)| Some((symbol.strip_suffix(column)?.to_owned(), *value)))
            .chain(known.iter().map(|(symbol, value)| (symbol.clone(), *value)))
            .collect();
        match work(&formula, &own) {
            Some(found) => {
                assert!(found.agrees(printed), "{name}: {formula} gives {found:?}, not {printed:?}");
                worked += 1;
            }
            None => words.push(formula),
        }
    }
    words.sort();
    words.dedup();
    (worked, words)
}

const WORDS: [&str; 14] = [
    "by sources and recovery, and spared by taking water from the air, sum of all hours",
    "capital of what the baseline does not have",
    "discount rate at which the net present saving is zero",
    "energy and fixed charges, month by month",
    "energy, demand, fixed charges and tax, month by month",
    "first year by whose end the discounted savings reach I",
    "from the season",
    "given in the study",
    "highest hour of all weather years",
    "purchased at its price, the own supply at what it would have fetched, and fixed charges, month by month",
    "sources, upkeep, fuel, electricity at the hour’s price; demand charge left out",
    "sum of all hours; fuel on net heating value",
    "sum of its sources’ capital and its own",
    "sum of its sources’ upkeep and its own",
];

#[test]
fn every_printed_formula_gives_the_printed_figure() {
    let folder = study("grant_share = 0.25\n[money.escalation]\nelectricity = 0.02\nlpg = -0.01");
    report(folder.path());
    let (worked, words) = work_all(folder.path());
    let unknown: Vec<&String> = words
        .iter()
        .filter(|formula| !WORDS.contains(&formula.as_str()))
        .filter(|formula| !formula.starts_with("the proposal’s less the baseline’s"))
        .collect();
    assert!(unknown.is_empty(), "neither arithmetic nor known words: {unknown:?}");
    assert!(worked >= 30, "{worked}");
}

/// The same where the plant burns its own shell, with a scheme that pays on the extra cost up to a limit, and a
/// baseline that stands.
#[test]
fn formulas_hold_with_own_supply_and_a_scheme_of_its_own() {
    let shell = "[carrier.shell]\nprice = 90\nunit = \"t\"\nmoisture = 12\n\
        own_supply = { share_of_dried = 0.05, worth_otherwise = 15 }\n\n\
        [[source]]\nname = \"shell burner\"\nkind = \"biomass\"\ncarrier = \"shell\"\ncapacity_kw = 35\n\
        capital = 12000.0\nupkeep_per_year = 150.0\n\n[[option]]\nname = \"shell\"\nsources = [\"shell burner\"]\n\n";
    for (installed, capital) in [("true", 0.0), ("false", 5000.0)] {
        let folder = study(&format!(
            "grant_share = 0.4\n\n[application]\nbaseline_installed = {installed}\n\
             tests = {{ carbon_saving_min = 0.2, grant_max = 2000.0, grant_on = \"extra cost\" }}"
        ));
        let path = folder.path();
        let before = "[[source]]\nname = \"gas heater\"";
        replace(path, "study.toml", before, &format!("{shell}{before}"));
        // Beside the baseline nothing else is left to be proposed.
        leave_out_from(path, "gas");
        let figures = report(path);
        assert_eq!(figures["study"]["proposal"], "shell");
        assert_eq!(number(life(&figures, "electric"), "capital"), capital);
        let (worked, _) = work_all(path);
        assert!(worked >= 34, "{worked}");
        let shell = life(&figures, "shell");
        assert_eq!(number(shell, "eligible_capital"), 12_000.0 - capital);
        assert_eq!(number(shell, "grant"), 2000.0);
        let biogenic = number(option(&figures, "shell"), "biogenic_co2_kg");
        let burnt = number(&option(&figures, "shell")["carriers"]["shell"], "kwh");
        // Wood in its place: 112 000 kg of CO2 per TJ.
        assert!((biogenic - burnt * 0.112 * 3.6).abs() < 1e-6 * biogenic, "{biogenic}");
        let own = option(&figures, "shell");
        let scopes = number(own, "carbon_scope1_kg") + number(own, "carbon_scope2_kg");
        assert!((scopes - number(own, "carbon_kg")).abs() < 1e-9 * scopes);
        let said = section(path).0;
        assert_eq!(said.contains("The baseline stands already"), installed == "true", "{said}");
        assert!(said.contains("How far these savings may be off is not known: nothing was drawn."), "{said}");
    }
}

/// Gas that takes more energy and emits more than a clean grid: no grant, whatever its share, and the net present cost
/// is that without one. It is not proposed.
#[test]
fn what_saves_neither_energy_nor_carbon_gets_no_grant() {
    let with = |share: &str| {
        let folder = study(&format!("grant_share = {share}"));
        let path = folder.path();
        replace(path, "study.toml", "carbon_kg_per_kwh = 0.7", "carbon_kg_per_kwh = 0.02");
        leave_out_from(path, "condensers in room");
        (report(path), section(path).0)
    };
    let ((none, _), (half, said)) = (with("0.0"), with("0.5"));
    let gas = life(&half, "gas");
    assert_eq!(number(gas, "grant"), 0.0);
    let refused = gas["grant_refused"].as_str().expect("a reason");
    assert!(refused.contains("saves neither purchased energy"), "{refused}");
    assert_eq!(gas["net_present_cost"], life(&none, "gas")["net_present_cost"]);
    assert_eq!(half["study"]["recommended"], none["study"]["recommended"]);
    assert_eq!(half["study"]["proposal"], Value::Null);
    assert!(said.contains("No option that does the work saves purchased energy or carbon"), "{said}");
    assert!(life(&none, "gas")["grant_refused"].is_null(), "nothing was asked for");
}

#[test]
fn a_scheme_sets_its_tests_and_its_limit() {
    let with = |tests: &str| {
        let folder = study(&format!("grant_share = 0.25\n\n[application]\ntests = {{ {tests} }}"));
        report(folder.path())
    };
    let plain = with("");
    // Gas: 9 000 of capital that the baseline does not have.
    assert_eq!(number(life(&plain, "gas"), "grant"), 2250.0);
    assert_eq!(number(life(&with("grant_max = 1500.0"), "gas"), "grant"), 1500.0);
    assert_eq!(number(life(&with("grant_on = \"extra cost\""), "gas"), "grant"), 1000.0);
    for (tests, said) in [
        ("energy_saving_min = 0.2", "of purchased energy, and the scheme asks for 20 % at least"),
        ("carbon_saving_min = 0.95", "of carbon, and the scheme asks for 95 % at least"),
    ] {
        let figures = with(tests);
        let gas = life(&figures, "gas");
        assert_eq!(number(gas, "grant"), 0.0);
        let refused = gas["grant_refused"].as_str().expect("a reason").replace('\u{a0}', " ");
        assert!(refused.contains(said), "{refused}");
        let dearer = number(gas, "net_present_cost") - number(life(&plain, "gas"), "net_present_cost");
        assert!((dearer - 2250.0).abs() < 1e-6, "{dearer}");
    }
}

/// Heaters that stand cost nothing in the baseline and in options that keep them; who replaces them pays in full.
#[test]
fn an_installed_baseline_costs_no_capital() {
    let folder = study("\n[application]\nbaseline_installed = true");
    let figures = report(folder.path());
    for (name, capital) in [("electric", 0.0), ("gas", 9000.0), ("condensers in room", 1500.0)] {
        assert_eq!(number(life(&figures, name), "capital"), capital, "{name}");
    }
    let gas = option(&figures, "gas");
    let saved = number(option(&figures, "electric"), "total_cost") - number(gas, "total_cost");
    let payback = number(&gas["life_cycle"], "simple_payback_years");
    assert!((payback - 9000.0 / saved).abs() < 1e-6, "{payback}");
}

/// An option alike to the baseline saves nothing, so that it is no proposal.
#[test]
fn what_is_alike_to_the_baseline_is_not_offered() {
    let folder = study("grant_share = 0.25");
    let path = folder.path();
    leave_out_from(path, "gas");
    let alike = "[[option]]\nname = \"the same again\"\nsources = [\"heaters\"]\n\n[money]\n";
    replace(path, "study.toml", "[money]\n", alike);
    let figures = report(path);
    assert_eq!(figures["study"]["proposal"], Value::Null);
    assert!(figures["application"].is_null());
    assert!(!section(path).0.contains("the same again"));
}
