//! Two crops in the bins of one plant, through the binary: the demo with one option and one weather year.

use crate::case::{Ran, dryledger, root};
use serde_json::Value;
use std::collections::HashMap;
use std::fs;
use std::path::Path;

const MACADAMIA: &str = "kind = \"macadamia\"\nreceived_moisture = 22.0\ndried_moisture = 10.0\nseason_tonnes = 320.0\n";
/// A second crop that comes evenly and is dried further.
const PECAN: &str = "[[crop]]\nname = \"pecan\"\nkind = \"pecan\"\nreceived_moisture = 20.0\n\
                     dried_moisture = 8.0\nseason_tonnes = 120.0\nintake_shape = \"even\"\n";

fn run(folder: &Path, command: &str, crops: &str, json: bool) -> Ran {
    let demo = root().join("reports/demo");
    let weather = root().join("weather/upland_2032.csv");
    let text = fs::read_to_string(demo.join("study.toml")).expect("the demo");
    let part = |from: &str, to: &str| {
        let start = text.find(from).expect("its start");
        let end = text[start..].find(to).expect("its end") + start;
        text[start..end].to_owned()
    };
    let text = text
        .replace(&part("[crop]", "[[room]]"), &format!("{crops}\n"))
        .replace(&part("[[option]]\nname = \"lpg\"", "[money]"), "")
        .replace(
            "../../weather/upland_20*.csv",
            weather.to_str().expect("UTF-8"),
        );
    fs::copy(demo.join("tariff.toml"), folder.join("tariff.toml")).expect("the tariff");
    let study = folder.join("study.toml");
    fs::write(&study, text).expect("the study");
    let mut arguments = vec![command, study.to_str().expect("UTF-8")];
    if json {
        arguments.push("--json");
    }
    dryledger(&arguments).run()
}

fn figures(crops: &str) -> Value {
    let folder = tempfile::tempdir().expect("a folder");
    run(folder.path(), "report", crops, true).json()
}

fn refused(crops: &str, words: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    run(folder.path(), "check", crops, false).refused(words);
}

/// Line of the study at which this is said of its crops.
fn line_of(crops: &str, said: &str) -> usize {
    let demo = fs::read_to_string(root().join("reports/demo/study.toml")).expect("the demo");
    let lines_to = |text: &str, end: &str| text[..text.find(end).expect("it")].lines().count();
    lines_to(&demo, "[crop]") + lines_to(crops, said) + 1
}

fn macadamia(name: &str) -> String {
    format!("[[crop]]\nname = \"{name}\"\n{MACADAMIA}")
}

fn number(value: &Value, path: &str) -> f64 {
    value
        .pointer(path)
        .and_then(Value::as_f64)
        .unwrap_or_else(|| panic!("no number at {path}"))
}

fn near(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * b.abs()
}

#[test]
fn the_crops_add_up_to_the_season_and_each_reaches_its_own_target() {
    let figures = figures(&(macadamia("macadamia") + PECAN));
    let season = |key: &str| number(&figures, &format!("/season/{key}"));
    let of = |crop: usize, key: &str| number(&figures, &format!("/season/crops/{crop}/{key}"));
    assert_eq!(figures["season"]["crops"][1]["name"], "pecan");
    for key in ["received_t", "dried_t", "batches"] {
        assert!(near(of(0, key) + of(1, key), season(key), 1e-9), "{key}");
    }
    // Evaporated is told while nuts are in the bins, and all of them leave.
    assert!(near(
        of(0, "water_kg") + of(1, "water_kg"),
        season("water_kg"),
        1e-6
    ));
    assert!(near(of(0, "received_t"), 320.0, 1e-6));
    assert!(near(of(1, "received_t"), 120.0, 1e-6));
    for (crop, target) in [(0, 10.0), (1, 8.0)] {
        assert!(near(of(crop, "target_pct_wb"), target, 1e-9));
        let below = target - of(crop, "reached_pct_wb");
        assert!((0.0..1.5).contains(&below), "{crop}: {below} points below");
    }
    let residual = number(&figures, "/options/0/residuals/energy");
    assert!(residual.abs() < 1e-6, "{residual}");
}

/// What is dried is the same; there are a few more batches, since a bin holds one crop and part loads are
/// begun when nuts have waited a day.
#[test]
fn two_halves_of_one_crop_take_the_heat_of_the_whole() {
    let whole = figures(&format!("[crop]\n{}", MACADAMIA.replace("320.0", "640.0")));
    let halves = figures(&(macadamia("early") + &macadamia("late")));
    assert!(whole["season"].get("crops").is_none());
    for (path, share) in [
        ("/season/received_t", 1e-9),
        ("/season/dried_t", 0.002),
        ("/season/mean_drying_hours", 0.05),
        ("/options/0/heat_delivered_kwh", 0.03),
    ] {
        let (halves, whole) = (number(&halves, path), number(&whole, path));
        assert!(near(halves, whole, share), "{path}: {halves} and {whole}");
    }
}

/// A list of one `[[crop]]` is the same as `[crop]`.
#[test]
fn a_list_of_one_crop_is_that_crop() {
    let listed = figures(&format!("[[crop]]\n{MACADAMIA}"));
    let alone = figures(&format!("[crop]\n{MACADAMIA}"));
    assert_eq!(listed["season"], alone["season"]);
    assert_eq!(listed["options"], alone["options"]);
}

#[test]
fn a_bin_never_holds_two_crops() {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = run(
        folder.path(),
        "report",
        &(macadamia("macadamia") + PECAN),
        false,
    );
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(page.contains("Crops in the same bins"));
    let text = fs::read_to_string(folder.path().join("batches.csv")).expect("the batches");
    let mut rows = text.lines();
    let head: Vec<&str> = rows.next().expect("a head").split(',').collect();
    let at = |name: &str| head.iter().position(|h| *h == name).expect("a column");
    // What is new stands behind what was there.
    assert_eq!(at("crop"), head.len() - 2);
    assert_eq!(at("kernel_moisture_out_pct_wb"), head.len() - 1);
    let mut last_out: HashMap<String, (String, String)> = HashMap::new();
    let (mut batches, mut changed) = ([0, 0], 0);
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        let cell = |name: &str| cells[at(name)].to_owned();
        let (bin, crop) = (cell("bin"), cell("crop"));
        batches[usize::from(crop == "pecan")] += 1;
        if let Some((out, before)) = last_out.get(&bin) {
            // Times of one form sort as text.
            assert!(*out <= cell("loaded"), "bin {bin} was not empty");
            changed += usize::from(*before != crop);
        }
        last_out.insert(bin, (cell("out"), crop));
    }
    assert!(batches[0] > 30 && batches[1] > 10, "{batches:?}");
    assert!(changed > 5, "bins take either crop: {changed} changes");
}

#[test]
fn crops_that_cannot_be_told_apart_or_do_not_come_are_refused() {
    let unnamed = format!("[[crop]]\n{MACADAMIA}");
    refused(
        &unnamed.repeat(2),
        &[
            "a second crop called \"macadamia\"",
            "study.toml:",
            "name = ",
        ],
    );
    refused(
        &macadamia("a").repeat(2),
        &["a second crop is called `a`", "give each its own name"],
    );
    let without = PECAN.replace("season_tonnes = 120.0\n", "");
    refused(
        &(macadamia("a") + &without),
        &["season_tonnes is missing", "intake.csv", "study.toml:"],
    );
    refused(
        &(macadamia("a") + &PECAN.replace("\"pecan\"\nreceived", "\"pecam\"\nreceived")),
        &["did you mean \"pecan\"?"],
    );
    // The target of each crop must be within reach.
    let out_of_reach = PECAN.replace("dried_moisture = 8.0", "dried_moisture = 1.5");
    let crops = macadamia("a") + &out_of_reach;
    let place = format!("study.toml:{}:18:", line_of(&crops, "dried_moisture = 1.5"));
    refused(&crops, &["drying to 1.5 % w.b. never ends", &place]);
}
