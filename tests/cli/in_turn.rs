//! Draws that take the weather years in turn, and that end when they say no more.

use super::doubt::in_years;
use crate::case::dryledger;
use serde_json::Value;
use std::fmt::Write;
use std::fs;
use tempfile::TempDir;

const MOISTURE: &str = "\"crop.received_moisture\" = { normal = { mean = 20.0, sd = 1.0 } }";
const PRICE: &str = "\"carrier.lpg.price\" = { uniform = { low = 1.3, high = 1.4 } }";

/// What a report says of these draws in so many weather years, and its page.
fn drawn(years: u16, samples: u32, input: &str) -> (Value, String) {
    let folder: TempDir = in_years(years);
    let path = folder.path().join("study.toml");
    let mut text = fs::read_to_string(&path).expect("text");
    let _ = write!(text, "[uncertainty]\nsamples = {samples}\nstanding = false\n{input}\n");
    fs::write(path, text).expect("written");
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    (figures, fs::read_to_string(folder.path().join("report.html")).expect("a page"))
}

fn of(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// What moisture does to a season it does to a slightly warmer one, too.
#[test]
fn a_draw_goes_through_one_year_and_speaks_for_all() {
    let (figures, page) = drawn(3, 12, MOISTURE);
    let in_turn = &figures["uncertainty"]["in_turn"];
    assert_eq!(in_turn["held_draws"], 4);
    let apart = of(in_turn, "bill_apart_pct");
    assert!(apart > 0.0 && apart < 2.0, "{in_turn}");
    assert!(page.contains("weather years, which they take in turn"));
    for option in figures["options"].as_array().expect("options") {
        let present = &option["uncertainty"]["net_present_cost"];
        let own = of(&option["life_cycle"], "net_present_cost");
        assert!(of(present, "lowest") < own && own < of(present, "highest"), "{present} about {own}");
        assert!((of(present, "p50") / own - 1.0).abs() < 0.05, "{present} about {own}");
    }
}

/// One year needs no turn, and prices need no season: every year is at hand.
#[test]
fn nothing_is_taken_in_turn_where_nothing_is_run_anew() {
    for (years, input) in [(1, MOISTURE), (3, PRICE)] {
        let (figures, page) = drawn(years, 6, input);
        assert!(figures["uncertainty"]["in_turn"].is_null(), "{years} {input}");
        assert!(!page.contains("in turn"));
    }
}

#[test]
fn draws_end_when_they_say_no_more() {
    let (figures, page) = drawn(1, 70, PRICE);
    let sampled = &figures["uncertainty"];
    assert_eq!((&sampled["samples"], &sampled["most_samples"]), (&35.into(), &70.into()));
    assert!(page.contains("Up to 70 were to be made"));
    // Too few for two blocks are made all the same.
    let (figures, page) = drawn(1, 50, PRICE);
    assert_eq!(figures["uncertainty"]["samples"], 50);
    assert!(!page.contains("were to be made"));
}
