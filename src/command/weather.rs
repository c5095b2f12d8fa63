//! `dryledger weather`: what weather files hold.

use super::Failure;
use super::heat::{check_altitude, hours_json};
use crate::weather::{
    MendRules, MonthOfRows, Reading, Series, Severity, Station, Summary, WeatherError, mend, read,
    summarise, to_csv,
};
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};

/// What a weather file holds, what is wrong with it, what was mended; a clean copy.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger weather site.epw --write clean.csv\n\
    Several files are joined; where they overlap the one named first wins. A file that cannot be\n\
    trusted at all is refused (exit 2). The format is recognised by what the file holds.")]
pub struct Args {
    /// Weather files of any known format
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Write a mended copy in the tool's own CSV
    #[arg(long, value_name = "CSV")]
    write: Option<PathBuf>,
    /// Longest gap that is filled, h
    #[arg(long, value_name = "HOURS", default_value_t = 6)]
    max_gap_hours: usize,
    /// Fill longer gaps too, up to fifteen days
    #[arg(long)]
    fill_long_gaps: bool,
    /// Elevation, m, for files that lack it
    #[arg(long, value_name = "M", allow_hyphen_values = true)]
    altitude: Option<f64>,
    /// Print JSON alone
    #[arg(long)]
    json: bool,
}

/// A weather error as a failure of a command.
pub(super) fn failure(error: WeatherError) -> Failure {
    match error {
        WeatherError::File { path, cause } => Failure::file(path, &cause),
        other => Failure::Input(other.to_string()),
    }
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    check_altitude(args.altitude)?;
    let mut readings = Vec::with_capacity(args.files.len());
    for file in &args.files {
        readings.push(read(file).map_err(failure)?);
    }
    let rules = MendRules {
        max_gap_hours: args.max_gap_hours,
        fill_long_gaps: args.fill_long_gaps,
        altitude_m: args.altitude,
        ..MendRules::default()
    };
    let series = match mend(&readings, &rules) {
        Ok(series) => Some(series),
        // One file without humidity still has something to tell.
        Err(error) if args.write.is_none() && readings.len() == 1 => {
            tracing_note(args, &error);
            None
        }
        Err(error) => return Err(failure(error)),
    };
    if let (Some(path), Some(series)) = (&args.write, &series) {
        write_clean(path, series, &readings[0].station)?;
    }
    let summaries: Vec<Summary> = readings
        .iter()
        .map(|reading| summarise(reading, args.altitude))
        .collect();
    if args.json {
        println!("{}", to_json(&readings, &summaries, series.as_ref()));
    } else {
        for (reading, summary) in readings.iter().zip(&summaries) {
            show(reading, summary);
        }
        show_series(series.as_ref(), readings.len(), args.write.as_deref());
    }
    Ok(())
}

fn tracing_note(args: &Args, error: &WeatherError) {
    if !args.json {
        eprintln!("note: {error}");
    }
}

/// Writes the copy whole or not at all: to a temporary name beside it, then renamed.
fn write_clean(path: &Path, series: &Series, station: &Station) -> Result<(), Failure> {
    if !series.open_gaps.is_empty() {
        let gaps: Vec<String> = series
            .open_gaps
            .iter()
            .take(6)
            .map(|gap| {
                format!(
                    "{} h from {}",
                    gap.hours,
                    gap.starts.format("%Y-%m-%d %H:%M")
                )
            })
            .collect();
        return Err(Failure::Input(format!(
            "no clean copy written: gaps longer than may be filled: {}; raise --max-gap-hours or give \
             --fill-long-gaps",
            gaps.join(", ")
        )));
    }
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    let part = path.with_file_name(name);
    let written =
        std::fs::write(&part, to_csv(series, station)).and_then(|()| std::fs::rename(&part, path));
    written.map_err(|cause| {
        // The half-written part is of no use to anyone.
        let _ = std::fs::remove_file(&part);
        Failure::file(path, &cause)
    })
}

/// Problems on stderr, warnings and worse.
pub(super) fn show_problems(reading: &Reading, warnings_only: bool) {
    for problem in &reading.problems {
        if warnings_only && problem.severity == Severity::Note {
            continue;
        }
        let line = problem
            .line
            .map_or_else(String::new, |line| format!(":{line}"));
        eprintln!(
            "{}: {}{line}: {} [{}]",
            problem.severity, reading.file, problem.message, problem.code
        );
    }
}

fn to_json(readings: &[Reading], summaries: &[Summary], series: Option<&Series>) -> Value {
    let mut files: Vec<Map<String, Value>> = readings
        .iter()
        .zip(summaries)
        .map(|(reading, summary)| file_json(reading, summary))
        .collect();
    if files.len() == 1
        && let Some(mut file) = files.pop()
    {
        add_series(&mut file, series, "mend_problems");
        return Value::Object(file);
    }
    let mut object = Map::new();
    object.insert("files".into(), json!(files));
    if let Some(series) = series {
        let time = |hour: Option<&crate::weather::Hour>| hour.map(|hour| stamp(hour.starts));
        object.insert("first".into(), json!(time(series.hours.first())));
        object.insert("last".into(), json!(time(series.hours.last())));
        object.insert("hours".into(), json!(series.hours.len()));
        object.insert("years".into(), json!(series_years(series)));
    }
    add_series(&mut object, series, "problems");
    Value::Object(object)
}

fn stamp(time: chrono::NaiveDateTime) -> String {
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
        "columns": reading.column_map.as_ref().map(crate::weather::ColumnMap::to_toml),
        "problems": reading.problems.iter().map(problem_json).collect::<Vec<Value>>(),
    });
    match value {
        Value::Object(object) => object,
        _ => Map::new(),
    }
}

fn problem_json(problem: &crate::weather::Problem) -> Value {
    json!({
        "severity": problem.severity.to_string(),
        "code": problem.code,
        "line": problem.line,
        "message": problem.message,
    })
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
        series
            .open_gaps
            .iter()
            .map(|gap| json!({ "starts": stamp(gap.starts), "hours": gap.hours }))
            .collect(),
    );
    object.insert(
        key.into(),
        series.problems.iter().map(problem_json).collect(),
    );
}

fn series_years(series: &Series) -> Vec<Value> {
    use chrono::Datelike;
    series
        .hours
        .chunk_by(|a, b| a.starts.year() == b.starts.year())
        .map(|year| {
            let mean =
                year.iter().map(|hour| hour.air.dry_bulb_c()).sum::<f64>() / year.len() as f64;
            let heat: f64 = year
                .iter()
                .map(|hour| crate::air::heat_to(&hour.air, 50.0))
                .sum();
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

fn show(reading: &Reading, summary: &Summary) {
    let station = &reading.station;
    let place = |value: Option<f64>, unit: &str| {
        value.map_or_else(|| "unknown".to_owned(), |value| format!("{value}{unit}"))
    };
    println!("{} ({})", reading.file, reading.format.name());
    println!(
        "  station     {}; latitude {}, longitude {}, elevation {}",
        if station.name.is_empty() {
            "unnamed"
        } else {
            &station.name
        },
        place(station.latitude, "°"),
        place(station.longitude, "°"),
        place(station.elevation_m, " m")
    );
    println!(
        "  time        {} to {}{}, a row every {} min, {}",
        stamp(summary.first),
        stamp(summary.last),
        if reading.typical {
            " (typical year)"
        } else {
            ""
        },
        reading.step_minutes,
        reading.clock_offset_minutes.map_or_else(
            || "local standard time".to_owned(),
            |minutes| format!("UTC{:+}", f64::from(minutes) / 60.0)
        )
    );
    println!(
        "  hours       {:.0} of {} expected; missing: dry bulb {:.0}, humidity {:.0}, pressure {:.0}",
        summary.hours,
        reading.hours_expected,
        summary.missing_dry_bulb,
        summary.missing_humidity,
        summary.missing_pressure
    );
    let number = |value: Option<f64>, decimals: usize| {
        value.map_or_else(|| "none".to_owned(), |value| format!("{value:.decimals$}"))
    };
    let range = |range: Option<(f64, f64)>| {
        range.map_or_else(String::new, |(low, high)| {
            format!(" ({low:.1} to {high:.1})")
        })
    };
    let means = &summary.means;
    println!(
        "  mean        dry bulb {} °C{}, RH {} %{}, humidity ratio {} g/kg, pressure {} Pa",
        number(means.dry_bulb_c, 2),
        range(summary.dry_bulb_range_c),
        number(means.relative_humidity_pct, 1),
        range(summary.humidity_range_pct),
        number(means.humidity_ratio.map(|w| w * 1000.0), 2),
        number(means.pressure_pa, 0)
    );
    println!(
        "  above 70 %  {:.0} h relative humidity",
        summary.hours_above_70_pct
    );
    let heat: Vec<String> = summary
        .heat
        .iter()
        .map(|sum| format!("{:.0} kWh to {} °C", sum.heat_kwh_per_kg_per_s(), sum.to_c))
        .collect();
    println!(
        "  heat        {} (1 kg of dry air a second)",
        heat.join(", ")
    );
    show_parts("month", &summary.months);
    if summary.years.len() > 1 {
        show_parts("year", &summary.years);
    }
    if reading.problems.is_empty() {
        println!("  problems    none");
    } else {
        println!("  problems");
        for problem in &reading.problems {
            let line = problem
                .line
                .map_or_else(String::new, |line| format!(" (line {line})"));
            println!(
                "    {:<8} {:<24} {}{line}",
                problem.severity.to_string(),
                problem.code,
                problem.message
            );
        }
    }
    if let Some(map) = &reading.column_map {
        println!("  columns were guessed; to state them, paste into the study and correct:");
        for line in map.to_toml().lines() {
            println!("    {line}");
        }
    }
}

fn show_parts(what: &str, parts: &[MonthOfRows]) {
    println!("  {what:<11} hours  usable  mean °C  kWh to 50 °C");
    for part in parts {
        println!(
            "  {:<11} {:>5.0} {:>7.0} {:>8} {:>13.0}",
            part.number,
            part.hours,
            part.usable_hours,
            part.mean_dry_bulb_c()
                .map_or_else(|| "none".to_owned(), |mean| format!("{mean:.2}")),
            part.heat_to_50_kwh
        );
    }
}

fn show_series(series: Option<&Series>, files: usize, written: Option<&Path>) {
    let Some(series) = series else { return };
    let mends = series.mends;
    if files > 1 {
        println!("joined: {} hours", series.hours.len());
        for year in series_years(series) {
            println!(
                "  {} {} hours, {} mended",
                year["year"], year["hours"], year["mended_hours"]
            );
        }
    }
    println!(
        "mending fills {} h ({} interpolated, {} from days around, {} of a leap day, {} between rows) and \
         leaves {} gaps open",
        mends.filled_hours(),
        mends.interpolated_hours,
        mends.neighbour_day_hours,
        mends.leap_day_hours,
        mends.between_rows_hours,
        series.open_gaps.len()
    );
    for problem in &series.problems {
        println!(
            "  {:<8} {:<24} {}",
            problem.severity.to_string(),
            problem.code,
            problem.message
        );
    }
    if let Some(path) = written {
        println!("written: {}", path.display());
    }
}
