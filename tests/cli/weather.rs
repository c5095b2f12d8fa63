//! `dryledger weather`.

use crate::case::{data, dryledger};
use std::fmt::Write as _;
use std::fs;

fn fresno() -> String {
    data("weather/fresno_tmy3.epw").display().to_string()
}

#[test]
fn the_keys_of_the_contract_are_there() {
    let weather = dryledger(&["weather", &fresno(), "--json"]).run().json();
    for (key, expected) in [
        ("format", serde_json::json!("epw")),
        ("latitude", serde_json::json!(36.78)),
        ("longitude", serde_json::json!(-119.72)),
        ("elevation_m", serde_json::json!(102.0)),
        ("utc_offset_h", serde_json::json!(-8.0)),
        ("step_minutes", serde_json::json!(60)),
        ("hours", serde_json::json!(8760)),
        ("hours_expected", serde_json::json!(8760)),
        ("mended_hours", serde_json::json!(0)),
        ("typical_year", serde_json::json!(true)),
        ("first", serde_json::json!("1979-01-01T00:00")),
    ] {
        assert_eq!(weather[key], expected, "{key}");
    }
    for part in ["dry_bulb", "humidity", "pressure"] {
        assert_eq!(weather["missing"][part], 0, "{part}");
    }
    assert!(weather["problems"].is_array());
}

#[test]
fn a_clean_copy_gives_the_same_heat() {
    let folder = tempfile::tempdir().expect("a folder");
    let copy = folder.path().join("clean.csv").display().to_string();
    let written = dryledger(&["weather", &fresno(), "--write", &copy]).run();
    written.ends_well();
    let heat = |file: &str| {
        dryledger(&["heat", file, "--to", "50", "--json"]).run().json()["heat_kwh_per_kg_per_s"]
            .as_f64()
            .expect("a number")
    };
    assert!((heat(&copy) / heat(&fresno()) - 1.0).abs() < 2e-6);
    let again = dryledger(&["weather", &copy, "--json"]).run().json();
    assert_eq!(again["format"], "dryledger csv");
    assert_eq!(again["hours"], 8760);
    assert_eq!(again["typical_year"], true);
    assert_eq!(again["elevation_m"], 102.0);
    let left = fs::read_dir(folder.path()).expect("the folder").count();
    assert_eq!(left, 1, "nothing but the copy is left behind");
}

#[test]
fn what_is_no_weather_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text, words) in [
        ("empty.epw", &b""[..], "empty"),
        ("letter.txt", b"Dear all,\nthe weather was fine.\n", "letter.txt"),
        ("header.csv", b"time,dry_bulb_c,relative_humidity_pct\n", "no data rows"),
        ("noise.bin", b"\x00\x01\x02\xff\xfe\x00\x80\x81", "noise.bin"),
    ] {
        let path = folder.path().join(name);
        fs::write(&path, text).expect("a file");
        dryledger(&["weather", &path.display().to_string(), "--json"]).run().refused(&[words]);
    }
}

fn stockton() -> String {
    data("weather/stockton_isd_lite.txt").display().to_string()
}

#[test]
fn a_copy_with_long_gaps_is_written_only_when_told_to_fill_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let copy = folder.path().join("clean.csv").display().to_string();
    dryledger(&["weather", &stockton(), "--write", &copy])
        .run()
        .refused(&["40 h from 2017-08-26 23:00", "--fill-long-gaps"]);
    assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 0);
    let filled = dryledger(&["weather", &stockton(), "--fill-long-gaps", "--write", &copy, "--json"]).run().json();
    assert_eq!(filled["mended_hours"], 40);
    assert_eq!(filled["mends"]["neighbour_day_hours"], 40);
    let again = dryledger(&["weather", &copy, "--json"]).run().json();
    assert_eq!((&again["hours"], &again["hours_absent"]), (&261.into(), &0.into()));
    let nowhere = dryledger(&["weather", &fresno(), "--write", "no/such/folder/clean.csv"]).run();
    assert_eq!(nowhere.code, 3, "{}", nowhere.stderr);
}

#[test]
fn several_files_are_joined() {
    let chicago = data("weather/chicago_isd_lite.txt").display().to_string();
    let joined = dryledger(&["weather", &chicago, &stockton(), "--json"]).run().json();
    assert_eq!(joined["files"].as_array().expect("files").len(), 2);
    assert_eq!(joined["years"][0]["year"], 2016);
    assert_eq!(joined["years"][1]["year"], 2017);
    assert_eq!(joined["open_gaps"][0]["hours"], 40);
    dryledger(&["weather", &chicago, &fresno(), "--json"]).run().refused(&["typical year", "alone"]);
}

#[test]
fn a_guessed_table_comes_with_the_block_to_paste() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("logger.csv");
    let mut csv = String::from("Datum;Temperatur [°C];Feuchte [%]\n");
    for hour in 0..72 {
        let _ = writeln!(csv, "{:02}.01.2025 {:02}:00;2{},5;6{}", hour / 24 + 13, hour % 24, hour % 7, hour % 9);
    }
    fs::write(&path, csv).expect("a file");
    let told = dryledger(&["weather", &path.display().to_string()]).run();
    told.ends_well();
    for word in [
        "[weather.columns]",
        "time = \"Datum\"",
        "time_form = \"day-month-year\"",
        "decimal = \",\"",
        "separator = \";\"",
    ] {
        assert!(told.stdout.contains(word), "no {word} in {}", told.stdout);
    }
}
