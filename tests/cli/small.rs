//! `dryledger report` on a small study: the files it writes, and that its figures add up.

use super::faults::{replace, small, with_every_guard_kept};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

fn report(folder: &Path, more: &[&str]) -> Value {
    let arguments = [&["report", "study.toml", "--json"][..], more].concat();
    dryledger(&arguments).in_folder(folder).run().json()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no {key}"))
}

#[test]
fn the_files_appear_where_asked_and_json_is_the_figures_file() {
    let folder = small();
    let figures = report(folder.path(), &["--out", "out", "--hourly"]);
    let out = folder.path().join("out");
    let mut names: Vec<_> =
        fs::read_dir(&out).expect("out").map(|entry| entry.expect("an entry").file_name()).collect();
    names.sort();
    assert_eq!(
        names,
        [
            "batches.csv",
            "dryledger.sha256",
            "figures.json",
            "hourly.csv",
            "hourly_columns.csv",
            "hourly_rooms.csv",
            "monthly.csv",
            "report.html",
            "report.xlsx"
        ]
    );
    let written = fs::read_to_string(out.join("figures.json")).expect("figures");
    let written: Value = serde_json::from_str(&written).expect("JSON");
    assert_eq!(written, figures);
    assert!(!folder.path().join("report.html").exists());
}

#[test]
fn two_runs_write_the_same_bytes() {
    let folder = small();
    for out in ["first", "second"] {
        report(folder.path(), &["--out", out, "--hourly"]);
    }
    for file in ["figures.json", "monthly.csv", "hourly.csv", "hourly_rooms.csv", "report.html"] {
        let read = |out: &str| fs::read(folder.path().join(out).join(file)).expect("a file");
        assert!(read("first") == read("second"), "{file} differs");
    }
}

#[test]
fn the_run_date_comes_from_the_environment_if_it_is_given() {
    let folder = small();
    report(folder.path(), &[]);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    // 1750000000 s after 1970 is 15 June 2025.
    assert!(page.contains("2025-06-15") || page.contains("15 June 2025"));
}

#[test]
fn the_keys_that_others_build_on_are_there() {
    let figures = report(small().path(), &[]);
    let has = |value: &Value, keys: &str| {
        for key in keys.split_whitespace() {
            assert!(value.get(key).is_some(), "no {key}");
        }
    };
    has(&figures, "tool inputs weather season options");
    has(&figures["tool"], "name version");
    has(&figures["inputs"][0], "file sha256");
    has(&figures["weather"], "files format hours gaps_filled_hours years");
    has(
        &figures["season"],
        "hours received_t dried_t water_kg water_kg_per_received_t water_kg_per_dried_t \
         waiting_tonne_days guards",
    );
    for option in list(&figures, "options") {
        has(
            option,
            "name heat_need_kwh heat_delivered_kwh hours_short fan_kwh cool_store_kwh recovered carriers \
             electric_peak_kw energy_cost demand_cost total_cost cost_per_dried_t kwh_per_dried_t \
             mj_per_kg_water carbon_kg residuals months life_cycle uncertainty",
        );
        has(&option["recovered"], "gross_kwh useful_kwh penalty_kwh net_kwh net_money");
        has(&option["residuals"], "water energy");
        has(
            &option["life_cycle"],
            "net_present_cost annual_equivalent simple_payback_years discounted_payback_years irr \
             savings_to_investment",
        );
        has(&option["carriers"]["electricity"], "kwh quantity unit cost");
        has(&option["uncertainty"]["total_cost"], "p10 p50 p90");
    }
}

#[test]
fn months_add_up_to_the_season_and_the_balances_close() {
    let figures = report(small().path(), &[]);
    assert_eq!(list(&figures, "options").len(), 4);
    for option in list(&figures, "options") {
        let months = list(option, "months");
        let total = |key: &str| months.iter().map(|month| number(month, key)).sum::<f64>();
        for key in ["energy_cost", "demand_cost", "total_cost"] {
            let off = total(key) - number(option, key);
            assert!(off.abs() < 0.005, "{key} is off by {off}");
        }
        for key in ["heat_need_kwh", "heat_delivered_kwh", "fan_kwh", "cool_store_kwh"] {
            let off = total(key) - number(option, key);
            assert!(off.abs() < 1e-6 * number(option, key).max(1.0), "{key}: {off}");
        }
        for month in months {
            let parts = ["energy_cost", "demand_cost", "other_cost"];
            let bill: f64 = parts.iter().map(|key| number(month, key)).sum();
            assert!((bill - number(month, "total_cost")).abs() < 0.005);
        }
        assert_eq!(option["heat_need_kwh"], list(&figures, "options")[0]["heat_need_kwh"]);
        let short = number(option, "heat_short_kwh");
        assert!(short >= 0.0 && short < 0.01 * number(option, "heat_need_kwh"), "{short}");
        assert!(number(&option["residuals"], "water") < 1e-6);
        assert!(number(&option["residuals"], "energy") < 1e-6);
    }
}

#[test]
fn under_strict_a_guard_that_fires_ends_with_1_after_the_answer() {
    let ample = with_every_guard_kept;
    let folder = ample();
    replace(
        folder.path(),
        "study.toml",
        "carrier = \"lpg\"\ncapacity_kw = 60.0",
        "carrier = \"lpg\"\ncapacity_kw = 3.0",
    );
    let strict = ["report", "study.toml", "--json", "--strict"];
    let ran = dryledger(&strict).in_folder(folder.path()).run();
    assert_eq!(ran.code, 1, "{}", ran.stderr);
    assert!(ran.stderr.contains("guards fired: ") && ran.stderr.contains("gas: heat-short ("), "{}", ran.stderr);
    let figures: Value = serde_json::from_str(&ran.stdout).expect("the answer, all the same");
    let gas = &figures["options"][1];
    assert!(number(gas, "heat_short_kwh") > 0.0 && number(gas, "hours_short") > 0.0);
    let ran = dryledger(&strict[..3]).in_folder(folder.path()).run();
    ran.ends_well();
    let ran = dryledger(&strict).in_folder(ample().path()).run();
    ran.ends_well();
}

#[test]
fn an_old_report_survives_a_run_that_fails() {
    let folder = small();
    fs::write(folder.path().join("report.html"), "old").expect("written");
    replace(folder.path(), "study.toml", "years = 10", "years = 0");
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 2);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the old page");
    assert_eq!(page, "old");
}

/// The mould guard names the batch that stood damp the longest, as batches.csv numbers it.
#[test]
fn a_guard_that_watches_batches_names_the_worst_one() {
    let folder = small();
    let from = "airflow_m3_per_s_per_tonne = 0.15";
    let to = "airflow_m3_per_s_per_tonne = 0.05\nmould_hours = 1.0";
    replace(folder.path(), "study.toml", from, to);
    let figures = report(folder.path(), &[]);
    let guards = list(&list(&figures, "options")[0], "guards");
    let mould = guards.iter().find(|guard| guard["key"] == "mould-in-bin").expect("the mould guard");
    let sentence = mould["sentence"].as_str().expect("a sentence");
    let batches = fs::read_to_string(folder.path().join("batches.csv")).expect("batches");
    let named = batches.lines().skip(1).any(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        sentence.contains(&format!("(batch {} in bin {}, ", cells[2], cells[3]))
    });
    assert!(named, "{sentence}");
}

/// What is left wet, and who does the work, stand in the first section: costs of a part of the season mislead.
#[test]
fn the_answer_says_which_options_leave_the_work_undone() {
    let page = |changes: &[(&str, &str)]| {
        let folder = small();
        for (old, new) in changes {
            replace(folder.path(), "study.toml", old, new);
        }
        report(folder.path(), &[]);
        let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
        let from = page.find("id=\"answer\"").expect("the answer");
        let to = page[from..].find("<table").expect("its table") + from;
        page[from..to].to_owned()
    };
    let small_gas = ("carrier = \"lpg\"\ncapacity_kw = 30.0", "carrier = \"lpg\"\ncapacity_kw = 3.0");
    let answer = page(&[]);
    assert!(answer.contains("Of the four options") && !answer.contains("do the work"));
    let answer = page(&[small_gas]);
    assert!(answer.contains("Of the three options that do the work"));
    assert!(answer.contains("“gas” does not do the work"));
    // Too many nuts for two bins, in whichever option.
    let answer = page(&[("season_tonnes = 12.0", "season_tonnes = 900.0")]);
    assert!(answer.contains("None of the options does the work, so that none is recommended"));
    assert!(answer.contains(" of nuts wet when the time to dry them is over"));
    assert!(!answer.contains("Of the four options") && !answer.contains("costs least"));
}

/// Names of layers stand beside shares, not inside a clause that they do not fit.
#[test]
fn what_covers_the_hardest_hours_is_told_in_shares() {
    let folder = small();
    let every_heater_of = "capacity_kw = 30.0";
    let study = fs::read_to_string(folder.path().join("study.toml")).expect("the study");
    let short = study.replace(every_heater_of, "capacity_kw = 8.0");
    fs::write(folder.path().join("study.toml"), short).expect("the study");
    report(folder.path(), &[]);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    let (_, after) = page.split_once("In the twentieth of the hours that ask for most: ").expect("the sentence");
    let said = after.split('<').next().expect("its words");
    assert!(said.contains("heater") && said.contains("not met") && said.contains('%'), "{said}");
    assert!(!page.contains("it comes from"));
}

/// Fans that never run: no moisture is reached and no time is a drying time.
#[test]
fn where_nothing_is_dried_nothing_is_said_of_dried_nuts() {
    let folder = small();
    replace(
        folder.path(),
        "study.toml",
        "[cool_store]",
        "[[room.setback]]\nhours = \"0-24\"\nfan_share = 0.0\n\n[cool_store]",
    );
    let figures = report(folder.path(), &[]);
    assert!(number(&figures["season"], "dried_t") == 0.0);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert_eq!(page.matches("none dried").count(), 2);
    assert!(page.contains("No batch left drier than the target of 12.0 % w.b."));
    assert!(!page.contains("for each tonne of dry nuts"));
}
