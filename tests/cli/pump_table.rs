//! A heat pump by its maker's table, through the binary.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;

/// The gas heater's place taken by a heat pump of 200 kW that has these further keys.
fn with_pump(keys: &str) -> tempfile::TempDir {
    let folder = small();
    let source = format!(
        "[[source]]\nname = \"pump\"\nkind = \"heat-pump\"\ncapacity_kw = 200.0\n{keys}\n\n[[option]]\nname = \"pump\"\nsources = [\"pump\"]\n\n[money]"
    );
    replace(folder.path(), "study.toml", "[money]", &source);
    folder
}

const FLAT: &str = "table = [{ outside_c = 10.0, supply_c = 40.0, capacity_kw = 200.0, cop = 3.2 }]";

/// One row holds everywhere, so the electricity is the heat over its COP.
#[test]
fn its_figures_are_those_of_the_table() {
    let folder = with_pump(FLAT);
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    let options = figures["options"].as_array().expect("options");
    let option = options.iter().find(|option| option["name"] == "pump").expect("the pump");
    let number = |key: &str| -> f64 {
        let source: &Value = &option["sources"][0];
        source[key].as_f64().expect("a number")
    };
    assert!(number("heat_kwh") > 100.0);
    assert!((number("heat_kwh") / number("electricity_kwh") / 3.2 - 1.0).abs() < 1e-9);
}

#[test]
fn a_table_with_a_hole_and_keys_beside_it_are_refused() {
    let check = |keys: &str| {
        let folder = with_pump(keys);
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run()
    };
    let hole = FLAT.replace("}]", "}, { outside_c = 0.0, supply_c = 35.0, capacity_kw = 150.0, cop = 2.5 }]");
    check(&hole).refused(&["table cannot be used: 0 rows stand for 0 °C outside and 40 °C supply"]);
    check(&format!("{FLAT}\ncop_max = 5.0")).refused(&["`cop_max` is not known"]);
    check(&FLAT.replace("cop = 3.2", "cop = 0")).refused(&["cop is 0, expected 0.5 to 15"]);
    let smaller = check(&FLAT.replace("capacity_kw = 200.0", "capacity_kw = 100.0"));
    smaller.ends_well();
    assert!(smaller.stdout.contains("largest figure is 100 kW"), "{}", smaller.stdout);
}
