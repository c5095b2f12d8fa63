//! Where the condensers should stand, through the binary: the same sources with the condensers at every place.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

fn report(folder: &Path) -> (Value, String) {
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json();
    let page = fs::read_to_string(folder.join("report.html")).expect("a page");
    (figures, page)
}

fn place<'a>(stack: &'a Value, name: &str) -> &'a Value {
    let places = stack["placements"].as_array().expect("places");
    let found = places.iter().find(|place| place["place"] == name);
    found.unwrap_or_else(|| panic!("no {name}"))
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key}"))
}

#[test]
fn every_place_is_run_whether_an_option_has_it_or_not() {
    let (figures, page) = report(small().path());
    let stack = &figures["condensers"][0];
    assert_eq!(stack["option"], "electric");
    let outdoors = place(stack, "outdoors");
    for key in ["gross_kwh", "useful_kwh", "penalty_kwh", "net_kwh", "net_money", "bill_saved"] {
        assert_eq!(number(outdoors, key), 0.0, "{key}");
    }
    // An option of the study that stands there says the same.
    let options = figures["options"].as_array().expect("options");
    let own = options.iter().find(|option| option["name"] == "condensers in room");
    let own = &own.expect("the option")["recovered"];
    let room = place(stack, "room");
    for key in ["gross_kwh", "useful_kwh", "penalty_kwh", "net_kwh", "net_money"] {
        assert!((number(room, key) - number(own, key)).abs() < 1e-6, "{key}");
    }
    for name in ["room", "fresh-air", "switched-room", "switched-fresh-air"] {
        let there = place(stack, name);
        assert!(number(there, "useful_kwh") <= number(there, "gross_kwh") + 1e-9);
        let net = number(there, "displaced_electricity_money")
            + number(there, "displaced_fuel_money")
            - number(there, "penalty_money");
        assert!((net - number(there, "net_money")).abs() < 1e-6, "{name}");
        // Heat by a heat pump of COP above 1 takes less than heaters would.
        assert!(number(there, "heat_pump_kwh") < number(there, "useful_kwh"));
    }
    assert_eq!(page.matches("the condensers should stand").count(), 1);
}

#[test]
fn the_best_is_worth_most_but_for_what_a_damper_costs() {
    let (figures, _) = report(small().path());
    for stack in figures["condensers"].as_array().expect("stacks") {
        let best = number(place(stack, stack["best"].as_str().expect("a place")), "net_money");
        for there in stack["placements"].as_array().expect("places") {
            if there["keeps_up"] == true {
                assert!(best >= 0.98 * number(there, "net_money") - 1e-9, "{there}");
            }
        }
    }
}

/// Units that trip in a room as warm as this leave the store warm: the room is then no place for them,
/// whatever it would be worth.
#[test]
fn a_room_too_hot_for_the_units_is_not_the_best() {
    let folder = small();
    replace(
        folder.path(),
        "study.toml",
        "condenser_air_max_c = 46.0",
        "condenser_air_max_c = 40.0",
    );
    let (figures, page) = report(folder.path());
    let stack = &figures["condensers"][0];
    assert_eq!(place(stack, "room")["keeps_up"], false);
    assert_ne!(stack["best"], "room");
    assert!(page.contains("the store is not kept as cold"));
}
