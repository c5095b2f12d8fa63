//! Made weeks with one fault each, and weeks that are only odd.

use super::super::values::zeros;
use super::*;
use chrono::TimeDelta;

/// Weeks of hours with the same vapour all along, warmest in the afternoon and each day a little warmer.
fn weeks(mean_c: f64, vapour_pa: f64) -> Vec<Row> {
    let first = NaiveDate::from_ymd_opt(2023, 3, 1).unwrap().and_hms_opt(0, 0, 0).unwrap();
    (0..21 * 24_u32)
        .map(|hour| {
            let starts = first + TimeDelta::hours(hour.into());
            let mut row = Row::at(hour + 2, starts.date(), starts);
            let of_day = (f64::from(hour % 24) - 15.0) / 24.0 * std::f64::consts::TAU;
            let t = mean_c + 6.0 * of_day.cos() + 0.05 * f64::from(hour / 24);
            row.dry_bulb_c = Some(t);
            row.relative_humidity = Some((vapour_pa / saturation_pressure_pa(t)).min(1.0));
            row
        })
        .collect()
}

fn found(rows: &[Row]) -> Vec<&'static str> {
    let mut problems = Vec::new();
    check(rows, &mut problems);
    problems.iter().map(|problem| problem.code).collect()
}

#[test]
fn deserts_gulfs_fog_and_frost_are_only_odd() {
    for (mean_c, vapour_pa) in [(36.0, 250.0), (33.0, 3_200.0), (-12.0, 150.0), (20.0, 1_400.0)] {
        assert_eq!(found(&weeks(mean_c, vapour_pa)), [] as [&str; 0], "{mean_c}");
    }
    let mut foggy = weeks(8.0, 900.0);
    for (at, row) in foggy.iter_mut().enumerate().take(96) {
        row.relative_humidity = Some(1.0);
        row.dry_bulb_c = Some(6.0 + 0.01 * at as f64);
    }
    assert_eq!(found(&foggy), [] as [&str; 0]);
}

#[test]
fn a_sensor_in_saturation_is_no_fog() {
    let mut rows = weeks(20.0, 1_400.0);
    for row in &mut rows {
        row.relative_humidity = Some(1.0);
    }
    assert_eq!(found(&rows), ["humidity.stuck"]);
}

#[test]
fn air_moister_than_ever_measured_is_told() {
    let mut rows = weeks(20.0, 1_400.0);
    for row in &mut rows[100..110] {
        row.dry_bulb_c = Some(39.6);
        row.relative_humidity = Some(0.97);
    }
    assert_eq!(found(&rows), ["humidity.dew_point"]);
}

#[test]
fn days_pasted_over_others_are_counted() {
    let mut rows = weeks(20.0, 1_400.0);
    for day in 1..8 {
        for hour in 0..24 {
            let (t, humidity) = (rows[hour].dry_bulb_c, rows[hour].relative_humidity);
            rows[day * 24 + hour].dry_bulb_c = t;
            rows[day * 24 + hour].relative_humidity = humidity;
        }
    }
    let mut problems = Vec::new();
    check(&rows, &mut problems);
    assert_eq!(problems[0].code, "days.repeated");
    assert!(problems[0].message.starts_with("7 days"), "{}", problems[0].message);
    assert_eq!(problems[0].severity, Severity::Warning);
}

#[test]
fn grams_under_the_name_of_relative_humidity_are_seen() {
    let mut rows = weeks(20.0, 1_400.0);
    for row in &mut rows {
        // 1400 Pa at about 20 °C are some 10 g/m³.
        row.relative_humidity = Some(0.103 * 293.0 / (273.0 + row.dry_bulb_c.unwrap()));
    }
    assert_eq!(found(&rows), ["humidity.absolute"]);
}

#[test]
fn a_cold_month_in_fahrenheit_is_seen() {
    let mut rows = weeks(1.0, 480.0);
    for row in &mut rows {
        row.dry_bulb_c = row.dry_bulb_c.map(|t| t * 1.8 + 32.0);
    }
    assert_eq!(found(&rows), ["dry_bulb.unit"]);
}

#[test]
fn zeros_are_taken_out_by_their_cause() {
    let mut rows = weeks(20.0, 1_400.0);
    for row in &mut rows[50..60] {
        row.dry_bulb_c = Some(0.0);
        row.relative_humidity = Some(0.0);
    }
    rows[70].relative_humidity = Some(0.0);
    let mut problems = Vec::new();
    zeros(&mut rows, &mut problems);
    let codes: Vec<_> = problems.iter().map(|problem| problem.code).collect();
    assert_eq!(codes, ["values.dropout", "humidity.zero"]);
    assert!(rows[55].dry_bulb_c.is_none() && !rows[55].has_humidity());
    assert!(rows[70].dry_bulb_c.is_some() && rows[70].relative_humidity.is_none());
}

#[test]
fn a_spike_of_humidity_is_told() {
    let mut rows = weeks(20.0, 700.0);
    rows[40].relative_humidity = Some(0.99);
    assert_eq!(found(&rows), ["humidity.jump"]);
}
