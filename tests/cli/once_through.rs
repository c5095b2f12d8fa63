//! Once-through rooms: what they lose, stages that are not heated, fans that damp air stops; the mould guard
//! and the target's water activity in any room.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// The small study with air that passes once; `keys` stand for its temperature.
pub(super) fn once_through(keys: &str) -> tempfile::TempDir {
    let folder = small();
    let change = |old: &str, new: &str| replace(folder.path(), "study.toml", old, new);
    change("air = \"recirculating\"", "air = \"once-through\"");
    change("condensers = \"room\"", "condensers = \"fresh-air\"");
    for gone in [
        "relative_humidity_max = 40.0",
        "fresh_air_min_m3_per_s = 0.1",
        "fresh_air_max_m3_per_s = 1.2",
        "envelope_ua_w_per_k = 120.0",
    ] {
        change(gone, "");
    }
    change("temperature_c = 40.0", keys);
    folder
}

fn figures(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn of(value: &Value, pointer: &str) -> f64 {
    let found = value.pointer(pointer).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("no {pointer}"))
}

fn delivered_kwh(keys: &str) -> f64 {
    let figures = figures(once_through(keys).path());
    assert!(of(&figures, "/options/0/residuals/energy") < 1e-6);
    assert!(of(&figures, "/options/0/residuals/water") < 1e-6);
    of(&figures, "/options/0/heat_delivered_kwh")
}

#[test]
fn ducts_and_steel_take_heat() {
    let of_keys = |ua: f64, steel: f64| {
        delivered_kwh(&format!("temperature_c = 40.0\nenvelope_ua_w_per_k = {ua}\nsteel_kg = {steel}"))
    };
    let bare = of_keys(0.0, 0.0);
    let with_loss = of_keys(100.0, 0.0);
    let with_steel = of_keys(0.0, 12_000.0);
    assert!(with_loss > 1.01 * bare, "{bare} {with_loss}");
    assert!(with_steel > 1.005 * bare, "{bare} {with_steel}");
    // The default loses some: 12 W/K for each of 8 m² of bin floor.
    let by_default = delivered_kwh("temperature_c = 40.0\nsteel_kg = 0.0");
    let as_default = of_keys(96.0, 0.0);
    assert!((by_default / as_default - 1.0).abs() < 1e-9, "{by_default} {as_default}");
}

/// Unheated first, then hot: the first stage takes no heat, and the heading says so.
#[test]
fn a_stage_may_be_unheated() {
    let stages = "stages = [{ above_moisture = 17, heated = false }, { temperature_c = 40 }]";
    let staged = once_through(stages);
    let told = figures(staged.path());
    let hot = figures(once_through("temperature_c = 40.0").path());
    let heat = |figures: &Value| of(figures, "/options/0/heat_delivered_kwh");
    assert!(heat(&told) < heat(&hot), "{} {}", heat(&told), heat(&hot));
    assert!(of(&told, "/season/mean_drying_hours") > of(&hot, "/season/mean_drying_hours"));
    assert!(of(&told, "/options/0/residuals/energy") < 1e-6);
    assert_eq!(told.pointer("/season/rooms/0/stages/0/temperature_c"), None);
    assert_eq!(told.pointer("/season/rooms/0/stages/0/heated"), Some(&Value::Bool(false)));
    assert_eq!(of(&told, "/season/rooms/0/stages/1/temperature_c"), 40.0);
    assert_eq!(of(&told, "/study/air_temperature_c"), 40.0);
    let page = fs::read_to_string(staged.path().join("report.html")).expect("a page");
    assert!(page.contains("once-through at unheated/40"), "the heading tells all stages");
}

#[test]
fn unheated_air_that_comes_back_and_two_temperatures_are_refused() {
    let folder = small();
    replace(folder.path(), "study.toml", "temperature_c = 40.0", "heated = false");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("recirculates"), "{}", ran.stderr);
    let both = once_through("heated = false\ntemperature_c = 30.0");
    let ran = dryledger(&["check", "study.toml"]).in_folder(both.path()).run();
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("beside heated = false"), "{}", ran.stderr);
}

/// A target that outside air never reaches is refused, with the air that would do.
#[test]
fn a_target_beyond_unheated_air_is_refused() {
    let folder = once_through("heated = false");
    replace(folder.path(), "study.toml", "dried_moisture = 12.0", "dried_moisture = 3.0");
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 2);
    assert!(ran.stderr.contains("without heat never ends"), "{}", ran.stderr);
    assert!(ran.stderr.contains("would do"), "{}", ran.stderr);
}

#[test]
fn fans_stand_in_damp_air_and_the_hours_are_counted() {
    let stages = "stages = [{ above_moisture = 17, heated = false }, { temperature_c = 40 }]";
    let free = figures(once_through(stages).path());
    let stopped = figures(once_through(&format!("{stages}\nfans_off_above_rh = 60")).path());
    let damp = |figures: &Value| of(figures, "/season/rooms/0/damp_bin_hours");
    assert_eq!(damp(&free), 0.0);
    assert!(damp(&stopped) > 10.0, "{}", damp(&stopped));
    let fans = |figures: &Value| of(figures, "/season/rooms/0/fan_kwh");
    let hours = |figures: &Value| of(figures, "/season/mean_drying_hours");
    assert!(hours(&stopped) > hours(&free));
    assert!(fans(&stopped) < fans(&free), "{} {}", fans(&stopped), fans(&free));
    let ran = dryledger(&["check", "study.toml"]);
    let folder = small();
    replace(folder.path(), "study.toml", "temperature_c = 40.0", "fans_off_above_rh = 60");
    let ran = ran.in_folder(folder.path()).run();
    assert_eq!(ran.code, 2, "a room whose air comes back has no humidistat of its fans");
}

/// Slow air and quick mould: what is safe at more water grows less.
#[test]
fn the_water_activity_of_the_crop_matters_to_the_mould_guard() {
    let index = |activity: f64| {
        let folder = small();
        let to = "airflow_m3_per_s_per_tonne = 0.05\nmould_hours = 20.0";
        replace(folder.path(), "study.toml", "airflow_m3_per_s_per_tonne = 0.15", to);
        let of_crop = format!("mould_activity = {activity}");
        replace(folder.path(), "study.toml", "mould_activity = 0.95", &of_crop);
        let figures = figures(folder.path());
        let guards = figures["options"][0]["guards"].as_array().expect("guards").clone();
        let mould = guards.into_iter().find(|guard| guard["key"] == "mould-in-bin");
        mould.map_or(0.0, |guard| {
            assert_eq!(guard["limit"], 1.0);
            guard["hours"].as_f64().expect("hours")
        })
    };
    let (careful, bold) = (index(0.70), index(0.80));
    assert!(careful > 0.0 && bold < careful, "{careful} {bold}");
}

/// Nuts of 12 % w.b. are damp at 20 °C; those of 6 % are not.
#[test]
fn a_damp_target_is_remarked_by_check_and_in_the_answer() {
    let folder = small();
    replace(folder.path(), "study.toml", "mould_activity = 0.95", "");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    let said = format!("{}{}", ran.stdout, ran.stderr);
    assert!(said.contains("at which mould begins to grow"), "{said}");
    let told = figures(folder.path());
    assert!(of(&told, "/season/targets/0/target_water_activity") > 0.7);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(page.contains("The target itself is damp"));
    replace(folder.path(), "study.toml", "dried_moisture = 12.0", "dried_moisture = 7.0");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert!(!format!("{}{}", ran.stdout, ran.stderr).contains("mould begins to grow"));
}
