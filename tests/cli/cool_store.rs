//! The cool store through the binary: nuts that drift to what its air asks for, doors that stand open.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;

/// The figures of the small study with this in place of the store's humidity and volume.
fn with(humidity: &str, more: &str) -> Value {
    let folder = small();
    replace(
        folder.path(),
        "study.toml",
        "relative_humidity = [45.0, 55.0]",
        &format!("relative_humidity = {humidity}\n{more}"),
    );
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json()
}

fn season(figures: &Value, key: &str) -> f64 {
    figures["season"][key].as_f64().unwrap_or_else(|| panic!("no {key}"))
}

#[test]
fn nuts_lose_weight_in_a_dry_store_and_gain_it_in_a_damp_one() {
    let quick = "nuts_moisture_time_constant_d = 3.0";
    let dry = with("[25.0, 30.0]", quick);
    let damp = with("[92.0, 95.0]", quick);
    assert!(season(&dry, "stored_nuts_lost_kg") > 20.0);
    assert!(season(&damp, "stored_nuts_lost_kg") < -20.0);
    let reached = |figures: &Value| season(figures, "stored_moisture_reached_pct_wb");
    let came = |figures: &Value| season(figures, "dried_moisture_reached_pct_wb");
    assert!(reached(&dry) < came(&dry) && reached(&damp) > came(&damp));
    // Weight is water: dry matter in is dry matter out.
    for figures in [&dry, &damp] {
        let dried_kg = season(figures, "dried_t") * 1000.0;
        let dry_kg = dried_kg * (1.0 - came(figures) / 100.0);
        let left_kg = dried_kg - season(figures, "stored_nuts_lost_kg");
        let found = (1.0 - dry_kg / left_kg) * 100.0;
        assert!((found - reached(figures)).abs() < 1e-6, "{found}");
    }
    let slow = with("[25.0, 30.0]", "nuts_moisture_time_constant_d = 300.0");
    let lost = |figures: &Value| season(figures, "stored_nuts_lost_kg");
    assert!(lost(&slow) < 0.1 * lost(&dry));
}

#[test]
fn doors_that_stand_open_cost_cooling_and_curtains_spare_it() {
    let cooling = |doors: &str| {
        let figures = with("[45.0, 55.0]", &format!("air_changes_per_hour = 0.1\n{doors}"));
        let option = &figures["options"][0];
        option["store_cooling_kwh"].as_f64().expect("kWh")
    };
    let door = |minutes: u32, curtain: &str| {
        cooling(&format!(
            "doors = {{ area_m2 = 6, height_m = 2.5, open_minutes_per_day = {minutes}, curtain = \"{curtain}\" }}"
        ))
    };
    let (shut, open, strips) = (cooling(""), door(120, "none"), door(120, "strips"));
    assert!(open > 1.05 * shut, "{open} {shut}");
    assert!(strips < open && strips > shut);
    assert!((door(0, "none") - shut).abs() < 1e-9 * shut);
}

#[test]
fn check_names_what_stored_nuts_rest_on() {
    let ran = dryledger(&["check", "study.toml"]).in_folder(small().path()).run();
    assert!(ran.stdout.contains("nuts_moisture_time_constant_d = 30 d"), "{}", ran.stdout);
    assert!(ran.stdout.contains("take weeks"));
}
