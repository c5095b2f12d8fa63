//! To which day, and so to which month, of a bill an hour belongs.

use crate::calendar::WallClock;
use chrono::{Datelike, NaiveDate, NaiveDateTime};

/// The days and months of one bill.
///
/// An hour belongs to the day on the tariff's clock. Under daylight saving that clock is ahead of the standard
/// time in which a season is counted: the season's last hour, which starts at 23:00 on 31 October, is the first
/// of 1 November on the wall. No site is sent the bill of a month for it. A day that the hours do not reach in
/// standard time is therefore no day of the bill, and its hours go to the nearest that is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BillingDays {
    clock: Option<WallClock>,
    first: NaiveDate,
    last: NaiveDate,
}

impl BillingDays {
    /// The days of hours in order, by their starts in local standard time.
    pub(super) fn of(clock: Option<WallClock>, hours: impl IntoIterator<Item = NaiveDateTime>) -> Self {
        let mut dates = hours.into_iter().map(|starts| starts.date());
        let first = dates.next().unwrap_or_default();
        Self { clock, first, last: dates.last().unwrap_or(first) }
    }

    /// The day to which an hour belongs.
    pub fn date(&self, hour_starts: NaiveDateTime) -> NaiveDate {
        let on_the_wall = self.clock.map_or(hour_starts, |clock| clock.read(hour_starts));
        on_the_wall.date().max(self.first).min(self.last)
    }

    /// Year and month (1..12) to which an hour belongs.
    pub fn month(&self, hour_starts: NaiveDateTime) -> (i32, u32) {
        let date = self.date(hour_starts);
        (date.year(), date.month())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeDelta;

    fn days(first: &str, hours: i64, clock: Option<WallClock>) -> (BillingDays, Vec<NaiveDateTime>) {
        let first = NaiveDateTime::parse_from_str(first, "%Y-%m-%d %H:%M").unwrap();
        let hours: Vec<_> = (0..hours).map(|hour| first + TimeDelta::hours(hour)).collect();
        (BillingDays::of(clock, hours.iter().copied()), hours)
    }

    fn los_angeles() -> WallClock {
        let zone = chrono_tz::Tz::America__Los_Angeles;
        WallClock { standard: "-08:00".parse().unwrap(), zone }
    }

    #[test]
    fn an_hour_belongs_to_its_month_on_the_wall() {
        let (days, hours) = days("2031-06-30 00:00", 48, Some(los_angeles()));
        let july = hours.iter().position(|hour| days.month(*hour) == (2031, 7));
        assert_eq!(july, Some(23), "23:00 of standard time is midnight on the wall");
    }

    #[test]
    fn the_last_hour_under_daylight_saving_makes_no_day_and_no_month() {
        let (days, hours) = days("2031-10-01 00:00", 31 * 24, Some(los_angeles()));
        assert!(hours.iter().all(|hour| days.month(*hour) == (2031, 10)));
        let mut dates: Vec<_> = hours.iter().map(|hour| days.date(*hour)).collect();
        dates.dedup();
        assert_eq!(dates.len(), 31);
    }

    #[test]
    fn years_are_told_apart() {
        let (days, hours) = days("2031-12-31 00:00", 400 * 24, None);
        assert_eq!(days.month(hours[0]), (2031, 12));
        assert_eq!(days.month(hours[370 * 24]), (2033, 1));
    }

    #[test]
    fn of_no_hours_there_are_no_days_to_ask_for() {
        let (days, _) = days("2031-06-30 00:00", 0, None);
        assert_eq!(days.first, days.last);
    }
}
