//! A season closed from the hourly files: by a few lines here, and whole by `tests/recompute/close_books.py`,
//! which knows nothing of the program.

use super::faults::small;
use crate::case::dryledger;
use std::fs;
use std::path::Path;

/// The cells of a table by its head.
struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn read(path: &Path) -> Self {
        let text = fs::read_to_string(path).expect("a table");
        let mut lines =
            text.lines().map(|line| line.split(',').map(str::to_owned).collect::<Vec<String>>());
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
        let came_in =
            of("heat_delivered_kwh") + of("purged_kwh") + of("fan_heat_kwh") + of("gains_kwh");
        let found =
            of("ventilation_kwh") + of("envelope_kwh") + of("warming_kwh") + of("desorption_kwh");
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
