//! Cooling units that the weather would trip: told by `check`, before any season is run.

use super::faults::{replace, small};
use crate::case::dryledger;
use std::fs;
use std::path::Path;

/// The hottest hour of the small study's season, °C: 3 March, 14:00 in its weather.
const HOTTEST_C: f64 = 29.5;
/// What comes back to the condensers in the intake, K.
const SHORT_CIRCUIT_K: f64 = 1.0;

/// What `check` warns of for the option whose condensers stand in the intake, with units of this limit.
fn doubts(folder: &Path) -> Vec<String> {
    let json = dryledger(&["check", "study.toml", "--json"]).in_folder(folder).run().json();
    let warnings = json["warnings"].as_array().expect("warnings");
    let told = warnings.iter().filter(|warning| warning["code"] == "store.condenser_air");
    told.map(|warning| format!("{}; {}", warning["what"], warning["cure"]).replace('\\', ""))
        .filter(|said| said.contains("\"condensers in intake\""))
        .collect()
}

fn with(limit_c: f64, place: &str) -> tempfile::TempDir {
    let folder = small();
    let (study, limit) = ("study.toml", format!("condenser_air_max_c = {limit_c:.1}"));
    replace(folder.path(), study, "condenser_air_max_c = 46.0", &limit);
    let stands = format!("{place}\ncondenser_short_circuit_k = {SHORT_CIRCUIT_K:.1}");
    replace(folder.path(), study, "condensers = \"fresh-air\"", &stands);
    folder
}

#[test]
fn the_weather_is_as_hot_as_these_tests_take_it_to_be() {
    let text = fs::read_to_string(small().path().join("weather.csv")).expect("weather");
    let dry_bulb = |row: &str| row.split(',').nth(1).and_then(|cell| cell.parse::<f64>().ok());
    let hours = text.lines().filter(|row| ("2031-03-02".."2031-03-09").contains(row));
    assert_eq!(hours.filter_map(dry_bulb).reduce(f64::max), Some(HOTTEST_C));
}

/// The hottest hour of the season, with what comes back to the condensers, decides: a tenth of a kelvin
/// below it the units trip, at it they run.
#[test]
fn condensers_in_an_intake_are_held_against_the_hottest_hour() {
    let reached_c = HOTTEST_C + SHORT_CIRCUIT_K;
    let fresh_air = "condensers = \"fresh-air\"";
    let said = doubts(with(reached_c - 0.1, fresh_air).path());
    assert_eq!(said.len(), 1, "{said:?}");
    for words in [
        "air of up to 30.5 °C reaches the condensers",
        "condenser_short_circuit_k is 1",
        "its cooling units trip and the store goes without",
        "use cooling units made for hotter air",
    ] {
        assert!(said[0].contains(words), "no {words} in {said:?}");
    }
    assert!(!said[0].contains("set the room cooler"), "{said:?}");
    assert!(doubts(with(reached_c, fresh_air).path()).is_empty());
}

/// A damper turns such condensers outdoors: the store is kept, and nothing is recovered.
#[test]
fn a_damper_in_the_intake_turns_them_outdoors_then() {
    let reached_c = HOTTEST_C + SHORT_CIRCUIT_K;
    let switched = "condensers = { place = \"switched\", to = \"fresh-air\" }";
    let said = doubts(with(reached_c - 0.1, switched).path());
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(said[0].contains("its damper turns them outdoors then, and nothing is recovered"));
    assert!(doubts(with(reached_c, switched).path()).is_empty());
}
