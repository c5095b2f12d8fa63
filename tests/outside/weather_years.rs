//! Many years: files joined, seasons cut, hours borrowed, leap days.

use chrono::{Datelike, NaiveDate, NaiveDateTime, TimeDelta, Timelike};
use dryledger::weather::{MendRules, Reading, SeasonWindow, Series, WeatherError, mend, read_bytes, seasons};
use std::fmt::Write as _;

fn at(text: &str) -> NaiveDateTime {
    NaiveDateTime::parse_from_str(&format!("{text}:00"), "%Y-%m-%d %H:%M").expect("a time")
}

/// A temperature that tells year, day and hour apart.
fn temperature(time: NaiveDateTime) -> f64 {
    let year = f64::from(time.year() - 2000) / 10.0;
    10.0 + year + f64::from(time.ordinal()) / 50.0 + f64::from(time.hour()) / 1000.0
}

/// A file of our own from one hour to another, both included, without those that `leave_out` names.
fn file(name: &str, from: &str, until: &str, leave_out: impl Fn(NaiveDateTime) -> bool) -> Reading {
    let mut csv = String::from("time,dry_bulb_c,relative_humidity_pct,pressure_pa\n");
    let mut time = at(from);
    while time <= at(until) {
        if !leave_out(time) {
            let _ = writeln!(csv, "{},{:.3},60,101325", time.format("%Y-%m-%dT%H:%M"), temperature(time));
        }
        time += TimeDelta::hours(1);
    }
    read_bytes(name, csv.as_bytes()).expect("a reading")
}

fn whole(from: &str, until: &str) -> Reading {
    file("years.csv", from, until, |_| false)
}

fn window(starts: &str, ends: &str) -> SeasonWindow {
    SeasonWindow { starts: starts.parse().expect("a day"), ends: ends.parse().expect("a day") }
}

fn series(readings: &[Reading]) -> Series {
    mend(readings, &MendRules::default()).expect("a series")
}

#[test]
fn every_complete_season_becomes_a_weather_year() {
    // From June 2019 to July 2023: three whole seasons of March to August.
    let series = series(&[whole("2019-06-01 00", "2023-07-31 23")]);
    let years = seasons(&series, window("03-01", "08-31"), 45 * 24).expect("seasons");
    let labels: Vec<&str> = years.iter().map(|year| year.label.as_str()).collect();
    assert_eq!(labels, ["2020", "2021", "2022"]);
    for year in &years {
        assert_eq!(year.season_hours, 184 * 24);
        assert_eq!(year.hours.len(), (184 + 45) * 24);
        // The files go on after each of them.
        assert_eq!(year.borrowed_hours, 0);
        assert_eq!(year.hours[0].starts.format("%m-%d %H").to_string(), "03-01 00");
    }
}

#[test]
fn seasons_run_across_new_year() {
    let series = series(&[whole("2019-01-01 00", "2021-12-31 23")]);
    let years = seasons(&series, window("09-15", "01-20"), 0).expect("seasons");
    let labels: Vec<&str> = years.iter().map(|year| year.label.as_str()).collect();
    assert_eq!(labels, ["2019/20", "2020/21"]);
    assert_eq!(years[0].season_hours, (16 + 31 + 30 + 31 + 20) * 24);
}

#[test]
fn hours_after_the_end_of_the_files_are_borrowed_from_the_same_dates() {
    let series = series(&[whole("2020-01-01 00", "2021-12-31 23")]);
    let years = seasons(&series, window("09-01", "12-31"), 60 * 24).expect("seasons");
    assert_eq!(years.len(), 2);
    assert_eq!(years[0].borrowed_hours, 0);
    let last = &years[1];
    assert_eq!(last.borrowed_hours, 60 * 24);
    for hour in &last.hours[last.season_hours..] {
        // January and February 2022 do not exist: those of 2021 stand in, dated 2022.
        assert_eq!(hour.starts.year(), 2022);
        let lender = hour.starts.with_year(2021).expect("a date");
        assert!((hour.air.dry_bulb_c() - temperature(lender)).abs() < 1e-3);
    }
    for pair in last.hours.windows(2) {
        assert_eq!(pair[1].starts - pair[0].starts, TimeDelta::hours(1));
    }
}

#[test]
fn a_leap_day_is_kept_borrowed_and_filled() {
    // Kept: 2020 has it.
    let kept = series(&[whole("2019-01-01 00", "2020-12-31 23")]);
    let years = seasons(&kept, window("02-01", "03-31"), 0).expect("seasons");
    assert_eq!((years[0].season_hours, years[1].season_hours), (59 * 24, 60 * 24));
    // Borrowed: the tail runs over 29 February 2024, which no file has.
    let lent = series(&[whole("2023-01-01 00", "2023-12-31 23")]);
    let years = seasons(&lent, window("09-01", "12-31"), 70 * 24).expect("a season");
    assert_eq!(years[0].borrowed_hours, 70 * 24);
    assert!(
        years[0].hours.iter().any(|hour| hour.starts.date() == NaiveDate::from_ymd_opt(2024, 2, 29).expect("a date"))
    );
    // Filled: an archive without leap days.
    let without = file("noleap.csv", "2020-01-01 00", "2020-12-31 23", |time| (time.month(), time.day()) == (2, 29));
    let filled = series(&[without]);
    assert_eq!(filled.mends.leap_day_hours, 24);
    assert_eq!(filled.mends.filled_hours(), 24);
    assert!(filled.open_gaps.is_empty());
}

#[test]
fn files_are_joined_and_the_first_named_wins() {
    let first = whole("2020-01-01 00", "2020-07-01 23");
    let mut second = whole("2020-06-01 00", "2020-12-31 23");
    for row in &mut second.rows {
        row.dry_bulb_c = row.dry_bulb_c.map(|t| t + 5.0);
    }
    let joined = series(&[first.clone(), second.clone()]);
    assert_eq!(joined.hours.len(), 366 * 24);
    let june = joined.at(at("2020-06-15 12")).expect("an hour");
    assert!((june.air.dry_bulb_c() - temperature(june.starts)).abs() < 1e-3);
    let overlap = joined.problems.iter().find(|problem| problem.code == "join.overlap").expect("told");
    assert!(overlap.message.contains("744 hours"), "{}", overlap.message);
    assert!(overlap.message.contains("744 of them differ"), "{}", overlap.message);
    let other_way = series(&[second, first]);
    let june = other_way.at(at("2020-06-15 12")).expect("an hour");
    assert!((june.air.dry_bulb_c() - temperature(june.starts) - 5.0).abs() < 1e-3);
}

#[test]
fn a_season_with_a_hole_of_weeks_is_left_out() {
    let holed = file("holed.csv", "2019-01-01 00", "2021-12-31 23", |time| {
        time.year() == 2020 && (5..=6).contains(&time.month())
    });
    let holed = series(&[holed]);
    let years = seasons(&holed, window("03-01", "08-31"), 0).expect("seasons");
    let labels: Vec<&str> = years.iter().map(|year| year.label.as_str()).collect();
    assert_eq!(labels, ["2019", "2021"]);
    let only = SeasonWindow { ..window("05-15", "06-15") };
    assert_eq!(seasons(&holed, only, 0).expect("seasons").len(), 2);
}

#[test]
fn a_long_gap_outside_the_season_does_no_harm() {
    let holed = file("holed.csv", "2021-01-01 00", "2021-12-31 23", |time| {
        time >= at("2021-11-03 00") && time < at("2021-11-04 12")
    });
    let holed = series(&[holed]);
    assert_eq!(holed.open_gaps.len(), 1);
    assert!(seasons(&holed, window("03-01", "08-31"), 0).is_ok());
    let refused = seasons(&holed, window("10-01", "11-30"), 0).expect_err("a gap");
    assert!(matches!(refused, WeatherError::Gap(_)), "{refused}");
    assert!(refused.to_string().contains("36 h from 2021-11-03 00:00"), "{refused}");
}

#[test]
fn rows_in_utc_are_put_to_the_sites_time() {
    let mut reading = whole("2020-01-01 00", "2020-12-31 23");
    reading.clock_offset_minutes = Some(0);
    let rules = MendRules { utc_offset_minutes: Some(600), ..MendRules::default() };
    let shifted = mend(&[reading], &rules).expect("a series");
    assert_eq!(shifted.hours[0].starts, at("2020-01-01 10"));
    assert_eq!(shifted.utc_offset_minutes, Some(600));
}

#[test]
fn a_typical_year_cannot_be_joined() {
    let typical = dryledger::weather::read(&crate::case::data("weather/fresno_tmy3.epw")).expect("the file");
    let refused = mend(&[typical, whole("2020-01-01 00", "2020-12-31 23")], &MendRules::default())
        .expect_err("not joined")
        .to_string();
    assert!(refused.contains("typical year") && refused.contains("alone"), "{refused}");
}

#[test]
fn a_typical_year_with_a_long_gap_names_it() {
    let text = std::fs::read_to_string(crate::case::data("weather/fresno_tmy3.epw")).expect("the file");
    // Twelve hours of 5 January are cut out.
    let cut: Vec<&str> =
        text.lines().enumerate().filter(|(at, _)| !(8 + 100..8 + 112).contains(at)).map(|(_, line)| line).collect();
    let reading = read_bytes("cut.epw", cut.join("\n").as_bytes()).expect("a reading");
    let cut = series(std::slice::from_ref(&reading));
    assert_eq!((cut.hours.len(), cut.open_gaps.len()), (8748, 1));
    assert!(seasons(&cut, window("03-01", "08-31"), 24).is_ok());
    let refused = seasons(&cut, window("12-15", "01-20"), 0).expect_err("a gap");
    assert!(refused.to_string().contains("12 h from"), "{refused}");
    let rules = MendRules { fill_long_gaps: true, ..MendRules::default() };
    let filled = mend(&[reading], &rules).expect("a series");
    let years = seasons(&filled, window("12-15", "01-20"), 0).expect("a season");
    assert_eq!(years[0].season_hours, 37 * 24);
    assert_eq!(years[0].hours.iter().filter(|hour| hour.mended).count(), 12);
}
