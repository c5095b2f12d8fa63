//! Dates and clocks as people and loggers write them.

use super::number::{DecimalMark, parse, parse_whole, whole};
use chrono::{NaiveDate, NaiveDateTime, TimeDelta};

/// Which of the two short numbers of a date is the month.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DateOrder {
    /// `2025-01-31`, `2025/01/31`, `20250131`; the others also take such dates.
    #[default]
    YearFirst,
    /// `31/01/2025`
    DayFirst,
    /// `01/31/2025`
    MonthFirst,
}

/// A point of time as written: `24:00` stays at the day it names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stamp {
    pub date: NaiveDate,
    /// Seconds since the day's beginning, 0..=86400.
    pub seconds: u32,
    /// Offset from UTC in minutes if the text names one.
    pub offset_minutes: Option<i32>,
}

/// Seconds of a whole day, written `24:00`.
pub(crate) const WHOLE_DAY: u32 = 86_400;

impl Stamp {
    pub(crate) fn time(self) -> NaiveDateTime {
        NaiveDateTime::from(self.date)
            .checked_add_signed(TimeDelta::seconds(i64::from(self.seconds)))
            .unwrap_or_default()
    }
}

/// Walks over a text: digits, letters, everything else.
struct Walk<'a> {
    rest: &'a [u8],
}

impl<'a> Walk<'a> {
    fn take_while(&mut self, keep: impl Fn(u8) -> bool) -> &'a [u8] {
        let end = self.rest.iter().position(|byte| !keep(*byte)).unwrap_or(self.rest.len());
        let (taken, rest) = self.rest.split_at(end);
        self.rest = rest;
        taken
    }

    fn digits(&mut self) -> &'a [u8] {
        self.take_while(|byte| byte.is_ascii_digit())
    }

    fn letters(&mut self) -> &'a [u8] {
        self.take_while(|byte| byte.is_ascii_alphabetic())
    }

    fn skip(&mut self, of: &[u8]) {
        self.take_while(|byte| of.contains(&byte));
    }
}

/// A date, or a date with a clock: ISO 8601 and its looser kin, day-first and month-first dates, month
/// names, `YYYYMMDD`, `YYYYMMDD:HHMM`, `YYYYMMDDHHMM`, AM and PM, a zone at the end.
pub(crate) fn parse_stamp(text: &[u8], order: DateOrder) -> Option<Stamp> {
    let mut walk = Walk { rest: text.trim_ascii() };
    if walk.rest.len() < 6 || walk.rest.len() > 40 {
        return None;
    }
    let (date, solid_clock) = parse_date(&mut walk, order)?;
    let (seconds, offset_minutes) = if let Some(seconds) = solid_clock {
        (seconds, zone(&mut walk)?)
    } else {
        walk.skip(b" T:,;_\tt-");
        if walk.rest.is_empty() { (0, None) } else { clock(&mut walk)? }
    };
    walk.rest.is_empty().then_some(Stamp { date, seconds, offset_minutes })
}

/// A date at the front; solid digits may carry the clock with them.
fn parse_date(walk: &mut Walk<'_>, order: DateOrder) -> Option<(NaiveDate, Option<u32>)> {
    // A weekday before the date says nothing new.
    let word = walk.letters();
    if !word.is_empty() && month_by_name(word).is_none() {
        walk.skip(b" .,");
    }
    if let Some(month) = month_by_name(word) {
        // Jan 31, 2025. A year of two digits after it leaves open whether the word was a weekday (mar. 04-02-2031).
        walk.skip(b" .-");
        let day = parse_whole(walk.digits())?;
        walk.skip(b" ,.-");
        let digits = walk.digits();
        let year = year(digits).filter(|_| digits.len() == 4)?;
        return Some((NaiveDate::from_ymd_opt(year, month, day)?, None));
    }
    let first = walk.digits();
    if matches!(first.len(), 8 | 10 | 12 | 14) {
        return solid(first);
    }
    walk.skip(b"-/. ");
    let name = walk.letters();
    let (second, by_name) =
        if name.is_empty() { (walk.digits(), None) } else { (&b""[..], Some(month_by_name(name)?)) };
    walk.skip(b"-/., ");
    let third = walk.digits();
    let date = if first.len() == 4 {
        let month = by_name.or_else(|| parse_whole(second))?;
        NaiveDate::from_ymd_opt(year(first)?, month, parse_whole(third)?)?
    } else if let Some(month) = by_name {
        NaiveDate::from_ymd_opt(year(third)?, month, parse_whole(first)?)?
    } else {
        let (a, b) = (parse_whole(first)?, parse_whole(second)?);
        match order {
            DateOrder::DayFirst => NaiveDate::from_ymd_opt(year(third)?, b, a)?,
            DateOrder::MonthFirst => NaiveDate::from_ymd_opt(year(third)?, a, b)?,
            DateOrder::YearFirst if first.len() == 2 && third.len() == 2 => {
                NaiveDate::from_ymd_opt(year(first)?, b, parse_whole(third)?)?
            }
            DateOrder::YearFirst => return None,
        }
    };
    Some((date, None))
}

/// `20250131`, `2025013123`, `202501312359`, `20250131235959`.
fn solid(digits: &[u8]) -> Option<(NaiveDate, Option<u32>)> {
    let part = |from: usize, to: usize| {
        if to <= digits.len() { parse_whole(&digits[from..to]) } else { Some(0) }
    };
    let date = NaiveDate::from_ymd_opt(year(&digits[..4])?, part(4, 6)?, part(6, 8)?)?;
    if digits.len() == 8 {
        return Some((date, None));
    }
    let seconds = in_day(part(8, 10)?, part(10, 12)?, part(12, 14)?)?;
    Some((date, Some(seconds)))
}

/// Four digits, or two: 70..99 are of the last century.
fn year(digits: &[u8]) -> Option<i32> {
    let number = i32::try_from(parse_whole(digits)?).ok()?;
    match digits.len() {
        4 => (1800..2200).contains(&number).then_some(number),
        2 if number >= 70 => Some(1900 + number),
        2 => Some(2000 + number),
        _ => None,
    }
}

fn in_day(hours: u32, minutes: u32, seconds: u32) -> Option<u32> {
    let total = hours.checked_mul(3_600)?.checked_add(minutes.checked_mul(60)?)?.checked_add(seconds)?;
    (minutes < 60 && seconds < 61 && total <= WHOLE_DAY).then_some(total)
}

/// Seconds since midnight of `00:00`, `24:00`, `0000 UTC`, `1:30 PM`, `13h30`, `1330`, `7`, or a
/// spreadsheet's fraction of a day; with the offset if a zone is named.
pub(crate) fn parse_clock(text: &[u8]) -> Option<(u32, Option<i32>)> {
    let text = text.trim_ascii();
    if text.len() > 20 {
        return None;
    }
    if text.contains(&b'.')
        && !text.contains(&b':')
        && let Some(share) = parse(text, DecimalMark::Point)
    {
        let minutes = u32::try_from(whole(share * 1_440.0)).ok()?;
        return (minutes <= 1_440).then(|| (minutes * 60, None));
    }
    let mut walk = Walk { rest: text };
    let answer = clock(&mut walk)?;
    walk.rest.is_empty().then_some(answer)
}

fn clock(walk: &mut Walk<'_>) -> Option<(u32, Option<i32>)> {
    let first = walk.digits();
    let (mut hours, mut minutes, mut seconds) = match first.len() {
        1 | 2 => (parse_whole(first)?, 0, 0),
        // 100 is one o'clock, 1330 half past one, 133059 with seconds.
        3..=6 if first.len() != 5 => {
            let number = parse_whole(first)?;
            if first.len() == 6 {
                (number / 10_000, number / 100 % 100, number % 100)
            } else {
                (number / 100, number % 100, 0)
            }
        }
        _ => return None,
    };
    if first.len() <= 2 && matches!(walk.rest.first(), Some(b':' | b'h' | b'H' | b'.')) {
        walk.rest = &walk.rest[1..];
        minutes = match walk.digits() {
            b"" => 0,
            digits => parse_whole(digits)?,
        };
        if matches!(walk.rest.first(), Some(b':' | b'.')) {
            walk.rest = &walk.rest[1..];
            seconds = parse_whole(walk.digits())?;
        }
        if matches!(walk.rest.first(), Some(b'.' | b',')) {
            walk.rest = &walk.rest[1..];
            walk.digits();
        }
    }
    walk.skip(b" ");
    let half = walk.rest;
    let half_word = |word: &[u8]| half.len() >= word.len() && half[..word.len()].eq_ignore_ascii_case(word);
    for (word, afternoon) in [(&b"a.m."[..], false), (b"p.m.", true), (b"am", false), (b"pm", true)] {
        if half_word(word) {
            if !(1..=12).contains(&hours) {
                return None;
            }
            hours = hours % 12 + if afternoon { 12 } else { 0 };
            walk.rest = &half[word.len()..];
            break;
        }
    }
    let offset = zone(walk)?;
    Some((in_day(hours, minutes, seconds)?, offset))
}

/// Nothing, `Z`, `UTC`, `GMT`, or `+10:00`. The outer `None` is a refusal.
#[allow(clippy::option_option)]
fn zone(walk: &mut Walk<'_>) -> Option<Option<i32>> {
    walk.skip(b" ");
    if walk.rest.is_empty() {
        return Some(None);
    }
    let named = matches!(walk.letters(), b"Z" | b"z" | b"UTC" | b"utc" | b"GMT");
    walk.skip(b" ");
    let offset = offset_minutes(walk.rest);
    match (named, offset, walk.rest.is_empty()) {
        (true, _, true) => Some(Some(0)),
        (_, Some(minutes), false) => {
            walk.rest = b"";
            Some(Some(minutes))
        }
        _ => None,
    }
}

/// `+10:00`, `-0330`, `+10` in minutes.
pub(crate) fn offset_minutes(text: &[u8]) -> Option<i32> {
    let (sign, rest) = match text.first()? {
        b'+' => (1, &text[1..]),
        b'-' => (-1, &text[1..]),
        _ => return None,
    };
    let (hours, minutes) = match rest.iter().position(|byte| *byte == b':') {
        Some(at) => (parse_whole(&rest[..at])?, parse_whole(&rest[at + 1..])?),
        None if rest.len() <= 2 => (parse_whole(rest)?, 0),
        None => {
            let number = parse_whole(rest)?;
            (number / 100, number % 100)
        }
    };
    (hours <= 14 && minutes < 60).then(|| i32::try_from(hours * 60 + minutes).map(|total| sign * total))?.ok()
}

/// The same as text: `+10:00`.
pub(crate) fn offset_text(minutes: i32) -> String {
    let sign = if minutes < 0 { '-' } else { '+' };
    let minutes = minutes.abs();
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

/// Month names by their first three or four letters, in the languages of the services whose tables
/// are read.
fn month_by_name(word: &[u8]) -> Option<u32> {
    const NAMES: [(&str, u32); 24] = [
        ("jan", 1),
        ("ene", 1),
        ("feb", 2),
        ("fev", 2),
        ("mar", 3),
        ("apr", 4),
        ("abr", 4),
        ("avr", 4),
        ("may", 5),
        ("mai", 5),
        ("jun", 6),
        ("juin", 6),
        ("jul", 7),
        ("juil", 7),
        ("aug", 8),
        ("ago", 8),
        ("sep", 9),
        ("set", 9),
        ("oct", 10),
        ("okt", 10),
        ("out", 10),
        ("nov", 11),
        ("dec", 12),
        ("dez", 12),
    ];
    if word.len() < 3 {
        return None;
    }
    NAMES
        .iter()
        .find(|(name, _)| {
            let name = name.as_bytes();
            word.len() >= name.len() && word[..name.len()].eq_ignore_ascii_case(name)
        })
        .map(|(_, month)| *month)
}

#[cfg(test)]
mod tests {
    use super::*;
    use DateOrder::{DayFirst, MonthFirst, YearFirst};

    fn read(text: &str, order: DateOrder) -> Option<(String, Option<i32>)> {
        parse_stamp(text.as_bytes(), order)
            .map(|stamp| (format!("{} {}", stamp.date, stamp.seconds / 60), stamp.offset_minutes))
    }

    #[test]
    fn dates_and_clocks_of_every_common_form() {
        for (text, order, expected) in [
            ("2025-01-31T13:30", YearFirst, "2025-01-31 810"),
            ("2025-01-31 13:30:00.000", YearFirst, "2025-01-31 810"),
            ("2025/01/31 24:00", YearFirst, "2025-01-31 1440"),
            ("31.01.2025 13:30", DayFirst, "2025-01-31 810"),
            ("1/31/2025 1:30 PM", MonthFirst, "2025-01-31 810"),
            ("01/31/25 12:00 am", MonthFirst, "2025-01-31 0"),
            ("31-Jan-2025 13:30", YearFirst, "2025-01-31 810"),
            ("Fri 31 Jan 2025 13h30", YearFirst, "2025-01-31 810"),
            ("Jan 31, 2025", YearFirst, "2025-01-31 0"),
            ("20250131:1330", YearFirst, "2025-01-31 810"),
            ("202501311330", YearFirst, "2025-01-31 810"),
            ("2025013113", YearFirst, "2025-01-31 780"),
            ("20250131", DayFirst, "2025-01-31 0"),
        ] {
            assert_eq!(read(text, order), Some((expected.to_owned(), None)), "{text}");
        }
    }

    #[test]
    fn zones_are_read() {
        for (text, offset) in [
            ("2025-01-31T13:30Z", 0),
            ("2025-01-31T13:30:00+10:00", 600),
            ("2025-01-31 13:30 -0330", -210),
            ("2025-01-31 13:30 UTC", 0),
        ] {
            assert_eq!(read(text, YearFirst).expect(text).1, Some(offset), "{text}");
        }
        assert_eq!(parse_clock(b"0000 UTC"), Some((0, Some(0))));
    }

    #[test]
    fn what_is_no_time_is_refused() {
        for text in [
            "",
            "12",
            "2025-13-01",
            "2025-02-30 00:00",
            "2025-01-31 25:00",
            "2025-01-31 24:01",
            "31/01/2025",
            "time",
            "21.1",
            "2025-01-31 13:30 tea",
        ] {
            assert_eq!(read(text, YearFirst), None, "{text}");
        }
        assert_eq!(read("13/13/2025", DayFirst), None);
        assert_eq!(parse_clock(b"13 PM"), None);
        assert_eq!(parse_clock(b"99:00"), None);
        assert_eq!(parse_clock(b"99999.0"), None);
    }

    #[test]
    fn clocks_alone() {
        for (text, minutes) in
            [("00:00", 0), ("24:00", 1440), ("2400", 1440), ("7", 420), ("100", 60), ("13h", 780), ("0.5", 720)]
        {
            assert_eq!(parse_clock(text.as_bytes()), Some((minutes * 60, None)), "{text}");
        }
    }
}
