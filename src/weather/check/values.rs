//! Are the values possible? Limits, units, sensors that stand still.

use super::{agreement, pressure};
use crate::problem::Said;
use crate::table::whole;
use crate::weather::problem::{Lines, Problem, Severity, counted};
use crate::weather::reading::{Row, Station};
use crate::weather::units::{HumidityUnit, PressureLevel};

/// Outside air temperatures that are believed, °C: the records on land are -89 and 57; below -60 the
/// moist-air equations end.
const DRY_BULB_LIMITS_C: std::ops::RangeInclusive<f64> = -60.0..=60.0;
/// °F that pass for impossible °C: above the highest that is believed, and no more than the warmest of °F.
const FAHRENHEIT_BEYOND: std::ops::RangeInclusive<f64> = 60.0..=135.0;
/// Dew points that are believed, °C: the highest on record is 35.
const DEW_POINT_LIMITS_C: std::ops::RangeInclusive<f64> = -80.0..=40.0;
/// Sensors over-read in fog by a few percent; up to here that is saturation, beyond a fault, %.
const HIGHEST_HUMIDITY_PCT: f64 = 150.0;
/// A dew point this far above the dry bulb is rounding or sensor spread, K.
const DEW_POINT_SPREAD_K: f64 = 1.0;
/// A change from one hour to the next that weather hardly makes, K.
const JUMP_K: f64 = 15.0;
/// So many equal temperatures in a row are a sensor (or a logger) that stands still, h.
const STUCK_HOURS: f64 = 24.0;
/// Irradiance above the solar constant with cloud enhancement, W/m².
const HIGHEST_IRRADIANCE: f64 = 1_800.0;
/// The highest hourly wind, m/s, that is believed.
const HIGHEST_WIND: f64 = 90.0;

/// Checks every value, takes out what is impossible, brings humidity to fractions and pressure to
/// station or sea level. An error says why the file as a whole cannot be believed.
pub(crate) fn check(
    rows: &mut [Row],
    station: &Station,
    humidity_unit: HumidityUnit,
    pressure_level: PressureLevel,
    needs_humidity: bool,
    problems: &mut Vec<Problem>,
) -> Result<PressureLevel, String> {
    humidity(rows, humidity_unit, problems)?;
    agreement::check(rows, problems)?;
    dry_bulb(rows, problems)?;
    dew_point(rows, problems);
    sun_and_wind(rows, problems);
    zeros(rows, problems);
    nothing_left(rows, needs_humidity)?;
    let level = pressure::check(rows, station, pressure_level, problems);
    missing(rows, problems);
    standing_still(rows, problems);
    jumps(rows, problems);
    Ok(level)
}

/// Takes out rows that a dead logger wrote: 0 % humidity is measured nowhere, and 0 °C with it is no
/// measurement at all.
pub(super) fn zeros(rows: &mut [Row], problems: &mut Vec<Problem>) {
    let (mut dead, mut dry) = (Lines::default(), Lines::default());
    for row in rows.iter_mut().filter(|row| row.relative_humidity == Some(0.0)) {
        if row.dry_bulb_c == Some(0.0) {
            dead.push(row.line);
            row.dry_bulb_c = None;
            row.forget_humidity();
        } else {
            dry.push(row.line);
            row.relative_humidity = None;
        }
    }
    for (lines, code, what) in [
        (dead, "values.dropout", "0 °C at 0 % humidity: a dropout of the logger"),
        (dry, "humidity.zero", "a humidity of 0 %, which no air has"),
    ] {
        lines.warn(code, problems, || {
            format!("{} with {what} ({lines}): taken as missing", counted(lines.len(), "row"))
        });
    }
}

/// A file of which no hour can be used is no weather file.
fn nothing_left(rows: &[Row], needs_humidity: bool) -> Result<(), String> {
    if rows.iter().all(|row| row.dry_bulb_c.is_none()) {
        return Err("no hour has a temperature: every value is missing or unreadable; get the file again".into());
    }
    if needs_humidity && !rows.iter().any(Row::has_humidity) {
        return Err(
            "no hour has a humidity: relative humidity and dew point are missing or unreadable everywhere; get the \
             file again, or another with humidity"
                .into(),
        );
    }
    Ok(())
}

fn dry_bulb(rows: &mut [Row], problems: &mut Vec<Problem>) -> Result<(), String> {
    let mut beyond = Lines::default();
    let (mut lowest, mut highest) = (f64::INFINITY, f64::NEG_INFINITY);
    let mut given = 0_usize;
    for row in rows.iter_mut() {
        let Some(t) = row.dry_bulb_c else { continue };
        given += 1;
        if !DRY_BULB_LIMITS_C.contains(&t) {
            beyond.push(row.line);
            row.dry_bulb_c = None;
            lowest = lowest.min(t);
            highest = highest.max(t);
        }
    }
    if beyond.is_empty() {
        return Ok(());
    }
    let range = if lowest == highest { format!("{lowest}") } else { format!("{lowest} to {highest}") };
    // One value again and again is a code for "missing"; many different ones are another quantity.
    let many = beyond.len() * 2 > given || (beyond.len() * 10 > given && highest - lowest > 5.0);
    if many {
        let guess = if lowest > 150.0 {
            "the column looks like kelvin; name the unit in the column map"
        } else if FAHRENHEIT_BEYOND.contains(&lowest) && FAHRENHEIT_BEYOND.contains(&highest) {
            "the column looks like °F; name the unit in the column map"
        } else {
            "the column may be in another unit or hold something else; name it in the column map"
        };
        return Err(format!(
            "{} of {given} temperatures are impossible ({range} °C, believed: -60..60): {guess}",
            beyond.len()
        ));
    }
    problems.push(Problem::new(
        Severity::Warning,
        "dry_bulb.limit",
        beyond.first(),
        Said::of(|q| {
            let lowest = if lowest < highest { format!("{} to ", q.bare(lowest, "°C")) } else { String::new() };
            format!(
                "{} with an impossible dry bulb ({lowest}{}, believed: {}..{}; {beyond}): taken as missing",
                counted(beyond.len(), "row"),
                q.given(highest, "°C"),
                q.bare(-60.0, "°C"),
                q.bare(60.0, "°C"),
            )
        }),
    ));
    Ok(())
}

fn humidity(rows: &mut [Row], unit: HumidityUnit, problems: &mut Vec<Problem>) -> Result<(), String> {
    let highest = rows.iter().filter_map(|row| row.relative_humidity).fold(f64::NEG_INFINITY, f64::max);
    let given = rows.iter().filter(|row| row.relative_humidity.is_some()).count();
    // No place on earth stays below 1.5 % for a day and more.
    let looks_like_fraction = given >= 24 && highest > 0.0 && highest <= 1.5;
    let as_fraction = match unit {
        HumidityUnit::Fraction => true,
        HumidityUnit::Percent => looks_like_fraction,
    };
    if as_fraction && unit == HumidityUnit::Percent {
        problems.push(Problem::warning(
            "humidity.fraction",
            format!(
                "the largest relative humidity is {highest}: looks like a fraction and is read as 0..1; \
                 read as percent the air would be about 100 times too dry. Name the unit to silence this"
            ),
        ));
    }
    if given >= 24 && highest == 0.0 {
        for row in rows.iter_mut() {
            row.relative_humidity = None;
        }
        problems.push(Problem::warning(
            "humidity.limit",
            "relative humidity is 0 in every row: a dead sensor or an empty column, not used; humidity is taken from dew \
             point or wet bulb where there is one",
        ));
        return Ok(());
    }
    let percent = if as_fraction { 100.0 } else { 1.0 };
    let (mut above, mut below, mut absurd) = (Lines::default(), Lines::default(), Lines::default());
    for row in rows {
        let Some(value) = row.relative_humidity else {
            continue;
        };
        let pct = value * percent;
        if pct < 0.0 {
            below.push(row.line);
            row.forget_humidity();
        } else if pct > HIGHEST_HUMIDITY_PCT {
            absurd.push(row.line);
            row.forget_humidity();
        } else {
            if pct > 100.0 {
                above.push(row.line);
            }
            row.relative_humidity = Some((pct / 100.0).min(1.0));
        }
    }
    above.warn("humidity.over_100", problems, || {
        format!("{} with RH > 100 % ({above}) clamped to 100 (sensor over-read)", counted(above.len(), "hour"))
    });
    if (below.len() + absurd.len()) * 2 > given {
        return Err(format!(
            "{} of {given} relative humidities are impossible (below 0 or above 150 %): the column may hold \
             something else; name it in the column map",
            below.len() + absurd.len()
        ));
    }
    for (lines, what) in [(below, "< 0 %"), (absurd, "> 150 %")] {
        lines.warn("humidity.limit", problems, || {
            format!(
                "{} with RH {what} ({lines}) excluded: no humidity of that row is believed",
                counted(lines.len(), "hour")
            )
        });
    }
    Ok(())
}

fn dew_point(rows: &mut [Row], problems: &mut Vec<Problem>) {
    let (mut above, mut beyond) = (Lines::default(), Lines::default());
    for row in rows {
        if let Some(dew_point) = row.dew_point_c
            && !DEW_POINT_LIMITS_C.contains(&dew_point)
        {
            beyond.push(row.line);
            row.dew_point_c = None;
        }
        let (Some(dry_bulb), Some(moist)) = (row.dry_bulb_c, row.dew_point_c.or(row.wet_bulb_c)) else {
            continue;
        };
        if moist > dry_bulb + DEW_POINT_SPREAD_K {
            above.push(row.line);
            row.dew_point_c = None;
            row.wet_bulb_c = None;
        }
    }
    beyond.warn("dew_point.limit", problems, || {
        Said::of(|q| {
            format!(
                "{} with an impossible dew point (believed: {}..{}; {beyond}): taken as missing",
                counted(beyond.len(), "row"),
                q.bare(-80.0, "°C"),
                q.given(40.0, "°C"),
            )
        })
    });
    above.warn("dew_point.above_dry_bulb", problems, || {
        Said::of(|q| {
            format!(
                "{} whose dew point or wet bulb lies more than {} above the dry bulb ({above}): not used; columns may be \
                 swapped",
                counted(above.len(), "row"),
                q.given(DEW_POINT_SPREAD_K, "K"),
            )
        })
    });
}

fn sun_and_wind(rows: &mut [Row], problems: &mut Vec<Problem>) {
    let (mut sun, mut wind) = (Lines::default(), Lines::default());
    for row in rows {
        if let Some(value) = row.global_horizontal_w_per_m2
            && !(-20.0..=HIGHEST_IRRADIANCE).contains(&value)
        {
            sun.push(row.line);
            row.global_horizontal_w_per_m2 = None;
        }
        // Pyranometers show a few watts below zero at night.
        row.global_horizontal_w_per_m2 = row.global_horizontal_w_per_m2.map(|value| value.max(0.0));
        if let Some(value) = row.wind_m_per_s
            && !(0.0..=HIGHEST_WIND).contains(&value)
        {
            wind.push(row.line);
            row.wind_m_per_s = None;
        }
    }
    for (lines, code, what) in [(sun, "irradiance.limit", "global irradiance"), (wind, "wind.limit", "wind speed")] {
        lines.warn(code, problems, || {
            format!("{} with an impossible {what} ({lines}): taken as missing", counted(lines.len(), "row"))
        });
    }
}

/// Tells what is missing in the rows that are there.
fn missing(rows: &[Row], problems: &mut Vec<Problem>) {
    type Has = fn(&Row) -> bool;
    let checks: [(&'static str, &str, &str, Has); 2] = [
        ("dry_bulb.missing", "without dry bulb", "left out, or interpolated when mending", |row| {
            row.dry_bulb_c.is_some()
        }),
        ("humidity.missing", "without humidity", "excluded, or interpolated when mending", Row::has_humidity),
    ];
    for (code, what, cure, has) in checks {
        let mut lines = Lines::default();
        let mut hours = 0.0;
        let (mut run, mut longest) = (0.0_f64, 0.0_f64);
        for row in rows {
            if has(row) {
                run = 0.0;
            } else {
                lines.push(row.line);
                hours += row.hours;
                run += row.hours;
                longest = longest.max(run);
            }
        }
        if lines.is_empty() {
            continue;
        }
        let hours = usize::try_from(whole(hours)).unwrap_or(0);
        problems.push(Problem::new(
            Severity::Warning,
            code,
            lines.first(),
            format!(
                "{} {what}: missing in the rows ({lines}); longest gap {longest:.0} h; {cure}",
                counted(hours, "hour"),
            ),
        ));
    }
}

/// Sensors that do not move for a day. Relative humidity near saturation is judged with the temperature
/// (`unlikely`), for it may be fog.
fn standing_still(rows: &[Row], problems: &mut Vec<Problem>) {
    if let Some(still) = longest_still(rows, |row| row.dry_bulb_c) {
        tell_still(&still, "dry_bulb.stuck", "dry bulb", |t| format!("{t} °C"), problems);
    }
    let below_fog = |row: &Row| row.relative_humidity.filter(|rh| *rh < 0.97);
    if let Some(still) = longest_still(rows, below_fog) {
        let pct = |rh: f64| format!("{:.1} %", rh * 100.0);
        tell_still(&still, "humidity.stuck", "relative humidity", pct, problems);
    }
}

/// Runs of one value over a day or more.
struct Still {
    runs: usize,
    hours: f64,
    line: u32,
    value: f64,
}

fn longest_still(rows: &[Row], of: impl Fn(&Row) -> Option<f64>) -> Option<Still> {
    let mut longest: Option<Still> = None;
    for run in rows.chunk_by(|a, b| of(a).is_some() && of(a) == of(b)) {
        let hours: f64 = run.iter().map(|row| row.hours).sum();
        let Some(value) = of(&run[0]).filter(|_| hours >= STUCK_HOURS) else {
            continue;
        };
        let runs = longest.as_ref().map_or(0, |still| still.runs) + 1;
        match &mut longest {
            Some(still) if still.hours >= hours => still.runs = runs,
            _ => {
                longest = Some(Still { runs, hours, line: run[0].line, value });
            }
        }
    }
    longest
}

fn tell_still(
    still: &Still,
    code: &'static str,
    what: &str,
    shown: impl Fn(f64) -> String,
    problems: &mut Vec<Problem>,
) {
    problems.push(Problem::new(
        Severity::Warning,
        code,
        Some(still.line),
        format!(
            "the {what} stands still at {} for {:.0} h ({}): a stuck sensor or a copied value; it is used as it is, \
             blank the cells to have them mended",
            shown(still.value),
            still.hours,
            counted(still.runs, "such run")
        ),
    ));
}

/// Spikes: a jump away and back within two rows.
fn jumps(rows: &[Row], problems: &mut Vec<Problem>) {
    let mut lines = Lines::default();
    for triple in rows.windows(3) {
        let (Some(a), Some(b), Some(c)) = (triple[0].dry_bulb_c, triple[1].dry_bulb_c, triple[2].dry_bulb_c) else {
            continue;
        };
        if (b - a).abs() > JUMP_K && (b - c).abs() > JUMP_K && (b > a) == (b > c) {
            lines.push(triple[1].line);
        }
    }
    lines.warn("dry_bulb.jump", problems, || {
        Said::of(|q| {
            format!(
                "{} jumps by more than {} and back ({lines}): a spike of the sensor; it is used as it is, blank the \
                 cells to have them mended",
                counted(lines.len(), "dry bulb"),
                q.given(JUMP_K, "K"),
            )
        })
    });
}
