//! `dryledger weather`: what weather files hold.

mod figures;
mod text;

use super::Failure;
use super::answer::answer;
use super::heat::check_altitude;
use crate::weather::{
    MendRules, Reading, Series, Severity, Station, Summary, WeatherError, mend, read, summarise,
    to_csv,
};
use std::fmt::Write as _;
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
        Err(_) if args.write.is_none() && readings.len() == 1 => None,
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
        let json = figures::to_json(&readings, &summaries, series.as_ref());
        return answer(&format!("{json}\n"));
    }
    answer(&told(args, &readings, &summaries, series.as_ref()))
}

fn told(
    args: &Args,
    readings: &[Reading],
    summaries: &[Summary],
    series: Option<&Series>,
) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    for (reading, summary) in readings.iter().zip(summaries) {
        let _ = text::show(&mut out, reading, summary);
    }
    if let Some(series) = series {
        let _ = text::show_series(&mut out, series, readings.len());
    }
    if let Some(path) = &args.write {
        let _ = writeln!(out, "written: {}", path.display());
    }
    out
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
