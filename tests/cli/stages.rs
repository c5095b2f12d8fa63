//! Stages of falling moisture, by the mean of a batch or by its wettest nuts.

use super::faults::{replace, small};
use super::once_through::once_through;
use crate::case::dryledger;
use std::fs;
use std::path::Path;

const STAGES: &str = "stages = [{ above_moisture = 14, temperature_c = 32 }, { temperature_c = 42 }]";

/// The small study with air that passes once, in two stages.
fn staged(more: &str) -> tempfile::TempDir {
    once_through(&format!("{STAGES}\n{more}"))
}

/// A column of batches.csv, rows that have it.
fn batches(folder: &Path, column: &str) -> Vec<f64> {
    let ran = dryledger(&["report", "study.toml", "--out", "out"]).in_folder(folder).run();
    ran.ends_well();
    let text = fs::read_to_string(folder.join("out/batches.csv")).expect("batches.csv");
    let mut rows = text.lines().map(|row| row.split(',').collect::<Vec<_>>());
    let heads = rows.next().expect("a heading");
    let place = heads.iter().position(|head| *head == column).expect("the column");
    rows.filter_map(|row| row[place].parse().ok()).collect()
}

#[test]
fn going_by_the_wettest_nuts_keeps_the_air_cooler_for_longer() {
    let mean = staged("");
    let wettest = staged("stages_by = \"wettest\"");
    let by_mean = batches(mean.path(), "hours_to_dry");
    let by_wettest = batches(wettest.path(), "hours_to_dry");
    assert!(by_mean.len() > 2 && by_mean.len() == by_wettest.len());
    for (mean, wettest) in by_mean.iter().zip(&by_wettest) {
        assert!(wettest > mean, "{wettest} h by the wettest, {mean} h");
    }
    // Fans that are never set back run as long as the batch is in its bin.
    let stay = batches(mean.path(), "hours_in_bin");
    assert_eq!(batches(mean.path(), "fan_hours"), stay);
}

#[test]
fn whose_moisture_counts_needs_stages_and_a_known_word() {
    let folder = small();
    replace(folder.path(), "study.toml", "temperature_c = 40.0", "temperature_c = 40.0\nstages_by = \"wettest\"");
    let told = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    told.refused(&["study.toml:35:", "stages_by", "no several stages"]);
    let told = dryledger(&["check", "study.toml"]).in_folder(staged("stages_by = \"driest\"").path()).run();
    told.refused(&["stages_by", "driest", "wettest"]);
}
