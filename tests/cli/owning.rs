//! What a year costs is the bill, owning and price growth, through the binary.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::path::Path;

fn figures(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn at(value: &Value, pointer: &str) -> f64 {
    value.pointer(pointer).and_then(Value::as_f64).unwrap_or_else(|| panic!("no {pointer}"))
}

fn growing(escalation: &str) -> Value {
    let folder = small();
    let money = format!("years = 10\n{escalation}");
    replace(folder.path(), "study.toml", "years = 10", &money);
    figures(folder.path())
}

/// Net present cost = (bill + owning + price growth) x uniform present value, and the bill is its three lines.
fn assert_adds_up(figures: &Value) {
    for option in figures["options"].as_array().expect("options") {
        let bill = at(option, "/energy_cost") + at(option, "/demand_cost") + at(option, "/other_cost");
        assert!((bill - at(option, "/total_cost")).abs() < 0.006);
        let year = bill + at(option, "/life_cycle/owning_per_year") + at(option, "/life_cycle/price_growth_per_year");
        let equal = at(option, "/life_cycle/annual_equivalent");
        assert!((year - equal).abs() < 0.006, "{year} is not {equal}");
    }
}

/// 10 years at 6 %: what 1 a year is worth.
fn uniform() -> f64 {
    (1.0 - 1.06_f64.powi(-10)) / 0.06
}

/// Heaters of 5 000 that last 15 years (the default) in a study of 10: a third of them is left at its end.
#[test]
fn owning_is_capital_and_upkeep_alone_whatever_prices_do() {
    let flat = figures(small().path());
    let rising = growing("escalation = { electricity = 0.03, lpg = 0.02 }");
    let falling = growing("escalation = { electricity = -0.02 }");
    let owning = (5000.0 - 5000.0 / 3.0 * 1.06_f64.powi(-10)) / uniform();
    for figures in [&flat, &rising, &falling] {
        assert_adds_up(figures);
        assert_eq!(figures["options"][0]["name"], "electric");
        let found = at(figures, "/options/0/life_cycle/owning_per_year");
        assert!((found - owning).abs() < 0.01, "{found} is not {owning}");
    }
    let growth =
        |figures: &Value, option: usize| at(figures, &format!("/options/{option}/life_cycle/price_growth_per_year"));
    assert_eq!(growth(&flat, 0), 0.0);
    assert!(growth(&rising, 0) > 0.0 && growth(&falling, 0) < 0.0);

    // All electricity at +3 %: each year's bill over the first price level, as an equal yearly sum.
    let bill = at(&rising, "/options/0/total_cost");
    let factor: f64 = (1..=10).map(|year| (1.03_f64 / 1.06).powi(year)).sum::<f64>() / uniform();
    assert!((growth(&rising, 0) - bill * (factor - 1.0)).abs() < 0.01);
}

#[test]
fn price_growth_is_a_line_of_its_own_on_the_page() {
    let folder = small();
    let page = |folder: &Path| {
        figures(folder);
        std::fs::read_to_string(folder.join("report.html")).expect("the page")
    };
    assert!(!page(folder.path()).contains("price growth"));
    let money = "years = 10\nescalation = { electricity = 0.03 }";
    replace(folder.path(), "study.toml", "years = 10", money);
    let page = page(folder.path());
    assert!(page.contains("price growth: what later years’ energy prices add"));
    assert!(page.contains("of which owning") && page.contains("of which price growth"));
}
