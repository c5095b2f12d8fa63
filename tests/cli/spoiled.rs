//! Nuts that wait too long or grow mouldy: whatever it costs, a plant in which they do is told as no plan yet.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// Wet nuts keep for an hour: those that wait for the last bins are past it.
const SHORT_WAIT: &str = "crop.safe_wait=1";

fn with(more: &str) -> TempDir {
    let folder = small();
    replace(folder.path(), "study.toml", "[money]\n", &format!("{more}\n[money]\n"));
    folder
}

fn figures(folder: &Path, more: &[&str]) -> Value {
    let all = [&["report", "study.toml", "--json", "--no-screening"], more].concat();
    dryledger(&all).in_folder(folder).run().json()
}

fn heads<'a>(figures: &'a Value, list: &str) -> Vec<&'a str> {
    let points = figures["sheet"][list].as_array().expect("points");
    points.iter().filter_map(|point| point["head"].as_str().or(point.as_str())).collect()
}

#[test]
fn what_may_spoil_is_no_plan_and_pays_nothing_back() {
    let folder = small();
    let kept = figures(folder.path(), &["--samples", "0"]);
    let spoiled = figures(folder.path(), &["--samples", "0", "--set", SHORT_WAIT]);
    let headline = |figures: &Value| figures["sheet"]["headline"].as_str().expect("a headline").to_owned();
    assert!(!headline(&kept).contains("no plan"), "{}", headline(&kept));
    let said = headline(&spoiled);
    assert!(said.contains("is no plan yet: nuts may spoil (waited too long)") && !said.contains("less than"), "{said}");
    assert!(heads(&spoiled, "next")[0].contains("Make a plan of it first"), "{:?}", heads(&spoiled, "next"));
    assert!(!spoiled["sheet"]["support"].to_string().contains("comes back"));
    // The order of options is the work's and the money's, as before.
    assert_eq!(spoiled["study"]["recommended"], kept["study"]["recommended"]);
    let ran = dryledger(&["report", "study.toml", "--samples", "0", "--no-screening", "--set", SHORT_WAIT])
        .in_folder(folder.path())
        .run();
    assert!(ran.stdout.contains("; no plan yet, for nuts may spoil: waited too long"), "{}", ran.stdout);
}

#[test]
fn a_scenario_marks_nuts_that_may_spoil() {
    let folder = with("[[scenario]]\nname = \"hot weeks\"\nset = { \"crop.safe_wait\" = 1.0 }\n");
    let ran = dryledger(&["report", "study.toml", "--samples", "0", "--no-screening"]).in_folder(folder.path()).run();
    assert!(ran.stdout.contains("scenario, hot weeks: best is \"electric\""), "{}", ran.stdout);
    assert!(ran.stdout.contains("; no plan, for nuts may spoil"), "{}", ran.stdout);
    let text = fs::read_to_string(folder.path().join("figures.json")).expect("figures");
    let found: Value = serde_json::from_str(&text).expect("JSON");
    let spoil = |scenario: usize| {
        let options = found["scenarios"]["scenarios"][scenario]["options"].as_array().expect("options");
        options.iter().map(|option| option["nuts_spoil"] == true).collect::<Vec<_>>()
    };
    assert!(spoil(0).iter().all(|spoils| !spoils) && spoil(1).iter().all(|spoils| *spoils));
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert_eq!(page.matches("\u{a0}†</td>").count(), 2 * spoil(1).len(), "a mark for each option, by cost and by bill");
}

#[test]
fn draws_in_which_nuts_may_spoil_are_counted() {
    let folder = with(
        "[uncertainty]\nsamples = 8\nstanding = false\n\
         \"crop.safe_wait\" = { uniform = { low = 1.0, high = 24.0 } }\n",
    );
    let found = figures(folder.path(), &[]);
    let best = &found["options"][0];
    let share_pct = best["uncertainty"]["nuts_spoil_in_draws_pct"].as_f64().expect("a share");
    assert!(share_pct > 0.0 && share_pct < 100.0, "{share_pct}");
    assert!(best["guards"].as_array().expect("guards").iter().all(|guard| guard["spoils_nuts"] == false));
    let points = found["sheet"]["could_go_wrong"].to_string();
    assert!(points.contains("Nuts may spoil.") && points.contains("by the study’s own values none do"), "{points}");
}

/// An option that sets what a run sets is named: there the run changes nothing.
#[test]
fn an_option_that_sets_for_itself_what_a_run_sets_is_named() {
    let folder = with("[[option]]\nname = \"insulate\"\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n");
    let run = |set: &str| {
        let all = ["report", "study.toml", "--samples", "0", "--no-screening", "--set", set];
        dryledger(&all).in_folder(folder.path()).run().stdout
    };
    let named = "\"insulate\" sets that itself, so that this run does not change it there";
    assert!(run("room.room.envelope_ua_w_per_k=100").contains(named));
    assert!(!run("crop.received_moisture=22").contains(named));
}
