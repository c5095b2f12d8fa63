//! Logs with a slip in them: the doubt must stand before the constants are offered.

use crate::case::{data, dryledger};
use serde_json::Value;
use std::fs;

/// The doubts of a good log with its numbers changed: hours, moisture, °C and % of each row.
fn doubts(change: impl Fn([f64; 4]) -> [f64; 4]) -> Vec<String> {
    let text = fs::read_to_string(data("log").join("thin_38.csv")).expect("the log");
    let mut out = String::new();
    for line in text.lines() {
        let cells: Vec<f64> = line.split(',').filter_map(|cell| cell.parse().ok()).collect();
        match <[f64; 4]>::try_from(cells) {
            Ok(cells) => {
                let told = change(cells).map(|cell| format!("{cell:.4}"));
                out += &(told.join(",") + "\n");
            }
            Err(_) => out += &(line.to_owned() + "\n"),
        }
    }
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("batch.csv");
    fs::write(&path, out).expect("written");
    let ran = dryledger(&["log", &path.display().to_string(), "--json"]).run();
    let found = ran.json();
    let told = found["doubts"].as_array().into_iter().flatten();
    told.filter_map(Value::as_str).map(str::to_owned).collect()
}

fn has(told: &[String], code: &str) -> bool {
    told.iter().any(|doubt| doubt.ends_with(&format!("[{code}]")))
}

#[test]
fn a_good_log_raises_no_doubt() {
    // Of one temperature it cannot tell the activation energy, and says so; that is no slip.
    let told = doubts(|row| row);
    assert!(!told.iter().any(|doubt| doubt.ends_with(']')), "{told:?}");
}

#[test]
fn days_written_for_hours_are_seen() {
    let told = doubts(|[hours, moisture, air_c, pct]| [hours / 24.0, moisture, air_c, pct]);
    assert!(has(&told, "log.rate"), "{told:?}");
}

#[test]
fn steps_of_three_minutes_written_for_hours_are_seen() {
    let told = doubts(|[hours, moisture, air_c, pct]| [hours * 20.0, moisture, air_c, pct]);
    assert!(has(&told, "log.rate"), "{told:?}");
}

#[test]
fn humidity_as_a_fraction_is_seen() {
    let told = doubts(|[hours, moisture, air_c, pct]| [hours, moisture, air_c, pct / 100.0]);
    assert!(has(&told, "log.humidity"), "{told:?}");
}

#[test]
fn a_dead_thermometer_is_seen() {
    let told = doubts(|[hours, moisture, _, pct]| [hours, moisture, 0.0, pct]);
    assert!(has(&told, "log.air"), "{told:?}");
}

#[test]
fn exchanged_columns_are_seen() {
    let told = doubts(|[hours, moisture, air_c, pct]| [hours, moisture, pct, air_c]);
    assert!(has(&told, "log.columns"), "{told:?}");
}
