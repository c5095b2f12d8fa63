//! Made years held beside sites that are theirs, and beside others.

use super::*;
use crate::weather::read_bytes;
use approx::assert_relative_eq;
use std::fmt::Write;

fn site(latitude: f64, longitude: f64, altitude_m: f64, utc_offset_h: f64) -> Spot {
    Spot {
        latitude: Some(latitude),
        longitude: Some(longitude),
        altitude_m: Some(altitude_m),
        utc_offset_h: Some(utc_offset_h),
    }
}

/// A year of the tool's own format: these remarks, warmest in this month, the sun highest at this hour.
fn reading(remarks: &str, warm_month: f64, noon_h: f64, pressure_pa: f64) -> Reading {
    let mut text = format!("{remarks}time,dry_bulb_c,relative_humidity_pct,pressure_pa,global_horizontal_w_per_m2\n");
    let first = chrono::NaiveDate::from_ymd_opt(2023, 1, 1).unwrap().and_hms_opt(0, 0, 0).unwrap();
    for hour in 0..8_760_i64 {
        let starts = first + chrono::TimeDelta::hours(hour);
        let of_day = (hour % 24) as f64 + 0.5;
        let year = (hour as f64 / 730.0 - warm_month) / 12.0 * std::f64::consts::TAU;
        let day = (of_day - noon_h) / 24.0 * std::f64::consts::TAU;
        let _ = writeln!(
            text,
            "{},{:.1},{:.1},{pressure_pa:.0},{:.0}",
            starts.format("%Y-%m-%dT%H:%M"),
            16.0 + 8.0 * year.cos() + 5.0 * day.cos(),
            60.0 - 15.0 * day.cos(),
            (800.0 * day.cos()).max(0.0)
        );
    }
    read_bytes("made.csv", text.as_bytes()).expect("a reading")
}

fn codes(doubts: &[SiteDoubt]) -> Vec<(&'static str, Severity)> {
    doubts.iter().map(|doubt| (doubt.problem.code, doubt.problem.severity)).collect()
}

#[test]
fn a_quarter_of_the_globe_is_ten_thousand_kilometres() {
    assert_relative_eq!(great_circle_km((0.0, 0.0), (0.0, 90.0)), 10_007.5, max_relative = 1e-4);
    assert_relative_eq!(great_circle_km((-90.0, 7.0), (0.0, 33.0)), 10_007.5, max_relative = 1e-4);
    // Across the date line one degree is one degree.
    assert!(great_circle_km((0.0, 179.5), (0.0, -179.5)) < 112.0);
}

#[test]
fn heights_are_found_back_from_their_pressure() {
    for altitude_m in [-300.0, 0.0, 540.0, 2_600.0, 5_000.0] {
        let pressure_pa = standard_pressure_pa(altitude_m);
        assert_relative_eq!(altitude_of_pressure_m(pressure_pa), altitude_m, epsilon = 0.1);
    }
}

#[test]
fn a_clock_may_be_odd_but_not_impossible() {
    let severity = |longitude: f64, offset_h: f64| {
        let doubts = doubts_of_site(&site(10.0, longitude, 0.0, offset_h));
        doubts.first().map(|doubt| doubt.problem.severity)
    };
    // Eastern Australia, Iberia's west end, the Line Islands, the far west of China.
    for (longitude, offset_h) in [(145.6, 10.0), (-9.0, 1.0), (-157.4, 14.0)] {
        assert_eq!(severity(longitude, offset_h), None, "{longitude}");
    }
    assert_eq!(severity(76.0, 8.0), Some(Severity::Note));
    for (longitude, offset_h) in [(145.6, -10.0), (-145.6, 10.0), (14.56, 10.0), (-120.0, 8.0)] {
        assert_eq!(severity(longitude, offset_h), Some(Severity::Error), "{longitude}");
    }
}

const UPLAND: &str = "# latitude: -16.9\n# longitude: 145.6\n# altitude_m: 540\n# utc_offset: +10:00\n";

#[test]
fn weather_of_the_place_raises_nothing() {
    let file = reading(UPLAND, 0.5, 12.3, standard_pressure_pa(540.0));
    assert_eq!(codes(&doubts_of_place(&site(-16.9, 145.6, 540.0, 10.0), &file)), []);
    // A station in the valley, 40 km away and 150 m lower.
    assert_eq!(codes(&doubts_of_place(&site(-17.2, 145.4, 690.0, 10.0), &file)), []);
}

#[test]
fn a_slip_in_the_coordinates_is_an_error_that_names_the_slip() {
    let file = reading(UPLAND, 0.5, 12.3, standard_pressure_pa(540.0));
    for (latitude, longitude, code, cure) in [
        (16.9, 145.6, "site.hemisphere", "sign of the latitude"),
        (-16.9, -145.6, "site.distance", "sign of the longitude"),
        (-16.9, 14.56, "site.distance", "name weather of the place"),
        (36.8, -119.7, "site.hemisphere", "name weather of the place"),
    ] {
        let doubts = doubts_of_place(&site(latitude, longitude, 540.0, 10.0), &file);
        assert_eq!(codes(&doubts), [(code, Severity::Error)], "{latitude} {longitude}");
        assert!(doubts[0].cure.contains(cure), "{}", doubts[0].cure);
    }
    let apart = doubts_of_place(&site(-17.9, 145.6, 540.0, 10.0), &file);
    assert_eq!(codes(&apart), [("site.distance", Severity::Note)]);
}

#[test]
fn altitude_is_judged_by_the_elevation_or_else_by_the_pressure() {
    let file = reading(UPLAND, 0.5, 12.3, standard_pressure_pa(540.0));
    let bare = reading("", 0.5, 12.3, standard_pressure_pa(540.0));
    for file in [&file, &bare] {
        let severity = |altitude_m: f64| {
            let doubts = doubts_of_place(&site(-16.9, 145.6, altitude_m, 10.0), file);
            doubts.first().map(|doubt| (doubt.problem.code, doubt.problem.severity))
        };
        assert_eq!(severity(600.0), None);
        assert_eq!(severity(54.0), Some(("site.altitude", Severity::Note)));
        assert_eq!(severity(1_300.0), Some(("site.altitude", Severity::Warning)));
        assert_eq!(severity(5_400.0), Some(("site.altitude", Severity::Error)));
    }
}

#[test]
fn a_file_that_tells_no_place_is_judged_by_its_sun_and_its_seasons() {
    let pressure_pa = standard_pressure_pa(50.0);
    let southern = site(-34.0, 150.0, 50.0, 10.0);
    let its_own = reading("", 0.5, 12.0, pressure_pa);
    assert_eq!(codes(&doubts_of_place(&southern, &its_own)), []);
    let in_utc = reading("", 0.5, 2.0, pressure_pa);
    assert_eq!(codes(&doubts_of_place(&southern, &in_utc)), [("site.sun", Severity::Warning)]);
    let northern = reading("", 6.5, 12.0, pressure_pa);
    let seasons = doubts_of_place(&southern, &northern);
    assert_eq!(codes(&seasons), [("site.seasons", Severity::Warning)]);
    let other_clock = reading("# utc_offset: -10:00\n", 0.5, 12.0, pressure_pa);
    let doubts = codes(&doubts_of_place(&southern, &other_clock));
    assert!(doubts.contains(&("site.zone", Severity::Warning)), "{doubts:?}");
}
