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

#[test]
fn moisture_of_the_dry_mass_is_seen_where_it_is_wetter_than_such_nuts_come() {
    // Of the wet mass these nuts begin with 28 %, as the library knows them; of the dry mass that reads 39.
    let wetter = |pct: f64| 28.0 / 22.32 * pct;
    let told = doubts(|[hours, pct, air_c, rh]| [hours, wetter(pct), air_c, rh]);
    assert!(!has(&told, "log.moisture"), "{told:?}");
    let told = doubts(|[hours, pct, air_c, rh]| [hours, 100.0 * wetter(pct) / (100.0 - wetter(pct)), air_c, rh]);
    assert!(has(&told, "log.moisture"), "{told:?}");
}

#[test]
fn a_batch_copied_under_another_air_is_seen() {
    let text = fs::read_to_string(data("log").join("thin_38.csv")).expect("the log");
    let folder = tempfile::tempdir().expect("a folder");
    let (one, other) = (folder.path().join("one.csv"), folder.path().join("other.csv"));
    fs::write(&one, &text).expect("written");
    fs::write(&other, text.replace(",38,25", ",50,14")).expect("written");
    let logs = [one.display().to_string(), other.display().to_string()];
    let ran = dryledger(&["log", &logs[0], &logs[1], "--json"]).run();
    let found = ran.json();
    let told = found["doubts"].as_array().expect("doubts");
    assert!(told.iter().any(|doubt| doubt.as_str().is_some_and(|doubt| doubt.ends_with("[log.copied]"))), "{told:?}");
    // Two batches of the same nuts are no copies.
    let both =
        [data("log").join("thin_38.csv"), data("log").join("thin_50.csv")].map(|path| path.display().to_string());
    let found = dryledger(&["log", &both[0], &both[1], "--json"]).run().json();
    assert!(!found["doubts"].to_string().contains("log.copied"), "{}", found["doubts"]);
}

#[test]
fn air_in_fahrenheit_is_seen() {
    let told = doubts(|[hours, moisture, air_c, pct]| [hours, moisture, air_c * 1.8 + 24.0, pct]);
    assert!(has(&told, "log.air"), "{told:?}");
}
