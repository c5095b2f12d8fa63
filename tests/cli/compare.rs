//! `dryledger compare`: studies and reports beside each other.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;

fn headline<'a>(found: &'a Value, option: Option<&str>, name: &str) -> &'a Value {
    let all = found["headlines"].as_array().expect("headlines");
    let is_it = |headline: &&Value| headline["option"].as_str() == option && headline["name"] == name;
    all.iter().find(is_it).unwrap_or_else(|| panic!("no {name} of {option:?}"))
}

/// A study, its finished report and itself with another value: the report is as the study, the value makes what
/// `report --set` makes of it.
#[test]
fn studies_and_reports_stand_beside_each_other() {
    let folder = small();
    let own = dryledger(&["report", "study.toml", "--json", "--out", "done"]).in_folder(folder.path()).run().json();
    let compare = |more: &[&str]| dryledger(&[&["compare"][..], more].concat()).in_folder(folder.path()).run();
    let same = compare(&["study.toml", "done", "done/figures.json", "--json"]).json();
    assert_eq!((&same["inputs"], &same["files"]), (&Value::Array(Vec::new()), &Value::Array(Vec::new())));
    for headline in same["headlines"].as_array().expect("headlines") {
        let values = headline["values"].as_array().expect("values");
        assert!(values.len() == 3 && values.iter().all(|value| *value == values[0]), "{headline}");
    }
    assert!(compare(&["study.toml", "done"]).stdout.contains("no headline differs"));

    let set = "carrier.electricity.price_factor=1.5";
    let found = compare(&["study.toml", "--set", set, "--json"]).json();
    let changed = dryledger(&["report", "study.toml", "--json", "--set", set]).in_folder(folder.path()).run().json();
    assert_eq!(found["inputs"][0]["path"], "carrier.electricity.price_factor");
    assert_eq!(found["inputs"][0]["values"], serde_json::json!([null, "1.5"]));
    for (place, name) in ["electric", "gas", "condensers in room", "condensers in intake"].into_iter().enumerate() {
        let bills = &headline(&found, Some(name), "bill")["values"];
        assert_eq!(bills[0], own["options"][place]["total_cost"]);
        assert_eq!(bills[1], changed["options"][place]["total_cost"]);
    }
    let said = compare(&["study.toml", "--set", set]).stdout;
    for words in [
        "A: A week of nuts (invented) (study.toml)",
        "B: A week of nuts (invented) (with carrier.electricity.price_factor=1.5)",
        "carrier.electricity.price_factor: - -> 1.5 times its prices",
        "\nelectric\n  A ",
        "+50.0 %",
    ] {
        assert!(said.contains(words), "no '{words}' in:\n{said}");
    }
    assert!(said.lines().count() < 24 && said.lines().all(|line| line.chars().count() <= 100), "{said}");
    let all = compare(&["study.toml", "--set", set, "--all"]).stdout;
    assert!(all.contains("option \"gas\"") && all.contains("heat through the envelope, MWh"), "{all}");
}

/// A heater that is too small costs less and leaves work undone.
#[test]
fn a_cheaper_plant_that_does_not_do_the_work_is_told_of() {
    let folder = small();
    let ran = dryledger(&["compare", "study.toml", "--set", "source.heaters.capacity_kw=10"]).in_folder(folder.path());
    let said = ran.run().stdout;
    let electric = said.split("\nelectric\n").nth(1).expect("the option");
    let lines: Vec<&str> = electric.lines().take(3).collect();
    assert!(lines[1].trim_start().starts_with("B ") && lines[2].contains("does not do the work"), "{said}");
}

#[test]
fn another_plant_and_another_option_are_told() {
    let folder = small();
    fs::copy(folder.path().join("study.toml"), folder.path().join("other.toml")).expect("a copy");
    replace(folder.path(), "other.toml", "envelope_ua_w_per_k = 120.0", "envelope_ua_w_per_k = 60.0");
    replace(folder.path(), "other.toml", "name = \"gas\"", "name = \"lpg\"");
    let found = dryledger(&["compare", "study.toml", "other.toml", "--json"]).in_folder(folder.path()).run().json();
    let need = &headline(&found, Some("electric"), "heat need")["values"];
    assert!(need[1].as_f64() < need[0].as_f64(), "{need}");
    assert!(headline(&found, Some("lpg"), "bill")["values"][0].is_null());
    let inputs = found["inputs"].as_array().expect("inputs");
    assert!(inputs.iter().any(|input| input["path"] == "room.room.envelope_ua_w_per_k"));
    // Each study is a file of its own name, so that none is the other's.
    assert_eq!(found["files"].as_array().expect("files").len(), 2);
    let mut names: Vec<_> =
        fs::read_dir(folder.path()).expect("a folder").map(|e| e.expect("one").file_name()).collect();
    names.sort();
    assert_eq!(names, ["intake.csv", "other.toml", "study.toml", "tariff.toml", "weather.csv"], "nothing is written");
}

#[test]
fn what_cannot_be_compared_says_what_to_do() {
    let folder = small();
    fs::write(folder.path().join("figures.json"), "{}").expect("written");
    let compare = |more: &[&str]| dryledger(&[&["compare"][..], more].concat()).in_folder(folder.path()).run();
    compare(&["study.toml"]).refused(&["nothing to compare it with", "--set PATH=VALUE"]);
    compare(&["study.toml", "study.toml", "--set", "crop.received_moisture=9"]).refused(&["name one study"]);
    compare(&["study.toml", "."]).refused(&["not the figures of a report", "name a study"]);
    compare(&["study.toml", "--set", "crop.recieved_moisture=9"]).refused(&["did you mean `received_moisture`?"]);
    assert_eq!(compare(&["study.toml", "nowhere.toml"]).code, 3);
}

/// Every input that differs and every headline stands on the page as it stands in the JSON; a page of somebody's own is
/// not written over.
#[test]
fn the_page_shows_every_input_and_every_headline() {
    let folder = small();
    let ask = |more: &[&str]| {
        let all = [&["compare", "study.toml", "--set", "crop.received_moisture=24"], more].concat();
        dryledger(&all).in_folder(folder.path()).run()
    };
    let found = ask(&["--json", "--html", "beside.html"]).json();
    let page = fs::read_to_string(folder.path().join("beside.html")).expect("a page");
    assert!(page.contains("crop.received_moisture: 20 → 24 % w.b."), "{page}");
    assert!(!page.contains("<script") && !page.contains("http"), "{page}");
    let headlines = found["headlines"].as_array().expect("headlines");
    assert!(headlines.len() > 50);
    for headline in headlines {
        let of = headline["option"].as_str().map_or("the study".to_owned(), |option| format!("“{option}”"));
        let table = page.split("<table>").find(|table| table.contains(&format!(">{of}</th>"))).expect("a table");
        let name = headline["name"].as_str().expect("a name");
        let row = table.split("<tr>").find(|row| row.contains(&format!("row\">{name}"))).expect("a row");
        for value in headline["values"].as_array().expect("values").iter().filter_map(Value::as_f64) {
            let decimals = usize::from(value.abs() < 1000.0);
            assert!(row.contains(&format!("<td>{value:.decimals$}</td>")), "{name} of {of}: {value} in {row}");
        }
    }
    fs::write(folder.path().join("mine.html"), "my own").expect("a file");
    let refused = ask(&["--html", "mine.html"]);
    assert_ne!(refused.code, 0);
    assert_eq!(fs::read_to_string(folder.path().join("mine.html")).expect("a file"), "my own");
}
