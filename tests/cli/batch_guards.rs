//! What guards saw of each batch stands in `batches.csv`, and adds up to what they counted.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::collections::HashMap;
use std::path::Path;

/// The batches of an option, by column.
fn batches(folder: &Path, option: &str) -> Vec<HashMap<String, String>> {
    let mut rows = csv::Reader::from_path(folder.join("batches.csv")).expect("batches");
    let rows = rows.deserialize().map(|row| row.expect("a row"));
    rows.filter(|row: &HashMap<String, String>| row["option"] == option).collect()
}

fn column(batches: &[HashMap<String, String>], name: &str) -> Vec<f64> {
    let cell = |row: &HashMap<String, String>| row[name].parse().expect(name);
    batches.iter().map(cell).collect()
}

fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

/// A guard of an option of the report.
fn guard<'a>(figures: &'a Value, option: &str, key: &str) -> Option<&'a Value> {
    let options = figures["options"].as_array().expect("options");
    let option = options.iter().find(|one| one["name"] == option).expect(option);
    option["guards"].as_array().expect("guards").iter().find(|guard| guard["key"] == key)
}

fn hours(guard: &Value) -> f64 {
    guard["hours"].as_f64().expect("hours")
}

/// Little air over damp nuts that mould likes: the batches' hours are the guard's, and its worst is the worst index
/// of any of them.
#[test]
fn hours_of_mould_of_the_batches_add_up_to_the_guards() {
    let folder = small();
    let path = folder.path();
    let slow = "airflow_m3_per_s_per_tonne = 0.05\nmould_hours = 1.0";
    replace(path, "study.toml", "airflow_m3_per_s_per_tonne = 0.15", slow);
    let figures = report(path);
    let fired = guard(&figures, "electric", "mould-in-bin").expect("the mould guard");
    let batches = batches(path, "electric");
    let seen = column(&batches, "mould_seen_hours");
    assert!((seen.iter().sum::<f64>() - hours(fired)).abs() < 0.1, "{seen:?} of {fired}");
    for ((index, growing), seen) in
        column(&batches, "mould_index").into_iter().zip(column(&batches, "mould_growing_hours")).zip(seen)
    {
        assert!(index >= 0.0 && (index > 0.0) <= (growing > 0.0), "{index} in {growing} h");
        // What was past the limit was so after growing to it.
        assert!(seen == 0.0 || growing > 0.0);
    }
}

/// A limit that the room's air passes while nuts are wet: hours by batch are the guard's.
#[test]
fn hours_of_hot_air_of_the_batches_add_up_to_the_guards() {
    let folder = small();
    let path = folder.path();
    replace(path, "study.toml", "temperature_c = 40.0", "temperature_c = 36.0");
    let figures = report(path);
    assert!(guard(&figures, "electric", "hot-when-wet").is_none());
    assert_eq!(column(&batches(path, "electric"), "hot_air_hours").iter().sum::<f64>(), 0.0);
    replace(path, "study.toml", "temperature_c = 36.0", "temperature_c = 52.0");
    let figures = report(path);
    let fired = guard(&figures, "electric", "hot-when-wet").expect("the guard of hot air");
    let hot = column(&batches(path, "electric"), "hot_air_hours");
    assert!((hot.iter().sum::<f64>() - hours(fired)).abs() < 0.1, "{hot:?} of {fired}");
    assert!(hot.iter().all(|hours| *hours > 0.0), "every batch meets it: {hot:?}");
}

/// Too many nuts for two bins: the longest that first nuts of any batch waited too long is within the guard's
/// hours, and most of the batches waited.
#[test]
fn batches_that_waited_too_long_say_for_how_long() {
    let folder = small();
    let path = folder.path();
    let figures = report(path);
    assert!(guard(&figures, "electric", "waited-too-long").is_none());
    assert!(column(&batches(path, "electric"), "late_hours").iter().all(|hours| *hours == 0.0));
    replace(path, "study.toml", "season_tonnes = 12.0", "season_tonnes = 60.0");
    let figures = report(path);
    let fired = guard(&figures, "electric", "waited-too-long").expect("the waiting guard");
    let late = column(&batches(path, "electric"), "late_hours");
    let longest = late.iter().copied().fold(0.0, f64::max);
    assert!(longest > 0.0 && longest <= hours(fired), "{longest} of {fired}");
    // First come, first dried: who was loaded first waited least.
    assert_eq!(late[0], 0.0, "{late:?}");
}
