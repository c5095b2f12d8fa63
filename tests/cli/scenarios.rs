//! `[[scenario]]`: the world as it might be, laid over every option.

use super::faults::{replace, small};
use super::measures::placed;
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn with(more: &str) -> TempDir {
    let folder = small();
    replace(folder.path(), "study.toml", "[money]\n", &format!("{more}\n[money]\n"));
    folder
}

fn report(folder: &Path, set: &[&str]) -> Value {
    let mut all = vec!["report", "study.toml", "--json"];
    for one in set {
        all.extend(["--set", one]);
    }
    dryledger(&all).in_folder(folder).run().json()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().expect(key)
}

/// Bill and net present cost of every option of a scenario.
fn in_scenario(scenario: &Value) -> Vec<[String; 2]> {
    let of = |option: &Value| ["total_cost", "net_present_cost"].map(|key| option[key].to_string());
    list(scenario, "options").iter().map(of).collect()
}

/// The same of every option of a study.
fn of_study(figures: &Value) -> Vec<[String; 2]> {
    let of = |o: &Value| [o["total_cost"].to_string(), o["life_cycle"]["net_present_cost"].to_string()];
    list(figures, "options").iter().map(of).collect()
}

const MEASURE: &str = "[[option]]\nname = \"insulate\"\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n";

/// Each scenario is what the study is with its values, and one that changes nothing changes nothing.
#[test]
fn a_scenario_is_the_study_with_its_values() {
    let folder = with(&format!(
        "{MEASURE}\n[[scenario]]\nname = \"the same\"\nset = {{ \"crop.received_moisture\" = 20.0 }}\n\n\
         [[scenario]]\nname = \"a wet harvest\"\nset = {{ \"crop.received_moisture\" = 24.0, \"carrier.lpg.price_factor\" = 1.4 }}\n"
    ));
    let figures = report(folder.path(), &[]);
    let own = report(with(MEASURE).path(), &[]);
    assert_eq!(figures["options"].to_string(), own["options"].to_string());
    let scenarios = list(&figures["scenarios"], "scenarios");
    let names: Vec<&Value> = scenarios.iter().map(|scenario| &scenario["name"]).collect();
    assert_eq!(names, ["as the study has it", "the same", "a wet harvest"]);
    assert_eq!(in_scenario(&scenarios[0]), of_study(&own));
    assert_eq!(in_scenario(&scenarios[1]), of_study(&own));
    let set = ["crop.received_moisture=24.0", "carrier.lpg.price_factor=1.4"];
    let wet = report(with(MEASURE).path(), &set);
    assert_eq!(in_scenario(&scenarios[2]), of_study(&wet));
    assert_ne!(of_study(&wet), of_study(&own));
    assert_eq!(scenarios[2]["best"], wet["study"]["recommended"]);
}

/// Weather that is warmer is another season for every option, in a scenario as for one run.
#[test]
fn a_warmer_scenario_is_the_study_in_warmer_weather() {
    let folder = with("[[scenario]]\nname = \"2 K warmer\"\nset = { \"weather.warmer_by_k\" = 2.0 }\n");
    let figures = report(folder.path(), &[]);
    let scenarios = list(&figures["scenarios"], "scenarios");
    let own = report(with("").path(), &[]);
    let warmer = report(with("").path(), &["weather.warmer_by_k=2"]);
    assert_eq!(in_scenario(&scenarios[0]), of_study(&own));
    assert_eq!(in_scenario(&scenarios[1]), of_study(&warmer));
    let need = |figures: &Value| figures["options"][0]["heat_need_kwh"].as_f64().expect("a need");
    let mean_c = |figures: &Value| figures["weather"]["years"][0]["mean_dry_bulb_c"].as_f64().expect("a mean");
    assert!((mean_c(&warmer) - mean_c(&own) - 2.0).abs() < 1e-9);
    // Air as damp and warmer holds more water: below a humidity limit more of it must be drawn, and heated by less.
    assert!((need(&warmer) - need(&own)).abs() > 0.02 * need(&own), "{} {}", need(&warmer), need(&own));
    let page = dryledger(&["report", "study.toml", "--out", "w", "--set", "weather.warmer_by_k=2"])
        .in_folder(folder.path())
        .run();
    page.ends_well();
    let page = fs::read_to_string(folder.path().join("w/report.html")).expect("a page");
    assert!(page.contains("Every hour is taken to be 2\u{a0}K warmer than in the files"));
}

/// Electricity becomes so dear that another option is best: what each choice is regretted by follows from the costs.
#[test]
fn regret_is_what_a_choice_costs_above_the_best_of_its_scenario() {
    let folder = with("[[scenario]]\nname = \"dear\"\nset = { \"carrier.electricity.price_factor\" = 6.0 }\n");
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    let text = fs::read_to_string(folder.path().join("figures.json")).expect("figures");
    let figures: Value = serde_json::from_str(&text).expect("JSON");
    let all = &figures["scenarios"];
    let scenarios = list(all, "scenarios");
    assert_ne!(scenarios[0]["best"], scenarios[1]["best"]);
    let number = |value: &Value| value.as_f64().expect("a number");
    let cost = |scenario: &Value, place: usize| number(&scenario["options"][place]["net_present_cost"]);
    for (place, told) in list(all, "regrets").iter().enumerate() {
        let regret = |scenario: &Value| {
            let able = list(scenario, "options").iter().filter(|option| option["does_the_work"] == true);
            let best = able.map(|option| number(&option["net_present_cost"])).fold(f64::INFINITY, f64::min);
            cost(scenario, place) - best
        };
        let most = scenarios.iter().map(regret).fold(0.0, f64::max);
        assert!((number(&told["greatest"]) - most).abs() < 1e-6, "{told}");
    }
    let least = all["least_regret"].as_str().expect("a choice");
    assert!(ran.stdout.contains("scenario, dear: best is \"gas\""), "{}", ran.stdout);
    assert!(ran.stdout.contains(&format!("scenarios: \"{least}\" is regretted least")), "{}", ran.stdout);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(page.contains("<h3>Scenarios</h3>") && page.contains("greatest regret of each choice"));
}

#[test]
fn what_no_scenario_may_set_is_refused() {
    let dear = "[[scenario]]\nname = \"dear\"\n";
    for (before, set, words) in [
        ("", "\"study.title\" = \"x\"", ["PATH: ", "cannot be set here"]),
        ("", "\"weather.files\" = \"x.csv\"", ["PATH: ", "of the weather a scenario sets weather.warmer_by_k"]),
        ("", "\"carrier.lpg.prise\" = 2.0", ["PATH: in scenario \"dear\": ", "`prise` is not known"]),
        ("", "\"money.discount_rate\" = 8", ["HERE: in scenario \"dear\": ", "discount_rate is 8"]),
        (MEASURE, "\"room.room.envelope_ua_w_per_k\" = 90.0", ["PATH: ", "is set by the option \"insulate\" too"]),
    ] {
        let more = format!("{before}\n{dear}set = {{ {set} }}\n");
        let words = placed(words, &more, set);
        dryledger(&["check", "study.toml"])
            .in_folder(with(&more).path())
            .run()
            .refused(&words.each_ref().map(String::as_str));
    }
    let ran = dryledger(&["check", "study.toml"]).in_folder(with(dear).path()).run();
    ran.refused(&["set says nothing", "leave the scenario out"]);
}
