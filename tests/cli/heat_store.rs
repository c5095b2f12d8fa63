//! A heat store through the binary: it shifts electricity to the cheap hours, and is refused where none are.

use super::faults::{replace, small};
use crate::case::dryledger;
use tempfile::TempDir;

const TANK: &str = "[[source]]\nname = \"tank\"\nkind = \"heat-store\"\ncharged_by = \"heaters\"\n\
    capacity_kw = 25\ncapacity_kwh = 90\ncharge_kw = 15\n\n\
    [[option]]\nname = \"tank\"\nsources = [\"tank\", \"heaters\"]\n\n";

fn with_tank(text: &str) -> TempDir {
    let folder = small();
    replace(
        folder.path(),
        "study.toml",
        "[[source]]\nname = \"gas heater\"",
        &format!("{text}[[source]]\nname = \"gas heater\""),
    );
    folder
}

#[test]
fn a_tank_is_charged_at_the_lowest_price_and_called_on_at_the_highest() {
    let folder = with_tank(TANK);
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    for words in ["discharge_from_price", "the tariff's highest price", "loss_pct_per_hour"] {
        assert!(ran.stdout.contains(words), "no '{words}'");
    }
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    let options = figures["options"].as_array().expect("options");
    let of = |name: &str| options.iter().find(|option| option["name"] == name).expect("an option");
    let (plain, tank) = (of("electric"), of("tank"));
    let number = |value: &serde_json::Value, key: &str| value[key].as_f64().expect("a number");
    let store = &tank["sources"][0];
    assert!(number(store, "heat_kwh") > 10.0);
    assert!(number(store, "electricity_kwh") > number(store, "heat_kwh"));
    assert!(number(tank, "heat_cost") < number(plain, "heat_cost"));
    assert!(number(tank, "purchased_kwh") > number(plain, "purchased_kwh"));
    assert!(number(&tank["residuals"], "energy") < 1e-6);
}

#[test]
fn a_tank_that_nothing_can_charge_is_refused() {
    for (old, new, said) in [
        ("charged_by = \"heaters\"", "charged_by = \"roof\"", "charged by \"roof\""),
        (
            "charge_kw = 15",
            "charge_kw = 15\ncharge_up_to_price = 0.3\ndischarge_from_price = 0.2",
            "a heat store shifts heat between prices",
        ),
    ] {
        let folder = with_tank(&TANK.replace(old, new));
        let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
        assert_eq!(ran.code, 2, "{}", ran.stdout);
        assert!(ran.stderr.contains(said), "{}", ran.stderr);
    }
}
