//! The bed against an independent method-of-lines solution: SciPy's BDF in time, second order in space.
//!
//! Source: `tests/data/bed/lines.py`, which shares nothing with the bed but the equations and coefficients that
//! stand in its head; `cases.csv` is what it wrote, with its finest cells and with half of them. The bed is run as
//! seasons are: twelve layers, steps of an hour.

use dryledger::air::AirState;
use dryledger::crop::{Isotherm, ThinLayer};
use dryledger::dryer::{Bed, Nuts};

const SEA_LEVEL_PA: f64 = 101_325.0;
const LAYERS: usize = 12;

/// One row of the table.
struct Row {
    case: String,
    cells: f64,
    numbers: Vec<f64>,
}

fn rows() -> Vec<Row> {
    let text = include_str!("../data/bed/cases.csv");
    text.lines()
        .skip(1)
        .map(|line| {
            let (case, rest) = line.split_once(',').expect("a case");
            let numbers: Vec<f64> = rest.split(',').map(|cell| cell.parse().expect("a number")).collect();
            Row { case: case.to_owned(), cells: numbers[0], numbers: numbers[1..].to_vec() }
        })
        .collect()
}

fn bed_after(row: &Row, layers: usize, steps_per_hour: u32) -> (Bed, AirState) {
    let &[rate_per_h, activation_kj_per_mol, moisture, t_c, inlet_c, inlet_w, air_per_h, hours, ..] =
        row.numbers.as_slice()
    else {
        panic!("a short row");
    };
    let nuts = Nuts {
        isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
        thin_layer: ThinLayer::Newton { rate_per_h, reference_c: 40.0, activation_kj_per_mol },
        dry_matter_kj_per_kg_k: 1.52,
        held_water_kj_per_kg_k: 4.186,
    };
    let inlet = AirState { dry_bulb_c: inlet_c, humidity_ratio: inlet_w };
    let mut bed = Bed::new(layers, 1.0, moisture, t_c);
    let step = 1.0 / f64::from(steps_per_hour);
    let mut outlet = inlet;
    let mut passed_h = 0.0;
    while passed_h < hours - 1e-9 {
        let length = step.min(hours - passed_h);
        let passage = bed.try_step(&nuts, inlet, air_per_h * length, SEA_LEVEL_PA, length);
        outlet = passage.outlet;
        bed.accept();
        passed_h += length;
    }
    (bed, outlet)
}

/// Tolerances: mean moisture to 0.8 % of the water that went, at the end to 0.1 %, or to 2e-4 where little was
/// taken up; the wettest nuts to 1.2 %, or 5e-4; the air that leaves to 0.4 K and 1.5e-4 kg/kg. Measured: 0.74,
/// 0.05 and 1.1 %, 0.35 K, 1.2e-4, most of it the step of an hour in air that dries fast; with 48 layers and
/// steps of six minutes a tenth of that.
#[test]
fn twelve_layers_dry_and_rewet_as_the_equations_do() {
    let all = rows();
    let finest = all.iter().map(|row| row.cells).fold(0.0, f64::max);
    for row in all.iter().filter(|row| row.cells >= finest) {
        let (bed, outlet) = bed_after(row, LAYERS, 1);
        let (start, mean, wettest) = (row.numbers[2], row.numbers[8], row.numbers[9]);
        let at = format!("{} after {} h", row.case, row.numbers[7]);
        let moved = (start - mean).abs();
        let off = (bed.mean_moisture() - mean).abs();
        let is_last = all.iter().all(|other| other.case != row.case || other.numbers[7] <= row.numbers[7]);
        let share = if is_last { 1e-3 } else { 8e-3 };
        assert!(off < (share * moved).max(2e-4), "{at}: mean off by {off}");
        let off = (bed.wettest().moisture - wettest).abs();
        assert!(off < (1.2e-2 * moved).max(5e-4), "{at}: wettest off by {off}");
        assert!((outlet.dry_bulb_c - row.numbers[10]).abs() < 0.4, "{at}: {outlet:?}");
        assert!((outlet.humidity_ratio - row.numbers[11]).abs() < 1.5e-4, "{at}: {outlet:?}");
    }
}

/// The solution itself does not hang on its cells: far less than the tolerances above.
#[test]
fn the_table_has_settled() {
    let all = rows();
    let finest = all.iter().map(|row| row.cells).fold(0.0, f64::max);
    for fine in all.iter().filter(|row| row.cells >= finest) {
        let coarse =
            all.iter().find(|row| row.case == fine.case && row.numbers[7] == fine.numbers[7] && row.cells < finest);
        let coarse = coarse.expect("half as many cells");
        let moved = (fine.numbers[2] - fine.numbers[8]).abs();
        let apart = (fine.numbers[8] - coarse.numbers[8]).abs();
        assert!(apart < (5e-4 * moved).max(3e-5), "{}: {apart}", fine.case);
    }
}
