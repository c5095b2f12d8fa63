//! A season closed from the hourly files: by a few lines here, and whole by `tests/recompute/close_books.py`,
//! which knows nothing of the program.

use super::faults::small;
use crate::case::{dryledger, root};
use std::fs;
use std::path::Path;
use std::process::Command;

/// The cells of a table by its head.
struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn read(path: &Path) -> Self {
        let text = fs::read_to_string(path).expect("a table");
        let mut lines = text.lines().map(|line| line.split(',').map(str::to_owned).collect::<Vec<String>>());
        Self { head: lines.next().expect("a head"), rows: lines.collect() }
    }

    fn number(&self, row: &[String], name: &str) -> f64 {
        let at = self.head.iter().position(|head| head == name).expect(name);
        if row[at].is_empty() { 0.0 } else { row[at].parse().expect(name) }
    }
}

#[test]
fn every_hour_of_a_room_closes_from_what_is_written() {
    let folder = small();
    dryledger(&["report", "study.toml", "--hourly"]).in_folder(folder.path()).run();
    let rooms = Table::read(&folder.path().join("hourly_rooms.csv"));
    let mut evaporated_kg = 0.0;
    for row in &rooms.rows {
        assert_eq!(row.len(), rooms.head.len());
        let of = |name: &str| rooms.number(row, name);
        let came_in = of("heat_delivered_kwh") + of("purged_kwh") + of("fan_heat_kwh") + of("gains_kwh");
        let found = of("ventilation_kwh") + of("envelope_kwh") + of("warming_kwh") + of("desorption_kwh");
        assert!((came_in - found).abs() < 1e-4, "{row:?}");
        let lift = |air: &str| of(&format!("{air}_humidity_ratio")) - of("outside_humidity_ratio");
        let carried_kg = of("exhaust_kg_per_s") * lift("exhaust") * 3600.0;
        assert!((of("drying_evaporated_kg") - carried_kg).abs() < 1e-4, "{row:?}");
        evaporated_kg += of("drying_evaporated_kg") + of("cooling_evaporated_kg");
    }
    let site = Table::read(&folder.path().join("hourly.csv"));
    let by_site: f64 = site.rows.iter().map(|row| site.number(row, "evaporated_kg")).sum();
    assert!(evaporated_kg > 4000.0 && (evaporated_kg - by_site).abs() < 0.05);
}

#[test]
fn the_list_of_columns_has_the_heads_of_both_files() {
    let folder = small();
    dryledger(&["report", "study.toml", "--hourly"]).in_folder(folder.path()).run();
    let listed = Table::read(&folder.path().join("hourly_columns.csv"));
    for file in ["hourly.csv", "hourly_rooms.csv"] {
        let of_file = listed.rows.iter().filter(|row| row[0] == file);
        let heads: Vec<String> = of_file.map(|row| row[1].clone()).collect();
        assert_eq!(heads, Table::read(&folder.path().join(file)).head);
    }
}

/// What the script said of a folder, and whether it closed everything.
fn closed(folder: &Path) -> (bool, String) {
    let script = root().join("tests/recompute/close_books.py");
    let ran = Command::new("python3").arg(script).arg(folder).output().expect("python3 runs");
    let said = [ran.stdout, ran.stderr].concat();
    (ran.status.success(), String::from_utf8_lossy(&said).into_owned())
}

/// Every option of a bundled study in its second weather year, without its phases of growth.
fn bundled_closes(name: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let reports = root().join("reports").join(name);
    for file in ["tariff.toml", "intake.csv"] {
        if reports.join(file).exists() {
            fs::copy(reports.join(file), folder.path().join(file)).expect("a copy");
        }
    }
    let weather = root().join("weather");
    let text = fs::read_to_string(reports.join("study.toml")).expect("the study");
    let text = text.replace("../../weather/", &format!("{}/", weather.display())).replace("_20*.csv", "_2032.csv");
    let without_phases: Vec<&str> =
        text.split_inclusive("\n\n").filter(|block| !block.trim_start().starts_with("[[phase]]")).collect();
    fs::write(folder.path().join("study.toml"), without_phases.concat()).expect("the study");
    let arguments = ["report", "study.toml", "--hourly", "--samples", "0"];
    let ran = dryledger(&arguments).in_folder(folder.path()).run();
    ran.ends_well();
    let (fine, said) = closed(folder.path());
    assert!(fine, "{said}");
}

#[test]
#[ignore = "needs python3; .ci/run runs it"]
fn the_small_study_closes_and_a_spoilt_cell_does_not() {
    let folder = small();
    dryledger(&["report", "study.toml", "--hourly"]).in_folder(folder.path()).run();
    let (fine, said) = closed(folder.path());
    assert!(fine, "{said}");

    // A ten-thousandth more water in the air that left in one hour.
    let path = folder.path().join("hourly_rooms.csv");
    let rooms = Table::read(&path);
    let at = rooms.head.iter().position(|head| head == "exhaust_humidity_ratio").expect("a column");
    let hour = rooms.rows.iter().position(|row| !row[at].is_empty()).expect("an hour that dries");
    let mut rows = rooms.rows.clone();
    rows[hour][at] = format!("{:.9}", rooms.number(&rows[hour], "exhaust_humidity_ratio") * 1.0001);
    let lines: Vec<String> = rows.iter().map(|row| row.join(",")).collect();
    fs::write(&path, format!("{}\n{}\n", rooms.head.join(","), lines.join("\n"))).expect("a table");
    let (fine, said) = closed(folder.path());
    assert!(!fine && said.contains("MISS water of drying air"), "{said}");
    assert!(said.contains("MISS heat of the air from its states"), "{said}");
}

#[test]
#[ignore = "needs python3; .ci/run runs it"]
fn the_demo_closes() {
    bundled_closes("demo");
}

#[test]
#[ignore = "needs python3; .ci/run runs it"]
fn two_rooms_close() {
    bundled_closes("two-rooms");
}

#[test]
#[ignore = "needs python3; .ci/run runs it"]
fn the_walnuts_close() {
    bundled_closes("walnut");
}
