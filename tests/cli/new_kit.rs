//! `dryledger new --crop --weather --air`: a study of a person's own that runs as it is and says what to replace.

use crate::case::{dryledger, root};
use serde_json::Value;
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;

/// Weather of an autumn alone, with its header, so that a report of it is quick.
fn autumn(place: &TempDir) -> PathBuf {
    let all = fs::read_to_string(root().join("weather/valley_2031.csv")).expect("weather");
    let is_kept = |line: &&str| !line.starts_with("2031-") || ("2031-10-01".."2031-10-21").contains(&&line[..10]);
    let kept: Vec<&str> = all.lines().filter(is_kept).collect();
    assert!(kept.len() > 20 * 24, "{} lines", kept.len());
    let path = place.path().join("autumn [1].csv");
    fs::write(&path, kept.join("\n")).expect("written");
    path
}

#[test]
fn a_study_of_ones_own_runs_as_it_is_with_either_way_of_air() {
    let place = tempfile::tempdir().expect("a folder");
    let weather = autumn(&place);
    let weather = weather.to_str().expect("UTF-8");
    for (air, crop) in [("once-through", "walnut"), ("recirculating", "hazelnut")] {
        let ran =
            dryledger(&["new", air, "--crop", crop, "--weather", weather, "--air", air]).in_folder(place.path()).run();
        assert_eq!((ran.code, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
        let folder = place.path().join(air);
        let text = fs::read_to_string(folder.join("study.toml")).expect("a study");
        assert!(!text.contains('@'), "{text}");
        let marked = text.matches("# REPLACE").count();
        assert!(marked > 15 && ran.stdout.contains(&format!("Its {marked} values")), "{}", ran.stdout);
        // Every line of money is marked, and no optional key is shown that is not in use.
        for line in text.lines().filter(|line| ["price", "capital", "upkeep"].iter().any(|key| line.starts_with(key))) {
            assert!(line.contains("# REPLACE"), "{line}");
        }
        let checked = dryledger(&["check", "study.toml", "--json"]).in_folder(&folder).run().json();
        assert_eq!(checked["warnings"], Value::Array(Vec::new()), "{air}");
        let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(&folder).run().json();
        assert_eq!(figures["study"]["air"], air);
        let does = figures["options"].as_array().expect("options").iter().map(|option| option["does_the_work"] == true);
        assert!(
            does.clone().count() == 2 && does.clone().all(|does| does),
            "{air}: {}",
            figures["options"][0]["work_left"]
        );
    }
}

#[test]
fn the_site_is_that_of_the_weather_file() {
    let place = tempfile::tempdir().expect("a folder");
    let weather = autumn(&place);
    let weather = weather.to_str().expect("UTF-8");
    dryledger(&["new", "mine", "--crop", "walnut", "--weather", weather]).in_folder(place.path()).run();
    let text = fs::read_to_string(place.path().join("mine/study.toml")).expect("a study");
    let whole: toml::Table = text.parse().expect("TOML");
    let site = &whole["site"];
    assert_eq!(site["latitude"].as_float(), Some(38.0), "{text}");
    assert_eq!(site["utc_offset"].as_str(), Some("-08:00"), "{text}");
    assert_eq!(whole["season"]["starts"].as_str(), Some("10-01"));
}

#[test]
fn what_failed_leaves_nothing_and_can_be_asked_again() {
    let place = tempfile::tempdir().expect("a folder");
    let bad = place.path().join("bad.csv");
    fs::write(&bad, "no weather at all\n1,2,3\n").expect("written");
    let good = autumn(&place);
    let new = |crop: &str, weather: &std::path::Path| {
        let weather = weather.to_str().expect("UTF-8");
        dryledger(&["new", "mine", "--crop", crop, "--weather", weather]).in_folder(place.path()).run()
    };
    new("walnut", &bad).refused(&["bad.csv"]);
    new("wallnut", &good).refused(&["walnut"]);
    assert!(!place.path().join("mine").exists());
    new("walnut", &good).ends_well();
    assert_eq!(new("walnut", &good).code, 3, "a study that is there is left alone");
    dryledger(&["new", "mine", "--crop", "walnut"]).in_folder(place.path()).run().refused(&["--weather"]);
}

#[test]
fn shells_and_manuals_know_the_commands() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = dryledger(&["completions", shell]).run();
        assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
        for word in ["report", "weather", "samples"] {
            assert!(ran.stdout.contains(word), "{shell}: no {word}");
        }
    }
    let page = dryledger(&["manual", "report"]).run().stdout;
    assert!(page.starts_with(".ie") && page.contains(".TH dryledger-report 1"), "{}", &page[..200]);
    assert!(page.contains("hourly") && page.contains("SYNOPSIS"));
    let all = dryledger(&["manual"]).run().stdout;
    assert!(all.contains(".TH dryledger 1") && all.contains("report"));
    dryledger(&["manual", "reprot"]).run().refused(&["no command `reprot`", "report"]);
}
