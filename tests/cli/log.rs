//! `dryledger log`.

use crate::case::{data, dryledger, number_at, root};
use serde_json::Value;
use std::fmt::Write as _;
use std::path::PathBuf;

fn log(name: &str) -> String {
    data("log").join(name).display().to_string()
}

/// The constants that made the example logs (`tests/data/log/make.py`): k = 0.030 1/h at 40 °C, 26 kJ/mol.
fn true_rate(at_c: f64) -> f64 {
    let lag = 1.0 / (at_c + 273.15) - 1.0 / 313.15;
    0.030 * (-26.0 / 8.314_462_618e-3 * lag).exp()
}

fn holds(found: &Value, path: &str, truth: f64) {
    let (low, high) = (number_at(found, &format!("{path}/low")), number_at(found, &format!("{path}/high")));
    assert!(low <= truth && truth <= high, "{path}: {low}..{high}, not {truth}");
}

#[test]
fn two_thin_layers_give_the_constants_that_made_them() {
    let found = dryledger(&["log", &log("thin_38.csv"), &log("thin_50.csv"), "--json"]).run().json();
    assert_eq!(found["crop"], "macadamia");
    assert_eq!(found["law"], "Newton (Lewis)");
    let at_c = number_at(&found, "/rate_temperature_c");
    holds(&found, "/drying_rate_per_h", true_rate(at_c));
    holds(&found, "/activation_energy_kj_per_mol", 26.0);
    holds(&found, "/logs/0/start_moisture_pct_wb", 22.0);
    holds(&found, "/logs/1/start_moisture_pct_wb", 22.0);
    // made with a scatter of 0.25 points, 30 degrees of freedom: 95 % of such fits show 0.19..0.32
    let sd = number_at(&found, "/residual_sd_points");
    assert!((0.19..0.32).contains(&sd), "{sd}");
    assert_eq!(found["degrees_of_freedom"], 30);
    assert_eq!(found["doubts"].as_array().map(Vec::len), Some(0));
    assert_eq!(found["logs"][0]["samples"][0]["line"], 4);
}

#[test]
fn a_deep_bin_in_day_and_night_air_gives_the_rate_that_made_it() {
    let found = dryledger(&["log", &log("bin.csv"), "--json"]).run().json();
    let at_c = number_at(&found, "/rate_temperature_c");
    assert!(at_c < 40.0, "nuts in a wet bed are cooler than its air: {at_c}");
    holds(&found, "/drying_rate_per_h", true_rate(at_c));
    assert!(found["activation_energy_kj_per_mol"].is_null());
    assert_eq!(number_at(&found, "/activation_energy_in_use_kj_per_mol"), 30.0);
    assert_eq!(found["logs"][0]["samples"].as_array().map(Vec::len), Some(16));
    // all three together tell the activation energy as well
    let all = dryledger(&["log", &log("bin.csv"), &log("thin_38.csv"), &log("thin_50.csv"), "--json"]).run().json();
    holds(&all, "/activation_energy_kj_per_mol", 26.0);
    holds(&all, "/drying_rate_per_h", true_rate(number_at(&all, "/rate_temperature_c")));
}

#[test]
fn the_answer_fits_the_terminal_and_shows_misses_and_the_block() {
    let ran = dryledger(&["log", &log("bin.csv")]).run();
    ran.ends_well();
    for words in ["95 % interval", "│", "▪", "! the air changed by", "[crop]", "1.65 m deep"] {
        assert!(ran.stdout.contains(words), "no '{words}' in:\n{}", ran.stdout);
    }
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 100));
}

/// The demonstration study with this block in place of its crop, all paths made absolute.
fn study_with(block: &str, folder: &std::path::Path) -> PathBuf {
    let root = root();
    let demo = std::fs::read_to_string(root.join("reports/demo/study.toml")).expect("the study");
    let (head, isotherm) = block.split_once("\n[crop.isotherm]").unwrap_or((block, ""));
    let mut crop = head.to_owned();
    if !isotherm.is_empty() {
        // a table of its own comes after the keys of [crop]
        let _ = write!(
            crop,
            "received_moisture = 22.0\ndried_moisture = 10.0\nseason_tonnes = 640.0\n\
            intake_shape = \"bell\"\n\n[crop.isotherm]{isotherm}\n"
        );
    }
    let (before, rest) = demo.split_once("[crop]").expect("a crop");
    let after = &rest[rest.find("\n[[room]]").expect("a room")..];
    let keys = &rest[..rest.find("\n[[room]]").expect("a room")];
    if isotherm.is_empty() {
        let kept = keys.lines().filter(|line| !line.starts_with("kind"));
        crop += &kept.collect::<Vec<_>>().join("\n");
    }
    let text = format!("{before}{crop}\n{after}")
        .replace("../../weather/", &format!("{}/weather/", root.display()))
        .replace("\"tariff.toml\"", &format!("\"{}/reports/demo/tariff.toml\"", root.display()));
    let path = folder.join("study.toml");
    std::fs::write(&path, text).expect("a study written");
    path
}

#[test]
fn the_block_is_a_crop_that_check_accepts() {
    let folder = tempfile::tempdir().expect("a folder");
    let thin = [log("thin_38.csv"), log("thin_50.csv")];
    let plain = vec!["log", &thin[0], &thin[1], "--json"];
    let with_isotherm = vec!["log", &thin[0], &thin[1], "--fit-isotherm", "--json"];
    for (arguments, has_isotherm) in [(plain, false), (with_isotherm, true)] {
        let found = dryledger(&arguments).run().json();
        let block = found["crop_block"].as_str().expect("a block");
        assert_eq!(block.contains("[crop.isotherm]"), has_isotherm, "{block}");
        let study = study_with(block, folder.path());
        let checked = dryledger(&["check", study.to_str().expect("UTF-8"), "--json"]).run().json();
        let by_default = checked["defaults"].as_array().expect("defaults");
        assert!(!by_default.is_empty());
        for key in ["crop.drying_rate", "crop.activation_energy", "crop.rate_temperature"] {
            assert!(by_default.iter().all(|input| input["path"] != key), "{key} is still the library's");
        }
        // what the study reads is what was found
        let toml: toml::Table = block.parse().expect("TOML");
        let rate = toml["crop"]["drying_rate"].as_float().expect("a rate");
        assert!((rate / number_at(&found, "/drying_rate_per_h/value") - 1.0).abs() < 1e-3);
    }
}

#[test]
fn the_page_is_whole_and_fetches_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("fit.html");
    let ran = dryledger(&["log", &log("bin.csv"), "--html", page.to_str().expect("UTF-8")]).run();
    ran.ends_well();
    let html = std::fs::read_to_string(&page).expect("a page");
    assert!(html.starts_with("<!doctype html>") && html.trim_end().ends_with("</html>"));
    for never in ["<script", "http://", "https://", "NaN", "inf\"", "url("] {
        assert!(!html.contains(never), "{never} in the page");
    }
    assert_eq!(html.matches("<svg").count(), 2);
    assert_eq!(html.matches("<title id=").count(), 2);
    assert_eq!(html.matches("<circle").count(), 32);
    assert!(html.contains("lang=\"en\"") && html.contains("In doubt") && html.contains("[crop]"));
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 1);
}

/// Runs a log written here; what comes back is its refusal.
fn refused(text: &str, options: &[&str], words: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("batch.csv");
    std::fs::write(&path, text).expect("a log written");
    let mut arguments = vec!["log", path.to_str().expect("UTF-8"), "--crop", "macadamia"];
    arguments.extend_from_slice(options);
    dryledger(&arguments).run().refused(words);
}

const AIR: [&str; 4] = ["--air-c", "40", "--rh", "20"];

#[test]
fn bad_logs_are_refused_with_line_and_cure() {
    for (text, words) in [
        ("time,moisture\n0,22\n", ["batch.csv:1:", "rename it"]),
        ("time,note\n0,22\n", ["batch.csv:1:", "no column moisture_pct"]),
        ("time,moisture_pct\n0,22\n6,wet\n12,18\n", [":3:", "'wet'"]),
        ("time,moisture_pct\n0,22\n6,nan\n12,18\n", [":3:", "nan"]),
        ("time,moisture_pct\n0,22\n6,20\n6,18\n", [":4:", "sort the rows"]),
        ("time,moisture_pct\n0,72\n6,20\n12,18\n", [":2:", "wet basis"]),
        ("time,moisture_pct\n0,22\n", ["1 sample of moisture", "ten or more"]),
        ("time,moisture_pct\n0,22\n360,20\n3600,15\n", ["3600 h", "not in minutes"]),
        ("time,moisture_pct\n", ["batch.csv", "holds no rows"]),
        ("", ["batch.csv", "no column time"]),
        ("time,moisture_pct\n0,20\n6,21\n12,22\n18,23\n", ["no drying rate", "falls with time"]),
        ("# flow = 3\ntime,moisture_pct\n0,22\n", [":1:", "airflow_m3_per_s_per_tonne"]),
        ("# layers = 12\ntime,moisture_pct\n0,22\n6,20\n12,18\n", ["without an airflow", "--airflow"]),
        ("time,moisture_pct,air_c\n0,22,40\n6,20,40\n12,18,41\n", ["air_c", "leave out one"]),
    ] {
        refused(text, &AIR, &words);
    }
}

#[test]
fn wrong_requests_are_refused_with_what_would_do() {
    let good = "time,moisture_pct\n0,22\n6,20\n12,18\n18,16.5\n";
    refused(good, &[], &["--air-c", "--rh", "--weather"]);
    refused(good, &["--air-c", "140", "--rh", "20"], &["--air-c", "0..100 °C"]);
    refused(good, &["--air-c", "40", "--rh", "120"], &["--rh", "0..100 %"]);
    refused(good, &["--weather", "x.csv"], &["--to"]);
    refused(good, &["--air-c", "40", "--rh", "20", "--airflow", "0"], &["--airflow", "m³/s per tonne"]);
    refused(good, &["--air-c", "40", "--rh", "20", "--airflow", "0.1", "--tonnes", "6"], &["floor_area_m2", "both"]);
    let path = log("thin_38.csv");
    dryledger(&["log", &path, "--crop", "macademia"]).run().refused(&["did you mean 'macadamia'"]);
    let missing = dryledger(&["log", "no-such.csv", "--crop", "macadamia"]).run();
    assert_eq!(missing.code, 3);
    assert!(missing.stderr.contains("no-such.csv"));
}

#[test]
fn logs_of_two_crops_are_not_mixed_and_a_crop_must_be_known() {
    let folder = tempfile::tempdir().expect("a folder");
    let other = folder.path().join("other.csv");
    std::fs::write(
        &other,
        "# crop = walnut\ntime,moisture_pct,air_c,relative_humidity_pct\n0,30,43,20\n6,25,43,20\n12,20,43,20\n",
    )
    .expect("a log written");
    let other = other.to_str().expect("UTF-8");
    dryledger(&["log", &log("thin_38.csv"), other]).run().refused(&["walnut", "macadamia", "by itself"]);
    let nameless = folder.path().join("nameless.csv");
    std::fs::write(&nameless, "time,moisture_pct\n0,30\n6,25\n12,20\n").expect("a log written");
    dryledger(&["log", nameless.to_str().expect("UTF-8"), "--air-c", "40", "--rh", "20"])
        .run()
        .refused(&["of what crop", "--crop"]);
}

/// A thin layer in outside air heated to 45 °C: the air of each hour is worked out here from the weather
/// file's own columns, and the log with these columns must give the rate that --weather gives.
#[test]
fn heated_outside_air_is_the_air_of_the_weather_file_with_its_water_kept() {
    let weather = root().join("weather/upland_2031.csv");
    let weather = weather.to_str().expect("UTF-8");
    let folder = tempfile::tempdir().expect("a folder");
    let moistures = [22.0, 18.9, 16.4, 14.1, 12.4, 10.8, 9.6, 8.5];
    let mut bare = "time,moisture_pct\n".to_owned();
    for (at, pct) in moistures.iter().enumerate() {
        let _ = writeln!(bare, "2031-04-0{} {:02}:00,{pct}", 2 + at / 4, at % 4 * 6);
    }
    let path = folder.path().join("batch.csv");
    std::fs::write(&path, &bare).expect("a log written");
    let batch = path.to_str().expect("UTF-8");
    let found = dryledger(&[
        "log",
        batch,
        "--crop",
        "macadamia",
        "--weather",
        weather,
        "--to",
        "45",
        "--altitude",
        "540",
        "--json",
    ])
    .run()
    .json();
    assert_eq!(number_at(&found, "/rate_temperature_c"), 45.0);
    let words = found["logs"][0]["air_and_bed"].to_string();
    assert!(words.contains("45.0 °C") && words.contains("heated"), "{words}");

    let hour = |day: usize, hour: usize| format!("2031-04-0{day} {hour:02}:30");
    let table = std::fs::read_to_string(weather).expect("the weather");
    let mut with_air = "time,moisture_pct,air_c,relative_humidity_pct\n".to_owned();
    let mut rows = table.lines().filter(|line| line.starts_with("2031-04-02") || line.starts_with("2031-04-03"));
    for day in 2..=3 {
        for h in 0..24 {
            if h % 6 == 0 {
                let pct = moistures[(day - 2) * 4 + h / 6];
                let _ = writeln!(with_air, "2031-04-0{day} {h:02}:00,{pct},,");
            }
            let cells: Vec<&str> = rows.next().expect("an hour").split(',').collect();
            let outside: Vec<f64> = cells[1..].iter().filter_map(|c| c.parse().ok()).collect();
            let (c, rh) = (outside[0], outside[1]);
            // Magnus' formula over water stands in for the saturation curve; it is good to 0.1 %.
            let saturation = |t: f64| (17.62 * t / (243.12 + t)).exp();
            let heated = rh * saturation(c) / saturation(45.0);
            let _ = writeln!(with_air, "{},,45,{heated:.4}", hour(day, h));
        }
    }
    std::fs::write(&path, &with_air).expect("a log written");
    let by_columns = dryledger(&["log", batch, "--crop", "macadamia", "--altitude", "540", "--json"]).run().json();
    let (a, b) = (number_at(&found, "/drying_rate_per_h/value"), number_at(&by_columns, "/drying_rate_per_h/value"));
    assert!((a / b - 1.0).abs() < 2e-3, "{a} {b}");
    // dates that the weather does not cover
    std::fs::write(&path, bare.replace("2031-", "2021-")).expect("a log written");
    dryledger(&["log", batch, "--crop", "macadamia", "--weather", weather, "--to", "45"])
        .run()
        .refused(&["2021-04-02 00:00", "it covers 2031"]);
}

#[test]
fn one_log_given_twice_is_refused() {
    let thin = log("thin_38.csv");
    dryledger(&["log", &thin, &thin]).run().refused(&["thin_38.csv", "given twice"]);
}
