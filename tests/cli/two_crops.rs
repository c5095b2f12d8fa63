//! Two crops in the bins of one plant, through the binary: the demo with one option and one weather year.

use super::faults::{replace, small};
use crate::case::{DemoStudy, Ran, dryledger, number_at, root};
use serde_json::Value;
use std::collections::HashMap;
use std::fs;
use std::path::Path;

const MACADAMIA: &str =
    "kind = \"macadamia\"\nreceived_moisture = 22.0\ndried_moisture = 10.0\nseason_tonnes = 320.0\n";
/// A second crop that comes evenly and is dried further.
const PECAN: &str = "[[crop]]\nname = \"pecan\"\nkind = \"pecan\"\nreceived_moisture = 20.0\n\
                     dried_moisture = 8.0\nseason_tonnes = 120.0\nintake_shape = \"even\"\n";

fn run(folder: &Path, command: &str, crops: &str, json: bool) -> Ran {
    let study = DemoStudy::new().dryer_alone().part("[crop]", "[[room]]", &format!("{crops}\n")).write(folder);
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

fn near(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * b.abs()
}

#[test]
fn the_crops_add_up_to_the_season_and_each_reaches_its_own_target() {
    let figures = figures(&(macadamia("macadamia") + PECAN));
    let season = |key: &str| number_at(&figures, &format!("/season/{key}"));
    let of = |crop: usize, key: &str| number_at(&figures, &format!("/season/crops/{crop}/{key}"));
    assert_eq!(figures["season"]["crops"][1]["name"], "pecan");
    for key in ["received_t", "dried_t", "batches"] {
        assert!(near(of(0, key) + of(1, key), season(key), 1e-9), "{key}");
    }
    // Evaporated is told while nuts are in the bins, and all of them leave.
    assert!(near(of(0, "water_kg") + of(1, "water_kg"), season("water_kg"), 1e-6));
    assert!(near(of(0, "received_t"), 320.0, 1e-6));
    assert!(near(of(1, "received_t"), 120.0, 1e-6));
    for (crop, target) in [(0, 10.0), (1, 8.0)] {
        assert!(near(of(crop, "target_pct_wb"), target, 1e-9));
        let below = target - of(crop, "reached_pct_wb");
        // What cooling will take is foreseen with the air as it then is; the night's is another.
        assert!((-0.02..0.05).contains(&below), "{crop}: {below} points below");
    }
    let residual = number_at(&figures, "/options/0/residuals/energy");
    assert!(residual.abs() < 1e-6, "{residual}");
}

/// What is dried, and how long a bin takes, is the same where every load fills a bin. Both halves bring
/// theirs on one day, so that bins dry two and two and the room is in use for fewer hours (4 % less heat).
#[test]
fn two_halves_of_one_crop_dry_as_the_whole() {
    let loads = "load_tonnes = 6.0\n";
    let whole = figures(&format!("[crop]\n{}{loads}", MACADAMIA.replace("320.0", "640.0")));
    let halves = figures(&format!("{}{loads}{}{loads}", macadamia("early"), macadamia("late")));
    assert!(whole["season"].get("crops").is_none());
    for (path, share) in [
        ("/season/received_t", 1e-9),
        ("/season/dried_t", 0.0005),
        ("/season/batches", 0.02),
        ("/season/mean_drying_hours", 0.005),
        ("/options/0/heat_delivered_kwh", 0.05),
    ] {
        let (halves, whole) = (number_at(&halves, path), number_at(&whole, path));
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
    let ran = run(folder.path(), "report", &(macadamia("macadamia") + PECAN), false);
    ran.ends_well();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(page.contains("Crops in the same bins"));
    let text = fs::read_to_string(folder.path().join("batches.csv")).expect("the batches");
    let mut rows = text.lines();
    let head: Vec<&str> = rows.next().expect("a head").split(',').collect();
    let at = |name: &str| head.iter().position(|h| *h == name).expect("a column");
    // What is new stands behind what was there.
    let last = ["fill", "spread_hours", "spread_kwh"];
    let guards = ["mould_index", "mould_growing_hours", "mould_seen_hours", "hot_air_hours", "late_hours"];
    let tail = ["crop", "kernel_moisture_out_pct_wb", "fan_hours"].into_iter().chain(last).chain(guards);
    assert_eq!(head[head.len() - 11..], tail.collect::<Vec<_>>());
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
    refused(&unnamed.repeat(2), &["a second crop called \"macadamia\"", "study.toml:", "name = "]);
    refused(&macadamia("a").repeat(2), &["a second crop is called `a`", "give each its own name"]);
    let without = PECAN.replace("season_tonnes = 120.0\n", "");
    refused(&(macadamia("a") + &without), &["season_tonnes is missing", "intake.csv", "study.toml:"]);
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

/// The small study with these crops and this in its store, which holds one temperature and one humidity.
fn stored(crops: &str, store: &str, intakes: &[(&str, &str)]) -> Value {
    let folder = small();
    for (file, rows) in intakes {
        let text = format!("date,tonnes\n{rows}");
        fs::write(folder.path().join(file), text).expect("the intake");
    }
    let study = fs::read_to_string(folder.path().join("study.toml")).expect("the study");
    let start = study.find("[crop]").expect("its crop");
    let end = study.find("[[room]]").expect("its room");
    let text = study.replace(&study[start..end], &format!("{crops}\n"));
    fs::write(folder.path().join("study.toml"), text).expect("the study");
    let held = "relative_humidity = [45.0, 55.0]";
    let wanted = format!("relative_humidity = [49.9, 50.1]\n{store}");
    replace(folder.path(), "study.toml", held, &wanted);
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json()
}

/// A crop that is dried to 12 % w.b.; `more` is what is special to it.
fn small_crop(name: &str, more: &str) -> String {
    format!(
        "[[crop]]\nname = \"{name}\"\nkind = \"macadamia\"\nreceived_moisture = 20.0\n\
         dried_moisture = 12.0\n{more}\n"
    )
}

/// Two crops that differ in their isotherm alone lie in air of 20 °C and 50 % RH for six time constants: each
/// comes to the moisture M, % dry basis, at which its own modified Henderson law
/// RH = 1 - exp(-K (T + C) M^N) holds. By hand, with -ln(0.5) = 0.693147:
/// K (T + C) = 2.694697e-4 x 133.7452 = 0.0360403, M = 19.2326^(1/1.520222) = 6.99 %, 6.53 % w.b.;
/// K (T + C) = 4e-4 x 80 = 0.032, M = 21.6608^(1/1.2) = 12.97 %, 11.48 % w.b.
#[test]
fn in_store_each_crop_drifts_to_its_own_isotherm() {
    let isotherm = |k: f64, n: f64, c: f64| {
        format!(
            "season_tonnes = 6.0\nintake_shape = \"even\"\nisotherm = {{ form = \"modified-henderson\", k = {k:e}, n = {n}, c = {c} }}"
        )
    };
    let crops = small_crop("round", &isotherm(2.694_697e-4, 1.520_222, 113.7452))
        + &small_crop("flat", &isotherm(4e-4, 1.2, 60.0));
    let figures = stored(&crops, "nuts_moisture_time_constant_d = 0.5", &[]);
    let of = |crop: usize, key: &str| number_at(&figures, &format!("/season/crops/{crop}/{key}"));
    for (crop, by_hand) in [(0, 6.53), (1, 11.48)] {
        let left_with = of(crop, "stored_reached_pct_wb");
        // Nights cool the store by a kelvin or two, which is worth 0.05 points.
        assert!((left_with - by_hand).abs() < 0.1, "{crop}: {left_with}");
    }
    let season = |key: &str| number_at(&figures, &format!("/season/{key}"));
    let lost_kg = of(0, "stored_lost_kg") + of(1, "stored_lost_kg");
    assert!(near(lost_kg, season("stored_nuts_lost_kg"), 1e-9));
    // Weight is water, crop by crop: dry matter in is dry matter out.
    for crop in 0..2 {
        let dried_kg = of(crop, "dried_t") * 1000.0;
        let dry_kg = dried_kg * (1.0 - of(crop, "reached_pct_wb") / 100.0);
        let left_kg = dry_kg / (1.0 - of(crop, "stored_reached_pct_wb") / 100.0);
        assert!(near(dried_kg - left_kg, of(crop, "stored_lost_kg"), 1e-6));
    }
    assert!(number_at(&figures, "/options/0/residuals/energy").abs() < 1e-6);
}

/// The same loads under one name and under two: the store does not tell them apart.
#[test]
fn one_crop_under_two_names_keeps_as_one() {
    let store = "nuts_moisture_time_constant_d = 2.0";
    let (odd, even) = ("2031-03-02,4\n2031-03-06,4\n", "2031-03-04,4\n2031-03-08,4\n");
    let all = "2031-03-02,4\n2031-03-04,4\n2031-03-06,4\n2031-03-08,4\n";
    let whole = stored(&small_crop("all", "intake = \"all.csv\""), store, &[("all.csv", all)]);
    let crops = small_crop("odd", "intake = \"odd.csv\"") + &small_crop("even", "intake = \"even.csv\"");
    let halves = stored(&crops, store, &[("odd.csv", odd), ("even.csv", even)]);
    for path in [
        "/season/stored_nuts_lost_kg",
        "/season/stored_moisture_reached_pct_wb",
        "/options/0/cool_store_kwh",
        "/options/0/store_cooling_kwh",
        "/options/0/total_cost",
    ] {
        let (halves, whole) = (number_at(&halves, path), number_at(&whole, path));
        assert!(whole.abs() > 1.0, "{path}: {whole}");
        assert!(near(halves, whole, 1e-6), "{path}: {halves} and {whole}");
    }
    let of = |crop: usize| number_at(&halves, &format!("/season/crops/{crop}/stored_lost_kg"));
    assert!(of(0) * of(1) > 0.0);
}

/// A crop that stays shorter drifts less and is cooled for less long.
#[test]
fn each_crop_may_stay_its_own_time() {
    let store = "nuts_moisture_time_constant_d = 2.0";
    let even = "season_tonnes = 6.0\nintake_shape = \"even\"\n";
    let stays = |days: &str| {
        let brief = small_crop("brief", &format!("{even}{days}"));
        stored(&(small_crop("long", even) + &brief), store, &[])
    };
    let (alike, apart) = (stays(""), stays("stay_days = 0.5"));
    let lost = |figures: &Value, crop: usize| number_at(figures, &format!("/season/crops/{crop}/stored_lost_kg"));
    assert!(near(lost(&alike, 0), lost(&apart, 0), 0.05));
    assert!(lost(&apart, 1) < 0.5 * lost(&alike, 1));
    let cooling = |figures: &Value| number_at(figures, "/options/0/store_cooling_kwh");
    assert!(cooling(&apart) < cooling(&alike));
}

/// What is not said goes by the crop that is most delicate, whichever is named first, and is told so.
#[test]
fn defaults_of_several_crops_suit_the_most_delicate() {
    let folder = small();
    let study = fs::read_to_string(folder.path().join("study.toml")).expect("the study");
    let start = study.find("[crop]").expect("its crop");
    let end = study.find("[[room]]").expect("its room");
    let even = "season_tonnes = 6.0\nintake_shape = \"even\"\n";
    let hardy = "drying_temperature = 45.0\nstore_temperature = 22.0\n\
                 store_humidity_low = 55.0\nstore_humidity_high = 65.0\n";
    let delicate = "drying_temperature = 33.0\nstore_temperature = 12.0\n\
                    store_humidity_low = 40.0\nstore_humidity_high = 48.0\n";
    let crops = small_crop("hardy", &format!("{even}{hardy}")) + &small_crop("delicate", &format!("{even}{delicate}"));
    let text = study
        .replace(&study[start..end], &format!("{crops}\n"))
        .replace("temperature_c = 40.0\n", "")
        .replace("temperature_c = 20.0\n", "")
        .replace("relative_humidity = [45.0, 55.0]\n", "");
    fs::write(folder.path().join("study.toml"), text).expect("the study");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    assert!(!ran.stderr.contains("holds several crops"));
    // Lines are broken where the page is full.
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "temperature_c = 33 °C",
        "for \"delicate\": the lowest of the crops'",
        "temperature_c = 12 °C",
        "relative_humidity = [40, 48] % RH",
        "for \"delicate\": the driest of the crops'",
    ] {
        assert!(said.contains(words), "no {words}: {said}");
    }
}
