//! What is told of the weather and of measures, in the units of the study's reader: page and terminal tell them, files
//! stay in SI.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// The small study of an American reader, somewhat higher than its weather says.
fn american() -> tempfile::TempDir {
    let folder = small();
    replace(folder.path(), "study.toml", "currency = \"USD\"", "currency = \"USD\"\nunits = \"us\"");
    replace(folder.path(), "study.toml", "altitude_m = 540", "altitude_m = 840");
    folder
}

fn page(folder: &Path) -> String {
    let page = fs::read_to_string(folder.join("report.html")).expect("a page");
    page.replace(['\u{a0}', '\u{202f}'], " ")
}

fn flat(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_is_doubtful_of_the_weather_is_told_in_the_readers_units() {
    let folder = american();
    let at = folder.path();
    let (us, si) = ("the site, at 2,756 ft, lies 984 ft above", "the site, at 840 m, lies 300 m above");
    let checked = flat(&dryledger(&["check", "study.toml"]).in_folder(at).run().stdout);
    assert!(checked.contains(us) && checked.contains("about 4 °F") && !checked.contains(si), "{checked}");
    let ran = dryledger(&["report", "study.toml"]).in_folder(at).run();
    ran.ends_well();
    assert!(flat(&ran.stderr).contains(us), "{}", ran.stderr);
    assert!(flat(&ran.stdout).contains(us), "{}", ran.stdout);
    let page = page(at);
    assert!(page.contains(us) && !page.contains(si));
    // Programs are told in SI.
    let figures: Value =
        serde_json::from_str(&fs::read_to_string(at.join("figures.json")).expect("figures")).expect("JSON");
    for part in [&figures["warnings"], &figures["weather"]["notes"]] {
        assert!(part.to_string().contains(si) && !part.to_string().contains(" ft"), "{part}");
    }
    let json = dryledger(&["check", "study.toml", "--json"]).in_folder(at).run().json();
    assert!(json["notes"].to_string().contains(si) && json["weather_notes"].to_string().contains(si), "{json}");
    // Who reads in SI is told as before.
    replace(at, "study.toml", "units = \"us\"", "units = \"si\"");
    let checked = flat(&dryledger(&["check", "study.toml"]).in_folder(at).run().stdout);
    assert!(checked.contains(si) && checked.contains("about 2 K"), "{checked}");
}

/// A file's own faults, in the words of its checks.
#[test]
fn a_spike_in_the_weather_is_told_in_the_readers_units() {
    let folder = american();
    let at = folder.path();
    let text = fs::read_to_string(at.join("weather.csv")).expect("weather");
    let mut hours = 0;
    let lines: Vec<String> = text
        .lines()
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            hours += usize::from(cells[0].starts_with("20"));
            match hours {
                30 if cells.len() > 2 => format!("{},{},{}", cells[0], "95", cells[2..].join(",")),
                60 if cells.len() > 2 => {
                    let warm: f64 = cells[1].parse().expect("a temperature");
                    format!("{},{},{}", cells[0], warm + 17.0, cells[2..].join(","))
                }
                _ => line.to_owned(),
            }
        })
        .collect();
    fs::write(at.join("weather.csv"), lines.join("\n")).expect("written");
    let checked = flat(&dryledger(&["check", "study.toml"]).in_folder(at).run().stdout);
    assert!(checked.contains("an impossible dry bulb (203 °F, believed: −76 °F..140 °F;"), "{checked}");
    let spike = checked.split("jumps by more than ").nth(1).expect("a spike");
    assert!(spike.split(" and back").next().expect("a step").ends_with(" °F"), "{spike}");
}

/// Measures of the standing list and what they leave undone, which are found by those who march at once.
#[test]
fn what_measures_do_is_told_in_the_readers_units() {
    let folder = american();
    let at = folder.path();
    replace(at, "study.toml", "altitude_m = 840", "altitude_m = 540");
    // So little heat that cooler drying air is short of it.
    let text = fs::read_to_string(at.join("study.toml")).expect("the study");
    fs::write(at.join("study.toml"), text.replace("capacity_kw = 30.0", "capacity_kw = 26.0")).expect("written");
    let ran = dryledger(&["report", "study.toml", "--samples", "0"]).unaltered().in_folder(at).run();
    ran.ends_well();
    let page = page(at);
    assert!(page.contains("the cool store 3.6 °F warmer"));
    for si in ["drying air 3 K warmer", "drying air 3 K cooler", "the cool store 2 K warmer", "drying air 10 K cooler"]
    {
        assert!(!page.contains(si), "{si}");
    }
    let figures: Value =
        serde_json::from_str(&fs::read_to_string(at.join("figures.json")).expect("figures")).expect("JSON");
    let screening = figures["screening"].to_string();
    assert!(screening.contains("drying air 3 K warmer") && !screening.contains("°F"), "{screening}");
    let mut told = 0;
    for measure in
        figures["screening"].as_array().expect("a list").iter().filter_map(|one| one["measures"].as_array()).flatten()
    {
        for left in measure["work_left"].as_array().expect("a list").iter().filter_map(Value::as_str) {
            told += 1;
            let left = left.replace(['\u{a0}', '\u{202f}'], " ");
            assert!(!page.contains(&left), "in SI on the page: {left}");
        }
    }
    assert!(told > 0, "no measure leaves work undone: {screening}");
}
