//! `dryledger new`: a study that runs as it is, and teaches.

use crate::case::{dryledger, number_at, root};
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn written() -> TempDir {
    let place = tempfile::tempdir().expect("a folder");
    let ran = dryledger(&["new", "mine"]).in_folder(place.path()).run();
    ran.ends_well();
    for words in ["dryledger check mine/study.toml", "dryledger report", "invented"] {
        assert!(ran.stdout.contains(words), "{}", ran.stdout);
    }
    place
}

/// What is most easily moved: bill, net present cost and heat need of every option.
fn moved(folder: &Path) -> Vec<f64> {
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json();
    let options = figures["options"].as_array().expect("options").clone();
    let of = |option: &Value| {
        ["/total_cost", "/life_cycle/net_present_cost", "/heat_need_kwh"].map(|pointer| number_at(option, pointer))
    };
    options.iter().flat_map(of).collect()
}

#[test]
fn what_new_writes_can_be_checked_and_reported_without_a_warning() {
    let place = written();
    let study = place.path().join("mine");
    let checked = dryledger(&["check", "study.toml", "--json"]).in_folder(&study).run();
    assert_eq!(checked.json()["warnings"], Value::Array(Vec::new()));
    let ran = dryledger(&["report", "study.toml", "--strict"]).in_folder(&study).run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
    assert!(study.join("report.html").exists());
}

/// The same as a user runs it: with draws, and with the standing list of measures.
#[test]
#[ignore = "runs two whole years with all draws; `.ci/run` runs it"]
fn what_new_writes_is_reported_for_its_whole_seasons_without_a_warning() {
    let place = written();
    let ran = dryledger(&["report", "study.toml", "--strict"]).in_folder(&place.path().join("mine")).unaltered().run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
}

#[test]
fn its_weather_is_the_bundled_weather_and_says_that_it_is_invented() {
    let place = written();
    for file in ["weather/upland_2031.csv", "weather/upland_2032.csv"] {
        let text = fs::read_to_string(place.path().join("mine").join(file)).expect("weather");
        assert!(text.starts_with("# invented weather"));
        assert!(text == fs::read_to_string(root().join(file)).expect("weather"), "{file}");
    }
}

/// `# key = value` at the start of a line is an optional key at its default: written out, all of them
/// are known keys and change no figure.
#[test]
fn every_optional_key_it_shows_is_at_its_default() {
    let place = written();
    let study = place.path().join("mine");
    // A few weeks of one year show what a key moves as well as two seasons.
    fs::remove_file(study.join("weather/upland_2031.csv")).expect("a year");
    let path = study.join("study.toml");
    let text = fs::read_to_string(&path).expect("text");
    assert!(text.contains("ends = \"08-31\"\n") && text.contains("season_tonnes = 320.0"));
    let text = text.replace("ends = \"08-31\"\n", "ends = \"04-30\"\n");
    fs::write(&path, text.replace("season_tonnes = 320.0", "season_tonnes = 106.0")).expect("written");
    let before = moved(&study);
    let mut shown = 0;
    for file in ["study.toml", "tariff.toml"] {
        let path = study.join(file);
        let mut set = String::new();
        for line in fs::read_to_string(&path).expect("text").lines() {
            let key = line.strip_prefix("# ").filter(|rest| {
                let word = rest.split(' ').next().unwrap_or("");
                rest.starts_with(&format!("{word} = "))
            });
            shown += usize::from(key.is_some());
            set += key.unwrap_or(line);
            set.push('\n');
        }
        fs::write(&path, set).expect("written");
    }
    assert!(shown > 45, "{shown} optional keys");
    let after = moved(&study);
    assert!(after.len() == before.len() && after.len() >= 12, "{after:?}");
    for (before, after) in before.iter().zip(after) {
        assert!((before / after - 1.0).abs() < 1e-4, "{before} became {after}");
    }
}

#[test]
fn a_folder_that_holds_anything_is_left_alone() {
    let place = tempfile::tempdir().expect("a folder");
    fs::write(place.path().join("notes.txt"), "mine").expect("written");
    let ran = dryledger(&["new", "."]).in_folder(place.path()).run();
    assert_eq!(ran.code, 3);
    assert!(ran.stdout.is_empty());
    assert!(ran.stderr.contains("name a new or empty folder"), "{}", ran.stderr);
    assert_eq!(fs::read_dir(place.path()).expect("entries").count(), 1);
    let ran = dryledger(&["new", "notes.txt"]).in_folder(place.path()).run();
    assert_eq!(ran.code, 3, "{}", ran.stderr);
}
