//! The calendar of one year, and monthly levels spread over its days.

use super::climate::Monthly;
use chrono::{Datelike, Days, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};

/// The days of one year, with one day before and one after so that its first and last hours have
/// neighbours.
pub(crate) struct Calendar {
    /// 31 December before, the year's days, 1 January after.
    pub days: Vec<NaiveDate>,
}

impl Calendar {
    /// `None` outside the years 1..=9999.
    pub(super) fn of(year: i32) -> Option<Self> {
        if !(1..=9999).contains(&year) {
            return None;
        }
        let first = NaiveDate::from_ymd_opt(year, 1, 1)?.pred_opt()?;
        let days = first
            .iter_days()
            .take_while(|day| day.year() <= year)
            .chain(NaiveDate::from_ymd_opt(year + 1, 1, 1))
            .collect();
        Some(Self { days })
    }

    /// Days of the year itself.
    pub(super) fn year_days(&self) -> usize {
        self.days.len() - 2
    }

    /// Month 0..11 of a day, by its place in `days`.
    pub(super) fn month0(&self, day: usize) -> usize {
        self.days[day].month0() as usize
    }

    /// Starts of the 24 hours of a day.
    pub(super) fn hours(&self, day: usize) -> [NaiveDateTime; 24] {
        let mut at = self.days[day].and_time(NaiveTime::MIN);
        std::array::from_fn(|_| {
            let starts = at;
            at += TimeDelta::hours(1);
            starts
        })
    }

    /// Monthly levels as a value for each day: a straight line between the middles of the months,
    /// December joined to January. The months' means are not kept; `fit` sees to that.
    pub(super) fn daily(&self, monthly: &Monthly) -> Vec<f64> {
        self.days
            .iter()
            .map(|day| {
                let month = day.month0() as usize;
                let length = days_in_month(*day);
                let from_middle = (f64::from(day.day0()) + 0.5) / length - 0.5;
                let neighbour = if from_middle < 0.0 { (month + 11) % 12 } else { (month + 1) % 12 };
                // Months are nearly of one length: the middles are taken as one month apart.
                monthly[month] + from_middle.abs() * (monthly[neighbour] - monthly[month])
            })
            .collect()
    }
}

fn days_in_month(day: NaiveDate) -> f64 {
    let next =
        day.with_day(1).and_then(|first| first.checked_add_days(Days::new(32))).and_then(|later| later.with_day(1));
    let first = day.with_day(1);
    match (first, next) {
        (Some(first), Some(next)) => (next - first).num_days() as f64,
        _ => 31.0,
    }
}

/// How cold each month is within the year: 1 in the coldest, -1 in the warmest, 0 throughout where
/// all months are alike; and the range of the monthly means, K.
pub(crate) fn coldness(min_c: &Monthly, max_c: &Monthly) -> (Monthly, f64) {
    let mean: Vec<f64> = min_c.iter().zip(max_c).map(|(a, b)| 0.5 * (a + b)).collect();
    let warmest = mean.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let coldest = mean.iter().copied().fold(f64::INFINITY, f64::min);
    let range = warmest - coldest;
    let cold = std::array::from_fn(|m| if range > 0.0 { (warmest + coldest - 2.0 * mean[m]) / range } else { 0.0 });
    (cold, range)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_leap_year_has_its_day_and_two_neighbours() {
        assert_eq!(Calendar::of(2032).unwrap().year_days(), 366);
        let calendar = Calendar::of(2031).unwrap();
        assert_eq!(calendar.year_days(), 365);
        assert_eq!(calendar.days[0].to_string(), "2030-12-31");
        assert_eq!(calendar.days.last().unwrap().to_string(), "2032-01-01");
        assert!(Calendar::of(0).is_none() && Calendar::of(10_000).is_none());
        assert!(Calendar::of(9999).is_some() && Calendar::of(1).is_some());
    }

    #[test]
    fn daily_levels_join_without_a_step() {
        let calendar = Calendar::of(2032).unwrap();
        let monthly = [20.0, 18.0, 15.0, 11.0, 8.0, 5.0, 4.0, 6.0, 9.0, 13.0, 16.0, 19.0];
        let daily = calendar.daily(&monthly);
        for pair in daily.windows(2) {
            assert!((pair[1] - pair[0]).abs() < 0.2, "{pair:?}");
        }
    }

    #[test]
    fn the_coldest_month_is_one_and_the_warmest_minus_one() {
        let min = [10.0, 0.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0];
        let (cold, range) = coldness(&min, &min);
        assert_eq!((cold[0], cold[1], cold[2], range), (-1.0, 1.0, 0.0, 10.0));
        assert_eq!(coldness(&[3.0; 12], &[9.0; 12]), ([0.0; 12], 0.0));
    }
}
