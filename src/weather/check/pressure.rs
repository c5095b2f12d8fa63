//! Pressure: in the wrong unit, at the wrong level, or not believable.

use crate::air::{PRESSURE_RANGE_PA, standard_pressure_pa};
use crate::problem::Said;
use crate::weather::problem::{Lines, Problem, Severity, counted};
use crate::weather::reading::{Row, Station};
use crate::weather::units::PressureLevel;

/// Units in which pressures are found, as factors to pascal.
const UNITS: [(&str, f64); 5] =
    [("Pa", 1.0), ("hPa", 100.0), ("kPa", 1_000.0), ("inHg", 3_386.389), ("mmHg", 133.3224)];
/// Weather moves the pressure by this much of the standard atmosphere's at most (cyclones aside).
const WEATHER_SHARE: f64 = 0.08;
/// The pressures of a file belong to another level than its station's if their median is further than
/// this from the standard atmosphere's: medians of long records lie within about 1 %.
const MEDIAN_SHARE: f64 = 0.02;

/// Checks the pressures against the range of the equations and the station's elevation. Returns the
/// level at which they turn out to be measured.
pub(crate) fn check(
    rows: &mut [Row],
    station: &Station,
    declared: PressureLevel,
    problems: &mut Vec<Problem>,
) -> PressureLevel {
    let Some(mut median) = median_pa(rows) else {
        report_none(rows, station, problems);
        return declared;
    };
    if !is_believable(median) {
        median = mend_unit(rows, median, station, problems);
    }
    let mut level = declared;
    let elevation_m = station.elevation_m;
    if let (PressureLevel::Station, Some(elevation_m)) = (declared, elevation_m) {
        let standard = standard_pressure_pa(elevation_m);
        let sea_level = standard_pressure_pa(0.0);
        let off = (median / standard - 1.0).abs();
        let looks_like_sea_level = (median / sea_level - 1.0).abs() < off.min(MEDIAN_SHARE);
        if off > MEDIAN_SHARE * 0.75 && looks_like_sea_level && elevation_m > 100.0 {
            level = PressureLevel::SeaLevel;
            problems.push(Problem::warning(
                "pressure.sea_level",
                Said::of(|q| {
                    format!(
                        "pressures (median {}) are those of sea level, not of {} ({}): brought to the station's elevation",
                        q.air_pressure(median),
                        q.given(elevation_m, "m"),
                        q.air_pressure(standard),
                    )
                }),
            ));
        } else if off > WEATHER_SHARE {
            replace_all(rows, median, elevation_m, problems);
            return level;
        }
    } else if declared == PressureLevel::SeaLevel {
        // Where the file does not say how high it is, mending knows whether somebody else does.
        if let Some(m) = elevation_m {
            let message = Said::of(|q| format!("the file gives sea-level pressure: brought to {}", q.given(m, "m")));
            problems.push(Problem::note("pressure.sea_level", message));
        }
    }
    outliers(rows, problems);
    report_missing(rows, station, problems);
    level
}

fn is_believable(pressure_pa: f64) -> bool {
    (PRESSURE_RANGE_PA.0..=PRESSURE_RANGE_PA.1).contains(&pressure_pa)
}

fn median_pa(rows: &[Row]) -> Option<f64> {
    let mut given: Vec<f64> = rows.iter().filter_map(|row| row.pressure_pa).collect();
    if given.is_empty() {
        return None;
    }
    let middle = given.len() / 2;
    let (_, median, _) = given.select_nth_unstable_by(middle, f64::total_cmp);
    Some(*median)
}

/// Tries the other units; the median must then fit the elevation (or any inhabited one).
fn mend_unit(rows: &mut [Row], median: f64, station: &Station, problems: &mut Vec<Problem>) -> f64 {
    // The readers have already turned a stated unit into pascal, so every ratio of two units may be
    // what is wrong.
    let mut best: Option<(f64, f64)> = None;
    for (_, from) in UNITS {
        for (_, to) in UNITS {
            let factor = from / to;
            let pressure = median * factor;
            if !is_believable(pressure) {
                continue;
            }
            let expected = station.elevation_m.map_or(101_325.0, standard_pressure_pa);
            let miss = (pressure / expected - 1.0).abs();
            if best.is_none_or(|(_, least)| miss < least) {
                best = Some((factor, miss));
            }
        }
    }
    match best {
        Some((factor, _)) => {
            for row in rows {
                row.pressure_pa = row.pressure_pa.map(|pressure| pressure * factor);
            }
            problems.push(Problem::warning(
                "pressure.unit",
                format!(
                    "pressures are in another unit than stated (median {median} where 50000 to 110000 Pa is \
                     possible): multiplied by {factor}, which gives {:.0} Pa; name the unit to silence this",
                    median * factor
                ),
            ));
            median * factor
        }
        None => median,
    }
}

fn replace_all(rows: &mut [Row], median: f64, elevation_m: f64, problems: &mut Vec<Problem>) {
    for row in rows.iter_mut() {
        row.pressure_pa = None;
    }
    problems.push(Problem::warning(
        "pressure.limit",
        Said::of(|q| {
            format!(
                "pressures (median {}) do not belong to an elevation of {}: the standard atmosphere's {} is used instead; \
                 check the elevation and the unit",
                q.air_pressure(median),
                q.given(elevation_m, "m"),
                q.air_pressure(standard_pressure_pa(elevation_m)),
            )
        }),
    ));
}

/// Single pressures far from the file's own median are faults of the sensor.
fn outliers(rows: &mut [Row], problems: &mut Vec<Problem>) {
    let Some(median) = median_pa(rows) else {
        return;
    };
    let mut lines = Lines::default();
    for row in rows {
        if let Some(pressure) = row.pressure_pa
            && ((pressure / median - 1.0).abs() > 2.0 * WEATHER_SHARE || !is_believable(pressure))
        {
            lines.push(row.line);
            row.pressure_pa = None;
        }
    }
    lines.warn("pressure.limit", problems, || {
        format!(
            "{} with an impossible pressure ({lines}): replaced by the standard atmosphere's",
            counted(lines.len(), "row")
        )
    });
}

fn report_none(rows: &[Row], station: &Station, problems: &mut Vec<Problem>) {
    if rows.is_empty() {
        return;
    }
    problems.push(match station.elevation_m {
        Some(m) => Problem::warning(
            "pressure.missing",
            Said::of(|q| {
                let (height, pressure) = (q.given(m, "m"), q.air_pressure(standard_pressure_pa(m)));
                format!("no station pressure: standard pressure for {height} used ({pressure})")
            }),
        ),
        None => Problem::warning(
            "pressure.missing",
            Said::of(|q| {
                format!(
                    "no station pressure and no elevation in the file: standard pressure for the given altitude is used, \
                     or that of sea level ({}) if none is given",
                    q.air_pressure(standard_pressure_pa(0.0))
                )
            }),
        ),
    });
}

fn report_missing(rows: &[Row], station: &Station, problems: &mut Vec<Problem>) {
    let mut lines = Lines::default();
    for row in rows.iter().filter(|row| row.pressure_pa.is_none()) {
        lines.push(row.line);
    }
    if lines.is_empty() {
        if station.elevation_m.is_none() {
            problems.push(Problem::note(
                "station.elevation",
                "elevation unknown; pressure is present in the rows, so the results stand",
            ));
        }
        return;
    }
    let level = station.elevation_m.map_or("the given altitude".to_owned(), |m| format!("{m} m"));
    problems.push(Problem::new(
        Severity::Note,
        "pressure.missing",
        lines.first(),
        format!("{} without pressure ({lines}): standard pressure for {level} used", counted(lines.len(), "row")),
    ));
}
