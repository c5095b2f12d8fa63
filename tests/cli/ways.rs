//! The way from the baseline to a package and to the proposal: by cause, and measure by measure.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const MEASURES: &str = "[[option]]\nname = \"lagged\"\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\ncapital = 900.0\n\n\
    [[option]]\nname = \"damper\"\nset = { \"room.room.relative_humidity_max\" = 50.0 }\ncapital = 100.0\n\n\
    [[option]]\nname = \"recovered\"\nincludes = [\"electric\"]\ncondensers = \"room\"\ncapital = 1500.0\n\n";

fn with_package(includes: &str) -> TempDir {
    let folder = small();
    let package = format!("{MEASURES}[[option]]\nname = \"all\"\nincludes = [{includes}]\n\n[money]\n");
    replace(folder.path(), "study.toml", "[money]\n", &package);
    folder
}

fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().expect(key)
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn way<'a>(figures: &'a Value, name: &str) -> &'a Value {
    list(figures, "ways").iter().find(|way| way["option"] == name).expect(name)
}

const KEYS: [&str; 5] = ["purchased_kwh", "electric_peak_kw", "carbon_kg", "bill", "net_present_cost"];

#[test]
fn order_changes_what_a_measure_is_credited_with_and_not_the_sum() {
    let orders = ["\"lagged\", \"damper\", \"recovered\"", "\"recovered\", \"damper\", \"lagged\""];
    let all = orders.map(|includes| report(with_package(includes).path()));
    let [first, second] = [0, 1].map(|at| way(&all[at], "all"));
    for key in KEYS {
        let whole = number(&first["saved"], key);
        assert!((whole - number(&second["saved"], key)).abs() < 1e-6, "{key}");
        for way in [first, second] {
            let sum: f64 = list(way, "steps").iter().map(|step| number(&step["in_order"], key)).sum();
            assert!((sum - whole).abs() < 1e-6, "{key}: {sum} of {whole}");
        }
    }
    let step =
        |way: &Value, name: &str| list(way, "steps").iter().find(|step| step["measure"] == name).expect(name).clone();
    let of = |way: &Value, name: &str, place: &str| number(&step(way, name)[place], "purchased_kwh");
    // The first in an order saves what it saves alone, the last what it saves last, and these two differ.
    for (way, begins, ends) in [(first, "lagged", "recovered"), (second, "recovered", "lagged")] {
        assert_eq!(of(way, begins, "in_order"), of(way, begins, "alone"));
        assert!((of(way, ends, "in_order") - of(way, ends, "last")).abs() < 1e-6);
    }
    assert!((of(first, "recovered", "alone") - of(first, "recovered", "last")).abs() > 1.0, "they act on each other");
    assert!((of(first, "lagged", "in_order") - of(second, "lagged", "in_order")).abs() > 0.01);
}

/// Alone is what the option itself saves, and all together what the package saves, before any grant.
#[test]
fn the_ends_of_the_way_are_the_options() {
    let folder = with_package("\"lagged\", \"damper\", \"recovered\"");
    let figures = report(folder.path());
    let option = |name: &str| list(&figures, "options").iter().find(|option| option["name"] == name).expect(name);
    let saved = |name: &str, key: &str| number(option("electric"), key) - number(option(name), key);
    let all = way(&figures, "all");
    for (key, of_option) in [("purchased_kwh", "purchased_kwh"), ("carbon_kg", "carbon_kg"), ("bill", "total_cost")] {
        assert!((number(&all["saved"], key) - saved("all", of_option)).abs() < 1e-6, "{key}");
        for step in list(all, "steps") {
            let name = step["measure"].as_str().expect("a name");
            assert!((number(&step["alone"], key) - saved(name, of_option)).abs() < 1e-6, "{key} of {name}");
        }
    }
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    for words in ["The way from here to there", "From “electric” to “all”, measure by measure", "by cause"] {
        assert!(page.contains(words), "{words}");
    }
}

/// Causes close, for packages and for what is proposed though it is none.
#[test]
fn causes_sum_to_what_is_saved() {
    let folder = with_package("\"lagged\", \"damper\"");
    let text = fs::read_to_string(folder.path().join("study.toml")).expect("a study");
    fs::write(folder.path().join("study.toml"), format!("{text}\n[application]\nproposal = \"gas\"\n"))
        .expect("written");
    let figures = report(folder.path());
    for name in ["all", "gas"] {
        let way = way(&figures, name);
        for key in ["purchased_kwh", "carbon_kg", "bill"] {
            let sum: f64 = list(way, "causes").iter().map(|cause| number(cause, key)).sum();
            assert!((sum - number(&way["saved"], key)).abs() < 1e-6, "{name}: {key}");
        }
    }
    let of = |name: &str, cause: &str| {
        let causes = list(way(&figures, name), "causes");
        number(causes.iter().find(|one| one["cause"] == cause).expect(cause), "purchased_kwh")
    };
    // Lagging needs less heat; gas needs the same, and burns more for it.
    assert!(of("all", "heat-need") > 10.0);
    assert_eq!(of("gas", "heat-need"), 0.0);
    assert!(of("gas", "conversion") < -10.0);
    assert!(list(way(&figures, "gas"), "steps").is_empty(), "it is no package");
}
