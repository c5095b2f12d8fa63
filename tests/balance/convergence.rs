//! How far layers and steps are from their limit, over a whole season: the table in DEVELOPERS.md.

use crate::case::root;
use crate::plants::{electric, intake, once_through, plant, year};
use dryledger::cool_store::Placement;
use dryledger::ledger::{Account, BatchRecord, Book};
use dryledger::season::{Plant, run_option};
use std::fs;

/// No refinement moves the season's energy by more, %: what the default's reason says.
const MOST_CHANGE_PCT: f64 = 0.5;

/// What a season comes to in so many layers and steps.
struct Row {
    air: &'static str,
    layers: usize,
    steps_per_hour: u32,
    heat_kwh: f64,
    hours_to_dry: f64,
}

/// Layers and steps an hour: the default first, the finest last.
const GRIDS: [(usize, u32); 5] = [(12, 1), (12, 2), (24, 1), (24, 2), (48, 4)];

fn row(air: &'static str, plant: &Plant, (layers, steps_per_hour): (usize, u32)) -> Row {
    let mut plant = plant.clone();
    plant.rooms[0].layers = layers;
    plant.steps_per_hour = steps_per_hour;
    let heating = electric(Placement::Outdoors, 400.0);
    let book = run_option(&plant, &heating, &intake(), &year());
    Row {
        air,
        layers,
        steps_per_hour,
        heat_kwh: Account::of_all(&book).heat_delivered_kwh,
        hours_to_dry: hours_to_dry(&book),
    }
}

/// Mean over the batches.
fn hours_to_dry(book: &Book) -> f64 {
    let hours: Vec<f64> = book.batches.iter().filter_map(BatchRecord::hours_to_dry).collect();
    hours.iter().sum::<f64>() / hours.len() as f64
}

/// Numbers of a row of the table in DEVELOPERS.md: layers, steps, heat, change in %, hours.
fn documented(line: &str) -> Option<(&str, Vec<f64>)> {
    let mut cells = line.trim().trim_matches('|').split('|').map(str::trim);
    let air = cells.next()?;
    let numbers = cells.map(|cell| cell.trim_end_matches(" %").parse().ok());
    Some((air, numbers.collect::<Option<_>>()?))
}

/// Each refinement moves the energy by less than [`MOST_CHANGE_PCT`], and the table in DEVELOPERS.md says what was
/// found: heat to 0.02 %, the change to 0.02 points, hours to 0.2. The table is printed as it should stand
/// (`cargo test convergence -- --nocapture`).
#[test]
#[allow(clippy::print_stdout)] // the table is for people to read and keep
fn convergence_of_layers_and_steps_is_as_documented() {
    let text = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let said: Vec<(&str, Vec<f64>)> = text.lines().filter_map(documented).collect();
    println!("| air | layers | steps an hour | heat, kWh | change | hours to dry |");
    println!("| --- | ---: | ---: | ---: | ---: | ---: |");
    let all = [("recirculating", plant()), ("once-through", once_through())]
        .map(|(air, plant)| GRIDS.map(|grid| row(air, &plant, grid)));
    let change_pct = |rows: &[Row], row: &Row| (row.heat_kwh / rows[0].heat_kwh - 1.0) * 100.0;
    for rows in &all {
        for row in rows {
            println!(
                "| {} | {} | {} | {:.0} | {:.2} % | {:.1} |",
                row.air,
                row.layers,
                row.steps_per_hour,
                row.heat_kwh,
                change_pct(rows, row),
                row.hours_to_dry
            );
        }
    }
    for rows in &all {
        for row in rows {
            let change = change_pct(rows, row);
            assert!(change.abs() < MOST_CHANGE_PCT, "{}: {change} %", row.air);
            let grid = [row.layers as f64, f64::from(row.steps_per_hour)];
            let found = said.iter().find(|(name, numbers)| *name == row.air && numbers.starts_with(&grid));
            let Some((_, numbers)) = found else { panic!("DEVELOPERS.md has no row for {}, {grid:?}", row.air) };
            assert!((numbers[2] / row.heat_kwh - 1.0).abs() < 2e-4, "{numbers:?}");
            assert!((numbers[3] - change).abs() < 0.02, "{numbers:?}");
            assert!((numbers[4] - row.hours_to_dry).abs() < 0.2, "{numbers:?}");
        }
    }
}
