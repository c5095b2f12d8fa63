//! Nuts come in loads, a bin is begun with a sensible load, and what waits says for what. Through the binary,
//! on the small study.

use super::faults::{replace, small};
use crate::case::{dryledger, number_at};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use tempfile::TempDir;

/// A batch as `batches.csv` has it, by column.
pub(super) type Batch = BTreeMap<String, String>;

pub(super) fn study(changes: &[(&str, &str)]) -> TempDir {
    let folder = small();
    for (old, new) in changes {
        replace(folder.path(), "study.toml", old, new);
    }
    folder
}

/// The figures, and the batches of the first option.
pub(super) fn report(changes: &[(&str, &str)]) -> (Value, Vec<Batch>) {
    let folder = study(changes);
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    let batches = batches(folder.path());
    let first = batches[0]["option"].clone();
    (figures, batches.into_iter().filter(|batch| batch["option"] == first).collect())
}

fn batches(folder: &Path) -> Vec<Batch> {
    let mut rows = csv::Reader::from_path(folder.join("batches.csv")).expect("batches");
    rows.deserialize().collect::<Result<_, _>>().expect("rows")
}

pub(super) fn cell(batch: &Batch, column: &str) -> f64 {
    batch[column].parse().unwrap_or_else(|_| panic!("{column} is '{}'", batch[column]))
}

fn fired(figures: &Value, key: &str) -> bool {
    let guards = figures["season"]["guards"].as_array().expect("guards");
    guards.iter().any(|guard| guard["key"] == key)
}

/// Two weeks of a bell: a few kilograms a day at its ends, 2 t a day in the middle, into bins of 4 t.
const BELL: [(&str, &str); 3] = [
    ("ends = \"03-08\"", "ends = \"03-14\""),
    ("season_tonnes = 12.0", "season_tonnes = 16.0"),
    ("intake_shape = \"even\"", "intake_shape = \"bell\""),
];

#[test]
fn no_bin_is_begun_for_a_few_kilograms() {
    let (figures, batches) = report(&BELL);
    assert!(batches.len() > 3);
    for batch in &batches {
        let (received_kg, fill) = (cell(batch, "received_kg"), cell(batch, "fill"));
        assert!(received_kg > 4000.0 / 3.0, "{batch:?}");
        assert!((fill - received_kg / 4000.0).abs() < 1e-3, "{batch:?}");
        assert!(fill <= 1.05, "{batch:?}");
    }
    let received: f64 = batches.iter().map(|batch| cell(batch, "received_kg")).sum();
    assert!((received - 16_000.0).abs() < 1.0, "{received}");
    assert!(!fired(&figures, "waited-too-long"));
}

/// Twelve loads of 2 t where the default makes them so; a load of the whole season comes as one.
#[test]
fn the_intake_comes_in_loads_of_the_size_that_is_asked() {
    let (_, batches) = report(&[("season_tonnes = 12.0", "season_tonnes = 12.0\nload_tonnes = 4.0")]);
    assert_eq!(batches.len(), 3);
    assert!(batches.iter().all(|batch| (cell(batch, "received_kg") - 4000.0).abs() < 0.1));
    let beside = ("season_tonnes = 12.0\nintake_shape = \"even\"", "intake = \"intake.csv\"\nload_tonnes = 4.0");
    let folder = study(&[beside]);
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.refused(&["load_tonnes is given beside an intake file"]);
}

#[test]
fn a_handful_of_nuts_in_a_large_bin_is_dried_all_the_same() {
    let (figures, batches) = report(&[("season_tonnes = 12.0", "season_tonnes = 0.3")]);
    assert_eq!(batches.len(), 1);
    assert!((number_at(&figures, "/season/received_t") - 0.3).abs() < 1e-9);
    assert!(number_at(&figures, "/season/dried_t") > 0.25);
}

/// A least load far above what comes: nuts wait as long as they safely can, and no longer.
#[test]
fn nuts_never_wait_past_the_safe_wait_for_a_fuller_bin() {
    let patient = [
        ("temperature_c = 40.0", "temperature_c = 40.0\nleast_load_t = 4.0\nfill_within_hours = 200.0"),
        ("season_tonnes = 12.0", "season_tonnes = 6.0\nload_tonnes = 1.0"),
    ];
    let (figures, batches) = report(&patient);
    assert!(!fired(&figures, "waited-too-long"));
    assert!(batches.len() >= 3 && batches.iter().all(|batch| cell(batch, "fill") < 0.95));
    let folder = study(&patient);
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("macadamia waits safely for 24 h; a bin is begun by then"), "{said}");
}

/// With the defaults alone no crop's nuts wait longer than its own safe wait.
#[test]
fn no_crop_waits_too_long_by_the_defaults() {
    for crop in ["pistachio", "walnut", "hazelnut"] {
        let kind = format!("kind = \"{crop}\"");
        let (figures, _) = report(&[("kind = \"macadamia\"", &kind)]);
        assert!(!fired(&figures, "waited-too-long"), "{crop}");
    }
}

#[test]
fn waiting_for_a_bin_and_waiting_for_a_load_are_two_quantities() {
    let of = |figures: &Value| {
        let tonne_days = |what: &str| number_at(figures, &format!("/season/waiting_{what}tonne_days"));
        let (bin, load) = (tonne_days("for_bin_"), tonne_days("for_load_"));
        assert!((bin + load - tonne_days("")).abs() < 1e-9);
        (bin, load)
    };
    // Small loads into idle bins: all that waits does so for a fuller bin.
    let (figures, _) = report(&[("season_tonnes = 12.0", "season_tonnes = 6.0\nload_tonnes = 0.5")]);
    let (bin, load) = of(&figures);
    assert!(bin == 0.0 && load > 0.0, "{bin} {load}");
    // Far too many nuts: they wait for a bin.
    let (figures, _) = report(&[("season_tonnes = 12.0", "season_tonnes = 60.0")]);
    let (bin, load) = of(&figures);
    assert!(bin > 20.0 * load, "{bin} {load}");
}

#[test]
fn dried_tonnes_hold_the_crop_and_received_tonnes_do_not() {
    // 12 t at 20 % w.b. are 10.909 t at 12 %.
    let dried = ("season_tonnes = 12.0", "dried_tonnes = 10.909090909090908");
    let wetter = ("received_moisture = 20.0", "received_moisture = 26.0");
    let received_t = |changes: &[(&str, &str)]| number_at(&report(changes).0, "/season/received_t");
    assert!((received_t(&[dried]) - 12.0).abs() < 1e-9);
    assert!((received_t(&[dried, wetter]) - 12.0 * 0.80 / 0.74).abs() < 1e-9);
    assert!((received_t(&[wetter]) - 12.0).abs() < 1e-9);
    let folder = study(&[("season_tonnes = 12.0", "season_tonnes = 12.0\ndried_tonnes = 10.0")]);
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.refused(&["dried_tonnes is given beside season_tonnes"]);
}
