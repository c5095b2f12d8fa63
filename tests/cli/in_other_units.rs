//! A study in the units of another land gives the figures of its twin in SI, and says what was written.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// What stands in the small study; the same in US units; and what that is in SI, worked outside this project from
/// the exact factors of NIST SP 811 (foot 0.3048 m, pound 0.45359237 kg, Btu of the International Table
/// 1055.05585262 J, gallon 231 cubic inches, inch of water 249.0889 Pa).
const TWINS: [(&str, &str, &str); 20] = [
    ("altitude_m = 540", "\"1800 ft\"", "548.64"),
    ("received_moisture = 20.0", "\"20 %\"", "20.0"),
    ("season_tonnes = 12.0", "\"13 short tons\"", "11.79340162"),
    ("tonnes = 4.0", "\"9000 lb\"", "4.08233133"),
    ("floor_area_m2 = 4.0", "\"45 sq ft\"", "4.1806368"),
    ("airflow_m3_per_s_per_tonne = 0.15", "\"288 cfm per short ton\"", "0.1498271053827471"),
    ("temperature_c = 40.0", "\"104 F\"", "40.0"),
    ("fresh_air_min_m3_per_s = 0.1", "\"200 cfm\"", "0.09438948864"),
    ("fresh_air_max_m3_per_s = 1.2", "\"2500 cfm\"", "1.179868608"),
    ("envelope_ua_w_per_k = 120.0", "\"230 Btu/(h F)\"", "121.33142305129999"),
    ("temperature_c = 20.0", "\"68 °F\"", "20.0"),
    ("envelope_ua_w_per_k = 150.0", "\"280 Btu/h-F\"", "147.7078193667999"),
    ("volume_m3 = 200.0", "\"7000 ft3\"", "198.21792614400002"),
    ("stay_days = 3.0", "\"72 h\"", "3.0"),
    ("capacity_kw = 10.0, cop", "\"3 tons of refrigeration\"", "10.5505585262"),
    ("condenser_air_max_c = 46.0", "\"115 F\"", "46.111111111111114"),
    ("carbon_kg_per_kwh = 0.7", "\"1.5 lb/kWh\"", "0.680388555"),
    ("price = 1.35", "\"2.10 USD/gal\"", "0.5547613099521117"),
    ("capacity_kw = 30.0\ncapital = 5000.0", "\"100 kBtu/h\"", "29.307107017222222"),
    ("capacity_kw = 30.0\ncapital = 9000.0", "\"0.1 MMBtu/h\"", "29.307107017222222"),
];

pub(super) fn twin(of: impl Fn(&(&str, &'static str, &'static str)) -> &'static str) -> TempDir {
    let folder = small();
    replace(folder.path(), "study.toml", "unit = \"kg\"", "unit = \"L\"");
    for twin in &TWINS {
        let (key, rest) = twin.0.split_once(" = ").expect("a key and its value");
        let behind = rest.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
        replace(folder.path(), "study.toml", twin.0, &format!("{key} = {}{behind}", of(twin)));
    }
    folder
}

fn figures(folder: &Path) -> Value {
    let ran = dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run();
    ran.json()
}

/// Every number of one beside that of the other.
pub(super) fn same(path: &str, one: &Value, other: &Value, count: &mut usize) {
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => {
            let (one, other) = (one.as_f64().expect("finite"), other.as_f64().expect("finite"));
            let miss = (one - other).abs();
            // What is left of a difference of equals is noise.
            assert!(miss <= 1e-9 * one.abs().max(1e-3), "{path}: {one} and {other}");
            *count += 1;
        }
        (Value::Array(one), Value::Array(other)) => {
            assert_eq!(one.len(), other.len(), "{path}");
            for (at, (one, other)) in one.iter().zip(other).enumerate() {
                same(&format!("{path}.{at}"), one, other, count);
            }
        }
        (Value::Object(one), Value::Object(other)) => {
            assert!(one.keys().eq(other.keys()), "{path}");
            for (key, one) in one {
                same(&format!("{path}.{key}"), one, &other[key], count);
            }
        }
        (one, other) => assert_eq!(one, other, "{path}"),
    }
}

#[test]
fn a_study_in_us_units_gives_the_figures_of_its_twin() {
    let (us, si) = (twin(|twin| twin.1), twin(|twin| twin.2));
    replace(us.path(), "tariff.toml", "price = 0.21", "price = \"21 ct/kWh\"");
    replace(us.path(), "tariff.toml", "fixed_per_month = 20.0", "fixed_per_month = \"$240/yr\"");
    let (us_figures, si_figures) = (figures(us.path()), figures(si.path()));
    // Inputs have other digests, and assumptions are compared below.
    let without = |figures: &Value| {
        let mut figures = figures.as_object().expect("an object").clone();
        figures.remove("inputs");
        figures.remove("assumptions");
        Value::Object(figures)
    };
    let mut count = 0;
    same("", &without(&us_figures), &without(&si_figures), &mut count);
    assert!(count > 1000, "{count} numbers were compared");

    let assumed = |path: &str| {
        let all = us_figures["assumptions"].as_array().expect("a list");
        all.iter().find(|one| one["path"] == path).unwrap_or_else(|| panic!("no {path}")).clone()
    };
    let price = assumed("carrier.lpg.price");
    assert_eq!((&price["written"], &price["unit"]), (&"2.10 USD/gal".into(), &"money/L".into()));
    assert!(si_figures["assumptions"].as_array().expect("a list").iter().all(|one| one.get("written").is_none()));
    let page = fs::read_to_string(us.path().join("report.html")).expect("the page");
    assert!(page.contains("40 °C (written 104 F)") && page.contains("(written 2.10 USD/gal)"));
}

#[test]
fn air_for_a_volume_of_nuts_is_taken_at_their_bulk_density() {
    let folder = small();
    let by_volume = "airflow_m3_per_s_per_tonne = \"5 cfm/ft3\"";
    replace(folder.path(), "study.toml", "airflow_m3_per_s_per_tonne = 0.15", by_volume);
    let figures = figures(folder.path());
    let assumed = figures["assumptions"].as_array().expect("a list");
    let airflow =
        assumed.iter().find(|one| one["path"] == "room.room.airflow_m3_per_s_per_tonne").expect("the airflow");
    let written = airflow["written"].as_str().expect("text");
    let (said, density) = written.split_once(", at ").expect("a density");
    assert_eq!(said, "5 cfm/ft3");
    let density: f64 = density.trim_end_matches(" kg/m³").parse().expect("a number");
    // 5 volumes a minute through a tonne of so much volume.
    let value: f64 = airflow["value"].as_str().expect("text").parse().expect("a number");
    assert!((value * density / 1000.0 * 60.0 - 5.0).abs() < 0.01, "{value} at {density}");
}

#[test]
fn what_does_not_fit_is_refused_with_what_does() {
    for (from, to, words) in [
        ("temperature_c = 40.0", "temperature_c = \"40 psi\"", &["is not measured in °C", "°C, °F, K"][..]),
        ("season_tonnes = 12.0", "season_tonnes = \"12 tons\"", &["a short ton (2000 lb)", "say which"]),
        ("volume_m3 = 200.0", "volume_m3 = \"7,000 ft3\"", &["thousands have no mark"]),
        ("price = 1.35", "price = \"1.35 GBP/kg\"", &["prices of this study are in USD", "USD/lb"]),
        ("count = 1, capacity", "count = \"1\", capacity", &["count is the text", "a whole number"]),
    ] {
        let folder = small();
        replace(folder.path(), "study.toml", from, to);
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(words);
    }
}
