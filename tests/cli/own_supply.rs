//! Used, own, purchased: three words, through the binary.

use super::biomass::with_shell;
use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::path::Path;

/// Figures, page and terminal of the study in a folder.
struct Told {
    figures: Value,
    page: String,
    terminal: String,
    monthly: String,
}

fn told(folder: &Path) -> Told {
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder).run();
    ran.ends_well();
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).expect(name);
    Told {
        figures: serde_json::from_str(&read("figures.json")).expect("JSON"),
        page: read("report.html"),
        terminal: ran.stdout,
        monthly: read("monthly.csv"),
    }
}

fn option<'f>(figures: &'f Value, name: &str) -> &'f Value {
    let options = figures["options"].as_array().expect("options");
    options.iter().find(|option| option["name"] == name).unwrap_or_else(|| panic!("no {name}"))
}

fn at(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("no {pointer}"))
}

fn close(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 1e-9 * expected.abs().max(1.0)
}

/// Used = own + purchased, of an option and of everything in it that tells all three.
fn assert_split(option: &Value) {
    let split = |value: &Value, what: &str| {
        let (used, own, purchased) = (at(value, "/used_kwh"), at(value, "/own_kwh"), at(value, "/purchased_kwh"));
        assert!(close(own + purchased, used), "{what}: {own} + {purchased} is not {used}");
        assert!(own >= 0.0 && purchased >= 0.0, "{what}: {own} {purchased}");
        [used, own, purchased]
    };
    let whole = split(option, "option");
    for part in ["carriers", "months"] {
        let parts: Vec<&Value> = match &option[part] {
            Value::Object(map) => map.values().collect(),
            Value::Array(list) => list.iter().collect(),
            _ => panic!("no {part}"),
        };
        let sums = parts
            .iter()
            .map(|value| split(value, part))
            .fold([0.0; 3], |sum, one| [sum[0] + one[0], sum[1] + one[1], sum[2] + one[2]]);
        for (sum, of_all) in sums.iter().zip(whole) {
            assert!(close(*sum, of_all), "{part}: {sum} is not {of_all}");
        }
    }
    for year in option["years"].as_array().expect("years") {
        split(year, "year");
    }
}

#[test]
fn a_plant_that_burns_its_own_shell_alone_purchases_electricity_alone() {
    let folder = with_shell("12", "1.5");
    let told = told(folder.path());
    let shell = option(&told.figures, "shell");
    assert_split(shell);
    let burnt = at(shell, "/carriers/shell/kwh");
    assert!(burnt > 1000.0, "{burnt}");
    assert_eq!(at(shell, "/carriers/shell/own_kwh"), burnt);
    assert_eq!(at(shell, "/carriers/shell/purchased_kwh"), 0.0);
    assert_eq!(at(shell, "/carriers/shell/purchased_quantity"), 0.0);
    assert!(close(at(shell, "/purchased_kwh"), at(shell, "/carriers/electricity/kwh")));
    assert!(at(shell, "/purchased_kwh") < at(option(&told.figures, "electric"), "/purchased_kwh"));

    let dried_t = at(&told.figures, "/season/dried_t");
    assert!(close(at(shell, "/kwh_per_dried_t"), at(shell, "/purchased_kwh") / dried_t));
    assert!(close(at(shell, "/used_kwh_per_dried_t"), at(shell, "/used_kwh") / dried_t));
    let spared = at(shell, "/used_mj_per_kg_water") - at(shell, "/purchased_mj_per_kg_water");
    let water_kg = at(&told.figures, "/season/water_kg");
    assert!((spared / (burnt * 3.6 / water_kg) - 1.0).abs() < 1e-6, "{spared}");
    for quantile in ["lowest", "p50", "highest"] {
        let of = |key: &str| at(shell, &format!("/uncertainty/{key}_kwh/{quantile}"));
        assert!(close(of("own") + of("purchased"), of("used")));
    }
}

#[test]
fn what_the_own_supply_does_not_give_is_purchased() {
    let folder = with_shell("12", "0.01");
    let told = told(folder.path());
    let shell = option(&told.figures, "shell");
    assert_split(shell);
    let carrier = &shell["carriers"]["shell"];
    let kwh_per_t = at(carrier, "/kwh") / at(carrier, "/quantity");
    assert!(close(at(carrier, "/own_kwh"), at(carrier, "/own_quantity") * kwh_per_t));
    assert!(at(carrier, "/own_kwh") > 0.0 && at(carrier, "/purchased_kwh") > 0.0);
    let units = at(carrier, "/own_quantity") + at(carrier, "/purchased_quantity");
    assert!(close(units, at(carrier, "/quantity")));
    for name in ["electric", "gas"] {
        let other = option(&told.figures, name);
        assert_split(other);
        assert_eq!(at(other, "/own_kwh"), 0.0);
        assert_eq!(at(other, "/used_kwh"), at(other, "/purchased_kwh"));
    }
}

#[test]
fn a_heater_held_to_the_plants_own_fuel_purchases_none() {
    let folder = with_shell("12", "0.01");
    replace(folder.path(), "study.toml", "own_supply = { share_of_dried = 0.01, worth_otherwise = 15 }", "");
    replace(folder.path(), "study.toml", "minimum_load = 0.3", "minimum_load = 0.3\nown_supply_per_season = 0.4");
    let told = told(folder.path());
    let shell = option(&told.figures, "shell");
    assert_split(shell);
    let carrier = &shell["carriers"]["shell"];
    assert!(at(carrier, "/kwh") > 0.0);
    assert_eq!(at(carrier, "/own_kwh"), at(carrier, "/kwh"));
    assert!(at(carrier, "/own_quantity") <= 0.4 + 1e-9);
}

#[test]
fn page_and_terminal_keep_the_three_words_apart() {
    let folder = with_shell("12", "1.5");
    let mine = told(folder.path());
    for word in [">bought", "bought<", " bought ", " buys ", "Bought"] {
        assert!(!mine.page.contains(word), "the page says '{word}'");
    }
    assert!(!mine.terminal.contains("bought"), "{}", mine.terminal);
    let heads = |told: &Told| {
        let line = told.terminal.lines().find(|line| line.starts_with("option ")).expect("heads");
        line.split_whitespace().map(str::to_owned).collect::<Vec<_>>()
    };
    for word in ["used", "own", "purchased"] {
        assert!(heads(&mine).iter().any(|head| head == word), "no '{word}': {}", mine.terminal);
    }
    assert!(mine.page.contains("is what the plant’s own supply would have fetched, and "));
    for words in ["energy used", "of which own", "energy purchased", "plant’s own supply"] {
        assert!(mine.page.contains(words), "no '{words}' on the page");
    }

    // Where no plant has a supply of its own there is nothing to keep apart.
    let without = small();
    let plain = told(without.path());
    let plain_heads = heads(&plain);
    assert!(plain_heads.contains(&"purchased".to_owned()));
    assert!(!plain_heads.contains(&"own".to_owned()));
    assert!(!plain.page.contains("plant’s own") && !plain.page.contains("energy used"));
}

#[test]
fn no_two_columns_of_the_months_have_one_name() {
    let folder = with_shell("12", "0.01");
    let monthly = told(folder.path()).monthly;
    let heads: Vec<&str> = monthly.lines().next().expect("a heading").split(',').collect();
    for (place, head) in heads.iter().enumerate() {
        assert!(!heads[..place].contains(head), "two columns are named {head}");
    }
    for column in ["used_kwh", "own_kwh", "purchased_kwh", "shell_own_kwh"] {
        assert!(heads.contains(&column), "no {column} in {heads:?}");
    }
    assert!(monthly.lines().all(|line| line.split(',').count() == heads.len()));
}
