//! What schemes ask of an application: tests passed or not, every measure, costs apart, sizes with their hours, meters.

use super::application::{life, number, option, report, study};
use serde_json::Value;
use std::fs;

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().expect(key)
}

fn named<'a>(list: &'a [Value], name: &str) -> &'a Value {
    list.iter().find(|one| one["name"] == name).unwrap_or_else(|| panic!("no {name} in {list:?}"))
}

fn applying(tests: &str) -> tempfile::TempDir {
    study(&format!(
        "grant_share = 0.5\n\n[application]\nproposal = \"condensers in room\"\nbenefits = \"Nuts wait less.\"\ntests = {{ {tests} }}"
    ))
}

/// A grant of 750 for what little carbon the condensers save in ten years: dearer than 10 a tonne by a wide margin.
#[test]
fn a_grant_too_dear_for_its_carbon_is_refused_and_says_by_how_much() {
    let paid = report(applying("carbon_cost_max = 100000.0").path());
    let saved_t = (number(option(&paid, "electric"), "carbon_kg")
        - number(option(&paid, "condensers in room"), "carbon_kg"))
        * 10.0
        / 1000.0;
    let grant = number(life(&paid, "condensers in room"), "grant");
    assert_eq!(grant, 750.0);
    let of = |figures: &Value| {
        named(list(&figures["application"], "tests"), "grant per tonne of carbon saved over the period").clone()
    };
    assert_eq!((&of(&paid)["passed"], &of(&paid)["short_by"]), (&true.into(), &Value::Null));
    let folder = applying("carbon_cost_max = 10.0");
    let refused = report(folder.path());
    let life = life(&refused, "condensers in room");
    assert_eq!(number(life, "grant"), 0.0);
    assert!(life["grant_refused"].as_str().is_some_and(|why| why.contains("for each tonne of carbon saved")), "{life}");
    let test = of(&refused);
    assert_eq!(test["passed"], false);
    assert!((number(&test, "short_by") - (grant / saved_t - 10.0)).abs() < 1e-6, "{test}");
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(page.contains("fails by"), "the page says by how much");
}

/// A share of the baseline's carbon that nothing saves: the test says how far it is off.
#[test]
fn every_test_is_told_not_the_first_alone() {
    let figures = report(applying("energy_saving_min = 0.5, carbon_saving_min = 0.6").path());
    let tests = list(&figures["application"], "tests");
    for (name, asked) in [("purchased energy saved", 50.0), ("carbon saved", 60.0)] {
        let test = named(tests, name);
        assert_eq!(number(test, "asked"), asked);
        assert!((number(test, "short_by") - (asked - number(test, "found"))).abs() < 1e-9);
    }
    assert_eq!(named(tests, "it does the work")["passed"], true);
}

#[test]
fn every_measure_is_told_and_ranked_by_what_it_costs_to_save() {
    let figures = report(applying("").path());
    let offers = list(&figures["application"], "measures");
    assert_eq!(offers.len(), 3);
    let base = option(&figures, "electric");
    for offer in offers {
        let own = option(&figures, offer["option"].as_str().expect("a name"));
        let owning = number(&own["life_cycle"], "owning_per_year") - number(&base["life_cycle"], "owning_per_year");
        let saved = number(base, "purchased_kwh") - number(own, "purchased_kwh");
        let per = offer["owning_per_kwh_saved"].as_f64();
        assert_eq!(per.is_some(), saved > 0.0, "{offer}");
        assert!(per.is_none_or(|per| (per - owning / saved).abs() < 1e-9));
        let by_carrier: f64 =
            offer["purchased_saved_kwh"].as_object().expect("carriers").values().filter_map(Value::as_f64).sum();
        assert!((by_carrier - saved).abs() < 1e-6);
    }
    // Gas burns more than the heaters take, and saves carbon alone.
    let gas = offers.iter().find(|offer| offer["option"] == "gas").expect("gas");
    assert_eq!((&gas["rank_by_kwh"], gas["rank_by_t"].is_u64()), (&Value::Null, true));
    let mut ranks: Vec<u64> = offers.iter().filter_map(|offer| offer["rank_by_kwh"].as_u64()).collect();
    ranks.sort_unstable();
    assert_eq!(ranks, [1, 2]);
}

#[test]
fn costs_stand_apart_and_sizes_name_their_hour() {
    let folder = applying("");
    let figures = report(folder.path());
    let application = &figures["application"];
    let costs = list(application, "costs");
    assert_eq!(named(costs, "heaters")["eligible"], false);
    let works = named(costs, "condensers in room: works");
    assert_eq!((&works["eligible"], number(works, "capital")), (&true.into(), 1500.0));
    let own = option(&figures, "condensers in room");
    let sizes = list(application, "specifications");
    let heaters = named(sizes, "heaters");
    assert_eq!((number(heaters, "size"), &heaters["most"]), (30.0, &own["sources"][0]["peak_kw"]));
    assert_eq!(named(sizes, "electric connection")["most"], own["electric_peak_kw"]);
    assert_eq!(named(sizes, "heat need of the plant")["most"], own["heat_need_peak_kw"]);
    for size in sizes {
        assert!(size["at"].as_str().is_some_and(|at| at.starts_with("2031-03-0")), "{size}");
    }
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    for words in ["Nuts wait less.", "Measurement plan", "Every measure against the baseline", "the eligible apart"] {
        assert!(page.contains(words), "{words}");
    }
}
