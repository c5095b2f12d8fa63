//! `dryledger weather`: what weather files hold.

mod args;
mod figures;
mod invented;
mod subject;
mod text;
mod typical;

use super::Failure;
use super::answer::answer;
use super::output::{Together, prepare, read_file};
use super::weather_shared::check_altitude;
use crate::page::weather_page;
use crate::problem::Problem;
use crate::study::column_map_of;
use crate::weather::typical::Typical;
use crate::weather::{
    ColumnMap, MendRules, Reading, Series, Summary, mend, read, read_known_or_with, summarise, to_csv,
};
pub(super) use args::Args;
use std::path::{Path, PathBuf};
use text::{told, written};

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    check_altitude(args.altitude)?;
    match &args.normals {
        Some(table) => invented::run(args, table),
        None => run_files(args),
    }
}

fn run_files(args: &Args) -> Result<(), Failure> {
    let targets = args.targets();
    let inputs: Vec<PathBuf> = args.files.iter().chain(&args.columns).cloned().collect();
    prepare(&targets, &inputs, args.force.over())?;
    let map = args.columns.as_deref().map(column_map).transpose()?;
    let mut readings = Vec::with_capacity(args.files.len());
    for file in &args.files {
        let reading = match &map {
            Some(map) => read_known_or_with(file, map),
            None => read(file),
        };
        readings.push(reading?);
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
        Err(error) => return Err(error.into()),
    };
    let mut made = None;
    if let Some(series) = &series {
        made = write_files(args, &readings, series)?;
    }
    let summaries: Vec<Summary> = readings.iter().map(|reading| summarise(reading, args.altitude)).collect();
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
    let text = String::from_utf8(read_file(study)?)
        .map_err(|_| Problem::said("not UTF-8 text").placed(&study.display().to_string(), None))?;
    Ok(column_map_of(&study.display().to_string(), &text)?)
}

/// Writes what is asked for, whole or not at all, and says what typical year was made.
fn write_files(args: &Args, readings: &[Reading], series: &Series) -> Result<Option<Typical>, Failure> {
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
    Err(Failure::asked(
        format!("no clean copy written: gaps longer than may be filled: {}", gaps.join(", ")),
        "raise --max-gap-hours or give --fill-long-gaps",
    ))
}
