//! The sun against an independent solar library.

use crate::case::data;
use chrono::{NaiveDate, NaiveDateTime, TimeDelta};
use dryledger::weather::solar::{
    Daylight, Place, Plane, Sky, extraterrestrial_horizontal_w_per_m2, on_plane_w_per_m2, position, split,
};
use std::time::Duration;

/// One row of a table written by `tests/data/solar/pvlib_tables.py` (pvlib 0.16.1).
struct Row {
    place: Place,
    local: NaiveDateTime,
    cells: Vec<f64>,
}

fn table(name: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_path(data(&format!("solar/{name}"))).expect("the table");
    reader
        .records()
        .map(|record| {
            let record = record.expect("a record");
            let number = |at: usize| record[at].parse::<f64>().expect("a number");
            Row {
                place: Place { latitude: number(1), longitude: number(2), utc_offset_h: number(3) },
                local: record[4].parse().expect("a moment"),
                cells: (5..record.len()).map(number).collect(),
            }
        })
        .collect()
}

/// 1320 positions by the NREL SPA algorithm (Reda & Andreas 2004; good to 0.0003°), six places from 46° S
/// to 65° N, 2010 to 2049. Tolerance 0.02°: Michalsky (1988) claims 0.01° until 2050. Irradiance outside
/// the atmosphere within 0.05 %. Azimuth is weighed by the sine of the zenith, since it means little
/// overhead.
#[test]
fn positions_of_an_independent_algorithm() {
    let rows = table("pvlib_positions.csv");
    assert_eq!(rows.len(), 1320);
    let mut worst = (0.0_f64, 0.0_f64, 0.0_f64);
    for row in &rows {
        let sun = position(row.place, row.local);
        let [zenith, azimuth, extraterrestrial] = row.cells[..] else {
            panic!("three columns");
        };
        let turned = (sun.azimuth_deg - azimuth + 180.0).rem_euclid(360.0) - 180.0;
        worst.0 = worst.0.max((sun.zenith_deg - zenith).abs());
        worst.1 = worst.1.max((turned * zenith.to_radians().sin()).abs());
        worst.2 = worst.2.max((sun.extraterrestrial_normal_w_per_m2 / extraterrestrial - 1.0).abs());
    }
    assert!(worst.0 < 0.02 && worst.1 < 0.02 && worst.2 < 5e-4, "{worst:?}");
}

/// The split of Erbs et al. (1982) and the two skies, for 542 moments with the sun at least 10° up.
/// Both sides use the same equations, so the tolerance is what the positions differ by: 0.5 W/m² and 0.5 %.
#[test]
fn split_and_tilted_planes_of_an_independent_library() {
    let rows = table("pvlib_irradiance.csv");
    assert_eq!(rows.len(), 542);
    for row in &rows {
        let sun = position(row.place, row.local);
        let [global, beam, diffuse, tilt_deg, azimuth_deg, even, bright] = row.cells[..] else {
            panic!("seven columns");
        };
        let parts = split(global, &sun);
        let plane = Plane { tilt_deg, azimuth_deg, ground_reflectance: 0.2 };
        let close = |what: &str, found: f64, expected: f64| {
            assert!(
                (found - expected).abs() < 0.5 + 0.005 * expected,
                "{what} at {}: {found} against {expected}",
                row.local
            );
        };
        close("beam", parts.beam_normal_w_per_m2, beam);
        close("diffuse", parts.diffuse_horizontal_w_per_m2, diffuse);
        close("even sky", on_plane_w_per_m2(&plane, &sun, &parts, Sky::Even), even);
        close("bright sky", on_plane_w_per_m2(&plane, &sun, &parts, Sky::BrightAroundSun), bright);
    }
}

/// Duffie & Beckman, *Solar Engineering of Thermal Processes*, worked example (from memory, not verified):
/// irradiation of the horizontal outside the atmosphere at 43° N on 15 April is 33.8 MJ/m² with a solar
/// constant of 1367 W/m². Tolerance 1 %, since the book's declination is a one-term formula.
#[test]
fn textbook_day_outside_the_atmosphere() {
    let place = Place { latitude: 43.0, longitude: -90.0, utc_offset_h: -6.0 };
    let midnight: NaiveDateTime = "2031-04-15T00:00:00".parse().expect("a moment");
    let day_mj: f64 =
        (0..24).map(|h| extraterrestrial_horizontal_w_per_m2(place, midnight + TimeDelta::hours(h))).sum::<f64>()
            * 0.0036;
    assert!((day_mj * 1367.0 / 1361.0 / 33.8 - 1.0).abs() < 0.01, "{day_mj}");
}

/// Daylight of the sun's centre without refraction: twelve hours everywhere at the equinox, none or all
/// of the day beyond the polar circles, and noon where the sun is highest.
#[test]
fn daylight_is_as_long_as_the_sun_is_up() {
    let place = |latitude| Place { latitude, longitude: 145.6, utc_offset_h: 10.0 };
    let day = |month, day| NaiveDate::from_ymd_opt(2031, month, day).expect("a day");
    for latitude in [-60.0, -16.9, 0.0, 45.0] {
        let hours = Daylight::of(place(latitude), day(9, 23)).hours();
        assert!((hours - 12.0).abs() < 0.1, "{latitude}: {hours}");
    }
    assert_eq!(Daylight::of(place(80.0), day(12, 21)).hours(), 0.0);
    assert_eq!(Daylight::of(place(80.0), day(6, 21)).hours(), 24.0);
    let daylight = Daylight::of(place(-16.9), day(6, 21));
    let rise = day(6, 21).and_hms_opt(0, 0, 0).expect("midnight")
        + TimeDelta::from_std(Duration::from_secs_f64(daylight.sunrise_h * 3600.0)).expect("a time");
    let zenith = position(place(-16.9), rise).zenith_deg;
    assert!((zenith - 90.0).abs() < 0.1, "{zenith}");
}
