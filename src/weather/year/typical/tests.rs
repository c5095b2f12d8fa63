use super::*;
use approx::assert_relative_eq;

/// Hours of these years: dry bulb and wind by date, humidity in step with the dry bulb.
fn years(from: i32, count: i32, of: impl Fn(NaiveDate) -> (f64, f64)) -> Vec<Hour> {
    let first = NaiveDate::from_ymd_opt(from, 1, 1).unwrap();
    first
        .iter_days()
        .take_while(|day| day.year() < from + count)
        .flat_map(|day| {
            let (dry_bulb_c, wind) = of(day);
            (0..24).map(move |h| Hour {
                starts: day.and_hms_opt(h, 0, 0).unwrap(),
                air: MoistAir::from_relative_humidity(dry_bulb_c, 0.3 + 0.01 * dry_bulb_c, 95_000.0).unwrap(),
                global_horizontal_w_per_m2: Some(200.0),
                wind_m_per_s: Some(wind),
                mended: false,
            })
        })
        .collect()
}

/// By hand: all days 1, 2, 3, 4; a month of 1, 2. F = 1/3, 2/3; Phi = 1/5, 2/5; the sum of the differences
/// is 2/15 + 4/15 = 0.4.
#[test]
fn the_statistic_by_hand() {
    assert_relative_eq!(finkelstein_schafer(&[2.0, 1.0], &[3.0, 1.0, 4.0, 2.0]), 0.4, max_relative = 1e-12);
    // A month of the two middle days: F = 1/3, 2/3; Phi = 2/5, 3/5: 1/15 + 1/15.
    assert_relative_eq!(finkelstein_schafer(&[2.0, 3.0], &[3.0, 1.0, 4.0, 2.0]), 2.0 / 15.0, max_relative = 1e-12);
    let all = [5.0, 1.0, 9.0, 3.0, 7.0];
    assert_eq!(finkelstein_schafer(&all, &all), 0.0);
}

/// Eleven years, each warmer than the last by 1 K but in another order every month: the sixth by warmth is
/// the right one, since as many days of all years lie above it as below.
#[test]
fn the_middle_year_of_every_month_is_chosen() {
    let place_in_warmth = |year: i32, month: u32| (year - 2001 + 4 * month.cast_signed()).rem_euclid(11);
    let hours = years(2001, 11, |day| {
        let warmth = f64::from(place_in_warmth(day.year(), day.month()));
        (10.0 + warmth + 0.01 * f64::from(day.day()), 3.0)
    });
    let typical = stitch(&hours).unwrap();
    for (month, year) in typical.chosen {
        assert_eq!(place_in_warmth(year, month), 5, "month {month}: {year}");
    }
    assert_eq!(typical.hours.len(), 8760);
    assert_eq!(typical.judged_by.len(), 4);
}

/// Of the three nearest by temperature (places 4, 5 and 6 of 0..10), the one whose wind is the mean of
/// all years wins, though it is not the nearest by temperature.
#[test]
fn wind_decides_between_the_three_best() {
    let hours = years(2001, 11, |day| {
        let warmth = f64::from(day.year() - 2001);
        let wind = match day.year() {
            2005 => 3.0,
            2006 => 9.0,
            2007 => 0.5,
            _ => 2.8125,
        };
        (10.0 + warmth + 0.01 * f64::from(day.day()), wind)
    });
    let typical = stitch(&hours).unwrap();
    assert!(typical.chosen.iter().all(|(_, year)| *year == 2005), "{:?}", typical.chosen);
}

#[test]
fn months_with_a_gap_are_passed_over_and_too_few_are_refused() {
    let mut hours = years(2001, 10, |_| (15.0, 3.0));
    assert!(stitch(&hours).is_ok());
    let gap = NaiveDate::from_ymd_opt(2004, 6, 9).unwrap().and_hms_opt(5, 0, 0).unwrap();
    hours.retain(|hour| hour.starts != gap);
    let refused = stitch(&hours).unwrap_err();
    assert_eq!(refused, TypicalError::TooFewYears { month: 6, found: 9 });
    assert!(refused.to_string().contains("at least 10"));
    hours.swap(100, 101);
    assert!(matches!(stitch(&hours), Err(TypicalError::OutOfOrder(_))));
    assert!(matches!(stitch(&[]), Err(TypicalError::TooFewYears { month: 1, found: 0 })));
}

/// A step of several kelvin between two months is shared out over sixteen hours, and the rest of both
/// months is as it was.
#[test]
fn joins_have_no_step_and_the_rest_is_untouched() {
    let hours = years(2001, 11, |day| {
        let place = (day.year() - 2001 + 4 * day.month().cast_signed()).rem_euclid(11);
        let season = if day.month() % 2 == 0 { 8.0 } else { 0.0 };
        (10.0 + season + f64::from(place) + 0.01 * f64::from(day.day()), 3.0)
    });
    let typical = stitch(&hours).unwrap().hours;
    let steps = typical.windows(2).map(|pair| (pair[1].air.dry_bulb_c() - pair[0].air.dry_bulb_c()).abs());
    assert!(steps.fold(0.0, f64::max) < 0.7);
    let around_the_year = typical[0].air.dry_bulb_c() - typical[8759].air.dry_bulb_c();
    assert!(around_the_year.abs() < 0.7, "{around_the_year}");
    assert_eq!(typical.iter().filter(|hour| hour.mended).count(), 12 * 16);
    assert!(typical.windows(2).all(|p| p[1].starts - p[0].starts == TimeDelta::hours(1)));
    let mid_june = typical.iter().find(|hour| hour.starts.month() == 6 && hour.starts.day() == 15).unwrap();
    assert_relative_eq!(mid_june.air.dry_bulb_c(), 10.0 + 8.0 + 5.0 + 0.15, max_relative = 1e-12);
}

/// February of a leap year gives its first 28 days.
#[test]
fn the_leap_day_is_left_out() {
    let hours = years(2004, 41, |day| {
        let leap = day.leap_year();
        // Only leap years are in the middle.
        let warmth = if leap { 20.0 } else { 20.0 + f64::from(day.year() % 2 * 2 - 1) * 5.0 };
        (warmth + 0.01 * f64::from(day.day()), 3.0)
    });
    let typical = stitch(&hours).unwrap();
    assert_eq!(typical.hours.len(), 8760);
    assert!(!typical.hours.iter().any(|h| h.starts.month() == 2 && h.starts.day() == 29));
}
