//! Guards by the words that people use: on the page and on the terminal, whose readers know no keys. Programs get both.

use super::faults::small;
use crate::case::dryledger;
use serde_json::Value;
use std::fs;

/// Six times the nuts in the same two bins: nuts wait, and some are never dried.
const GROWTH: &str = "\n[[phase]]\nname = \"six times, nothing built\"\nintake_factor = 6.0\n\n[money]\n";

const KEYS: [&str; 10] = [
    "waited-too-long",
    "mould-in-bin",
    "hot-when-wet",
    "heat-short",
    "room-too-humid",
    "fan-stalled",
    "fan-throttled",
    "cooling-unmet",
    "units-tripped",
    "unfinished",
];

#[test]
fn growth_and_sizes_tell_guards_in_words() {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("the study");
    fs::write(&path, text.replace("\n[money]\n", GROWTH)).expect("written");
    let report = ["report", "study.toml", "--json"];
    let figures = dryledger(&report).in_folder(folder.path()).run().json();
    let phases = figures["phases"].as_array().expect("phases");
    let crowded = phases.iter().find(|phase| phase["name"] == "six times, nothing built");
    let guards = crowded.expect("the phase")["guards"].as_array().expect("guards");
    let keys: Vec<&str> = guards.iter().filter_map(|guard| guard["key"].as_str()).collect();
    assert!(keys.contains(&"waited-too-long"), "{keys:?}");
    assert!(keys.iter().all(|key| KEYS.contains(key)), "{keys:?}");
    let names: Vec<&str> = guards.iter().filter_map(|guard| guard["name"].as_str()).collect();
    assert_eq!(names.len(), keys.len());
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(page.contains(&names.join(", ")), "{names:?}");
    let plain = dryledger(&report[..2]).in_folder(folder.path()).run();
    let growth =
        plain.stdout.lines().find(|line| line.starts_with("growth, six times, nothing built, \"electric\": $"));
    let growth = growth.unwrap_or_else(|| panic!("no growth in {}", plain.stdout));
    assert!(growth.ends_with(&format!("; guards: {}", names.join(", "))), "{growth}");
    assert!(!plain.stdout.contains("growth, as it stands"), "{}", plain.stdout);
    let sizes = ["size", "study.toml", "--waiting-days", "0.5"];
    let sized = dryledger(&sizes).in_folder(folder.path()).run();
    sized.ends_well();
    assert!(sized.stdout.contains(&names.join(", ")), "{}", sized.stdout);
    for said in [&page, &sized.stdout] {
        for key in KEYS.iter().filter(|key| key.contains('-')) {
            assert!(!said.contains(key), "{key}");
        }
    }
    let sized: Value = dryledger(&[&sizes[..], &["--json"]].concat()).in_folder(folder.path()).run().json();
    assert!(sized["phases"].to_string().contains("waited-too-long"));
}
