//! `dryledger log`: an operator's drying logs, and the crop's constants that they imply.

mod answer;
mod block;
mod fitted;
mod keys;
mod page;
mod settled;
mod unlikely;
mod words;
mod written;

use super::Failure;
use super::answer::answer;
use super::output::{self, Target};
use super::weather_shared::check_altitude;
use crate::crop::{self, Crop};
use crate::dryer::Nuts;
use crate::dryer::log::{DryingLog, FitError, IsothermPart, fit};
use crate::export::Wrote;
use crate::page::log_page;
use crate::problem::{Problem, Problems};
use crate::weather::{MendRules, mend, read};
use fitted::Fitted;
use keys::{Facts, Key};
use settled::{Heated, settle};
use std::path::PathBuf;
use written::Written;

/// Fit a crop's drying constants to the operator's drying logs
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger log batch.csv --crop macadamia --html fit.html

A log is CSV, one batch a file, in order of time; drying begins with its first moisture:

    # crop = macadamia
    # airflow_m3_per_s_per_tonne = 0.10
    time,moisture_pct,air_c,relative_humidity_pct
    2031-04-02 06:00,22.4,38.2,24
    2031-04-02 12:00,20.9,38.0,25

  time                    hours (12.5), or date and clock in local standard time
  moisture_pct            mean of the batch, % wet basis, in shell; may be empty in a row of air alone
                          (of kernels: refused, since shell and kernel are apart while nuts dry)
  air_c                   °C, of the air where it enters the nuts; or --air-c for all
  relative_humidity_pct   %, of the same air; or --rh for all
  note                    not read

Lines '# key = value' at the head say what options say, log by log: crop, altitude_m, air_c,
relative_humidity_pct, and of a bed airflow_m3_per_s_per_tonne, tonnes, floor_area_m2, layers,
nuts_c. An option stands in for the key in every log. Without an airflow the nuts are a thin layer.

Several logs are fitted together. From temperatures 5 K or more apart the activation energy is
fitted too; otherwise it is the library's. The answer ends with a [crop] block for a study.")]
pub(super) struct Args {
    /// Drying logs of one crop, a batch each
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// The crop, from `dryledger crops`
    #[arg(long, value_name = "NAME")]
    crop: Option<String>,
    /// Temperature of the drying air, °C, where the log has no column of it
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    air_c: Option<f64>,
    /// Relative humidity of the drying air, %, where the log has no column of it
    #[arg(long, value_name = "PCT", allow_hyphen_values = true)]
    rh: Option<f64>,
    /// Weather file: the drying air is the outside air of each hour, heated to --to
    #[arg(long, value_name = "FILE", requires = "to", conflicts_with_all = ["air_c", "rh"])]
    weather: Option<PathBuf>,
    /// Temperature that outside air was heated to, °C
    #[arg(long, value_name = "C", requires = "weather", allow_hyphen_values = true)]
    to: Option<f64>,
    /// Altitude, m; sea level if not given
    #[arg(long, value_name = "M", allow_hyphen_values = true)]
    altitude: Option<f64>,
    /// Bed: drying air, m³/s per tonne of nuts as loaded
    #[arg(long, value_name = "M3_PER_S_PER_T", allow_hyphen_values = true)]
    airflow: Option<f64>,
    /// Bed: nuts as loaded, t
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    tonnes: Option<f64>,
    /// Bed: floor area, m²
    #[arg(long, value_name = "M2", allow_hyphen_values = true)]
    floor_area: Option<f64>,
    /// Bed: layers in which it is computed; 12 if not given, as in a study
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true)]
    layers: Option<f64>,
    /// Bed: temperature of the nuts when drying began, °C; 20 if not given
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    nuts_c: Option<f64>,
    /// Seek how much water the nuts hold too: a factor on the isotherm
    #[arg(long)]
    fit_isotherm: bool,
    /// Print JSON alone
    #[arg(long)]
    pub(super) json: bool,
    /// Write the fit and its residuals as a page
    #[arg(long, value_name = "HTML")]
    html: Option<PathBuf>,
    #[command(flatten)]
    force: output::Force,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    check_altitude(args.altitude)?;
    let options = options(args)?;
    let targets: Vec<Target> = args.html.iter().map(|page| Target::marked(page, Wrote::Page)).collect();
    let inputs: Vec<PathBuf> = args.files.iter().chain(&args.weather).cloned().collect();
    output::prepare(&targets, &inputs, args.force.over())?;
    let written = read_all(args)?;
    let crop = crop_of(&written, &options)?;
    let heated = heated(args)?;
    let mut logs = Vec::new();
    let mut problems = Vec::new();
    for log in &written {
        match settle(log, &options, &crop, heated.as_ref()) {
            Ok(settled) => logs.push(settled),
            Err(told) => problems.extend(told.into_vec()),
        }
    }
    refuse(problems)?;
    let isotherm = if args.fit_isotherm { IsothermPart::Sought } else { IsothermPart::Given };
    let beds: Vec<DryingLog> = logs.iter().map(|settled| settled.log.clone()).collect();
    let fit = fit(&Nuts::of(&crop), &beds, isotherm).map_err(|error| no_fit(&written, error))?;
    let fitted = Fitted { crop, logs, fit };
    if let Some(path) = &args.html {
        let mut files = output::Together::default();
        files.add(path, log_page(&page::of_fit(&fitted)).as_bytes())?;
        files.finish()?;
    }
    let text = if args.json { format!("{}\n", answer::json(&fitted)) } else { answer::text(&fitted) };
    answer(&text)
}

fn no_fit(written: &[Written], error: FitError) -> Failure {
    let names: Vec<&str> = written.iter().map(|log| log.name.as_str()).collect();
    Failure::Fit { logs: names.join(", "), error }
}

/// Ends here if there are problems, all told in the order of the logs.
fn refuse(problems: Vec<Problem>) -> Result<(), Failure> {
    if problems.is_empty() { Ok(()) } else { Err(Problems::new(problems).into()) }
}

/// The options as facts that stand over those of the logs.
fn options(args: &Args) -> Result<Facts, Failure> {
    let mut facts = Facts::default();
    facts.crop.clone_from(&args.crop);
    for (key, value) in [
        (Key::AirC, args.air_c),
        (Key::RelativeHumidity, args.rh),
        (Key::Altitude, args.altitude),
        (Key::Airflow, args.airflow),
        (Key::Tonnes, args.tonnes),
        (Key::FloorArea, args.floor_area),
        (Key::Layers, args.layers),
        (Key::NutsC, args.nuts_c),
    ] {
        if let Some(value) = value {
            facts.set(key, key.option(), value)?;
        }
    }
    Ok(facts)
}

fn read_all(args: &Args) -> Result<Vec<Written>, Failure> {
    let mut logs = Vec::new();
    let mut problems = Vec::new();
    let mut seen = Vec::new();
    for path in &args.files {
        // A log told twice would halve the doubt that its samples leave.
        let whole = path.canonicalize().unwrap_or_else(|_| path.clone());
        if seen.contains(&whole) {
            let twice = Problem::said("this log is given twice, as if it were two batches");
            problems.push(twice.cure("name it once").placed(&path.display().to_string(), None));
            continue;
        }
        seen.push(whole);
        let bytes = output::read_file(path)?;
        match written::read(&path.display().to_string(), &bytes) {
            Ok(log) => logs.push(log),
            Err(told) => problems.extend(told.into_vec()),
        }
    }
    refuse(problems)?;
    Ok(logs)
}

/// The one crop of all logs.
fn crop_of(written: &[Written], options: &Facts) -> Result<Crop, Failure> {
    let mut crop: Option<(String, &str)> = None;
    for log in written {
        let Some(named) = log.facts.under(options).crop else {
            let cure = "give --crop NAME, or a line '# crop = NAME' at its head; `dryledger crops` lists the names";
            return Err(Problem::said("of what crop?").cure(cure).placed(&log.name, None).into());
        };
        match &crop {
            Some((before, of)) if *before != named => {
                let what = format!("this is a log of {named}, and {of} one of {before}");
                let cure = "constants are those of one crop, fit each by itself";
                return Err(Problem::said(what).cure(cure).placed(&log.name, None).into());
            }
            _ => crop = Some((named, &log.name)),
        }
    }
    let name = crop.map(|(name, _)| name).unwrap_or_default();
    Ok(crop::find(&name)?.clone())
}

fn heated(args: &Args) -> Result<Option<Heated>, Failure> {
    let Some((path, to_c)) = args.weather.as_ref().zip(args.to) else {
        return Ok(None);
    };
    if !(0.0..=100.0).contains(&to_c) {
        return Err(Failure::asked(
            format!("--to is {to_c}, where 0..100 °C is expected"),
            "give the set temperature of the drying air",
        ));
    }
    let rules = MendRules { altitude_m: args.altitude, ..MendRules::default() };
    let reading = read(path)?;
    Ok(Some(Heated { outside: mend(&[reading], &rules)?, name: path.display().to_string(), to_c }))
}
