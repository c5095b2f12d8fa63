//! Filling what is missing, never in silence.

use super::hour::Hour;
use super::number::whole;
use super::problem::{Problem, WeatherError, counted};
use super::reading::{Reading, in_nominal_year};
use super::series::{Gap, Mends, Series};
use crate::air::{MoistAir, saturation_humidity_ratio, standard_pressure_pa};
use chrono::{DateTime, Datelike, NaiveDateTime, TimeDelta};

/// What may be filled, and what the files do not say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MendRules {
    /// Gaps up to this long are filled, h; longer ones stay open.
    pub max_gap_hours: usize,
    /// Fill the longer ones too (up to fifteen days).
    pub fill_long_gaps: bool,
    /// Altitude of the site, m; goes before the files' elevation where pressure must be computed.
    pub altitude_m: Option<f64>,
    /// Local standard time minus UTC, minutes; goes before the files' own zone.
    pub utc_offset_minutes: Option<i32>,
}

impl Default for MendRules {
    /// Six hours, no longer gaps, nothing known beside the files.
    fn default() -> Self {
        Self {
            max_gap_hours: 6,
            fill_long_gaps: false,
            altitude_m: None,
            utc_offset_minutes: None,
        }
    }
}

/// Gaps up to this long are interpolated; longer ones would flatten the course of the day, h.
const SHORT_GAP_HOURS: usize = 3;
/// How far away a day may be that lends its hours, d; also the longest gap that is ever filled.
const FURTHEST_DAY: usize = 15;
/// A joined hour conflicts if its temperatures differ by more than this, K.
const JOIN_SPREAD_K: f64 = 0.5;

/// One hour on its way: whole hours since 1970.
#[derive(Clone, Copy, Debug)]
struct Slot {
    hour: i64,
    dry_bulb_c: Option<f64>,
    humidity_ratio: Option<f64>,
    pressure_pa: f64,
    pressure_is_standard: bool,
    global_horizontal_w_per_m2: Option<f64>,
    wind_m_per_s: Option<f64>,
    /// Longest run that is between two rows of a coarse file rather than a gap.
    between_rows: usize,
}

/// Joins readings and fills their gaps by the rules. Short gaps are interpolated in temperature and
/// humidity ratio, longer ones take the mean of the same hour of the nearest days before and after; gaps
/// beyond `max_gap_hours` stay open (see [`Series::open_gaps`]) unless the rules say to fill them. Where
/// files overlap, the one named first wins.
pub fn mend(readings: &[Reading], rules: &MendRules) -> Result<Series, WeatherError> {
    let Some(first) = readings.first() else {
        return Err(WeatherError::Rules("no weather file was named".into()));
    };
    if readings.len() > 1
        && let Some(typical) = readings.iter().find(|reading| reading.typical)
    {
        return Err(WeatherError::Rules(format!(
            "{} is a typical year and cannot be joined with other files; use it alone",
            typical.file
        )));
    }
    let mut problems = Vec::new();
    let mut slots = Vec::new();
    for reading in readings {
        slots.extend(slots_of(reading, rules, &mut problems));
    }
    let slots = join(slots, readings.len(), &mut problems);
    let mut series = Series {
        hours: Vec::with_capacity(slots.len()),
        typical: first.typical,
        utc_offset_minutes: target_offset(first, rules),
        mends: Mends::default(),
        open_gaps: Vec::new(),
        problems,
    };
    for stretch in stretches(&slots) {
        fill(stretch, first, rules, &mut series);
    }
    if series.hours.is_empty() {
        return Err(WeatherError::refused(
            &first.file,
            "no hour has both temperature and humidity: nothing to mend from",
        ));
    }
    tell(&mut series, rules);
    Ok(series)
}

/// Local standard time: the rules', else the station's, else for rows in UTC the nearest whole hour to
/// the sun's time.
fn target_offset(reading: &Reading, rules: &MendRules) -> Option<i32> {
    rules
        .utc_offset_minutes
        .or(reading.station.utc_offset_minutes)
        .or_else(|| {
            let longitude = reading.station.longitude?;
            (reading.clock_offset_minutes == Some(0))
                .then(|| i32::try_from(whole(longitude / 15.0) * 60).ok())
                .flatten()
        })
        .or(reading.clock_offset_minutes)
}

fn slots_of(reading: &Reading, rules: &MendRules, problems: &mut Vec<Problem>) -> Vec<Slot> {
    let shift_h = shift_hours(reading, rules, problems);
    let altitude_m = reading.elevation_m(rules.altitude_m);
    let standard_pa = standard_pressure_pa(altitude_m);
    let between_rows = usize::try_from(reading.step_minutes / 60)
        .unwrap_or(1)
        .saturating_sub(1);
    let mut bins: Vec<Bin> = Vec::with_capacity(reading.rows.len());
    for (row, air) in reading.air(rules.altitude_m) {
        let shifted = row.starts + TimeDelta::hours(shift_h);
        let time = if reading.typical {
            in_nominal_year(shifted, reading.leap_day)
        } else {
            shifted
        };
        let hour = time.and_utc().timestamp().div_euclid(3_600);
        if bins.last().is_none_or(|bin| bin.hour != hour) {
            bins.push(Bin::new(hour));
        }
        if let Some(bin) = bins.last_mut() {
            let pressure = row
                .pressure_pa
                .map(|_| reading.station_pressure_pa(row, altitude_m));
            bin.add(row, air, pressure);
        }
    }
    bins.into_iter()
        .map(|bin| bin.slot(standard_pa, between_rows))
        .collect()
}

/// Whole hours from the rows' clock to local standard time.
fn shift_hours(reading: &Reading, rules: &MendRules, problems: &mut Vec<Problem>) -> i64 {
    match (reading.clock_offset_minutes, target_offset(reading, rules)) {
        (Some(clock), Some(target)) => {
            let minutes = target - clock;
            if clock == 0
                && target == 0
                && reading.station.longitude.is_none()
                && rules.utc_offset_minutes.is_none()
                && reading.station.utc_offset_minutes.is_none()
            {
                problems.push(Problem::warning(
                    "time.utc",
                    format!(
                        "{}: times are in UTC and the file does not say where it is: state the site's offset, \
                         else days and nights are shifted",
                        reading.file
                    ),
                ));
            }
            if minutes != 0 {
                problems.push(Problem::note(
                    "time.shifted",
                    format!(
                        "{}: rows shifted by {:+.1} h to local standard time (UTC{:+.1})",
                        reading.file,
                        f64::from(minutes) / 60.0,
                        f64::from(target) / 60.0
                    ),
                ));
            }
            // Rows stand at full hours; half an hour of a zone such as +05:30 is dropped.
            whole(f64::from(minutes) / 60.0)
        }
        _ => 0,
    }
}

/// The rows that fall into one hour.
struct Bin {
    hour: i64,
    share: f64,
    dry_bulb: f64,
    humidity_ratio: f64,
    humid_share: f64,
    pressure: f64,
    pressures: f64,
    sun: f64,
    suns: f64,
    wind: f64,
    winds: f64,
}

impl Bin {
    fn new(hour: i64) -> Self {
        Self {
            hour,
            share: 0.0,
            dry_bulb: 0.0,
            humidity_ratio: 0.0,
            humid_share: 0.0,
            pressure: 0.0,
            pressures: 0.0,
            sun: 0.0,
            suns: 0.0,
            wind: 0.0,
            winds: 0.0,
        }
    }

    fn add(&mut self, row: &super::Row, air: Option<MoistAir>, pressure_pa: Option<f64>) {
        let share = row.hours.min(1.0);
        if let Some(dry_bulb) = row.dry_bulb_c {
            self.share += share;
            self.dry_bulb += share * dry_bulb;
        }
        if let Some(air) = air {
            self.humid_share += share;
            self.humidity_ratio += share * air.humidity_ratio();
        }
        if let Some(pressure) = pressure_pa {
            self.pressures += 1.0;
            self.pressure += pressure;
        }
        if let Some(sun) = row.global_horizontal_w_per_m2 {
            self.suns += 1.0;
            self.sun += sun;
        }
        if let Some(wind) = row.wind_m_per_s {
            self.winds += 1.0;
            self.wind += wind;
        }
    }

    /// Means; an hour of which less than half was measured counts as missing.
    fn slot(self, standard_pa: f64, between_rows: usize) -> Slot {
        let mean = |sum: f64, weight: f64| (weight > 0.0).then(|| sum / weight);
        let half = 0.499;
        Slot {
            hour: self.hour,
            dry_bulb_c: mean(self.dry_bulb, self.share).filter(|_| self.share >= half),
            humidity_ratio: mean(self.humidity_ratio, self.humid_share)
                .filter(|_| self.humid_share >= half),
            pressure_pa: mean(self.pressure, self.pressures).unwrap_or(standard_pa),
            pressure_is_standard: self.pressures == 0.0,
            global_horizontal_w_per_m2: mean(self.sun, self.suns),
            wind_m_per_s: mean(self.wind, self.winds),
            between_rows,
        }
    }
}

/// One slot an hour: the file named first wins, later files fill what it lacks.
fn join(mut slots: Vec<Slot>, files: usize, problems: &mut Vec<Problem>) -> Vec<Slot> {
    // A stable sort keeps the order of the files within an hour.
    slots.sort_by_key(|slot| slot.hour);
    let (mut overlapping, mut conflicting) = (0_usize, 0_usize);
    slots.dedup_by(|later, kept| {
        if later.hour != kept.hour {
            return false;
        }
        overlapping += 1;
        if let (Some(a), Some(b)) = (kept.dry_bulb_c, later.dry_bulb_c)
            && (a - b).abs() > JOIN_SPREAD_K
        {
            conflicting += 1;
        }
        if kept.humidity_ratio.is_none() && later.humidity_ratio.is_some() {
            kept.dry_bulb_c = later.dry_bulb_c;
            kept.humidity_ratio = later.humidity_ratio;
        }
        if kept.pressure_is_standard && !later.pressure_is_standard {
            kept.pressure_pa = later.pressure_pa;
            kept.pressure_is_standard = false;
        }
        kept.global_horizontal_w_per_m2 = kept
            .global_horizontal_w_per_m2
            .or(later.global_horizontal_w_per_m2);
        kept.wind_m_per_s = kept.wind_m_per_s.or(later.wind_m_per_s);
        true
    });
    if overlapping > 0 && files > 1 {
        problems.push(Problem::warning(
            "join.overlap",
            format!(
                "{} in more than one file: the file named first wins{}",
                counted(overlapping, "hour"),
                if conflicting > 0 {
                    format!("; {conflicting} of them differ by more than {JOIN_SPREAD_K} K")
                } else {
                    String::new()
                }
            ),
        ));
    }
    slots
}

/// Runs of slots without a pause too long ever to be filled.
fn stretches(slots: &[Slot]) -> impl Iterator<Item = &[Slot]> {
    let longest = i64::try_from(FURTHEST_DAY * 24).unwrap_or(i64::MAX);
    slots.chunk_by(move |a, b| b.hour - a.hour <= longest)
}

fn time_of(hour: i64) -> NaiveDateTime {
    DateTime::from_timestamp(hour * 3_600, 0)
        .unwrap_or_default()
        .naive_utc()
}

/// How an hour was filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Cause {
    Interpolated,
    NeighbourDays,
    LeapDay,
    BetweenRows,
    Open,
}

/// Fills one stretch and appends its hours.
fn fill(slots: &[Slot], first_reading: &Reading, rules: &MendRules, series: &mut Series) {
    let (Some(first), Some(last)) = (slots.first(), slots.last()) else {
        return;
    };
    let (from, until) = ring_or_span(first.hour, last.hour, first_reading);
    let length = usize::try_from(until - from + 1).unwrap_or(0);
    let ring = first_reading.typical && length >= 8_760;
    let mut temperature = vec![None; length];
    let mut humidity = vec![None; length];
    let mut source = vec![None; length];
    for (at, slot) in slots.iter().enumerate() {
        let place = usize::try_from(slot.hour - from).unwrap_or(0);
        temperature[place] = slot.dry_bulb_c;
        humidity[place] = slot.humidity_ratio;
        source[place] = Some(at);
    }
    let between_rows = slots
        .iter()
        .map(|slot| slot.between_rows)
        .max()
        .unwrap_or(0);
    let how = |run: Run| cause(run, from, between_rows, rules);
    let mut causes = vec![None; length];
    let filled_t = filled(&temperature, ring, &how, &mut causes);
    let filled_w = filled(&humidity, ring, &how, &mut causes);
    let standard_pa = standard_pressure_pa(first_reading.elevation_m(rules.altitude_m));
    let mut open: Option<Gap> = None;
    for place in 0..length {
        let starts = time_of(from + i64::try_from(place).unwrap_or(0));
        let slot = source[place].map(|at| &slots[at]);
        let pressure_pa = slot.map_or(standard_pa, |slot| slot.pressure_pa);
        let air = filled_t[place].zip(filled_w[place]).and_then(|(t, w)| {
            let saturated = saturation_humidity_ratio(t, pressure_pa);
            MoistAir::from_humidity_ratio(t, w.clamp(0.0, saturated), pressure_pa).ok()
        });
        let Some(air) = air else {
            match &mut open {
                Some(gap) => gap.hours += 1,
                None => open = Some(Gap { starts, hours: 1 }),
            }
            continue;
        };
        // Hours before the first and after the last that can be had are no gap.
        if let Some(gap) = open.take()
            && series.hours.last().is_some_and(|hour| {
                starts - hour.starts <= TimeDelta::days(i64::try_from(FURTHEST_DAY).unwrap_or(0))
            })
        {
            series.open_gaps.push(gap);
        }
        let mends = &mut series.mends;
        match causes[place] {
            Some(Cause::Interpolated) => mends.interpolated_hours += 1,
            Some(Cause::NeighbourDays) => mends.neighbour_day_hours += 1,
            Some(Cause::LeapDay) => mends.leap_day_hours += 1,
            Some(Cause::BetweenRows) => mends.between_rows_hours += 1,
            Some(Cause::Open) | None => {}
        }
        if slot.is_none_or(|slot| slot.pressure_is_standard) {
            mends.standard_pressure_hours += 1;
        }
        series.hours.push(Hour {
            starts,
            air,
            global_horizontal_w_per_m2: slot.and_then(|slot| slot.global_horizontal_w_per_m2),
            wind_m_per_s: slot.and_then(|slot| slot.wind_m_per_s),
            mended: causes[place].is_some(),
        });
    }
}

/// The whole nominal year for a typical year that nearly fills it, else the span of the slots.
fn ring_or_span(first: i64, last: i64, reading: &Reading) -> (i64, i64) {
    if reading.typical && last - first >= 350 * 24 {
        let start = time_of(first).date().with_ordinal(1).unwrap_or_default();
        let from = NaiveDateTime::from(start).and_utc().timestamp() / 3_600;
        let days = if reading.leap_day { 366 } else { 365 };
        return (from, from + days * 24 - 1);
    }
    (first, last)
}

/// A run of missing values.
#[derive(Clone, Copy, Debug)]
struct Run {
    start: usize,
    length: usize,
    /// True if there is a value before and one after.
    bridged: bool,
}

fn cause(run: Run, from: i64, between_rows: usize, rules: &MendRules) -> Cause {
    if run.bridged && run.length <= between_rows {
        Cause::BetweenRows
    } else if is_leap_day(run, from) {
        Cause::LeapDay
    } else if run.length > rules.max_gap_hours && !rules.fill_long_gaps
        || run.length > FURTHEST_DAY * 24
    {
        Cause::Open
    } else if run.bridged && run.length <= SHORT_GAP_HOURS {
        Cause::Interpolated
    } else {
        Cause::NeighbourDays
    }
}

/// Archives without leap days lack exactly the 29th.
fn is_leap_day(run: Run, from: i64) -> bool {
    let start = time_of(from + i64::try_from(run.start).unwrap_or(0));
    // A shifted clock moves the missing day by some hours.
    let middle = start + TimeDelta::hours(12);
    run.bridged && run.length == 24 && middle.month() == 2 && middle.day() == 29
        || run.length == 24 && start.month() == 2 && start.day() == 29
}

/// The values with their runs of `None` filled as `how` says; marks each filled place.
fn filled(
    values: &[Option<f64>],
    ring: bool,
    how: &impl Fn(Run) -> Cause,
    causes: &mut [Option<Cause>],
) -> Vec<Option<f64>> {
    let mut out = values.to_vec();
    let mut at = 0;
    while at < values.len() {
        if values[at].is_some() {
            at += 1;
            continue;
        }
        let length = values[at..].iter().take_while(|v| v.is_none()).count();
        let before = at.checked_sub(1).and_then(|place| values[place]);
        let after = values.get(at + length).copied().flatten();
        let run = Run {
            start: at,
            length,
            bridged: before.is_some() && after.is_some(),
        };
        let cause = how(run);
        for (step, place) in (at..at + length).enumerate() {
            let value = match (cause, before, after) {
                (Cause::Open, ..) => None,
                (Cause::Interpolated | Cause::BetweenRows, Some(a), Some(b)) => {
                    let share = (step + 1) as f64 / (length + 1) as f64;
                    Some(a + (b - a) * share)
                }
                _ => from_days_around(values, place, ring),
            };
            out[place] = value;
            if value.is_some() {
                causes[place] = Some(match causes[place] {
                    // The more daring of two fillings names the hour.
                    Some(Cause::NeighbourDays) => Cause::NeighbourDays,
                    _ => cause,
                });
            }
        }
        at += length;
    }
    out
}

/// Mean of the same hour of the nearest day before and the nearest after that have it.
fn from_days_around(values: &[Option<f64>], place: usize, ring: bool) -> Option<f64> {
    let get = |place: i64| -> Option<f64> {
        let length = i64::try_from(values.len()).ok()?;
        let place = if ring {
            place.rem_euclid(length)
        } else {
            place
        };
        values.get(usize::try_from(place).ok()?).copied().flatten()
    };
    let place = i64::try_from(place).ok()?;
    let days = 1..=i64::try_from(FURTHEST_DAY).ok()?;
    let before = days.clone().find_map(|day| get(place - day * 24));
    let after = days.clone().find_map(|day| get(place + day * 24));
    match (before, after) {
        (Some(a), Some(b)) => Some(0.5 * (a + b)),
        (one, other) => one.or(other),
    }
}

fn tell(series: &mut Series, rules: &MendRules) {
    let mends = series.mends;
    for (hours, code, how) in [
        (
            mends.interpolated_hours,
            "mend.interpolated",
            "interpolated in temperature and humidity ratio",
        ),
        (
            mends.neighbour_day_hours,
            "mend.neighbour_days",
            "taken from the same hour of the days around",
        ),
        (
            mends.leap_day_hours,
            "mend.leap_day",
            "of 29 February, which the file leaves out, taken from the days around",
        ),
        (
            mends.between_rows_hours,
            "mend.between_rows",
            "between the rows of a longer step interpolated",
        ),
    ] {
        if hours > 0 {
            series.problems.push(Problem::warning(
                code,
                format!("{} {how}", counted(hours, "hour")),
            ));
        }
    }
    if mends.standard_pressure_hours > 0 {
        series.problems.push(Problem::note(
            "mend.standard_pressure",
            format!(
                "{} with the standard atmosphere's pressure",
                counted(mends.standard_pressure_hours, "hour")
            ),
        ));
    }
    if !series.open_gaps.is_empty() {
        let message = open_gaps_text(&series.open_gaps, rules.max_gap_hours);
        series.problems.push(Problem::warning("gap.open", message));
    }
}

/// What to say of gaps that were not filled.
pub(super) fn open_gaps_text(gaps: &[Gap], max_gap_hours: usize) -> String {
    let told: Vec<String> = gaps
        .iter()
        .take(4)
        .map(|gap| {
            format!(
                "{} h from {}",
                gap.hours,
                gap.starts.format("%Y-%m-%d %H:%M")
            )
        })
        .collect();
    let more = if gaps.len() > 4 {
        format!(" and {} more", gaps.len() - 4)
    } else {
        String::new()
    };
    format!(
        "{} longer than the {max_gap_hours} h that may be filled: {}{more}; get the missing hours, raise \
         max_gap_hours, or set fill_long_gaps",
        counted(gaps.len(), "gap"),
        told.join(", ")
    )
}
