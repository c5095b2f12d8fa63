//! A day of the calendar without a year.

use chrono::{Datelike, NaiveDate};
use std::fmt;
use std::str::FromStr;

/// A day of any year, written `MM-DD`; 29 February is allowed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MonthDay {
    month: u32,
    day: u32,
}

/// Why a text is not a day of the calendar.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{0}' is not a day of the calendar; write month and day, such as 03-01 for 1 March")]
pub struct NotAMonthDay(pub String);

impl MonthDay {
    /// Month 1..12 and a day that this month can have.
    pub fn new(month: u32, day: u32) -> Option<Self> {
        // 2000 is a leap year, so 29 February passes.
        NaiveDate::from_ymd_opt(2000, month, day).map(|_| Self { month, day })
    }

    /// The day of the calendar on which this date falls.
    pub fn of(date: NaiveDate) -> Self {
        Self { month: date.month(), day: date.day() }
    }

    /// Month, 1..12.
    pub fn month(self) -> u32 {
        self.month
    }

    /// Day of the month, 1..31.
    pub fn day(self) -> u32 {
        self.day
    }

    /// The date in a year; 29 February is the 28th in a year without one.
    pub fn in_year(self, year: i32) -> Option<NaiveDate> {
        NaiveDate::from_ymd_opt(year, self.month, self.day)
            .or_else(|| NaiveDate::from_ymd_opt(year, self.month, self.day - 1))
    }
}

impl FromStr for MonthDay {
    type Err = NotAMonthDay;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let refused = || NotAMonthDay(text.to_owned());
        let (month, day) = text.trim().split_once('-').ok_or_else(refused)?;
        let number = |part: &str| part.parse::<u32>().map_err(|_| refused());
        Self::new(number(month)?, number(day)?).ok_or_else(refused)
    }
}

impl fmt::Display for MonthDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

/// Days of the calendar, both included; across New Year if the second comes before the first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dates {
    /// First day.
    pub from: MonthDay,
    /// Last day.
    pub until: MonthDay,
}

impl Dates {
    /// True if the date falls on one of the days.
    pub fn contains(self, date: NaiveDate) -> bool {
        let day = MonthDay::of(date);
        if self.from <= self.until {
            self.from <= day && day <= self.until
        } else {
            day >= self.from || day <= self.until
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_and_writes_month_and_day() {
        let day: MonthDay = "03-01".parse().unwrap();
        assert_eq!((day.month(), day.day()), (3, 1));
        assert_eq!(day.to_string(), "03-01");
        for text in ["", "13-01", "02-30", "3", "03/01", "2024-03-01"] {
            assert!(text.parse::<MonthDay>().is_err(), "{text}");
        }
    }

    #[test]
    fn the_leap_day_is_the_28th_elsewhere() {
        let leap: MonthDay = "02-29".parse().unwrap();
        assert_eq!(leap.in_year(2024), NaiveDate::from_ymd_opt(2024, 2, 29));
        assert_eq!(leap.in_year(2023), NaiveDate::from_ymd_opt(2023, 2, 28));
    }
}
