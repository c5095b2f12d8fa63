//! Load-duration curves by hand and against numpy.

use crate::case::data;
use chrono::{Duration, NaiveDate};
use dryledger::ledger::{DurationCurve, Entry, peak_week};

/// Worked by hand: eight hours, five of them with a load, 30 kWh in all.
#[test]
fn a_small_series_gives_what_was_worked_by_hand() {
    let curve = DurationCurve::of([0.0, 4.0, 10.0, 2.0, 0.0, 6.0, 8.0, 0.0]);
    assert_eq!(curve.kw(), [10.0, 8.0, 6.0, 4.0, 2.0]);
    assert_eq!((curve.hours(), curve.span_hours()), (5, 8));
    assert_eq!(curve.energy_kwh(), 30.0);
    // 30 kWh in 8 h at a peak of 10 kW.
    assert!((curve.load_factor().unwrap() - 0.375).abs() < 1e-12);
    // Of five hours, 80 % are four: one may stay above, and 2 of 30 kWh with it.
    let four = curve.cover(0.8);
    assert_eq!((four.capacity_kw, four.hours_above), (8.0, 1));
    assert!((four.energy_above_kwh - 2.0).abs() < 1e-12);
    assert!((four.energy_above_share - 2.0 / 30.0).abs() < 1e-12);
    // 90 % of five hours is more than four: all five.
    assert_eq!(curve.capacity_for(0.9), 10.0);
    let all = curve.cover(1.0);
    assert_eq!((all.capacity_kw, all.hours_above, all.energy_above_kwh), (10.0, 0, 0.0));
    assert_eq!(curve.cover(0.6).energy_above_kwh, 6.0);
}

#[test]
fn a_span_without_load_has_no_load_factor_and_needs_no_capacity() {
    for loads in [vec![], vec![0.0; 24], vec![f64::NAN, -1.0]] {
        let curve = DurationCurve::of(loads);
        assert_eq!(curve.load_factor(), None);
        assert_eq!(curve.cover(0.95).capacity_kw, 0.0);
        assert_eq!(curve.cover(0.95).energy_above_share, 0.0);
    }
}

/// The inverse of the empirical distribution function (Hyndman & Fan 1996, definition 1, "from memory,
/// not verified") as numpy 2 computes it: `numpy.quantile(..., method="inverted_cdf")`. Files and their
/// script: `tests/data/duration`. Exact, since both pick one of the loads; energy to 1e-6 kWh, as written.
#[test]
fn capacities_are_the_quantiles_of_numpy() {
    let mut reader = csv::Reader::from_path(data("duration/loads.csv")).unwrap();
    let loads = reader.records().map(|row| row.unwrap()[0].parse::<f64>().unwrap());
    let curve = DurationCurve::of(loads);
    assert!(curve.hours() < curve.span_hours());
    let mut reader = csv::Reader::from_path(data("duration/capacities.csv")).unwrap();
    let mut rows = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let number = |at: usize| row[at].parse::<f64>().unwrap();
        let cover = curve.cover(number(0));
        assert_eq!(cover.capacity_kw, number(1), "share {}", &row[0]);
        assert!((cover.energy_above_kwh - number(2)).abs() < 1.5e-6);
        rows += 1;
    }
    assert_eq!(rows, 6);
}

/// Thirty days of 1 kWh an hour, with a day of 3 and, six days on, a day of 2: the week that holds both.
#[test]
fn the_peak_week_holds_the_most_in_seven_days_in_a_row() {
    let first = NaiveDate::from_ymd_opt(2031, 3, 1).unwrap().and_hms_opt(0, 0, 0).unwrap();
    let hours: Vec<Entry> = (0..30 * 24)
        .map(|at| Entry {
            starts: first + Duration::hours(at),
            heat_need_kwh: match at / 24 {
                12 => 3.0,
                18 => 2.0,
                _ => 1.0,
            },
            ..Entry::default()
        })
        .collect();
    let week = peak_week(&hours, |hour| hour.heat_need_kwh).unwrap();
    assert_eq!(week.first_hour, 12 * 24);
    assert_eq!(week.starts.date(), NaiveDate::from_ymd_opt(2031, 3, 13).unwrap());
    assert_eq!(week.sum, 24.0 * (3.0 + 2.0 + 5.0));
    assert!(peak_week(&hours[..6 * 24], |hour| hour.heat_need_kwh).is_none());
}
