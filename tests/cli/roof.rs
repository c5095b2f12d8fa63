//! A roof as a study gives it: twice the area adds heat, and a rated line is not the collector's own.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::path::Path;

fn roof_kwh(keys: &str) -> f64 {
    let folder = small();
    give_roof(folder.path(), keys);
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    let options = figures["options"].as_array().expect("options");
    let roofed = options.iter().find(|option| option["name"] == "roof").expect("the option");
    let is_roof = |source: &&Value| source["name"] == "roof";
    let source = roofed["sources"].as_array().expect("sources").iter().find(is_roof);
    source.expect("the roof")["heat_kwh"].as_f64().expect("its heat")
}

fn give_roof(folder: &Path, keys: &str) {
    let roof = format!(
        "[[source]]\nname = \"roof\"\nkind = \"collector\"\nazimuth_deg = 0\ncapacity_kw = 100.0\n{keys}\n\n\
         [[option]]\nname = \"roof\"\nsources = [\"roof\", \"heaters\"]\n\n[money]"
    );
    replace(folder, "study.toml", "[money]", &roof);
}

#[test]
fn twice_the_area_adds_heat_but_not_twice() {
    let (one, two) = (roof_kwh("area_m2 = 40"), roof_kwh("area_m2 = 80"));
    assert!(one > 50.0, "{one}");
    assert!(two > 1.1 * one && two < 1.9 * one, "{one} {two}");
}

#[test]
fn a_rated_line_means_a_better_collector_than_the_same_numbers_of_its_own() {
    let own = roof_kwh("area_m2 = 40");
    let rated = roof_kwh("area_m2 = 40\nrated_air_kg_per_s_m2 = 0.02");
    assert!(rated > 1.02 * own, "{own} {rated}");
}
