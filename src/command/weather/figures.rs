//! What `dryledger weather --json` prints.

use crate::air::heat_to;
use crate::command::weather_shared::hours_json;
use crate::problem;
use crate::weather::{ColumnMap, Hour, MonthOfRows, Problem, Reading, Series, Summary};
use chrono::{Datelike, NaiveDateTime};
use serde_json::{Map, Value, json};

/// One file's object, or for several files theirs and that of the joined series.
pub(super) fn to_json(readings: &[Reading], summaries: &[Summary], series: Option<&Series>) -> Value {
    let mut files: Vec<Map<String, Value>> =
        readings.iter().zip(summaries).map(|(reading, summary)| file_json(reading, summary)).collect();
    if files.len() == 1
        && let Some(mut file) = files.pop()
    {
        add_series(&mut file, series, "mend_problems");
        return Value::Object(file);
    }
    let mut object = Map::new();
    object.insert("files".into(), json!(files));
    if let Some(series) = series {
        let time = |hour: Option<&Hour>| hour.map(|hour| stamp(hour.starts));
        object.insert("first".into(), json!(time(series.hours.first())));
        object.insert("last".into(), json!(time(series.hours.last())));
        object.insert("hours".into(), json!(series.hours.len()));
        object.insert("years".into(), json!(series_years(series)));
    }
    add_series(&mut object, series, "problems");
    Value::Object(object)
}

/// A time as the tool writes it.
pub(super) fn stamp(time: NaiveDateTime) -> String {
    time.format("%Y-%m-%dT%H:%M").to_string()
}

fn file_json(reading: &Reading, summary: &Summary) -> Map<String, Value> {
    let station = &reading.station;
    let hours_of = |minutes: Option<i32>| minutes.map(|minutes| f64::from(minutes) / 60.0);
    let value = json!({
        "file": reading.file,
        "format": reading.format.name(),
        "station": station.name,
        "latitude": station.latitude,
        "longitude": station.longitude,
        "elevation_m": station.elevation_m,
        "utc_offset_h": hours_of(reading.clock_offset_minutes),
        "local_utc_offset_h": hours_of(station.utc_offset_minutes),
        "typical_year": reading.typical,
        "invented": reading.invented,
        "step_minutes": reading.step_minutes,
        "first": stamp(summary.first),
        "last": stamp(summary.last),
        "hours": hours_json(summary.hours),
        "hours_expected": reading.hours_expected,
        "hours_absent": reading.hours_absent,
        "missing": {
            "dry_bulb": hours_json(summary.missing_dry_bulb),
            "humidity": hours_json(summary.missing_humidity),
            "pressure": hours_json(summary.missing_pressure),
        },
        "mended_hours": 0,
        "mean": {
            "dry_bulb_c": summary.means.dry_bulb_c,
            "relative_humidity_pct": summary.means.relative_humidity_pct,
            "humidity_ratio": summary.means.humidity_ratio,
            "pressure_pa": summary.means.pressure_pa,
        },
        "range": {
            "dry_bulb_c": summary.dry_bulb_range_c.map(|(low, high)| [low, high]),
            "relative_humidity_pct": summary.humidity_range_pct.map(|(low, high)| [low, high]),
        },
        "hours_above_70_pct": hours_json(summary.hours_above_70_pct),
        "heat": summary.heat.iter().map(|sum| json!({
            "to_c": sum.to_c,
            "heat_kwh_per_kg_per_s": sum.heat_kwh_per_kg_per_s(),
        })).collect::<Vec<Value>>(),
        "months": summary.months.iter().map(|month| part_json("month", month)).collect::<Vec<Value>>(),
        "years": summary.years.iter().map(|year| part_json("year", year)).collect::<Vec<Value>>(),
        "columns": reading.column_map.as_ref().map(ColumnMap::to_toml),
        "problems": reading.problems.iter().map(|problem| problem_json(&reading.file, problem)).collect::<Vec<Value>>(),
    });
    match value {
        Value::Object(object) => object,
        _ => Map::new(),
    }
}

/// In the shape of all problems.
fn problem_json(file: &str, problem: &Problem) -> Value {
    let line = problem.line.and_then(|line| usize::try_from(line).ok());
    let told = problem::Problem::said(&*problem.message).code(problem.code);
    json!(told.of_severity(problem.severity).placed(file, line))
}

fn part_json(what: &str, part: &MonthOfRows) -> Value {
    json!({
        what: part.number,
        "hours": hours_json(part.hours),
        "usable_hours": hours_json(part.usable_hours),
        "mean_dry_bulb_c": part.mean_dry_bulb_c(),
        "heat_to_50_kwh_per_kg_per_s": part.heat_to_50_kwh,
    })
}

/// What was mended, and what mending found.
fn add_series(object: &mut Map<String, Value>, series: Option<&Series>, key: &str) {
    let Some(series) = series else { return };
    let mends = series.mends;
    object.insert("mended_hours".into(), json!(mends.filled_hours()));
    object.insert(
        "mends".into(),
        json!({
            "interpolated_hours": mends.interpolated_hours,
            "neighbour_day_hours": mends.neighbour_day_hours,
            "leap_day_hours": mends.leap_day_hours,
            "between_rows_hours": mends.between_rows_hours,
            "standard_pressure_hours": mends.standard_pressure_hours,
        }),
    );
    object.insert(
        "open_gaps".into(),
        series.open_gaps.iter().map(|gap| json!({ "starts": stamp(gap.starts), "hours": gap.hours })).collect(),
    );
    object.insert(key.into(), series.problems.iter().map(|problem| problem_json("", problem)).collect());
}

/// One object for each calendar year of a series.
pub(super) fn series_years(series: &Series) -> Vec<Value> {
    series
        .hours
        .chunk_by(|a, b| a.starts.year() == b.starts.year())
        .map(|year| {
            let mean = year.iter().map(|hour| hour.air.dry_bulb_c()).sum::<f64>() / year.len() as f64;
            let heat: f64 = year.iter().map(|hour| heat_to(&hour.air, 50.0)).sum();
            json!({
                "year": year[0].starts.year(),
                "hours": year.len(),
                "mended_hours": year.iter().filter(|hour| hour.mended).count(),
                "mean_dry_bulb_c": mean,
                "heat_to_50_kwh_per_kg_per_s": heat,
            })
        })
        .collect()
}
