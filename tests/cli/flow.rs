//! Where each kWh goes, through the binary: every source has its own free heat and its own loss, and what comes
//! into a place leaves it.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;

const MORE: &str = "[[source]]\nname = \"exchanger\"\nkind = \"exchanger\"\neffectiveness = 0.6\n\
    capacity_kw = 60\nfan_kw_per_kg_per_s = 0.3\n\n\
    [[source]]\nname = \"pump\"\nkind = \"heat-pump\"\ncapacity_kw = 20\n\n\
    [[source]]\nname = \"tank\"\nkind = \"heat-store\"\ncharged_by = \"pump\"\n\
    capacity_kw = 25\ncapacity_kwh = 90\ncharge_kw = 15\n\n\
    [[option]]\nname = \"exchanger and gas\"\nsources = [\"exchanger\", \"gas heater\"]\n\n\
    [[option]]\nname = \"pump and tank\"\nsources = [\"tank\", \"pump\", \"heaters\"]\n\n";

/// Figures and page of the small study with an exchanger, a heat pump and a tank beside its own sources.
fn told() -> (Value, String) {
    let folder = small();
    replace(
        folder.path(),
        "study.toml",
        "[[option]]\nname = \"electric\"",
        &format!("{MORE}[[option]]\nname = \"electric\""),
    );
    let ran = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run();
    let page = std::fs::read_to_string(folder.path().join("report.html")).expect("the page");
    (ran.json(), page)
}

fn at(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn sources(option: &Value) -> &[Value] {
    option["sources"].as_array().expect("sources")
}

fn sum(option: &Value, key: &str) -> f64 {
    sources(option).iter().map(|source| at(source, key)).sum()
}

fn assert_equal(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{what}: {found} {expected}");
}

#[test]
fn what_comes_into_a_place_leaves_it() {
    let (figures, _) = told();
    for option in figures["options"].as_array().expect("options") {
        let name = option["name"].as_str().expect("a name");
        for source in sources(option) {
            let into = at(source, "electricity_kwh") + at(source, "fuel_kwh") + at(source, "free_heat_kwh");
            let out = at(source, "heat_kwh") + at(source, "loss_kwh");
            assert_equal(into, out, &format!("{name}, {}", source["name"]));
            assert!(at(source, "free_heat_kwh") >= 0.0 && at(source, "loss_kwh") >= 0.0);
        }
        let flow = &option["flow"];
        let electricity = sum(option, "electricity_kwh")
            + at(flow, "fans_kwh")
            + at(flow, "lights_kwh")
            + at(flow, "store_electricity_kwh");
        assert_equal(electricity, at(&option["carriers"]["electricity"], "kwh"), name);
        assert_equal(electricity + sum(option, "fuel_kwh"), at(option, "used_kwh"), name);
        assert_equal(
            at(flow, "store_electricity_kwh") + at(flow, "store_load_kwh"),
            at(flow, "rejected_to_air_kwh") + at(flow, "rejected_to_pumps_kwh") + at(flow, "rejected_to_outdoors_kwh"),
            name,
        );
        let through = at(flow, "air_in_kwh");
        assert!((at(flow, "air_out_kwh") / through - 1.0).abs() < 1e-4, "{name}: {flow}");
        // 2501 kJ for each kg of water.
        let water_kg = at(&figures["season"], "water_kg");
        assert!((at(flow, "evaporation_kwh") / (water_kg * 2501.0 / 3600.0) - 1.0).abs() < 0.02);
    }
}

#[test]
fn an_exchanger_beside_a_burner_hides_neither_its_heat_nor_the_burners_loss() {
    let (figures, page) = told();
    let of = |name: &str| {
        let options = figures["options"].as_array().expect("options");
        options.iter().find(|option| option["name"] == name).expect("the option").clone()
    };
    let both = of("exchanger and gas");
    let (exchanger, burner) = (&sources(&both)[0], &sources(&both)[1]);
    assert!(at(exchanger, "heat_kwh") > 100.0);
    assert_eq!(at(exchanger, "free_heat_kwh"), at(exchanger, "heat_kwh"));
    assert_eq!(exchanger["free_heat_from"], "leaving-air");
    assert_eq!(at(exchanger, "loss_kwh"), at(exchanger, "electricity_kwh"));
    assert_eq!(at(burner, "free_heat_kwh"), 0.0);
    // 80 % of the fuel becomes heat; the fan's electricity does not.
    let lost = 0.2 * at(burner, "fuel_kwh") + at(burner, "electricity_kwh");
    assert_equal(at(burner, "loss_kwh"), lost, "burner");
    let pump = of("pump and tank");
    let tank = &sources(&pump)[0];
    assert_eq!(tank["free_heat_from"], "outside-air");
    assert!(at(tank, "free_heat_kwh") > 0.0 && at(tank, "loss_kwh") > 0.0);
    for words in ["air that leaves", "conversion loss", ">evaporation<", "evaporates water"] {
        assert!(page.contains(words), "no '{words}' on the page");
    }
}
