//! Filling what is missing, never in silence.

use super::fill::{Cause, FURTHEST_DAY, Run, cause, filled, time_of};
use super::rules::MendRules;
use super::series::{Gap, Mends, Series};
use super::slots::{Slot, join, slots_of};
use crate::air::{MoistAir, saturation_humidity_ratio, standard_pressure_pa};
use crate::weather::hour::Hour;
use crate::weather::problem::{Problem, WeatherError, counted};
use crate::weather::reading::Reading;
use chrono::{Datelike, NaiveDateTime, TimeDelta};

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
        slots_of(reading, rules, &mut slots, &mut problems);
    }
    let slots = join(slots, readings.len(), &mut problems);
    let mut series = Series {
        hours: Vec::with_capacity(slots.len()),
        typical: first.typical,
        invented: readings.iter().any(|reading| reading.invented),
        invented_hours: 0,
        utc_offset_minutes: first.standard_offset_minutes(rules.utc_offset_minutes),
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

/// Runs of slots without a pause too long ever to be filled.
fn stretches(slots: &[Slot]) -> impl Iterator<Item = &[Slot]> {
    let longest = i64::try_from(FURTHEST_DAY * 24).unwrap_or(i64::MAX);
    slots.chunk_by(move |a, b| b.hour - a.hour <= longest)
}

/// Fills one stretch and appends its hours.
fn fill(slots: &[Slot], first_reading: &Reading, rules: &MendRules, series: &mut Series) {
    let (Some(first), Some(last)) = (slots.first(), slots.last()) else {
        return;
    };
    let (from, until) = ring_or_span(first.hour, last.hour, first_reading);
    let length = usize::try_from(until - from + 1).unwrap_or(0);
    let ring = first_reading.typical && length >= 8_760;
    let place_of = |slot: &Slot| usize::try_from(slot.hour - from).unwrap_or(0);
    let mut source = vec![None; length];
    for (at, slot) in slots.iter().enumerate() {
        source[place_of(slot)] = u32::try_from(at).ok();
    }
    let column = |of: fn(&Slot) -> Option<f64>| {
        let mut values = vec![None; length];
        for slot in slots {
            values[place_of(slot)] = of(slot);
        }
        values
    };
    let between_rows = slots.iter().map(|slot| slot.between_rows).max().unwrap_or(0);
    let how = |run: Run| cause(run, from, between_rows, rules);
    let mut causes = vec![None; length];
    let filled_t = filled(column(|slot| slot.dry_bulb_c), ring, &how, &mut causes);
    let filled_w = filled(column(|slot| slot.humidity_ratio), ring, &how, &mut causes);
    let standard_pa = standard_pressure_pa(first_reading.elevation_m(rules.altitude_m));
    let mut open: Option<Gap> = None;
    for place in 0..length {
        let starts = time_of(from + i64::try_from(place).unwrap_or(0));
        let slot = source[place].map(|at| &slots[at as usize]);
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
            && series
                .hours
                .last()
                .is_some_and(|hour| starts - hour.starts <= TimeDelta::days(i64::try_from(FURTHEST_DAY).unwrap_or(0)))
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
        series.invented_hours += usize::from(slot.is_some_and(|slot| slot.invented));
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

fn tell(series: &mut Series, rules: &MendRules) {
    let mends = series.mends;
    for (hours, code, how) in [
        (mends.interpolated_hours, "mend.interpolated", "interpolated in temperature and humidity ratio"),
        (mends.neighbour_day_hours, "mend.neighbour_days", "taken from the same hour of the days around"),
        (
            mends.leap_day_hours,
            "mend.leap_day",
            "of 29 February, which the file leaves out, taken from the days around",
        ),
        (mends.between_rows_hours, "mend.between_rows", "between the rows of a longer step interpolated"),
    ] {
        if hours > 0 {
            series.problems.push(Problem::warning(code, format!("{} {how}", counted(hours, "hour"))));
        }
    }
    if mends.standard_pressure_hours > 0 {
        series.problems.push(Problem::note(
            "mend.standard_pressure",
            format!("{} with the standard atmosphere's pressure", counted(mends.standard_pressure_hours, "hour")),
        ));
    }
    if !series.open_gaps.is_empty() {
        let message = open_gaps_text(&series.open_gaps, rules.max_gap_hours);
        series.problems.push(Problem::warning("gap.open", message));
    }
}

/// What to say of gaps that were not filled.
pub(crate) fn open_gaps_text(gaps: &[Gap], max_gap_hours: usize) -> String {
    let told: Vec<String> = gaps
        .iter()
        .take(4)
        .map(|gap| format!("{} h from {}", gap.hours, gap.starts.format("%Y-%m-%d %H:%M")))
        .collect();
    let more = if gaps.len() > 4 { format!(" and {} more", gaps.len() - 4) } else { String::new() };
    format!(
        "{} longer than the {max_gap_hours} h that may be filled: {}{more}; get the missing hours, raise \
         max_gap_hours, or set fill_long_gaps",
        counted(gaps.len(), "gap"),
        told.join(", ")
    )
}
