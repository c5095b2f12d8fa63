//! Values that may each be possible, and together are not: sensors in saturation, dropouts, days pasted over
//! others, another quantity in the humidity's column, another unit in the temperature's.

use crate::air::saturation_pressure_pa;
use crate::problem::{Matter, Said};
use crate::weather::problem::{Lines, Problem, Severity, counted};
use crate::weather::reading::Row;
use chrono::NaiveDate;
use std::collections::BTreeMap;
use std::collections::hash_map::DefaultHasher;
use std::hash::{Hash, Hasher};

/// The highest dew point measured outdoors is 35 °C (shore of the Persian Gulf, July 2003; from memory, not
/// verified); a degree is left to sensors.
const HIGHEST_DEW_POINT_C: f64 = 36.0;
/// From here on humidity may stand still for days because the air is saturated.
const FOG: f64 = 0.97;
/// Air that stays saturated warms by less than this in a day: cloud and fog keep the sun off (assumption).
const FOGGY_DAY_K: f64 = 5.0;
/// Air that stays saturated to the last digit for so long is a sensor's (assumption).
const LONGEST_FOG_H: f64 = 240.0;
/// Shorter runs are real: winter fog in rounded figures stands at 100 % for two days in station records.
const STILL_H: f64 = 72.0;
/// Days with fewer rows than this are not judged.
const ROWS_OF_A_DAY: usize = 20;
/// Days that hardly warm look alike and tell nothing, K.
const WARMING_DAY_K: f64 = 4.0;
/// So many days that warm are needed to judge a column by them.
const FEWEST_DAYS: usize = 5;
/// So many copied days are somebody's paste and not a lone filled gap.
const FEWEST_COPIES: usize = 3;
/// Relative humidity that never exceeds this may be another quantity: no more vapour than 45 g is in a
/// cubic metre of outdoor air.
const MOST_G_PER_M3: f64 = 0.45;
/// With the same vapour in it, air loses 5 to 7 % of its relative humidity a kelvin it warms by (slope of
/// the saturation pressure); a column that loses less than this is not relative humidity.
const LEAST_SLOPE_PER_K: f64 = 0.015;
/// The same slope where each kelvin was written as 1.8 °F.
const FAHRENHEIT_SLOPE_PER_K: f64 = 0.042;
/// Mean dew points above this come at few warm seas only, °C.
const MUGGY_C: f64 = 24.0;
/// Mean dew points of months never come to this, °C (from memory, not verified: 27 at the Persian Gulf).
const HIGHEST_MEAN_DEW_POINT_C: f64 = 27.5;
/// Relative humidity does not rise or fall by so much in an hour and come back in the next.
const HUMIDITY_JUMP: f64 = 0.6;

/// Looks at rows that passed every check of a single value; takes nothing out.
pub(crate) fn check(rows: &[Row], problems: &mut Vec<Problem>) {
    saturated(rows, problems);
    copied_days(rows, problems);
    humidity_jumps(rows, problems);
    let days = Days::of(rows);
    another_quantity(rows, &days, problems);
    match another_unit(rows, &days) {
        // Dew points beyond any are then those of the other unit.
        Some(cause) => problems.push(cause.about(&[Matter::OutsideAir])),
        None => muggy(rows, problems),
    }
}

fn days(rows: &[Row]) -> impl Iterator<Item = &[Row]> {
    rows.chunk_by(|a, b| a.starts.date() == b.starts.date()).filter(|day| day.len() >= ROWS_OF_A_DAY)
}

/// How far the dry bulb moves, K.
fn range_k(rows: &[Row]) -> f64 {
    let given = || rows.iter().filter_map(|row| row.dry_bulb_c);
    let (low, high) = given().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(t), high.max(t)));
    (high - low).max(0.0)
}

/// Fog holds humidity still for days, but not while the sun warms the air.
fn saturated(rows: &[Row], problems: &mut Vec<Problem>) {
    let of = |row: &Row| row.relative_humidity.filter(|humidity| *humidity >= FOG);
    let (mut hours, mut longest, mut first) = (0.0, 0.0_f64, None);
    for run in rows.chunk_by(|a, b| of(a).is_some() && of(a) == of(b)) {
        let length_h: f64 = run.iter().map(|row| row.hours).sum();
        if of(&run[0]).is_none() || length_h < STILL_H {
            continue;
        }
        let ranges: Vec<f64> = days(run).map(range_k).collect();
        let warms = !ranges.is_empty() && ranges.iter().sum::<f64>() / ranges.len() as f64 >= FOGGY_DAY_K;
        if warms || length_h >= LONGEST_FOG_H {
            hours += length_h;
            longest = longest.max(length_h);
            first = first.or(Some((run[0].line, run[0].relative_humidity.unwrap_or(1.0))));
        }
    }
    if let Some((line, humidity)) = first {
        problems.push(Problem::new(
            Severity::Warning,
            "humidity.stuck",
            Some(line),
            format!(
                "the relative humidity stands still at {:.1} % for {longest:.0} h ({hours:.0} h in all) while days warm and cool: a \
                 saturated sensor, no fog; it is used as it is, blank the cells to have them mended",
                humidity * 100.0
            ),
        ));
    }
}

/// Dew points that nobody has measured outdoors.
fn muggy(rows: &[Row], problems: &mut Vec<Problem>) {
    let most_pa = saturation_pressure_pa(HIGHEST_DEW_POINT_C);
    let mut lines = Lines::default();
    for row in rows {
        let Some(dry_bulb_c) = row.dry_bulb_c.filter(|t| *t > HIGHEST_DEW_POINT_C) else {
            continue;
        };
        let too_moist = match (row.relative_humidity, row.dew_point_c) {
            (Some(humidity), _) => humidity * saturation_pressure_pa(dry_bulb_c) > most_pa,
            (None, Some(dew_point_c)) => dew_point_c > HIGHEST_DEW_POINT_C,
            (None, None) => false,
        };
        if too_moist {
            lines.push(row.line);
        }
    }
    lines.warn("humidity.dew_point", problems, || {
        Said::of(|q| {
            format!(
                "{} with a dew point above {} ({lines}), and {} is the highest measured outdoors: temperature or humidity is \
                 wrong there; used as it is",
                counted(lines.len(), "row"),
                q.given(HIGHEST_DEW_POINT_C, "°C"),
                q.given(35.0, "°C"),
            )
        })
    });
}

/// Days that are, to the last digit, days before them.
fn copied_days(rows: &[Row], problems: &mut Vec<Problem>) {
    let mut known: BTreeMap<u64, NaiveDate> = BTreeMap::new();
    let (mut copies, mut first) = (0_usize, None);
    for day in days(rows) {
        // A day that stands still is told of as such.
        if range_k(day) < 0.5 {
            continue;
        }
        let mut hasher = DefaultHasher::new();
        for row in day {
            for value in [row.dry_bulb_c, row.relative_humidity, row.dew_point_c, row.wet_bulb_c] {
                value.map(f64::to_bits).hash(&mut hasher);
            }
        }
        let date = day[0].starts.date();
        match known.get(&hasher.finish()) {
            Some(earlier) => {
                copies += 1;
                first.get_or_insert((*earlier, day[0].label, day[0].line));
            }
            None => {
                known.insert(hasher.finish(), date);
            }
        }
    }
    if let Some((earlier, label, line)) = first {
        let severity = if copies >= FEWEST_COPIES { Severity::Warning } else { Severity::Note };
        problems.push(Problem::new(
            severity,
            "days.repeated",
            Some(line),
            format!(
                "{} to the last digit as another before it (first: {} as {}): rows were pasted twice, or a gap was \
                 filled with them; used as they are",
                counted(copies, "day"),
                label.format("%-d %B"),
                earlier.format("%-d %B")
            ),
        ));
    }
}

/// Spikes of humidity: up or down and back within two rows.
fn humidity_jumps(rows: &[Row], problems: &mut Vec<Problem>) {
    let mut lines = Lines::default();
    for triple in rows.windows(3) {
        if let (Some(a), Some(b), Some(c)) =
            (triple[0].relative_humidity, triple[1].relative_humidity, triple[2].relative_humidity)
            && (b - a).abs() > HUMIDITY_JUMP
            && (b - c).abs() > HUMIDITY_JUMP
            && (b > a) == (b > c)
        {
            lines.push(triple[1].line);
        }
    }
    lines.warn("humidity.jump", problems, || {
        format!(
            "{} of the humidity by more than {:.0} % and back ({lines}): a fault of the sensor; used as it is, blank \
                 the cells to have them mended",
            counted(lines.len(), "spike"),
            HUMIDITY_JUMP * 100.0
        )
    });
}

/// How humidity goes with temperature within days that warm.
struct Days {
    count: usize,
    /// Share of the relative humidity lost for each kelvin of warming.
    loss_per_k: f64,
}

impl Days {
    fn of(rows: &[Row]) -> Self {
        let (mut count, mut with, mut square) = (0, 0.0, 0.0);
        for day in days(rows).filter(|day| range_k(day) >= WARMING_DAY_K) {
            let pairs: Vec<(f64, f64)> = day
                .iter()
                .filter_map(|row| Some((row.dry_bulb_c?, row.relative_humidity?)))
                // Saturated air cannot show what it would lose.
                .filter(|(_, humidity)| (0.005..FOG).contains(humidity))
                .map(|(t, humidity)| (t, humidity.ln()))
                .collect();
            if pairs.len() * 2 < ROWS_OF_A_DAY {
                continue;
            }
            let mean = |of: fn(&(f64, f64)) -> f64| pairs.iter().map(of).sum::<f64>() / pairs.len() as f64;
            let (t, humidity) = (mean(|pair| pair.0), mean(|pair| pair.1));
            with += pairs.iter().map(|pair| (pair.0 - t) * (pair.1 - humidity)).sum::<f64>();
            square += pairs.iter().map(|pair| (pair.0 - t).powi(2)).sum::<f64>();
            count += 1;
        }
        Self { count, loss_per_k: if square > 0.0 { -with / square } else { 0.0 } }
    }

    fn tell(&self) -> bool {
        self.count >= FEWEST_DAYS
    }
}

/// Grams of vapour, in a cubic metre or a kilogram, under the name of relative humidity.
fn another_quantity(rows: &[Row], days: &Days, problems: &mut Vec<Problem>) {
    let most = rows.iter().filter_map(|row| row.relative_humidity).fold(0.0, f64::max);
    if !days.tell() || most > MOST_G_PER_M3 || days.loss_per_k >= LEAST_SLOPE_PER_K {
        return;
    }
    problems.push(Problem::warning(
        "humidity.absolute",
        format!(
            "the relative humidity is never above {:.0} % and hardly moves as days warm ({:.1} % of it a kelvin, where 5 to 7 % \
             are lost): the column may hold g/m³ or g/kg; give relative humidity or dew point",
            most * 100.0,
            days.loss_per_k * 100.0
        ),
    ));
}

/// Degrees Fahrenheit that pass for Celsius: warm and moist beyond what any month is.
fn another_unit(rows: &[Row], days: &Days) -> Option<Problem> {
    let moist: Vec<(f64, f64)> = rows
        .iter()
        .filter_map(|row| Some((row.dry_bulb_c?, row.relative_humidity?)))
        .map(|(t, humidity)| (t, humidity * saturation_pressure_pa(t)))
        .collect();
    if moist.len() < 24 * FEWEST_DAYS {
        return None;
    }
    let mean = |of: fn(&(f64, f64)) -> f64| moist.iter().map(of).sum::<f64>() / moist.len() as f64;
    let (dry_bulb_c, vapour_pa) = (mean(|pair| pair.0), mean(|pair| pair.1));
    let flat = days.tell() && (LEAST_SLOPE_PER_K..FAHRENHEIT_SLOPE_PER_K).contains(&days.loss_per_k);
    let is_muggy = |dew_point_c: f64| vapour_pa > saturation_pressure_pa(dew_point_c);
    let is_found = is_muggy(HIGHEST_MEAN_DEW_POINT_C) || (flat && is_muggy(MUGGY_C));
    is_found.then(|| {
        Problem::warning(
            "dry_bulb.unit",
            Said::of(|q| {
                format!(
                    "a mean of {} with {} of vapour is warmer and moister than the weather of any place: the temperatures may \
                     be °F; name the unit in the column map",
                    q.fixed(dry_bulb_c, 1, "°C"),
                    q.air_pressure(vapour_pa),
                )
            }),
        )
    })
}

#[cfg(test)]
mod tests;
