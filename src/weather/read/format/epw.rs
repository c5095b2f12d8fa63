//! EnergyPlus weather files.
//!
//! Source: the "Auxiliary Programs" manual of `EnergyPlus`, chapter "`EnergyPlus` Weather File (EPW) Data
//! Dictionary" (from memory, not verified): eight header lines, then 35 comma-separated fields a row, hours 1..24 labelled by
//! their end, local standard time; missing: dry bulb and dew point 99.9, relative humidity 999, pressure 999999,
//! global irradiance 9999, wind speed 999.

use super::known::Known;
use crate::table::lines;
use crate::table::{DecimalMark, parse, parse_whole, whole};
use crate::weather::month_day::MonthDay;
use crate::weather::problem::{Problem, Severity, WeatherError};
use crate::weather::read::draft::Draft;
use crate::weather::reading::{Format, Row};
use chrono::{NaiveDate, TimeDelta};

const FORMAT: Format = Format::named("epw");

pub(super) const KNOWN: Known = Known {
    recognises: |text| recognises(text.as_bytes()),
    read: |file, text| read(file, text.as_bytes()),
    #[cfg(test)]
    sample: "LOCATION,Am Hang,-,XX,TMY3,0,45.0,8.0,1.0,250.0\n",
};

const DRY_BULB: usize = 6;
const DEW_POINT: usize = 7;
const RELATIVE_HUMIDITY: usize = 8;
const PRESSURE: usize = 9;
const GLOBAL_HORIZONTAL: usize = 13;
const WIND_SPEED: usize = 21;
/// Fewer fields than this do not reach the wind speed.
const FEWEST_FIELDS: usize = 22;
/// Fields of a whole row.
const FIELDS: usize = 35;

/// Data sets that are typical years by their nature, as named in the LOCATION line.
const TYPICAL_SOURCES: [&str; 9] = ["TMY", "IWEC", "CWEC", "RMY", "WYEC", "CSWD", "CTZ", "TRY", "SWERA"];

/// True if a LOCATION or DATA PERIODS line comes early, or, for a file that lost its header, if the first line
/// is a whole row.
fn recognises(text: &[u8]) -> bool {
    let mut early = lines(text).take(12).map(|(_, line)| line.trim_ascii());
    let begins = |line: &[u8], word: &[u8]| line.len() >= word.len() && line[..word.len()].eq_ignore_ascii_case(word);
    let is_row = |line: &[u8]| {
        let mut fields = [&b""[..]; FEWEST_FIELDS];
        // Thirty-two is the fewest that writers leave; the sixth field is a text of flags.
        split(line, &mut fields) >= 32
            && parse(fields[5], DecimalMark::Point).is_none()
            && stamp(&fields).is_some()
            && value(fields[PRESSURE], 999_999.0, &mut None)
    };
    let mut at_start = true;
    early.any(|line| {
        let row = std::mem::take(&mut at_start) && is_row(line);
        row || begins(line, b"LOCATION,") || begins(line, b"DATA PERIODS,")
    })
}

/// The times of one row as the file writes them.
struct Stamp {
    date: NaiveDate,
    hour: u32,
    minute: u32,
}

fn read(file: &str, text: &[u8]) -> Result<crate::weather::Reading, WeatherError> {
    let mut draft = Draft::new(file, FORMAT);
    let mut records_per_hour = 1;
    let mut source = String::new();
    let mut comments = String::new();
    let mut stamps: Vec<Stamp> = Vec::with_capacity(text.len() / 180);
    draft.rows.reserve(text.len() / 180);
    let expected_fields = usual_field_count(text);
    let mut odd_fields: Option<(u32, usize)> = None;
    for (number, line) in lines(text) {
        let line = line.trim_ascii();
        if line.is_empty() {
            continue;
        }
        if !line[0].is_ascii_digit() {
            let header = String::from_utf8_lossy(line);
            header_line(&header, &mut draft, &mut source, &mut comments, &mut records_per_hour);
            // A line that is no header and comes after data is damage.
            if !draft.rows.is_empty() {
                draft.unreadable.push(number);
            }
            continue;
        }
        let mut fields = [&b""[..]; FEWEST_FIELDS];
        let count = split(line, &mut fields);
        if count != expected_fields || count < FEWEST_FIELDS {
            odd_fields.get_or_insert((number, count));
            draft.unreadable.push(number);
            continue;
        }
        let Some(stamp) = stamp(&fields) else {
            draft.unreadable.push(number);
            continue;
        };
        let mut row = Row::at(number, stamp.date, stamp.date.into());
        let legible = [
            value(fields[DRY_BULB], 99.9, &mut row.dry_bulb_c),
            value(fields[DEW_POINT], 99.9, &mut row.dew_point_c),
            value(fields[RELATIVE_HUMIDITY], 999.0, &mut row.relative_humidity),
            value(fields[PRESSURE], 999_999.0, &mut row.pressure_pa),
        ];
        value(fields[GLOBAL_HORIZONTAL], 9_999.0, &mut row.global_horizontal_w_per_m2);
        value(fields[WIND_SPEED], 999.0, &mut row.wind_m_per_s);
        if legible != [true; 4] {
            draft.unreadable.push(number);
            if !legible[0] {
                row.dry_bulb_c = None;
            }
            if !legible[1] || !legible[2] {
                row.forget_humidity();
            }
        }
        draft.rows.push(row);
        stamps.push(stamp);
    }
    if comments.is_empty() && source.is_empty() && draft.station.name.is_empty() {
        draft.problems.push(Problem::warning(
            "station.location",
            "no LOCATION line: place, zone and elevation are unknown; the rows are taken as local standard time",
        ));
    }
    if let Some((line, count)) = odd_fields {
        draft.unreadable_detail = format!(
            "line {line} has {count} fields where the others have {expected_fields}: a decimal comma or a cut \
             line shifts every later field"
        );
    }
    set_times(&mut draft, &stamps, records_per_hour);
    flavour(&mut draft, &source, &comments);
    draft.finish()
}

/// The field count of most rows: 35, but some writers leave the last ones out.
fn usual_field_count(text: &[u8]) -> usize {
    let mut counts = std::collections::BTreeMap::<usize, usize>::new();
    // A hundred rows from all over the file; a row has about 180 bytes.
    let every = (text.len() / 180 / 100).max(1);
    for (_, line) in lines(text).skip(6).step_by(every).take(200) {
        if line.first().is_some_and(u8::is_ascii_digit) {
            let commas = memchr::memchr_iter(b',', line.trim_ascii_end()).count();
            *counts.entry(commas + 1).or_default() += 1;
        }
    }
    counts.into_iter().max_by_key(|(_, rows)| *rows).map_or(FIELDS, |(fields, _)| fields)
}

/// Splits at commas as far as the wind speed; returns how many fields the whole line has.
fn split<'a>(line: &'a [u8], fields: &mut [&'a [u8]; FEWEST_FIELDS]) -> usize {
    let (mut count, mut start) = (0, 0);
    for end in memchr::memchr_iter(b',', line).chain([line.len()]) {
        if let Some(field) = fields.get_mut(count) {
            *field = &line[start..end];
        }
        count += 1;
        start = end + 1;
    }
    count
}

fn stamp(fields: &[&[u8]; FEWEST_FIELDS]) -> Option<Stamp> {
    let year = match i32::try_from(parse_whole(fields[0])?).ok()? {
        short @ 50..100 => 1900 + short,
        short @ 1..50 => 2000 + short,
        year => year,
    };
    let hour = parse_whole(fields[3])?;
    let minute = parse_whole(fields[4])?;
    if hour > 24 || minute > 60 {
        return None;
    }
    let (month, day) = (parse_whole(fields[1])?, parse_whole(fields[2])?);
    // Typical years may put 29 February into a year that has none.
    let date = NaiveDate::from_ymd_opt(year, month, day).or_else(|| {
        ((month, day) == (2, 29)).then(|| NaiveDate::from_ymd_opt(year - year.rem_euclid(4), 2, 29)).flatten()
    })?;
    Some(Stamp { date, hour, minute })
}

/// Reads a value unless it is the missing code; false if the field is no number.
fn value(field: &[u8], missing: f64, into: &mut Option<f64>) -> bool {
    let field = field.trim_ascii();
    let bare = field.strip_prefix(b"\"").and_then(|field| field.strip_suffix(b"\""));
    match parse(bare.unwrap_or(field), DecimalMark::Point) {
        Some(value) if (value - missing).abs() < 1e-6 || value == -9_999.0 => true,
        // Writers fill the field with nines to their own width: 999.9, 9999, 999900.
        Some(value) if missing > 500.0 && value > missing => true,
        Some(value) => {
            *into = Some(value);
            true
        }
        None => false,
    }
}

fn header_line(line: &str, draft: &mut Draft, source: &mut String, comments: &mut String, records_per_hour: &mut u32) {
    let parts: Vec<&str> = line.split(',').map(str::trim).collect();
    let word = parts[0].to_ascii_uppercase();
    if word == "LOCATION" {
        let number =
            |at: usize| -> Option<f64> { parts.get(at).and_then(|part| parse(part.as_bytes(), DecimalMark::Point)) };
        let station = &mut draft.station;
        let name: Vec<&str> = parts.iter().skip(1).take(3).copied().collect();
        station.name = name.join(", ");
        parts.get(4).copied().unwrap_or_default().clone_into(source);
        station.latitude = number(6);
        station.longitude = number(7);
        station.utc_offset_minutes = number(8).and_then(|hours| i32::try_from(whole(hours * 60.0)).ok());
        station.elevation_m = number(9);
        if station.elevation_m.is_none() {
            draft.problems.push(Problem::new(
                Severity::Warning,
                "station.location",
                Some(1),
                "the LOCATION line ends early or holds no elevation: elevation unknown; where the rows have a \
                 station pressure the result stands, else give the altitude",
            ));
        }
        if number(8).is_none() {
            draft.problems.push(Problem::new(
                Severity::Note,
                "station.zone",
                Some(1),
                "the LOCATION line gives no time zone: the rows are taken as local standard time",
            ));
        }
    } else if word.starts_with("COMMENTS") {
        comments.push_str(line);
    } else if word.starts_with("DATA PERIODS") {
        if let Some(count) = parts.get(2).and_then(|part| parse_whole(part.as_bytes())) {
            *records_per_hour = count.clamp(1, 60);
        }
        if parts.get(1) == Some(&"1") {
            let day = |at: usize| parts.get(at).and_then(|part| month_day(part));
            draft.declared_period = day(5).zip(day(6));
        }
    }
}

/// ` 3/ 1` or `1/1/2010`.
fn month_day(text: &str) -> Option<MonthDay> {
    let mut parts = text.split('/').map(|part| parse_whole(part.as_bytes()));
    MonthDay::new(parts.next()??, parts.next()??)
}

/// Turns hour and minute fields into the starts of intervals.
fn set_times(draft: &mut Draft, stamps: &[Stamp], declared_per_hour: u32) {
    let mut minutes: Vec<u32> = Vec::new();
    let (mut from_zero, mut to_24) = (false, false);
    for stamp in stamps {
        if !minutes.contains(&stamp.minute) {
            minutes.push(stamp.minute);
        }
        from_zero |= stamp.hour == 0;
        to_24 |= stamp.hour == 24;
    }
    let found = u32::try_from(minutes.len()).unwrap_or(1).max(1);
    // The minute field of hourly files is 0, 30 or 60 by the writer's whim; only several different
    // ones mean several records an hour.
    let per_hour = if 60 % found == 0 { found } else { declared_per_hour };
    if per_hour != declared_per_hour {
        draft.problems.push(Problem::warning(
            "time.records_per_hour",
            format!(
                "the DATA PERIODS line says {declared_per_hour} records an hour, the rows have {per_hour}: the \
                 rows are believed"
            ),
        ));
    } else if per_hour > 1 {
        draft.problems.push(Problem::note(
            "time.records_per_hour",
            format!("records per hour = {per_hour}: each row is {} h", 1.0 / f64::from(per_hour)),
        ));
    }
    let labelled_by_start = from_zero && !to_24;
    if labelled_by_start {
        draft.problems.push(Problem::warning(
            "time.hours_from_zero",
            "hours run from 0 to 23 instead of 1 to 24: taken as labelled by their start",
        ));
    }
    let step = 60 / per_hour.clamp(1, 60);
    // 30 and 60 end their intervals; 0 and 30 begin them.
    let minutes_begin = per_hour > 1 && !minutes.contains(&60) && minutes.contains(&0);
    for (row, stamp) in draft.rows.iter_mut().zip(stamps) {
        let hour = if labelled_by_start { stamp.hour } else { stamp.hour.saturating_sub(1) };
        let minute = if per_hour == 1 {
            0
        } else if minutes_begin {
            stamp.minute
        } else {
            stamp.minute.saturating_sub(step)
        };
        let start = TimeDelta::minutes(i64::from(hour * 60 + minute));
        row.starts = row.starts.checked_add_signed(start).unwrap_or(row.starts);
    }
}

/// What the data source's name and the comments say about the rows.
fn flavour(draft: &mut Draft, source: &str, comments: &str) {
    let source = source.to_ascii_uppercase();
    draft.declared_typical = TYPICAL_SOURCES.iter().any(|name| source.contains(name));
    draft.clock_offset_minutes = draft.station.utc_offset_minutes;
    // PVGIS writes the zone of the place into the header, but its rows are in UTC.
    let rows_in_utc =
        source.contains("ECMWF") && comments.contains("Irradiance Time Offset") || comments.contains("PVGIS");
    if rows_in_utc {
        draft.declared_typical = true;
        draft.clock_offset_minutes = Some(0);
        if draft.station.utc_offset_minutes.is_some_and(|m| m != 0) {
            draft.problems.push(Problem::warning(
                "time.utc",
                format!(
                    "a PVGIS file: the header says time zone {:+}, but the rows are in UTC; they are shifted \
                     when a season is made",
                    draft.station.utc_offset_minutes.map_or(0.0, |m| f64::from(m) / 60.0)
                ),
            ));
        }
    }
}
