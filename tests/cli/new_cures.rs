//! `dryledger new` with every crop, way of air and weather: what it writes can be checked, and every cure that is told can be
//! followed, to the digit.

use crate::case::{data, dryledger, root};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

const CROPS: [&str; 7] = ["macadamia", "walnut", "pecan", "hazelnut", "almond", "pistachio", "peanut"];

fn weathers() -> Vec<PathBuf> {
    let of_data =
        ["albany_tmy3.epw", "chicago_isd_lite.txt", "greensboro_tmy3.csv", "newark_asos.csv", "stockton_isd_lite.txt"];
    let mut all: Vec<PathBuf> = of_data.iter().map(|name| data(&format!("weather/{name}"))).collect();
    all.push(root().join("weather/valley_2032.csv"));
    all
}

/// Warnings that `check` tells of a study that it lets pass.
fn warnings(folder: &Path) -> Vec<(String, String)> {
    let line = ["check", "study.toml", "--json", "--set", "uncertainty.samples=0"];
    let checked = dryledger(&line).in_folder(folder).run().json();
    let all = checked["warnings"].as_array().expect("a list").clone();
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    all.iter().map(|one| (text(&one["code"]), text(&one["message"]))).collect()
}

/// Sets a key of a study where it stands, in use or not.
fn set(folder: &Path, key: &str, value: &str) {
    let path = folder.join("study.toml");
    let text = fs::read_to_string(&path).expect("a study");
    let is_it = |line: &str| line.trim_start_matches("# ").split(['=', ' ']).next() == Some(key);
    assert_eq!(text.lines().filter(|line| is_it(line)).count(), 1, "{key}");
    let lines: Vec<String> =
        text.lines().map(|line| if is_it(line) { format!("{key} = {value}") } else { line.to_owned() }).collect();
    fs::write(path, lines.join("\n")).expect("written");
}

#[test]
fn every_crop_air_and_weather_gives_a_study_whose_cures_can_be_followed() {
    let place = tempfile::tempdir().expect("a folder");
    let known = dryledger(&["crops", "--json"]).run().stdout;
    assert!(CROPS.iter().all(|crop| known.contains(&format!("\"{crop}\""))));
    let (mut followed, mut placed) = (0, 0);
    for (at, weather) in weathers().into_iter().enumerate() {
        for crop in CROPS {
            for air in ["once-through", "recirculating"] {
                let (name, what) = (format!("{at}-{crop}-{air}"), format!("{}, {crop}, {air}", weather.display()));
                let line = ["new", &name, "--crop", crop, "--air", air, "--weather", weather.to_str().expect("UTF-8")];
                let ran = dryledger(&line).in_folder(place.path()).run();
                assert_eq!((ran.code, ran.stderr.as_str()), (0, ""), "{what}");
                let folder = place.path().join(name);
                let text = fs::read_to_string(folder.join("study.toml")).expect("a study");
                assert!(!text.contains('@'), "{what}: {text}");
                // A key that the weather file does not tell is marked like all others.
                if text.contains("# altitude_m =") {
                    placed += 1;
                    for (key, value) in [
                        ("latitude", "41.8"),
                        ("longitude", "-87.9"),
                        ("altitude_m", "200"),
                        ("utc_offset", "\"-06:00\""),
                    ] {
                        let line = text.lines().find(|line| line.starts_with(&format!("# {key} ="))).expect(key);
                        assert!(line.contains("# REPLACE"), "{line}");
                        set(&folder, key, value);
                    }
                }
                for (code, message) in warnings(&folder) {
                    let wanted = message.split("dry to ").nth(1).and_then(|rest| rest.split(' ').next());
                    let (true, Some(wanted)) = (code == "crop.damp_target", wanted) else { continue };
                    followed += 1;
                    set(&folder, "dried_moisture", wanted);
                }
                let left: Vec<(String, String)> = warnings(&folder)
                    .into_iter()
                    // What a short file of a few days has mended is told, and is no fault of the study.
                    .filter(|(code, _)| !code.starts_with("mend.") && !code.ends_with(".missing"))
                    .filter(|(code, _)| {
                        !["gap.open", "time.absent", "time.stretches", "values.dropout"].contains(&code.as_str())
                    })
                    // The season is that of the file, and an extract may be of any month.
                    .filter(|(code, _)| code != "season.harvest")
                    .collect();
                assert_eq!(left, [], "{what}");
            }
        }
    }
    assert!(followed > 20 && placed >= 28, "{followed} {placed}");
}

/// A table that is read only with its columns named: the cure names the way, and it leads to a study.
#[test]
fn a_table_of_ones_own_comes_to_a_study_by_a_clean_copy() {
    let place = tempfile::tempdir().expect("a folder");
    let at = place.path();
    let all = fs::read_to_string(root().join("weather/valley_2031.csv")).expect("weather");
    let rows = all.lines().filter(|line| line.starts_with("2031-10-")).map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        format!("{},{},{}", cells[0], cells[1], cells[2])
    });
    let raw: Vec<String> = std::iter::once("q,x,y".to_owned()).chain(rows).collect();
    fs::write(at.join("raw.csv"), raw.join("\n")).expect("written");
    let new = |weather: &str| dryledger(&["new", "mine", "--crop", "walnut", "--weather", weather]).in_folder(at).run();
    let refused = new("raw.csv");
    refused.refused(&["raw.csv", "dryledger weather FILE --columns columns.toml --write clean.csv"]);
    assert!(!at.join("mine").exists());
    let map = "[weather.columns]\ntime = \"q\"\ndry_bulb = \"x\"\nrelative_humidity = \"y\"\n";
    fs::write(at.join("columns.toml"), map).expect("written");
    let line = ["weather", "raw.csv", "--columns", "columns.toml", "--write", "clean.csv"];
    let ran = dryledger(&line).in_folder(at).run();
    ran.ends_well();
    let ran = new("clean.csv");
    ran.ends_well();
    let _ = warnings(&at.join("mine"));
}

/// Whatever a weather file is called, the study names it as it is.
#[test]
fn no_name_of_a_file_is_taken_for_a_place_of_the_template() {
    let place = tempfile::tempdir().expect("a folder");
    let name = "@HEAT@ @CROP@ # REPLACE.csv";
    let all = fs::read_to_string(root().join("weather/valley_2031.csv")).expect("weather");
    fs::write(place.path().join(name), all).expect("written");
    let ran = dryledger(&["new", "mine", "--crop", "walnut", "--weather", name]).in_folder(place.path()).run();
    ran.ends_well();
    let folder = place.path().join("mine");
    let text = fs::read_to_string(folder.join("study.toml")).expect("a study");
    assert!(text.contains(&format!("files = [\"weather/{name}\"]")), "{text}");
    assert_eq!(warnings(&folder), []);
}

/// The bed's bulk density is the library's, with where it comes from.
#[test]
fn a_bin_is_as_wide_as_the_nuts_of_the_library_need() {
    let place = tempfile::tempdir().expect("a folder");
    let weather = root().join("weather/valley_2032.csv");
    for (crop, bulk, floor) in [("walnut", "320", "12.5"), ("macadamia", "620", "6.5")] {
        let line = ["new", crop, "--crop", crop, "--weather", weather.to_str().expect("UTF-8")];
        dryledger(&line).in_folder(place.path()).run().ends_well();
        let text = fs::read_to_string(place.path().join(crop).join("study.toml")).expect("a study");
        let line = text.lines().find(|line| line.starts_with("bins = ")).expect("bins");
        assert!(line.contains(&format!("a bed of 1.5 m of {bulk} kg/m³ of the crop library (")), "{line}");
        assert!(line.contains(&format!("floor_area_m2 = {floor}")), "{line}");
    }
}
