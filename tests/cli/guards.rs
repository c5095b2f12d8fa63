//! Guards in words, through the binary: like units, what several options have apart, no sign before nothing.

use super::biomass::with_shell;
use super::faults::{replace, small};
use crate::case::{Ran, dryledger};
use serde_json::Value;
use std::fs;
use std::path::Path;

const ROOM_C: &str = "temperature_c = 40.0\nrelative_humidity_max";

fn report(folder: &Path) -> (Value, Ran) {
    let ran = dryledger(&["report", "study.toml", "--strict"]).in_folder(folder).run();
    let text = fs::read_to_string(folder.join("figures.json")).expect("figures");
    (serde_json::from_str(&text).expect("JSON"), ran)
}

/// The guard of this key in every option in which it fired.
fn fired<'f>(figures: &'f Value, key: &str) -> Vec<&'f Value> {
    let options = figures["options"].as_array().expect("options");
    let guards = options.iter().flat_map(|option| option["guards"].as_array().expect("guards"));
    guards.filter(|guard| guard["key"] == key).collect()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// From the mildest of these guards to the worst.
fn range(guards: &[&Value]) -> (f64, f64) {
    let worst = guards.iter().map(|guard| number(guard, "worst"));
    (worst.clone().fold(f64::INFINITY, f64::min), worst.fold(0.0, f64::max))
}

/// One option is short by a kilowatt and another by twenty: both are told, wherever they stand as a group.
#[test]
fn a_group_of_options_tells_the_mildest_and_the_worst() {
    let folder = small();
    let gas = "carrier = \"lpg\"\ncapacity_kw = ";
    replace(folder.path(), "study.toml", &format!("{gas}30.0"), &format!("{gas}10.0"));
    let (figures, ran) = report(folder.path());
    let short = fired(&figures, "heat-short");
    assert_eq!(short.len(), 4);
    let (mildest, worst) = range(&short);
    assert!(mildest > 0.0 && worst > 10.0 * mildest, "{mildest} {worst}");
    let range = format!("{mildest:.1} to {worst:.1} kW");
    for (said, words) in [
        (&ran.stderr, format!("all options: heat-short ({range}; at most 0.0 kW)")),
        (&ran.stdout, format!("guard, all options ({range}), at worst \"gas\": The sources")),
    ] {
        assert!(said.contains(&words), "no {words} in {said}");
    }
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    let words = format!("In every option ({range}), at worst with “gas”: The sources");
    assert!(page.contains(&words), "no {words}");
    // What is the same in all of them has no range.
    assert!(ran.stderr.contains("all options: hot-when-wet (0.7 K above 40.0 °C)"), "{}", ran.stderr);
}

/// Twelve tonnes for one bin of four: the longest wait stands against the longest that is safe, both in hours,
/// and the tonnes beside it.
#[test]
fn nuts_that_wait_too_long_are_told_in_hours_and_tonnes() {
    let folder = small();
    replace(folder.path(), "study.toml", "count = 2, tonnes = 4.0", "count = 1, tonnes = 4.0");
    let (figures, ran) = report(folder.path());
    let late = fired(&figures, "waited-too-long");
    assert!(!late.is_empty());
    for guard in &late {
        assert_eq!((&guard["worst_unit"], &guard["limit_unit"]), (&"h".into(), &"h".into()));
        let (worst, limit) = (number(guard, "worst"), number(guard, "limit"));
        assert!(worst > limit && limit == 24.0, "{guard}");
        let most_t = number(guard, "most_t");
        assert!((0.5..12.0).contains(&most_t), "{guard}");
        let sentence = guard["sentence"].as_str().expect("a sentence");
        assert!(sentence.contains(&format!("the longest {worst:.0} h (")), "{sentence}");
        assert!(sentence.contains(&format!("at most {most_t:.1} t at once")), "{sentence}");
    }
    let worst = range(&late).1;
    let words = format!("{worst:.1} h; at most 24.0 h)");
    assert!(ran.stderr.contains(&words), "no {words} in {}", ran.stderr);
    // Of no other guard are tonnes told.
    assert!(fired(&figures, "hot-when-wet").iter().all(|guard| guard["most_t"].is_null()));
}

/// Nuts that wait wet for the one bin bring mould into it: it stands on batches that waited, and not on the first.
#[test]
fn mould_of_the_heap_is_told_of_the_batch_that_waited() {
    let folder = small();
    replace(folder.path(), "study.toml", "mould_activity = 0.95\n", "mould_activity = 0.8\n");
    let bins = "count = 1, tonnes = 2.0, floor_area_m2 = 4.0 }]\nmould_hours = 60.0";
    let two = "count = 2, tonnes = 4.0, floor_area_m2 = 4.0 }]";
    replace(folder.path(), "study.toml", two, bins);
    let (figures, _) = report(folder.path());
    let guard = fired(&figures, "mould-in-bin")[0];
    let sentence = guard["sentence"].as_str().expect("a sentence");
    let batch = sentence.split_once("(batch ").and_then(|(_, rest)| rest.split_once(' '));
    let batch: usize = batch.expect("a batch").0.parse().expect("its number");
    assert!(batch > 1, "{sentence}");
    assert!(number(guard, "worst") > 1.0);
}

/// What left a hair drier than its target is not said to have lost nothing.
#[test]
fn a_loss_that_would_read_as_nothing_is_less_than_what_is_shown() {
    let folder = small();
    let exact = "temperature_c = 40.0\ncooling_hours = 0.0\nmoisture_spread = 9.0\nrelative_humidity_max";
    replace(folder.path(), "study.toml", ROOM_C, exact);
    let (figures, _) = report(folder.path());
    let overdried = &figures["season"]["overdried"];
    let (kg, pct) = (number(overdried, "kg"), number(overdried, "pct_of_dried"));
    assert!(kg > 0.0 && kg < 0.5 && pct < 0.005, "{overdried}");
    let sentence = overdried["sentence"].as_str().expect("a sentence").replace('\u{a0}', " ");
    assert!(sentence.contains("lost less than 1 kg of water"), "{sentence}");
    assert!(sentence.contains("less than 0.01 % of the dried mass"), "{sentence}");
}

/// Numbers that are nothing with a sign.
fn signed_nothings(text: &str) -> Vec<&str> {
    let words = text.split(|c: char| c.is_whitespace() || ",:;()[]{}<>\"".contains(c));
    words.filter(|word| word.parse::<f64>().is_ok_and(|it| it == 0.0 && word.starts_with('-'))).collect()
}

/// A plant with a supply of its own, beside options that have none.
#[test]
fn nothing_has_no_minus_anywhere() {
    let folder = with_shell("12", "0.3");
    let ran = dryledger(&["report", "study.toml", "--hourly"]).in_folder(folder.path()).run();
    ran.ends_well();
    assert!(ran.stdout.contains(" own "), "{}", ran.stdout);
    assert_eq!(signed_nothings("a -0.0,-0;0.0 -0.1 -"), ["-0.0", "-0"]);
    assert_eq!(signed_nothings(&ran.stdout), [""; 0], "{}", ran.stdout);
    for file in ["figures.json", "monthly.csv", "batches.csv", "hourly.csv", "hourly_rooms.csv"] {
        let text = fs::read_to_string(folder.path().join(file)).expect(file);
        assert_eq!(signed_nothings(&text), [""; 0], "{file}");
    }
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(!page.contains("\u{2212}0 ") && !page.contains("\u{2212}0.0<"));
}

/// A store whose units are too weak wherever their condensers stand stops no ranking; how warm it grew is told.
#[test]
fn a_weak_store_says_how_warm_it_grew() {
    let folder = small();
    let (from, to) = ("count = 1, capacity_kw = 10.0", "count = 1, capacity_kw = 0.3");
    replace(folder.path(), "study.toml", from, to);
    let (figures, ran) = report(folder.path());
    assert_eq!(fired(&figures, "cooling-unmet").len(), 4);
    let line = ran.stdout.lines().find(|line| line.contains("asked for more cooling"));
    let line = line.expect("the guard");
    assert!(line.contains(" K warmer than set, ") && line.contains("kelvin-hours"), "{line}");
    assert!(!line.contains("up to 0.0 K"), "{line}");
}
