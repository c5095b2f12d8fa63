//! When a price holds: seasons of the calendar, kinds of day, hours of the clock.

mod time_of_use;

pub use time_of_use::TimeOfUse;

use chrono::{Datelike, FixedOffset, NaiveDate, NaiveDateTime, NaiveTime, Offset, TimeZone, Timelike, Weekday};
use chrono_tz::{OffsetComponents, Tz};
use std::fmt;
use std::str::FromStr;

/// A day of the year without its year: `03-01`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MonthDay {
    month: u32,
    day: u32,
}

/// Text that is no day of the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("expected a month and a day such as 03-01")]
pub struct NoMonthDay;

impl MonthDay {
    /// The day, if it exists in a leap year.
    pub fn new(month: u32, day: u32) -> Option<Self> {
        NaiveDate::from_ymd_opt(2000, month, day).map(|_| Self { month, day })
    }

    /// The month, 1 to 12.
    pub const fn month(self) -> u32 {
        self.month
    }

    /// The day, 1 to 31.
    pub const fn day(self) -> u32 {
        self.day
    }
}

impl From<NaiveDate> for MonthDay {
    fn from(date: NaiveDate) -> Self {
        Self { month: date.month(), day: date.day() }
    }
}

impl FromStr for MonthDay {
    type Err = NoMonthDay;

    fn from_str(text: &str) -> Result<Self, NoMonthDay> {
        let (month, day) = text.split_once('-').ok_or(NoMonthDay)?;
        let number = |digits: &str| {
            let plain = digits.len() <= 2 && digits.bytes().all(|b| b.is_ascii_digit());
            digits.parse().ok().filter(|_| plain).ok_or(NoMonthDay)
        };
        Self::new(number(month)?, number(day)?).ok_or(NoMonthDay)
    }
}

impl fmt::Display for MonthDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}-{:02}", self.month, self.day)
    }
}

/// A time of the clock in minutes after midnight, `00:00` to `24:00`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ClockTime(u32);

/// Text that is no time of the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("expected a time such as 07:00 or 21:30, on a quarter of an hour")]
pub struct NoClockTime;

impl ClockTime {
    /// The start of the day.
    pub const MIDNIGHT: Self = Self(0);
    /// The end of the day.
    pub const END_OF_DAY: Self = Self(24 * 60);

    /// So many minutes after midnight, on a quarter of an hour.
    pub fn from_minutes(minutes: u32) -> Option<Self> {
        (minutes <= 24 * 60 && minutes.is_multiple_of(15)).then_some(Self(minutes))
    }

    /// Minutes after midnight, 0 to 1440.
    pub const fn minutes(self) -> u32 {
        self.0
    }
}

impl FromStr for ClockTime {
    type Err = NoClockTime;

    fn from_str(text: &str) -> Result<Self, NoClockTime> {
        if text == "24:00" {
            return Ok(Self::END_OF_DAY);
        }
        let time = NaiveTime::parse_from_str(text, "%H:%M")
            .or_else(|_| NaiveTime::parse_from_str(text, "%H:%M:%S"))
            .map_err(|_| NoClockTime)?;
        let whole = time.second() == 0;
        let minutes = time.hour() * 60 + time.minute();
        Self::from_minutes(minutes).filter(|_| whole).ok_or(NoClockTime)
    }
}

impl fmt::Display for ClockTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

/// The kinds of day a price holds on: some of Monday to Sunday, and holidays. A holiday is a holiday
/// only, whatever its weekday.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Days(u8);

const HOLIDAY: u8 = 1 << 7;

impl Days {
    /// Every day.
    pub const ALL: Self = Self(0xff);
    /// Monday to Friday without holidays.
    pub const WORKING: Self = Self(0b001_1111);
    /// Saturday and Sunday without holidays.
    pub const WEEKEND: Self = Self(0b110_0000);
    /// Holidays.
    pub const HOLIDAYS: Self = Self(HOLIDAY);

    /// Every word for a kind of day, with what it means.
    pub const WORDS: [(&'static str, Self); 11] = [
        ("all", Self::ALL),
        ("working", Self::WORKING),
        ("weekend", Self::WEEKEND),
        ("holidays", Self::HOLIDAYS),
        ("mon", Self(1)),
        ("tue", Self(1 << 1)),
        ("wed", Self(1 << 2)),
        ("thu", Self(1 << 3)),
        ("fri", Self(1 << 4)),
        ("sat", Self(1 << 5)),
        ("sun", Self(1 << 6)),
    ];

    /// The days of either.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    fn holds(self, weekday: Weekday, holiday: bool) -> bool {
        let kind = if holiday { HOLIDAY } else { 1 << weekday.num_days_from_monday() };
        self.0 & kind != 0
    }
}

/// A season of the calendar, first and last day included; it may wrap across New Year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CalendarSeason {
    /// First day.
    pub first: MonthDay,
    /// Last day.
    pub last: MonthDay,
}

impl CalendarSeason {
    /// True on days of the season.
    pub fn holds(self, date: NaiveDate) -> bool {
        let day = MonthDay::from(date);
        if self.first <= self.last {
            (self.first..=self.last).contains(&day)
        } else {
            day >= self.first || day <= self.last
        }
    }
}

/// A holiday: one date, or the same day every year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Holiday {
    /// This date only.
    Once(NaiveDate),
    /// This day every year.
    Yearly(MonthDay),
}

/// Text that is no holiday.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("expected a date such as 2021-04-05, or a day of every year such as 12-25")]
pub struct NoHoliday;

impl Holiday {
    /// True on the holiday.
    pub fn falls_on(self, date: NaiveDate) -> bool {
        match self {
            Self::Once(day) => day == date,
            Self::Yearly(day) => day == date.into(),
        }
    }
}

impl FromStr for Holiday {
    type Err = NoHoliday;

    fn from_str(text: &str) -> Result<Self, NoHoliday> {
        if let Ok(day) = text.parse() {
            return Ok(Self::Yearly(day));
        }
        text.parse().map(Self::Once).map_err(|_| NoHoliday)
    }
}

impl fmt::Display for Holiday {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Once(day) => day.fmt(f),
            Self::Yearly(day) => day.fmt(f),
        }
    }
}

/// A stretch of the week and the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Window {
    /// The season, or all year.
    pub season: Option<CalendarSeason>,
    /// Kinds of day. A window across midnight asks each moment's own day.
    pub days: Days,
    /// First moment.
    pub from: ClockTime,
    /// First moment after; if it is not after `from`, the window runs across midnight.
    pub until: ClockTime,
}

impl Window {
    /// Every hour of the year.
    pub const ALWAYS: Self =
        Self { season: None, days: Days::ALL, from: ClockTime::MIDNIGHT, until: ClockTime::END_OF_DAY };

    /// True at moments inside the window; `holiday` says whether the moment's day is one.
    pub fn holds(&self, moment: NaiveDateTime, holiday: bool) -> bool {
        let minute = moment.hour() * 60 + moment.minute();
        let (from, until) = (self.from.minutes(), self.until.minutes());
        let in_hours = if from < until { (from..until).contains(&minute) } else { minute >= from || minute < until };
        in_hours
            && self.days.holds(moment.weekday(), holiday)
            && self.season.is_none_or(|season| season.holds(moment.date()))
    }

    /// True if the window begins and ends on full hours.
    fn is_on_full_hours(&self) -> bool {
        self.from.minutes().is_multiple_of(60) && self.until.minutes().is_multiple_of(60)
    }
}

/// Turns local standard time into the time on the wall, daylight saving included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WallClock {
    /// Local standard time's distance from UTC.
    pub standard: FixedOffset,
    /// The zone whose clocks the tariff follows.
    pub zone: Tz,
}

/// Years in which a zone's standard time is looked at: those of weather that a study may be given, and of the
/// rules in force.
const YEARS_OF_ZONES: std::ops::RangeInclusive<i32> = 1990..=2037;

impl WallClock {
    /// True if the zone's standard time is, or was in some year since 1990, the one stated.
    pub fn agrees(self) -> bool {
        YEARS_OF_ZONES.flat_map(|year| self.zone_standard(year)).any(|zone| zone == self.standard)
    }

    /// Standard time of the zone by the rules in force: `+09:30`.
    pub fn zone_standard_words(self) -> String {
        let mut words: Vec<String> =
            self.zone_standard(*YEARS_OF_ZONES.end()).iter().map(FixedOffset::to_string).collect();
        words.dedup();
        words.join(" or ")
    }

    /// What may be called standard time in a year: what the zone's rules call so, and the least that clocks are
    /// ahead of UTC. Both, since rules call summer time standard and winter time a saving where the law does.
    fn zone_standard(self, year: i32) -> Vec<FixedOffset> {
        let middle = |month: u32| {
            let day = NaiveDate::from_ymd_opt(year, month, 15)?.and_hms_opt(12, 0, 0)?;
            Some(self.zone.offset_from_utc_datetime(&day))
        };
        let offsets: Vec<_> = (1..=12).filter_map(middle).collect();
        let least = offsets.iter().map(|offset| offset.fix().local_minus_utc()).min();
        let named = offsets.iter().map(|offset| offset.base_utc_offset().num_seconds());
        let seconds = least.map(i64::from).into_iter().chain(named);
        let mut standard: Vec<FixedOffset> =
            seconds.filter_map(|seconds| FixedOffset::east_opt(i32::try_from(seconds).ok()?)).collect();
        standard.dedup();
        standard
    }

    /// The time on the wall at this moment of local standard time.
    pub fn read(&self, standard: NaiveDateTime) -> NaiveDateTime {
        let utc = standard - self.standard;
        self.zone.from_utc_datetime(&utc).naive_local()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
    }

    #[test]
    fn days_of_the_year_are_read_and_refused() {
        let day: MonthDay = "02-29".parse().unwrap();
        assert_eq!((day.to_string().as_str(), day.month()), ("02-29", 2));
        for wrong in ["02-30", "13-01", "0301", "+3-01", "003-1", "", "2021-03-01"] {
            assert!(wrong.parse::<MonthDay>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn times_of_the_clock_lie_on_quarters() {
        let minutes = |text: &str| text.parse::<ClockTime>().map(ClockTime::minutes);
        assert_eq!(minutes("07:30"), Ok(450));
        assert_eq!(minutes("24:00"), Ok(1440));
        assert_eq!(minutes("07:00:00"), Ok(420));
        for wrong in ["7", "25:00", "07:10", "07:00:30", "noon"] {
            assert!(minutes(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_season_may_wrap_across_new_year() {
        let season = CalendarSeason { first: "09-15".parse().unwrap(), last: "01-20".parse().unwrap() };
        for (day, inside) in [
            ("2021-09-15", true),
            ("2021-12-31", true),
            ("2022-01-20", true),
            ("2022-01-21", false),
            ("2021-09-14", false),
        ] {
            assert_eq!(season.holds(day.parse().unwrap()), inside, "{day}");
        }
    }

    #[test]
    fn a_window_runs_across_midnight_and_knows_its_days() {
        let night = Window {
            from: "22:00".parse().unwrap(),
            until: "06:00".parse().unwrap(),
            days: Days::WORKING,
            season: None,
        };
        // 2021-03-05 is a Friday.
        assert!(night.holds(at("2021-03-05 23:00"), false));
        assert!(night.holds(at("2021-03-05 05:59"), false));
        assert!(!night.holds(at("2021-03-05 06:00"), false));
        assert!(!night.holds(at("2021-03-06 01:00"), false));
        assert!(!night.holds(at("2021-03-05 23:00"), true), "a holiday");
        assert!(Window::ALWAYS.holds(at("2021-03-06 00:00"), true));
    }

    #[test]
    fn the_wall_clock_follows_daylight_saving_on_both_halves_of_the_globe() {
        let rome = WallClock { standard: "+01:00".parse().unwrap(), zone: Tz::Europe__Rome };
        assert_eq!(rome.read(at("2021-01-15 07:00")), at("2021-01-15 07:00"));
        assert_eq!(rome.read(at("2021-07-15 07:00")), at("2021-07-15 08:00"));
        let sydney = WallClock { standard: "+10:00".parse().unwrap(), zone: Tz::Australia__Sydney };
        assert_eq!(sydney.read(at("2021-01-15 23:00")), at("2021-01-16 00:00"));
        assert_eq!(sydney.read(at("2021-07-15 23:00")), at("2021-07-15 23:00"));
    }

    #[test]
    fn holidays_come_once_or_every_year() {
        let once: Holiday = "2021-04-05".parse().unwrap();
        let yearly: Holiday = "12-25".parse().unwrap();
        assert!(once.falls_on("2021-04-05".parse().unwrap()));
        assert!(!once.falls_on("2022-04-05".parse().unwrap()));
        assert!(yearly.falls_on("2030-12-25".parse().unwrap()));
        assert!("Easter".parse::<Holiday>().is_err());
    }
}
