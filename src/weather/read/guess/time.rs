//! Which columns of an unknown table are its time, and how it is written.

use crate::table::parse_whole;
use crate::table::{DateOrder, Stamp, offset_minutes, open_orders, parse_clock, parse_stamp};
use crate::table::{parse_epoch, parse_serial};
use crate::weather::columns::{TimeColumns, TimeForm, Zone};
use crate::weather::problem::Problem;
use crate::weather::read::layout::Layout;
use crate::weather::read::words::words;
use std::collections::BTreeMap;

/// What was found about the time.
pub(crate) struct TimeGuess {
    pub columns: TimeColumns,
    pub form: TimeForm,
    pub zone: Zone,
    pub utc: Option<String>,
    /// Columns that hold time and so nothing else.
    pub places: Vec<usize>,
}

/// Guesses the time columns, or says what is lacking.
pub(crate) fn guess(layout: &Layout<'_>, problems: &mut Vec<Problem>) -> Result<TimeGuess, String> {
    let stamps: Vec<Dated> = (0..layout.header.len()).filter_map(|place| dated(layout, place)).collect();
    let utc_place = stamps
        .iter()
        .find(|dated| dated.with_clock && (dated.in_utc || says_utc(layout, dated.place)))
        .map(|dated| dated.place);
    if let Some(parts) = parts(layout) {
        let mut guess = parts;
        if let Some(place) = utc_place {
            guess.utc = Some(layout.name_of(place));
            guess.places.push(place);
        } else if guess.places.iter().any(|place| says_utc(layout, *place)) {
            guess.zone = Zone::Offset(0);
        }
        return Ok(guess);
    }
    // A local stamp goes before one in UTC, which then tells the zone.
    let stamp = stamps
        .iter()
        .filter(|dated| dated.with_clock)
        .max_by_key(|dated| (Some(dated.place) != utc_place, std::cmp::Reverse(dated.place)));
    if let Some(dated) = stamp {
        let form = dated.form(layout, None, problems)?;
        let is_utc = Some(dated.place) == utc_place;
        return Ok(TimeGuess {
            columns: TimeColumns::Stamp(layout.name_of(dated.place)),
            form,
            zone: zone_by_name(layout, dated.place).unwrap_or(if is_utc { Zone::Offset(0) } else { Zone::Wall }),
            utc: utc_place.filter(|place| *place != dated.place).map(|place| layout.name_of(place)),
            places: stamps.iter().map(|dated| dated.place).collect(),
        });
    }
    let date = stamps.first().ok_or_else(|| {
        format!(
            "no column of dates: found {}; dates such as 2031-04-02 06:00 are read, name their column in [weather.columns] (time, or date and clock)",
            layout.shown()
        )
    })?;
    let clock = clock_column(layout, date.place).ok_or_else(|| {
        format!(
            "the column '{}' holds dates but no column holds the hour: found {}; hourly weather is needed, name \
             the clock column in [weather.columns]",
            layout.header[date.place],
            layout.shown()
        )
    })?;
    let form = date.form(layout, Some(clock), problems)?;
    let in_utc = says_utc(layout, clock)
        || says_utc(layout, date.place)
        || layout.column(clock).take(20).all(|cell| matches!(parse_clock(cell), Some((_, Some(0)))));
    Ok(TimeGuess {
        columns: TimeColumns::DateAndClock { date: layout.name_of(date.place), clock: layout.name_of(clock) },
        form,
        zone: zone_by_name(layout, date.place).or_else(|| zone_by_name(layout, clock)).unwrap_or(if in_utc {
            Zone::Offset(0)
        } else {
            Zone::Wall
        }),
        utc: None,
        places: vec![date.place, clock],
    })
}

/// `Date Time, GMT+10:00` or `time (UTC-3)` names a fixed offset.
fn zone_by_name(layout: &Layout<'_>, place: usize) -> Option<Zone> {
    let name = layout.header[place].to_uppercase();
    let at = name.find("UTC").or_else(|| name.find("GMT"))? + 3;
    let rest = name[at..].trim_start();
    let end = rest.find(|c: char| !(c.is_ascii_digit() || "+-:".contains(c))).unwrap_or(rest.len());
    offset_minutes(&rest.as_bytes()[..end]).map(Zone::Offset)
}

fn says_utc(layout: &Layout<'_>, place: usize) -> bool {
    zone_by_name(layout, place).is_none()
        && words(&layout.header[place]).iter().any(|word| ["utc", "gmt", "zulu"].contains(&word.as_str()))
}

/// A column whose cells are dates.
struct Dated {
    place: usize,
    forms: Vec<TimeForm>,
    /// The clock differs from row to row.
    with_clock: bool,
    /// Every time names the offset zero.
    in_utc: bool,
}

/// How a cell may be read as a time.
fn read(layout: &Layout<'_>, form: &TimeForm, cell: &[u8]) -> Option<Stamp> {
    match form {
        TimeForm::Written(order) => parse_stamp(cell, *order),
        TimeForm::Serial => parse_serial(cell, layout.decimal),
        TimeForm::Epoch => parse_epoch(cell).filter(|stamp| stamp.time().and_utc().timestamp() > 100_000_000),
        TimeForm::Pattern(_) => None,
    }
}

/// Tries every way of reading a column as dates.
fn dated(layout: &Layout<'_>, place: usize) -> Option<Dated> {
    let cells: Vec<&[u8]> = layout
        .column(place)
        .chain(layout.rows.iter().filter_map(|cells| cells.get(place).copied()))
        .filter(|cell| !cell.is_empty())
        .collect();
    if cells.is_empty() {
        return None;
    }
    let share = |form: &TimeForm| {
        let read = cells.iter().filter(|cell| read(layout, form, cell).is_some());
        read.count() as f64 / cells.len() as f64
    };
    let open: Vec<TimeForm> = open_orders(&cells).into_iter().map(TimeForm::Written).collect();
    let best = open.iter().map(share).fold(0.0, f64::max);
    let forms: Vec<TimeForm> = if best > 0.5 {
        open
    } else {
        let is_time_by_name = words(&layout.header[place]).iter().any(|word| {
            ["time", "date", "timestamp", "datetime", "datum", "data", "fecha", "zeit", "epoch", "unix"]
                .contains(&word.as_str())
        });
        [TimeForm::Serial, TimeForm::Epoch]
            .into_iter()
            .filter(|form| is_time_by_name && share(form) > 0.9)
            .take(1)
            .collect()
    };
    let form = forms.first()?;
    let read_all: Vec<Stamp> = cells.iter().filter_map(|cell| read(layout, form, cell)).collect();
    let first = read_all.first()?;
    let with_clock = read_all.iter().any(|stamp| stamp.seconds != first.seconds);
    let in_utc = read_all.iter().all(|stamp| stamp.offset_minutes == Some(0));
    Some(Dated { place, forms, with_clock, in_utc })
}

impl Dated {
    /// The one form, or of day-first and month-first the one under which time goes on evenly.
    fn form(&self, layout: &Layout<'_>, clock: Option<usize>, problems: &mut Vec<Problem>) -> Result<TimeForm, String> {
        let [first, _, ..] = &self.forms[..] else {
            let form = self.forms[0].clone();
            if form == TimeForm::Serial {
                problems.push(Problem::note(
                    "time.serial",
                    format!(
                        "the timestamp column '{}' is numeric: read as a spreadsheet's serial date",
                        layout.header[self.place]
                    ),
                ));
            }
            return Ok(form);
        };
        let mut best = (first, self.evenness(layout, first, clock));
        let mut second = 0.0;
        for form in &self.forms[1..] {
            let even = self.evenness(layout, form, clock);
            if even > best.1 {
                second = best.1;
                best = (form, even);
            } else {
                second = even.max(second);
            }
        }
        let sample = layout
            .column(self.place)
            .find(|cell| !cell.is_empty())
            .map(|cell| String::from_utf8_lossy(cell).into_owned())
            .unwrap_or_default();
        if best.1 - second < 0.01 {
            return Err(format!(
                "date order ambiguous: {sample} may be day/month or month/day, and both go on evenly; state \
                 time_form = \"day-month-year\" or \"month-day-year\" in [weather.columns]"
            ));
        }
        let order = match best.0 {
            TimeForm::Written(DateOrder::DayFirst) => "dd/mm/yyyy",
            TimeForm::Written(DateOrder::MonthFirst) => "mm/dd/yyyy",
            _ => "yy/mm/dd",
        };
        problems.push(Problem::warning(
            "time.date_order",
            format!(
                "date order ambiguous: {sample} and every other date would also be one with its parts \
                 swapped; only as {order} do the rows go on hour by hour, so they are read that way. State \
                 time_form to be sure"
            ),
        ));
        Ok(best.0.clone())
    }

    /// Share of steps between neighbouring rows that are the commonest one.
    fn evenness(&self, layout: &Layout<'_>, form: &TimeForm, clock: Option<usize>) -> f64 {
        let times: Vec<i64> = layout
            .rows
            .iter()
            .filter_map(|cells| {
                let stamp = read(layout, form, cells.get(self.place)?)?;
                let seconds = match clock {
                    Some(place) => parse_clock(cells.get(place)?)?.0,
                    None => stamp.seconds,
                };
                let day = chrono::NaiveDateTime::from(stamp.date);
                Some(day.and_utc().timestamp() + i64::from(seconds))
            })
            .collect();
        let mut counts: BTreeMap<i64, usize> = BTreeMap::new();
        for pair in times.windows(2) {
            *counts.entry(pair[1] - pair[0]).or_default() += 1;
        }
        let all: usize = counts.values().sum();
        counts.values().max().map_or(0.0, |most| *most as f64 / all as f64)
    }
}

/// Year, month, day and hour in a column each. Where a table has two sets (wall clock and standard time),
/// the last is taken.
fn parts(layout: &Layout<'_>) -> Option<TimeGuess> {
    let find = |first: &[&str], last: &str, fits: &dyn Fn(&[u8]) -> bool| {
        (0..layout.header.len()).rev().find(|place| {
            let words = words(&layout.header[*place]);
            let named = words.len() <= 2 && words.first().is_some_and(|word| first.contains(&word.as_str()));
            // `Year Month Day Hour Minutes in YYYY`: a date format whose commas parted the name.
            (named || words.last().is_some_and(|word| word == last))
                && layout.column(*place).filter(|cell| !cell.is_empty()).take(50).all(fits)
        })
    };
    let between = |low: u32, high: u32| {
        move |cell: &[u8]| {
            parse_whole(cell.strip_suffix(b".0").unwrap_or(cell)).is_some_and(|value| (low..=high).contains(&value))
        }
    };
    let is_clock = |cell: &[u8]| parse_clock(cell.strip_suffix(b".0").unwrap_or(cell)).is_some();
    let year = find(&["year", "yr", "jahr", "ano", "annee", "anno"], "yyyy", &between(1800, 2200))?;
    let month = find(&["month", "mo", "mon", "monat", "mes", "mois", "mese"], "mm", &between(1, 12));
    let of_month = || {
        let names = ["day", "dy", "tag", "dia", "jour", "giorno"];
        find(&names, "dd", &between(1, 31))
    };
    let of_year = || {
        let names = ["doy", "jday", "julian", "yday", "dayofyear", "jul"];
        find(&names, "year", &between(1, 366))
    };
    let day = if month.is_some() { of_month() } else { of_year() }?;
    let hours = ["hour", "hr", "hh", "stunde", "hora", "heure", "ora", "time", "hhmm"];
    let hour = find(&hours, "hh24", &is_clock)?;
    let minute = find(&["minute", "min", "mn", "mi", "minuto"], "mi", &between(0, 60))
        .or_else(|| {
            let next = words(layout.header.get(hour + 1)?);
            (next.first().is_some_and(|word| word == "mi")).then_some(hour + 1)
        })
        .filter(|place| *place == hour + 1 && layout.column(*place).all(is_clock));
    let mut places = vec![year, day, hour];
    places.extend(month);
    places.extend(minute);
    Some(TimeGuess {
        columns: TimeColumns::Parts {
            year: layout.name_of(year),
            month: month.map(|place| layout.name_of(place)),
            day: layout.name_of(day),
            hour: layout.name_of(hour),
            minute: minute.map(|place| layout.name_of(place)),
        },
        form: TimeForm::Written(DateOrder::YearFirst),
        zone: Zone::Wall,
        utc: None,
        places,
    })
}

/// The column of the hour that goes with a date.
fn clock_column(layout: &Layout<'_>, date: usize) -> Option<usize> {
    const NAMES: [&str; 13] =
        ["time", "hour", "hr", "uhrzeit", "zeit", "stunde", "hora", "heure", "ora", "clock", "hhmm", "hh", "tijd"];
    let reads = |place: usize| {
        let mut cells = layout.column(place).filter(|cell| !cell.is_empty()).peekable();
        if cells.peek().is_none() {
            return false;
        }
        let (mut good, mut all) = (0_usize, 0_usize);
        for cell in cells {
            all += 1;
            good += usize::from(parse_clock(cell).is_some());
        }
        good * 10 >= all * 9
    };
    let by_name = (0..layout.header.len()).find(|place| {
        *place != date
            && words(&layout.header[*place]).iter().any(|word| NAMES.contains(&word.as_str()))
            && reads(*place)
    });
    // Without a telling name, the next column with colons in its cells.
    by_name.or_else(|| {
        let next = date + 1;
        let colons = layout.column(next).take(20).filter(|cell| cell.contains(&b':')).count();
        (colons > 0 && reads(next)).then_some(next)
    })
}
