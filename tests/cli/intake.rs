//! Intake as it comes: trucks, least loads, bins filled over days, grades. Through the binary, on the demo
//! with one weather year and one option, its dryer alone.

use super::faults::{replace, small};
use crate::case::{DemoStudy, dryledger, number_at};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn study(folder: &Path, changes: &[(&str, &str)]) -> PathBuf {
    DemoStudy::new().dryer_alone().changes(changes).write(folder)
}

/// A batch as `batches.csv` has it, by column.
type Batch = BTreeMap<String, String>;

fn report(folder: &Path, study: &Path) -> (Value, Vec<Batch>) {
    let figures = dryledger(&["report", study.to_str().expect("UTF-8"), "--json"]).run().json();
    let mut rows = csv::Reader::from_path(folder.join("batches.csv")).expect("batches");
    let batches = rows.deserialize().collect::<Result<Vec<Batch>, _>>().expect("rows");
    (figures, batches)
}

fn season(changes: &[(&str, &str)]) -> (Value, Vec<Batch>) {
    let folder = tempfile::tempdir().expect("a folder");
    let study = study(folder.path(), changes);
    report(folder.path(), &study)
}

fn received_kg(batch: &Batch) -> f64 {
    batch["received_kg"].parse().expect("a mass")
}

const SHAPE: &str = "intake_shape = \"bell\"";
const ROOM: &str = "people = 1\n";

#[test]
fn trucks_bring_the_same_season_on_their_days() {
    let (every_day, _) = season(&[]);
    let trucks = format!("{SHAPE}\ntruck_days = [\"mon\", \"thu\"]");
    let (figures, batches) = season(&[(SHAPE, &trucks)]);
    let tonnes = |figures: &Value| number_at(figures, "/season/received_t");
    assert!((tonnes(&figures) / tonnes(&every_day) - 1.0).abs() < 1e-9);
    // Full bins are loaded when the truck comes, at noon of a Monday or Thursday.
    let full: Vec<&Batch> = batches.iter().filter(|batch| received_kg(batch) > 5700.0).collect();
    assert!(full.len() > 30);
    let on_truck_days = full.iter().filter(|batch| {
        let date: chrono::NaiveDate = batch["loaded"][..10].parse().expect("a date");
        let day = chrono::Datelike::weekday(&date);
        matches!(day, chrono::Weekday::Mon | chrono::Weekday::Thu) && &batch["loaded"][11..] == "12:00"
    });
    assert!(on_truck_days.count() * 10 > full.len() * 7);
}

#[test]
fn a_bin_is_not_begun_below_its_least_load_but_with_the_last_nuts() {
    let small = |batches: &[Batch]| batches.iter().filter(|b| received_kg(b) < 2000.0).count();
    let shape = format!("{SHAPE}\nload_tonnes = 0.1");
    let any = format!("{ROOM}least_load_t = 0.0\n");
    let (_, before) = season(&[(SHAPE, &shape), (ROOM, &any)]);
    let (figures, batches) = season(&[]);
    assert!(small(&before) > 10 && small(&batches) <= 1);
    assert!(number_at(&figures, "/options/0/residuals/water") < 1e-6);
    let loaded: f64 = batches.iter().map(received_kg).sum();
    assert!((loaded / 640_000.0 - 1.0).abs() < 1e-4);
}

/// Fewer and fuller batches: nuts go on top while the bin dries, and none waits longer for it.
#[test]
fn bins_filled_over_days_make_fewer_batches() {
    let (before, singly) = season(&[]);
    let over_days = format!("{ROOM}fill_over_days = 3\n");
    let (figures, filled) = season(&[(ROOM, &over_days)]);
    assert!(filled.len() < singly.len(), "{} {}", filled.len(), singly.len());
    let waiting = |figures: &Value| number_at(figures, "/season/waiting_tonne_days");
    assert!(waiting(&figures) < 0.2 * waiting(&before));
    let loaded: f64 = filled.iter().map(received_kg).sum();
    assert!((loaded / 640_000.0 - 1.0).abs() < 1e-4);
    assert!(filled.iter().all(|batch| received_kg(batch) < 6000.1));
    assert!(number_at(&figures, "/options/0/residuals/energy") < 1e-6);
    assert!(number_at(&figures, "/options/0/residuals/water") < 1e-6);
}

#[test]
fn a_bin_holds_one_grade_and_batches_tell_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let shaped = "season_tonnes = 640.0                    # received tonnes\nintake_shape = \"bell\"                    # \"even\", \"bell\", or twelve monthly weights";
    let study = study(folder.path(), &[(shaped, "intake = \"intake.csv\"")]);
    let rows = "date,tonnes,moisture,grade\n2031-04-01,9,22,early\n2031-04-01,4,20,late\n2031-04-02,5,21,late\n2031-04-03,2,22,\n";
    fs::write(folder.path().join("intake.csv"), rows).expect("the intake");
    let (figures, batches) = report(folder.path(), &study);
    assert_eq!(number_at(&figures, "/season/received_t"), 20.0);
    let mut of_grade: BTreeMap<&str, f64> = BTreeMap::new();
    for batch in &batches {
        *of_grade.entry(&batch["grade"]).or_default() += received_kg(batch);
    }
    let told: Vec<(&str, f64)> = of_grade.into_iter().collect();
    assert_eq!(told, [("", 2000.0), ("early", 9000.0), ("late", 9000.0)]);
}

#[test]
fn trucks_do_not_go_with_an_intake_file_nor_on_days_that_are_none() {
    let folder = tempfile::tempdir().expect("a folder");
    let check = |shape: &str| {
        let study = study(folder.path(), &[(SHAPE, shape)]);
        dryledger(&["check", study.to_str().expect("UTF-8")]).run()
    };
    check("truck_days = [\"monday\"]").refused(&["truck_days", "\"mon\""]);
    let file = "intake = \"intake.csv\"\ntruck_days = [\"mon\"]";
    check(file).refused(&["truck_days is given beside an intake file"]);
}

/// Batches whose cooling is not foreseen dry on while they cool: what they lose below the target is told in
/// mass and money.
#[test]
fn drying_below_the_target_is_told_in_mass_and_money() {
    let priced = format!("{SHAPE}\nprice_per_dried_t = 4000.0");
    let blind = format!("{ROOM}foresee_cooling = false\n");
    let (figures, batches) = season(&[(SHAPE, &priced), (ROOM, &blind)]);
    let kg = number_at(&figures, "/season/overdried/kg");
    let told: f64 = batches.iter().map(|batch| batch["overdried_kg"].parse::<f64>().expect("a mass")).sum();
    assert!((told - kg).abs() < 0.05 * batches.len() as f64);
    let money = number_at(&figures, "/season/overdried/money");
    assert!((money - 4.0 * kg).abs() < 1e-6);
    // All dry matter at 10 % w.b. would weigh so much more, since no batch left wetter.
    let reached = number_at(&figures, "/season/dried_moisture_reached_pct_wb") / 100.0;
    let dried_kg = 1000.0 * number_at(&figures, "/season/dried_t");
    let at_target_kg = dried_kg * (1.0 - reached) / 0.9;
    assert!((at_target_kg - dried_kg - kg).abs() < 1e-3 * kg + 1.0);
    // Nuts at 38 °C in outside air some 15 K colder have about 30 kJ/kg to give: enough to evaporate 1.2 % of
    // their mass, of which air that blows through them takes a part.
    let of_dried = kg / dried_kg;
    assert!((0.0005..0.012).contains(&of_dried), "{of_dried}");
    // Foreseen, hardly any is lost.
    let (foreseen, _) = season(&[(SHAPE, &priced)]);
    let foreseen_kg = number_at(&foreseen, "/season/overdried/kg");
    assert!(foreseen_kg < 0.2 * kg, "{foreseen_kg} of {kg}");
    let sentence = figures["season"]["overdried"]["sentence"].as_str();
    assert!(sentence.expect("a sentence").contains("target of 10.0 % w.b."));
}

#[test]
fn a_least_load_that_no_bin_holds_is_warned_of() {
    let folder = small();
    replace(folder.path(), "study.toml", "temperature_c = 40.0", "temperature_c = 40.0\nleast_load_t = 4.5");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("study.toml:35:16: warning: least_load_t is 4.5, and no bin holds more than 4 t"), "{said}");
}
