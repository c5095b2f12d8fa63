//! `dryledger new`: a study to begin from, with invented weather or with a person's own.

mod kit;

use super::answer::answer;
use super::output::{self, Together, read_file};
use super::{Failure, folder};
use crate::problem::Problem;
use crate::weather;
use crate::weather::invent::{self, NormalsError};
use kit::{Air, kit, with_cure};
use std::path::{Path, PathBuf};

/// Write a study to begin from: a commented one with demo weather, or one of your crop and your weather
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples: dryledger new my-season\n\
    \x20         dryledger new my-season --crop walnut --weather station.csv --air once-through\n\
    The first writes study.toml with every key, tariff.toml and two years of invented weather. The second writes\n\
    the keys in use alone, with the site from the weather file's header, and marks every value that stands in\n\
    for yours with REPLACE. A folder that holds anything is left alone; a run that failed leaves nothing.")]
pub(super) struct Args {
    /// Folder to write into; made if it is not there
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// Crop of the library (`dryledger crops`)
    #[arg(long, value_name = "NAME", requires = "weather")]
    crop: Option<String>,
    /// Weather of the site, hourly: one file or several; copied beside the study
    #[arg(long, value_name = "FILE", requires = "crop", num_args = 1..)]
    weather: Vec<PathBuf>,
    /// Where the air goes
    #[arg(long, value_enum, requires = "crop", default_value = "once-through")]
    air: Air,
}

/// What is written as it is.
const FILES: [(&str, &str); 3] = [
    ("study.toml", include_str!("../../templates/study/study.toml")),
    ("tariff.toml", include_str!("../../templates/study/tariff.toml")),
    (NORMALS, include_str!("../../weather/upland_normals.csv")),
];
const NORMALS: &str = "weather/upland_normals.csv";

/// Years of weather drawn from the normals, each with its own number as the seed.
const YEARS: [i32; 2] = [2031, 2032];

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    match &args.crop {
        Some(crop) => of_own(args, crop),
        None => of_demo(&args.folder),
    }
}

/// A study of a person's own crop and weather.
fn of_own(args: &Args, crop: &str) -> Result<(), Failure> {
    let (mut readings, mut copies) = (Vec::new(), Vec::<(String, Vec<u8>)>::new());
    for path in &args.weather {
        let bytes = read_file(path)?;
        let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let copy = format!("weather/{name}");
        if copies.iter().any(|(known, _)| *known == copy) {
            let twice = Problem::said(format!("two weather files are called {name}"));
            return Err(twice.cure("give each a name of its own").into());
        }
        let shown = path.display().to_string();
        let reading = weather::read_bytes(&shown, &bytes).map_err(with_cure)?;
        folder::refuse_untrusted(&shown, &reading)?;
        readings.push(reading);
        copies.push((copy, bytes));
    }
    let names: Vec<String> = copies.iter().map(|(name, _)| name.clone()).collect();
    let made = kit(crop, args.air, &readings, &names)?;
    let folder = &args.folder;
    let study = folder.join("study.toml");
    let targets: Vec<PathBuf> = names.iter().map(|name| folder.join(name)).chain([study.clone()]).collect();
    output::recover(&targets);
    refuse_if_used(folder)?;
    output::check_folder(&folder.join("weather"))?;
    let mut together = Together::default();
    together.add(&study, made.study.as_bytes())?;
    for (name, bytes) in &copies {
        together.add(&folder.join(name), bytes)?;
    }
    together.finish()?;
    answer(&format!(
        "{study}: a study of {crop} with your weather. It runs as it is:\n\
         \x20 dryledger check {study}\n\
         \x20 dryledger report {study}\n\
         Its {} values marked REPLACE are invented, of the crop library or assumed: put your own in their place.\n",
        made.marked,
        study = study.display()
    ))
}

/// A commented study of an invented plant with invented weather.
fn of_demo(folder: &Path) -> Result<(), Failure> {
    output::recover(&targets(folder));
    refuse_if_used(folder)?;
    let weather = drawn_weather().map_err(|error| Failure::Normals { file: NORMALS.to_owned(), error })?;
    output::check_folder(&folder.join("weather"))?;
    let mut together = Together::default();
    for (name, text) in FILES {
        together.add(&folder.join(name), text.as_bytes())?;
    }
    for (name, text) in &weather {
        together.add(&folder.join(name), text.as_bytes())?;
    }
    together.finish()?;
    let study = folder.join("study.toml");
    answer(&format!(
        "{study}: a study of an invented plant, with its tariff and two years of invented weather.\n\
         It runs as it is:\n\
         \x20 dryledger check {study}\n\
         \x20 dryledger report {study}\n\
         Then put your own plant, prices and weather in its place; the file says what each key means.\n",
        study = study.display()
    ))
}

/// All that is written.
fn targets(folder: &Path) -> Vec<PathBuf> {
    let years = YEARS.map(weather_name);
    FILES.iter().map(|(name, _)| folder.join(name)).chain(years.map(|name| folder.join(name))).collect()
}

fn weather_name(year: i32) -> String {
    format!("weather/upland_{year}.csv")
}

/// Nothing that is there is written over.
fn refuse_if_used(folder: &Path) -> Result<(), Failure> {
    let used = match holds_a_file(folder) {
        Ok(used) => used,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => false,
        Err(error) => return Err(Failure::file(folder, &error)),
    };
    if used {
        return Err(Failure::File {
            path: folder.to_owned(),
            cause: "holds files already, and none is written over; name a new or empty folder".to_owned(),
        });
    }
    Ok(())
}

/// True if anything but folders, such as a first try left, is in a folder.
fn holds_a_file(folder: &Path) -> std::io::Result<bool> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        if !entry.file_type()?.is_dir() || holds_a_file(&entry.path())? {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Years of hours around the bundled normals, which say themselves that they are invented.
fn drawn_weather() -> Result<Vec<(String, String)>, NormalsError> {
    let table = invent::parse(FILES[2].1)?;
    YEARS
        .into_iter()
        .map(|year| {
            let seed = u64::from(year.unsigned_abs());
            let hours = invent::hourly_varying(&table, year, seed)?;
            let text = invent::write_csv(&table, &hours, "upland_normals.csv", seed);
            Ok((weather_name(year), text))
        })
        .collect()
}
