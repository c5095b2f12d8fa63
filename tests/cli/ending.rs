//! A batch ends at the moment it is dry, foresees its cooling, and tells what its wettest nuts cost. Through
//! the binary, on the small study.

use super::loads::{Batch, cell, report, study};
use crate::case::dryledger;
use crate::case::number_at;

const ROOM: &str = "temperature_c = 40.0\n";
/// The mean alone decides.
const BY_MEAN: (&str, &str) = (ROOM, "temperature_c = 40.0\nmoisture_spread = 20.0\n");
/// Outside air that passes once, as walnuts get it.
const ONCE: [(&str, &str); 3] = [
    ("condensers = \"room\"", "condensers = \"fresh-air\""),
    ("air = \"recirculating\"", "air = \"once-through\""),
    (
        "relative_humidity_max = 40.0\nfresh_air_min_m3_per_s = 0.1\nfresh_air_max_m3_per_s = 1.2\nenvelope_ua_w_per_k = 120.0\n",
        "",
    ),
];

fn out_pct(batch: &Batch) -> f64 {
    cell(batch, "out_moisture_pct_wb")
}

#[test]
fn nuts_leave_at_the_target_and_not_below_it() {
    let recirculating = [BY_MEAN].to_vec();
    let once = [&[BY_MEAN], &ONCE[..]].concat();
    for changes in [recirculating, once] {
        let (_, batches) = report(&changes);
        assert!(batches.len() > 2);
        for batch in &batches {
            assert!((out_pct(batch) - 12.0).abs() < 0.1, "{batch:?}");
        }
        // Not on whole hours, but where the next hour's outside air is what makes the rest be taken.
        let minutes = batches.iter().filter(|batch| !batch["dry"].ends_with(":00")).count();
        assert!(minutes * 2 >= batches.len(), "{batches:?}");
    }
}

#[test]
fn without_foresight_cooling_takes_the_nuts_below_the_target() {
    let blind = (ROOM, "temperature_c = 40.0\nmoisture_spread = 20.0\nforesee_cooling = false\n");
    let (_, blind) = report(&[blind]);
    let (_, foreseen) = report(&[BY_MEAN]);
    for (blind, foreseen) in blind.iter().zip(&foreseen) {
        assert!(out_pct(blind) < 11.9, "{blind:?}");
        assert!(cell(blind, "hours_to_dry") > cell(foreseen, "hours_to_dry") + 0.5);
    }
}

/// Steps of ten minutes and of an hour end at the same moisture, and nearly at the same time.
#[test]
fn the_step_does_not_decide_where_a_batch_ends() {
    let starts = "ends = \"03-08\"\n";
    let fine = (starts, "ends = \"03-08\"\nstep_minutes = 10\n");
    let (_, hourly) = report(&[BY_MEAN]);
    let (_, fine) = report(&[BY_MEAN, fine]);
    assert_eq!(hourly.len(), fine.len());
    for (hourly, fine) in hourly.iter().zip(&fine) {
        assert!((out_pct(hourly) - out_pct(fine)).abs() < 0.06, "{hourly:?} {fine:?}");
        let hours = |batch: &Batch| cell(batch, "hours_to_dry");
        assert!((hours(hourly) / hours(fine) - 1.0).abs() < 0.01, "{hourly:?} {fine:?}");
    }
}

#[test]
fn the_books_close_in_the_step_in_which_a_batch_ends() {
    for minutes in ["", "step_minutes = 20\n"] {
        let ends = format!("ends = \"03-08\"\n{minutes}");
        let (figures, _) = report(&[("ends = \"03-08\"\n", &ends)]);
        for option in figures["options"].as_array().expect("options") {
            for of in ["/residuals/water", "/residuals/energy"] {
                assert!(number_at(option, of) < 1e-8, "{of} {option}");
            }
        }
    }
}

#[test]
fn waiting_for_the_wettest_nuts_is_told_in_hours_energy_and_water() {
    let (figures, batches) = report(&[(ROOM, "temperature_c = 40.0\nmoisture_spread = 0.5\n")]);
    let of = |key: &str| number_at(&figures, &format!("/season/overdried/by_spread/{key}"));
    let sum = |column: &str| batches.iter().map(|batch| cell(batch, column)).sum::<f64>();
    assert!(of("batches") > 0.0);
    assert!(of("hours") > of("batches") && (of("hours") - sum("spread_hours")).abs() < 0.1);
    assert!(of("kwh") > 0.0 && (of("kwh") - sum("spread_kwh")).abs() < 1.0);
    assert!(of("overdried_kg") > 0.0);
    assert!(of("overdried_kg") <= number_at(&figures, "/season/overdried/kg") + 1e-9);
    let sentence = figures["season"]["overdried"]["sentence"].as_str().expect("a sentence");
    assert!(sentence.contains("these dried on for"), "{sentence}");
    let (figures, _) = report(&[BY_MEAN]);
    assert_eq!(number_at(&figures, "/season/overdried/by_spread/batches"), 0.0);
}

/// Two tonnes in a bin of four: a fixed fan blows more than the full bin's air on them, one of variable speed
/// half of it.
#[test]
fn a_bin_that_is_not_full_gets_what_its_fan_gives() {
    let half = ("season_tonnes = 12.0", "season_tonnes = 2.0");
    let per_tonne = |batches: &[Batch]| cell(&batches[0], "airflow_m3_per_s_per_t");
    let (_, fixed) = report(&[half]);
    assert_eq!((fixed.len(), cell(&fixed[0], "fill")), (1, 0.5));
    let air = per_tonne(&fixed);
    assert!(air > 2.0 * 0.15 && air < 2.5 * 0.15, "{air}");
    let variable = ("[cool_store]\n", "[room.bin_fan]\nspeed = \"variable\"\n\n[cool_store]\n");
    let (_, variable) = report(&[half, variable]);
    assert!((per_tonne(&variable) - 0.15).abs() < 1e-3, "{variable:?}");
    let fan_kwh = |batches: &[Batch]| cell(&batches[0], "fan_kwh");
    assert!(fan_kwh(&variable) < 0.5 * fan_kwh(&fixed));
}

#[test]
fn foresight_is_of_the_room_that_nuts_leave() {
    let folder = study(&[(ROOM, "temperature_c = 40.0\nforesee_cooling = 3\n")]);
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.refused(&["foresee_cooling", "true or false"]);
}
