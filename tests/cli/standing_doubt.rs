//! The doubt that stands over every study that does not say otherwise.

use super::faults::{replace, small};
use crate::case::{Ran, dryledger};
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// The small study with these lines behind it.
fn with(lines: &str) -> TempDir {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("text") + lines;
    fs::write(path, text).expect("written");
    folder
}

fn ran(folder: &Path, more: &[&str]) -> Ran {
    let arguments = [&["report", "study.toml"][..], more].concat();
    dryledger(&arguments).unaltered().in_folder(folder).run()
}

fn figures(folder: &Path, more: &[&str]) -> Value {
    ran(folder, &[more, &["--json"][..]].concat()).json()
}

fn inputs(figures: &Value) -> Vec<&Value> {
    figures["uncertainty"]["inputs"].as_array().expect("inputs").iter().collect()
}

fn paths(figures: &Value) -> Vec<&str> {
    inputs(figures).into_iter().map(|input| input["path"].as_str().expect("a path")).collect()
}

/// Width between P10 and P90 of the bill of the baseline.
fn width(figures: &Value) -> f64 {
    let bill = &figures["options"][0]["uncertainty"]["total_cost"];
    bill["p90"].as_f64().expect("P90") - bill["p10"].as_f64().expect("P10")
}

/// The bill of the baseline, and what each input makes of it.
fn bill(figures: &Value) -> &Value {
    let all = figures["uncertainty"]["tornado"].as_array().expect("tornado");
    all.iter().find(|one| one["answer"] == "total_cost" && one["option"] == "electric").expect("the bill")
}

#[test]
fn a_study_that_says_nothing_has_its_doubt() {
    let folder = small();
    let said = ran(folder.path(), &["--samples", "12"]);
    said.ends_well();
    assert!(said.stdout.contains("over 12 draws of "), "{}", said.stdout);
    assert!(said.stdout.contains(" off that range"), "{}", said.stdout);
    // Nobody named the moisture, so nobody is told how to name it better.
    assert!(!said.stderr.contains("wetter nuts"), "{}", said.stderr);
    let text = fs::read_to_string(folder.path().join("figures.json")).expect("figures");
    let figures: Value = serde_json::from_str(&text).expect("JSON");
    let paths = paths(&figures);
    for path in [
        "crop.received_moisture",
        "crop.drying_rate",
        "room.room.envelope_ua_w_per_k",
        "room.room.bin_fan.duct_pressure_pa",
        "cool_store.units.cop",
        "source.gas heater.efficiency",
    ] {
        assert!(paths.contains(&path), "no {path} in {paths:?}");
    }
    // What is paid is agreed or it is not: only the study knows.
    assert!(paths.iter().all(|path| !path.contains("price") && !path.contains("capital")), "{paths:?}");
    for input in inputs(&figures) {
        assert_eq!(input["standing"], true);
        assert!(input["reason"].is_string() && input["cure"].is_string(), "{input}");
    }
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    for words in [
        "in doubt without the study naming them",
        "library’s range is 0.01 to 0.04",
        "What would narrow that range most",
    ] {
        assert!(page.contains(words) || page.contains(&words.replace('’', "&#39;")), "no '{words}'");
    }
}

#[test]
fn without_draws_there_is_no_doubt() {
    for folder in [with("[uncertainty]\nsamples = 0\n"), with("[uncertainty]\nsamples = 0\nstanding = false\n")] {
        assert!(figures(folder.path(), &[]).get("uncertainty").is_none());
    }
}

#[test]
fn the_study_takes_a_doubt_away_or_gives_its_own() {
    let folder = with(
        "[uncertainty]\nsamples = 3\n\"crop.received_moisture\" = \"known\"\n\
         \"crop.drying_rate\" = { uniform = { low = 0.019, high = 0.021 } }\n",
    );
    let figures = figures(folder.path(), &[]);
    let all = inputs(&figures);
    assert!(all.iter().all(|input| input["path"] != "crop.received_moisture"));
    let rates: Vec<_> = all.iter().filter(|input| input["path"] == "crop.drying_rate").collect();
    assert_eq!(rates.len(), 1);
    assert_eq!(rates[0]["standing"], false);
    assert_eq!(rates[0]["distribution"], "uniform, 0.019 to 0.021");
    for (line, words) in [
        ("\"crop.recieved_moisture\" = \"known\"", "did you mean \"crop.received_moisture\"?"),
        ("\"crop.received_moisture\" = \"knwon\"", "or \"known\""),
    ] {
        let folder = with(&format!("[uncertainty]\n{line}\n"));
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(&["study.toml:92:1:", words]);
    }
}

/// The share of the range that knowing an input is said to leave is what is left when it is known: two whole runs
/// that have nothing else in common but their draws.
#[test]
fn what_knowing_is_worth_is_what_it_brings() {
    let all = figures(with("").path(), &["--samples", "60"]);
    let first = &bill(&all)["inputs"][0];
    let path = first["input"].as_str().expect("a path");
    let left = first["range_left"].as_f64().expect("a share");
    assert!(left < 0.97, "{path} leaves {left}");
    let known = with(&format!("[uncertainty]\n\"{path}\" = \"known\"\n"));
    let found = width(&figures(known.path(), &["--samples", "60"])) / width(&all);
    // P10 and P90 of 60 draws stray by a tenth or so.
    assert!((found - left).abs() < 0.2, "{path}: {left} was said to be left, {found} is");
}

/// A value at the edge of what a study may be is not refused because a draw lies beyond.
#[test]
fn doubt_refuses_no_study() {
    let folder = small();
    replace(folder.path(), "study.toml", "relative_humidity_max = 40.0", "relative_humidity_max = 6.0");
    replace(folder.path(), "study.toml", "fresh_air_max_m3_per_s = 1.2", "bin_fan = { fan_efficiency = 1.0 }");
    let ran = ran(folder.path(), &["--samples", "8"]);
    ran.ends_well();
}
