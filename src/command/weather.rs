//! `dryledger weather`: what weather files hold.

mod figures;
mod invented;
mod subject;
mod text;
mod typical;

use super::Failure;
use super::answer::{answer, say_beside};
use super::heat::check_altitude;
use super::output::{Together, check_targets};
use crate::page::weather_page;
use crate::study::column_map_of;
use crate::weather::typical::Typical;
use crate::weather::{
    ColumnMap, MendRules, Reading, Series, Severity, Summary, WeatherError, mend, read,
    read_known_or_with, summarise, to_csv,
};
use std::path::{Path, PathBuf};

/// What a weather file holds, what is wrong with it, what was mended; a clean copy.
#[derive(Debug, clap::Args)]
#[command(after_help = HELP)]
pub struct Args {
    /// Weather files of any known format
    #[arg(required_unless_present = "normals", value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Instead of files: twelve monthly normals, from which an hourly year is invented
    #[arg(long, value_name = "FILE", conflicts_with_all = ["files", "typical", "columns"])]
    normals: Option<PathBuf>,
    /// Calendar year of the invented hours
    #[arg(long, value_name = "YEAR", default_value_t = 2001, requires = "normals", conflicts_with = "files",
        value_parser = clap::value_parser!(i32).range(1..=9999))]
    year: i32,
    /// Seed of the invented hours: another seed, another year
    #[arg(
        long,
        value_name = "N",
        default_value_t = 1,
        requires = "normals",
        conflicts_with = "files"
    )]
    seed: u64,
    /// Let the invented months differ from the normals, as those of single years do
    #[arg(long, requires = "normals", conflicts_with = "files")]
    varying: bool,
    /// Read tables of no known format by the [weather.columns] of this study
    #[arg(long, value_name = "STUDY")]
    columns: Option<PathBuf>,
    /// Write a mended (or invented) copy in the tool's own CSV
    #[arg(long, value_name = "CSV")]
    write: Option<PathBuf>,
    /// Write a typical year put together from ten or more years (ISO 15927-4)
    #[arg(long, value_name = "CSV")]
    typical: Option<PathBuf>,
    /// Write a picture of the hours on one page
    #[arg(long, value_name = "HTML")]
    html: Option<PathBuf>,
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

const HELP: &str = "\
A usable file for any place:
  1. a typical-year EPW or TMY CSV of the nearest city, from an open climate-data service;
  2. or the place's hourly CSV by latitude and longitude from PVGIS, NASA POWER, Open-Meteo or NSRDB, as downloaded;
  3. or a weather service's or your own logger's CSV: the answer proposes the [weather.columns] that reads it;
  4. or, where there is nothing else, twelve monthly normals: dryledger weather --normals FILE --write year.csv.
  5. Look at it (dryledger weather FILE --html look.html), then in the study: [weather] files = [\"FILE\"]

Examples:
  dryledger weather site.epw --write clean.csv
  dryledger weather 20*.csv --typical typical.csv --html look.html

Several files are joined; where they overlap the one named first wins. A file that cannot be \
trusted at all is refused (exit 2). The format is recognised by what the file holds.

A table of normals:
  # latitude: -16.9
  # longitude: 145.6
  # altitude_m: 540
  # utc_offset: +10:00
  month,min_c,max_c,relative_humidity_pct
  1,19.6,29.0,74                      and so on to 12
Columns it may also have: morning_relative_humidity_pct and afternoon_relative_humidity_pct in \
place of the mean, global_horizontal_kwh_per_m2_day, wind_m_per_s.";

/// A weather error as a failure of a command.
pub(super) fn failure(error: WeatherError) -> Failure {
    match error {
        WeatherError::File { path, cause } => Failure::file(path, &cause),
        other => Failure::Input(other.to_string()),
    }
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    check_altitude(args.altitude)?;
    match &args.normals {
        Some(table) => invented::run(args, table),
        None => run_files(args),
    }
}

fn run_files(args: &Args) -> Result<(), Failure> {
    let targets = [&args.write, &args.typical, &args.html].into_iter().flatten().cloned();
    let targets: Vec<PathBuf> = targets.collect();
    let inputs: Vec<PathBuf> = args.files.iter().chain(&args.columns).cloned().collect();
    check_targets(&targets, &inputs)?;
    let map = args.columns.as_deref().map(column_map).transpose()?;
    let mut readings = Vec::with_capacity(args.files.len());
    for file in &args.files {
        let reading = match &map {
            Some(map) => read_known_or_with(file, map),
            None => read(file),
        };
        readings.push(reading.map_err(failure)?);
    }
    let rules = MendRules {
        max_gap_hours: args.max_gap_hours,
        fill_long_gaps: args.fill_long_gaps,
        altitude_m: args.altitude,
        ..MendRules::default()
    };
    let writes = args.write.is_some() || args.typical.is_some() || args.html.is_some();
    let series = match mend(&readings, &rules) {
        Ok(series) => Some(series),
        // One file without humidity still has something to tell.
        Err(_) if !writes && readings.len() == 1 => None,
        Err(error) => return Err(failure(error)),
    };
    let mut made = None;
    if let Some(series) = &series {
        made = write_files(args, &readings, series)?;
    }
    let summaries: Vec<Summary> =
        readings.iter().map(|reading| summarise(reading, args.altitude)).collect();
    if args.json {
        let mut json = figures::to_json(&readings, &summaries, series.as_ref());
        if let (Some(typical), Some(object)) = (&made, json.as_object_mut()) {
            object.insert("made_typical_year".into(), typical::to_json(typical));
        }
        return answer(&format!("{json}\n"));
    }
    let mut out = told(&readings, &summaries, series.as_ref());
    if let Some(typical) = &made {
        out.push_str(&typical::told(typical));
    }
    out.push_str(&written(args));
    answer(&out)
}

/// The column map of a study, or of any TOML file that has the block.
fn column_map(study: &Path) -> Result<ColumnMap, Failure> {
    let text = std::fs::read_to_string(study).map_err(|cause| Failure::file(study, &cause))?;
    column_map_of(&study.display().to_string(), &text)
        .map_err(|problems| Failure::of_study(&problems))
}

/// Writes what is asked for, whole or not at all, and says what typical year was made.
fn write_files(
    args: &Args,
    readings: &[Reading],
    series: &Series,
) -> Result<Option<Typical>, Failure> {
    let mut files = Together::default();
    if let Some(path) = &args.write {
        refuse_gaps(series)?;
        files.add(path, to_csv(series, &readings[0].station).as_bytes())?;
    }
    let mut made = None;
    if let Some(path) = &args.typical {
        let year = typical::make(series)?;
        let csv = typical::to_csv(&year, series, &readings[0].station);
        files.add(path, csv.as_bytes())?;
        made = Some(year);
    }
    if let Some(path) = &args.html {
        let subject = subject::of_files(readings, series);
        files.add(path, weather_page(&subject, &series.hours).as_bytes())?;
    }
    files.finish()?;
    Ok(made)
}

/// The files that were written, a line each.
fn written(args: &Args) -> String {
    [&args.write, &args.typical, &args.html]
        .into_iter()
        .flatten()
        .fold(String::new(), |lines, path| lines + &format!("written: {}\n", path.display()))
}

fn told(readings: &[Reading], summaries: &[Summary], series: Option<&Series>) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    for (reading, summary) in readings.iter().zip(summaries) {
        let _ = text::show(&mut out, reading, summary);
    }
    if let Some(series) = series {
        let _ = text::show_series(&mut out, series, readings.len());
    }
    out
}

/// A clean copy has no gaps.
fn refuse_gaps(series: &Series) -> Result<(), Failure> {
    if series.open_gaps.is_empty() {
        return Ok(());
    }
    let gaps: Vec<String> = series
        .open_gaps
        .iter()
        .take(6)
        .map(|gap| format!("{} h from {}", gap.hours, gap.starts.format("%Y-%m-%d %H:%M")))
        .collect();
    Err(Failure::Input(format!(
        "no clean copy written: gaps longer than may be filled: {}; raise --max-gap-hours or give \
         --fill-long-gaps",
        gaps.join(", ")
    )))
}

/// Problems on stderr, warnings and worse.
pub(super) fn show_problems(reading: &Reading, warnings_only: bool) {
    for problem in &reading.problems {
        if warnings_only && problem.severity == Severity::Note {
            continue;
        }
        let line = problem.line.map_or_else(String::new, |line| format!(":{line}"));
        say_beside(&format!(
            "{}: {}{line}: {} [{}]",
            problem.severity, reading.file, problem.message, problem.code
        ));
    }
}
