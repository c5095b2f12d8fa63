//! `dryledger crops`.

use crate::case::{dryledger, root};
use dryledger::crop;

fn names() -> Vec<&'static str> {
    crop::all().iter().map(crop::Crop::name).collect()
}

/// The README is the one place that lists them beside the library.
#[test]
fn the_readme_names_the_crops_of_the_library() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("the README");
    let (_, from) = readme.split_once("nuts (").expect("the nuts");
    let (listed, _) = from.split_once(')').expect("their end");
    let listed: Vec<&str> = listed.split(',').map(str::trim).collect();
    assert_eq!(listed, names());
}

#[test]
fn the_table_names_every_crop_and_marks_placeholders() {
    let ran = dryledger(&["crops"]).run();
    ran.ends_well();
    for crop in names() {
        assert!(ran.stdout.contains(crop), "no {crop} in:\n{}", ran.stdout);
    }
    let macadamia = ran.stdout.lines().find(|line| line.starts_with("macadamia")).expect("a line of macadamia");
    assert!(macadamia.contains("0.020*"), "{macadamia}");
    assert!(ran.stdout.contains("* marks a placeholder"));
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 100));
}

#[test]
fn one_crop_shows_every_value_with_its_origin() {
    let ran = dryledger(&["crops", "macadamia"]).run();
    ran.ends_well();
    for words in [
        "! thin-layer drying rate",
        "[drying_rate]",
        "PLACEHOLDER, not a measurement",
        "drying log",
        "common practice, no published source",
        "from memory, not verified",
        "modified-henderson",
        "hottest drying air above 10 % w.b.",
    ] {
        assert!(ran.stdout.contains(words), "no '{words}' in:\n{}", ran.stdout);
    }
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 100));
}

#[test]
fn json_carries_value_unit_status_and_source() {
    let crop = dryledger(&["crops", "macadamia", "--json"]).run().json();
    assert_eq!(crop["name"], "macadamia");
    assert_eq!(crop["drying_is_placeholder"], true);
    let rate = &crop["values"]["drying_rate"];
    assert_eq!(rate["value"], 0.02);
    assert_eq!(rate["unit"], "1/h");
    assert_eq!(rate["placeholder"], true);
    assert_eq!(crop["isotherm"]["coefficients"]["c"], 113.7452);
    assert_eq!(crop["limits"][0]["above_moisture_pct_wb"], 10.0);
    for (key, value) in crop["values"].as_object().expect("values") {
        assert!(value["value"].is_number(), "{key}");
        for text in ["unit", "status", "source"] {
            let text = value[text].as_str().expect("text");
            assert!(!text.is_empty(), "{key}");
        }
    }
    let all = dryledger(&["crops", "--json"]).run().json();
    assert_eq!(all["crops"].as_array().map(Vec::len), Some(names().len()));
}

#[test]
fn a_wrong_name_is_refused_with_the_nearest() {
    dryledger(&["crops", "macademia"]).run().refused(&["macademia", "did you mean 'macadamia'", "walnut"]);
    dryledger(&["crops", "", "--json"]).run().refused(&["no crop ''"]);
}
