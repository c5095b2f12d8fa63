//! Tables of hours: any delimited text, read by a column map.

use super::draft::Draft;
use super::places::{Of, Places, TimePlaces, Values};
use crate::table::lines;
use crate::table::split;
use crate::table::{DateOrder, Stamp, WHOLE_DAY, parse_clock, parse_epoch, parse_pattern, parse_serial, parse_stamp};
use crate::table::{parse, parse_whole};
use crate::weather::columns::{Column, ColumnMap, TimeForm, TimeMark, Zone};
use crate::weather::problem::{Lines, Problem, Severity, WeatherError, counted};
use crate::weather::reading::{Format, Reading, Row};
use crate::weather::units::{PressureUnit, TemperatureUnit};
use chrono::{NaiveDate, NaiveDateTime, Offset, TimeDelta, TimeZone};
use chrono_tz::{OffsetComponents, Tz};

/// How far down a header may stand.
const DEEPEST_HEADER: usize = 200;

/// Reads and checks a table.
pub(crate) fn read(file: &str, text: &str, map: &ColumnMap, format: Format) -> Result<Reading, WeatherError> {
    draft(file, text, map, format)?.finish()
}

/// Reads a table, for a format's reader that knows more about the file.
pub(crate) fn draft(file: &str, text: &str, map: &ColumnMap, format: Format) -> Result<Draft, WeatherError> {
    let text = text.as_bytes();
    let (header_line, places) = find_header(file, text, map)?;
    let mut draft = Draft::new(file, format);
    draft.wall_clock = map.zone == Zone::Wall;
    draft.pressure_level = map.pressure_level;
    draft.humidity_unit = map.relative_humidity.as_ref().map(|c| c.unit).unwrap_or_default();
    let mut body = Body::new(map, &places);
    for (number, line) in lines(text) {
        if number > header_line {
            body.line(number, line, &mut draft);
        }
    }
    body.finish(&mut draft);
    Ok(draft)
}

fn find_header(file: &str, text: &[u8], map: &ColumnMap) -> Result<(u32, Places), WeatherError> {
    let mut cells = Vec::new();
    let mut nearest: Option<(Vec<String>, String)> = None;
    for (number, line) in lines(text).take(DEEPEST_HEADER) {
        split(line, map.separator, &mut cells);
        if cells.len() < 2 {
            continue;
        }
        match Places::find(map, &cells) {
            Ok(places) => {
                // A table read by place alone has no header: this line is its first row already.
                let has_header = cells.iter().any(|cell| !cell.is_empty()) && uses_names(map);
                let line = if has_header { number } else { number - 1 };
                return Ok((line, places));
            }
            Err(lacking) => {
                if nearest.as_ref().is_none_or(|(fewest, _)| lacking.len() < fewest.len()) {
                    nearest = Some((lacking, String::from_utf8_lossy(line).trim().to_owned()));
                }
            }
        }
    }
    let (lacking, line) = nearest.unwrap_or_default();
    let shown: String = line.chars().take(300).collect();
    Err(WeatherError::refused(
        file,
        format!(
            "no header line holds the mapped columns; not found: {}; the nearest line is: {shown}",
            lacking.join(", ")
        ),
    ))
}

fn uses_names(map: &ColumnMap) -> bool {
    !map.dry_bulb.name.starts_with('#')
}

/// The rows below the header, gathered.
struct Body<'m> {
    map: &'m ColumnMap,
    places: &'m Places,
    values_of: Values,
    cells_scratch: usize,
    /// Stamps whose clock read 24:00, and the offsets that stamps named.
    midnight_24: bool,
    offsets: Vec<Option<i32>>,
    utc_minus: Vec<Option<NaiveDateTime>>,
    widest: usize,
    remarks: Lines,
    bad_times: Lines,
    bad_time_text: String,
    ambiguous_zone: Lines,
    last_utc: Option<NaiveDateTime>,
}

impl<'m> Body<'m> {
    fn new(map: &'m ColumnMap, places: &'m Places) -> Self {
        Self {
            map,
            places,
            values_of: Values::new(map),
            cells_scratch: 0,
            midnight_24: false,
            offsets: Vec::new(),
            utc_minus: Vec::new(),
            widest: 0,
            remarks: Lines::default(),
            bad_times: Lines::default(),
            bad_time_text: String::new(),
            ambiguous_zone: Lines::default(),
            last_utc: None,
        }
    }

    fn line(&mut self, number: u32, line: &[u8], draft: &mut Draft) {
        if line.trim_ascii().is_empty() {
            return;
        }
        let mut cells: Vec<&[u8]> = Vec::with_capacity(self.cells_scratch);
        split(line, self.map.separator, &mut cells);
        self.cells_scratch = self.cells_scratch.max(cells.len());
        // A separator at the end of the line makes no column.
        while cells.len() > self.places.furthest + 1 && cells.last() == Some(&&b""[..]) {
            cells.pop();
        }
        let Some(stamp) = self.stamp(&cells) else {
            self.no_time(number, line, &cells, draft);
            return;
        };
        // More cells than the header names (a decimal comma in a table parted by commas, a shifted header),
        // or too few for the columns that are needed: no cell of such a row can be trusted.
        let widest = if uses_names(self.map) { self.places.named } else { self.widest.max(self.places.furthest + 1) };
        let first_of_all = self.widest == 0 && !uses_names(self.map);
        if cells.len() <= self.places.furthest || (cells.len() > widest && !first_of_all) {
            draft.unreadable.push(number);
            if draft.unreadable_detail.is_empty() {
                draft.unreadable_detail = format!(
                    "line {number} has {} cells where {widest} are expected: a decimal comma or a missing cell shifts \
                     the others",
                    cells.len(),
                );
            }
            return;
        }
        self.widest = self.widest.max(cells.len());
        self.midnight_24 |= stamp.seconds == WHOLE_DAY;
        let mut row = Row::at(number, stamp.date, stamp.time());
        if !self.values(&cells, &mut row) {
            draft.unreadable.push(number);
        }
        self.place_in_time(number, stamp, &cells, &mut row);
        draft.rows.push(row);
    }

    /// A line whose time cannot be read: a unit row, a repeated header, a remark, or damage.
    fn no_time(&mut self, number: u32, line: &[u8], cells: &[&[u8]], draft: &mut Draft) {
        let looks_like_data = cells.len() > self.places.furthest
            && cells.iter().filter(|cell| parse(cell, self.map.decimal).is_some()).count() * 2 >= cells.len().min(4);
        let cut_row = line.trim_ascii_start().first().is_some_and(u8::is_ascii_digit);
        if looks_like_data || (cut_row && !draft.rows.is_empty()) {
            if self.bad_times.is_empty() {
                self.bad_time_text = self.time_text(cells);
            }
            self.bad_times.push(number);
            draft.unreadable.push(number);
        } else {
            self.remarks.push(number);
        }
    }

    fn time_text(&self, cells: &[&[u8]]) -> String {
        let place = match self.places.time {
            TimePlaces::Stamp(at) | TimePlaces::DateAndClock(at, _) => at,
            TimePlaces::Parts { year, .. } => year,
        };
        cells.get(place).map(|cell| String::from_utf8_lossy(cell).chars().take(40).collect()).unwrap_or_default()
    }

    fn stamp(&self, cells: &[&[u8]]) -> Option<Stamp> {
        let cell = |place: usize| cells.get(place).copied();
        match &self.places.time {
            TimePlaces::Stamp(place) => self.written(cell(*place)?),
            TimePlaces::DateAndClock(date, clock) => {
                let day = self.written(cell(*date)?)?;
                let (seconds, offset) = parse_clock(cell(*clock)?)?;
                Some(Stamp { date: day.date, seconds, offset_minutes: offset.or(day.offset_minutes) })
            }
            TimePlaces::Parts { year, month, day, hour, minute } => {
                let whole = |place: usize| {
                    let text = cell(place)?;
                    // Some tables write whole numbers as 1.0.
                    parse_whole(text.strip_suffix(b".0").unwrap_or(text))
                };
                let year = i32::try_from(whole(*year)?).ok()?;
                let day = whole(*day)?;
                let date = match month {
                    Some(month) => NaiveDate::from_ymd_opt(year, whole(*month)?, day)?,
                    None => NaiveDate::from_yo_opt(year, day)?,
                };
                let hour = cell(*hour)?;
                let (hour, _) = parse_clock(hour.strip_suffix(b".0").unwrap_or(hour))?;
                let minute = match minute {
                    Some(place) => whole(*place)?,
                    None => 0,
                };
                let seconds = hour + minute.min(60) * 60;
                (seconds <= WHOLE_DAY).then_some(Stamp { date, seconds, offset_minutes: None })
            }
        }
    }

    fn written(&self, cell: &[u8]) -> Option<Stamp> {
        match &self.map.time_form {
            TimeForm::Written(order) => parse_stamp(cell, *order),
            TimeForm::Serial => parse_serial(cell, self.map.decimal),
            TimeForm::Epoch => parse_epoch(cell),
            TimeForm::Pattern(pattern) => parse_pattern(cell, pattern),
        }
    }

    /// Fills the row's values; false if a temperature or a humidity is no number.
    fn values(&self, cells: &[&[u8]], row: &mut Row) -> bool {
        let places = self.places;
        let read = |place: usize| self.values_of.read(cells[place], Of::Air);
        let dry_bulb = read(places.dry_bulb);
        row.dry_bulb_c = celsius(dry_bulb.unwrap_or(None), Some(&self.map.dry_bulb));
        let humidity = || -> Result<_, ()> {
            let get = |place: Option<usize>| place.map_or(Ok(None), read);
            Ok((get(places.relative_humidity)?, get(places.dew_point)?, get(places.wet_bulb)?))
        };
        let humidity = humidity();
        // A row with an illegible humidity is believed in none of its measures.
        let (relative, dew_point, wet_bulb) = humidity.unwrap_or_default();
        row.relative_humidity = relative;
        row.dew_point_c = celsius(dew_point, self.map.dew_point.as_ref());
        row.wet_bulb_c = celsius(wet_bulb, self.map.wet_bulb.as_ref());
        let of = |place: usize, of: Of| self.values_of.read(cells[place], of).unwrap_or(None);
        let other = |place: usize| of(place, Of::Other);
        if let (Some(place), Some(column)) = (places.pressure, &self.map.pressure) {
            let quantity = match column.unit {
                PressureUnit::Pascal => Of::Pascals,
                PressureUnit::Hectopascal
                | PressureUnit::Kilopascal
                | PressureUnit::InchOfMercury
                | PressureUnit::MillimetreOfMercury => Of::Other,
            };
            row.pressure_pa = of(place, quantity).map(|v| v * column.unit.pascals());
        }
        if let (Some(place), Some(column)) = (places.global_horizontal, &self.map.global_horizontal) {
            row.global_horizontal_w_per_m2 = other(place).map(|v| v * column.unit.watts_per_m2());
        }
        if let (Some(place), Some(column)) = (places.wind, &self.map.wind) {
            row.wind_m_per_s = other(place).map(|v| v * column.unit.m_per_s());
        }
        dry_bulb.is_ok() && humidity.is_ok()
    }

    /// Turns the written time into the file's clock without daylight saving.
    fn place_in_time(&mut self, number: u32, stamp: Stamp, cells: &[&[u8]], row: &mut Row) {
        if let Some(place) = self.places.utc {
            let utc = cells
                .get(place)
                .and_then(|cell| parse_stamp(cell, DateOrder::YearFirst))
                .map(|stamp| stamp.time() - TimeDelta::minutes(i64::from(stamp.offset_minutes.unwrap_or(0))));
            self.utc_minus.push(utc);
        }
        if let Zone::Named(zone) = self.map.zone {
            match self.standard_time(zone, stamp.time()) {
                Some(time) => row.starts = time,
                None => self.ambiguous_zone.push(number),
            }
        }
        self.offsets.push(stamp.offset_minutes);
    }

    /// Standard time of a wall-clock time in a named zone. The hour that stands twice in autumn is told
    /// apart by what came before it; a time that the clock skipped is kept as it is.
    fn standard_time(&mut self, zone: Tz, wall: NaiveDateTime) -> Option<NaiveDateTime> {
        let local = zone.from_local_datetime(&wall);
        let earliest = local.earliest()?;
        let latest = local.latest()?;
        let chosen = if self.last_utc.is_some_and(|last| earliest.naive_utc() <= last) { latest } else { earliest };
        self.last_utc = Some(chosen.naive_utc());
        Some(wall - chosen.offset().dst_offset())
    }

    /// What only the whole table tells: offsets, marks at the end of intervals.
    fn finish(self, draft: &mut Draft) {
        if !self.bad_times.is_empty() {
            draft.unreadable_detail = format!(
                "the time '{}' on line {} is not as expected",
                self.bad_time_text,
                self.bad_times.first().unwrap_or(0)
            );
        }
        if self.remarks.len() > 2 {
            draft.problems.push(Problem::new(
                Severity::Note,
                "table.remarks",
                self.remarks.first(),
                format!(
                    "{} that are no hours (units, repeated headers, remarks) skipped ({})",
                    counted(self.remarks.len(), "line"),
                    self.remarks
                ),
            ));
        }
        self.ambiguous_zone.warn("time.daylight_saving", &mut draft.problems, || {
            format!(
                "{} at times that the clock of the named zone skips ({}): the zone may be wrong",
                counted(self.ambiguous_zone.len(), "row"),
                self.ambiguous_zone
            )
        });
        self.settle_offsets(draft);
        if self.map.time_marks == TimeMark::End || self.midnight_24 {
            if self.midnight_24 && self.map.time_marks == TimeMark::Start {
                draft.problems.push(Problem::note(
                    "time.24h",
                    "24:00 read as midnight ending that day, so that every time marks the end of its hour",
                ));
            }
            let step = commonest_step(&draft.rows);
            for row in &mut draft.rows {
                row.starts -= step;
                if row.label > row.starts.date() {
                    row.label = row.starts.date();
                }
            }
        }
    }

    /// One offset for the whole file: standard time is the smallest of those that its times name.
    fn settle_offsets(&self, draft: &mut Draft) {
        if !self.utc_minus.is_empty() {
            settle_by_utc(&self.utc_minus, draft);
            return;
        }
        let named: Vec<i32> = self.offsets.iter().flatten().copied().collect();
        if named.len() * 2 > self.offsets.len()
            && let Some(standard) = named.iter().min().copied()
        {
            draft.clock_offset_minutes = Some(standard);
            for (row, offset) in draft.rows.iter_mut().zip(&self.offsets) {
                let ahead = offset.unwrap_or(standard) - standard;
                row.starts -= TimeDelta::minutes(i64::from(ahead));
            }
            draft.wall_clock = false;
            return;
        }
        match self.map.zone {
            Zone::Offset(minutes) => draft.clock_offset_minutes = Some(minutes),
            Zone::Named(zone) => {
                let offset = draft.rows.first().map(|row| {
                    let offset = zone.offset_from_utc_datetime(&row.starts);
                    offset.fix().local_minus_utc() / 60 - i32::try_from(offset.dst_offset().num_minutes()).unwrap_or(0)
                });
                draft.clock_offset_minutes = offset;
                draft.station.utc_offset_minutes = offset;
            }
            Zone::LocalStandard | Zone::Wall => {}
        }
    }
}

/// Local standard time from a second column in UTC: the smallest difference of the two clocks is that of
/// winter.
fn settle_by_utc(utc: &[Option<NaiveDateTime>], draft: &mut Draft) {
    let differences: Vec<i64> = draft
        .rows
        .iter()
        .zip(utc)
        .filter_map(|(row, utc)| Some((row.starts - (*utc)?).num_minutes()))
        .filter(|minutes| minutes.abs() <= 15 * 60)
        .collect();
    let Some(standard) = differences.iter().min().copied() else {
        return;
    };
    for (row, utc) in draft.rows.iter_mut().zip(utc) {
        if let Some(utc) = utc {
            row.starts = *utc + TimeDelta::minutes(standard);
        }
    }
    let offset = i32::try_from(standard).ok();
    draft.clock_offset_minutes = offset;
    draft.station.utc_offset_minutes = offset;
    draft.wall_clock = false;
    if differences.iter().any(|minutes| *minutes != standard) {
        draft.problems.push(Problem::note(
            "time.daylight_saving",
            "the wall clock keeps daylight saving; times are taken from the UTC column and put to local \
             standard time, sums by month go by the dates as written",
        ));
    }
}

fn celsius(value: Option<f64>, column: Option<&Column<TemperatureUnit>>) -> Option<f64> {
    value.zip(column).map(|(value, column)| column.unit.to_celsius(value))
}

fn commonest_step(rows: &[Row]) -> TimeDelta {
    let mut counts = std::collections::BTreeMap::<TimeDelta, usize>::new();
    for pair in rows.windows(2).take(2_000) {
        let step = pair[1].starts - pair[0].starts;
        if step > TimeDelta::zero() {
            *counts.entry(step).or_default() += 1;
        }
    }
    counts.into_iter().max_by_key(|(_, count)| *count).map_or(TimeDelta::hours(1), |(step, _)| step)
}
