//! Times that are numbers, or follow a pattern of their own.

use super::number::{DecimalMark, parse, whole};
use super::stamp::Stamp;
use chrono::format::{self, Parsed, StrftimeItems};
use chrono::{NaiveDate, NaiveDateTime, TimeDelta};

/// A spreadsheet's serial date: days since 30 December 1899, rounded to the minute.
pub(crate) fn parse_serial(text: &[u8], mark: DecimalMark) -> Option<Stamp> {
    let days = parse(text, mark)?;
    if !(15_000.0..80_000.0).contains(&days) {
        return None;
    }
    let epoch = NaiveDate::from_ymd_opt(1899, 12, 30)?;
    let minutes = whole(days * 1_440.0);
    let time = NaiveDateTime::from(epoch).checked_add_signed(TimeDelta::minutes(minutes))?;
    Some(from_time(time))
}

/// Seconds (or milliseconds) since 1970, UTC.
pub(crate) fn parse_epoch(text: &[u8]) -> Option<Stamp> {
    let number = parse(text, DecimalMark::Point)?;
    let seconds = if number.abs() > 1e11 { number / 1_000.0 } else { number };
    if !(-3e9..5e9).contains(&seconds) {
        return None;
    }
    let time = chrono::DateTime::from_timestamp(whole(seconds), 0)?.naive_utc();
    Some(Stamp { offset_minutes: Some(0), ..from_time(time) })
}

/// A time by a pattern of `chrono` (`strftime`); minutes, or the whole clock, may be left out.
pub(crate) fn parse_pattern(text: &[u8], pattern: &str) -> Option<Stamp> {
    let text = std::str::from_utf8(text).ok()?;
    let mut parsed = Parsed::new();
    format::parse(&mut parsed, text.trim(), StrftimeItems::new(pattern)).ok()?;
    let date = parsed.to_naive_date().ok()?;
    if parsed.hour_mod_12().is_none() {
        return Some(from_time(date.into()));
    }
    if parsed.minute().is_none() {
        parsed.set_minute(0).ok()?;
    }
    let time = parsed.to_naive_time().ok()?;
    Some(from_time(date.and_time(time)))
}

fn from_time(time: NaiveDateTime) -> Stamp {
    use chrono::Timelike;
    Stamp { date: time.date(), seconds: time.num_seconds_from_midnight(), offset_minutes: None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_may_leave_the_minutes_or_the_clock_out() {
        let read =
            |text: &str, pattern: &str| parse_pattern(text.as_bytes(), pattern).map(|stamp| stamp.time().to_string());
        let noon = Some("2025-01-31 13:00:00".to_owned());
        assert_eq!(read("31.1.25 13", "%d.%m.%y %H"), noon);
        assert_eq!(read("31/Jan/2025 01 PM", "%d/%b/%Y %I %p"), noon);
        assert_eq!(read("310125", "%d%m%y"), Some("2025-01-31 00:00:00".to_owned()));
        assert_eq!(read("31.1.25", "%Q"), None);
    }

    #[test]
    fn serial_dates_and_epochs() {
        let serial = parse_serial(b"45658.041667", DecimalMark::Point).expect("a serial date");
        assert_eq!(serial.time().to_string(), "2025-01-01 01:00:00");
        let epoch = parse_epoch(b"1735693200").expect("seconds");
        assert_eq!(epoch.time().to_string(), "2025-01-01 01:00:00");
        assert_eq!(parse_epoch(b"1735693200000"), Some(epoch));
    }
}
