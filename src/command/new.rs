//! `dryledger new`: a commented study with invented weather, to begin from.

use super::Failure;
use super::answer::answer;
use super::output::{self, Together};
use crate::weather::invent::{self, NormalsError};
use std::path::{Path, PathBuf};

/// Write a commented study with demo weather that runs as it is
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger new my-season\n\
    Writes study.toml, tariff.toml and two years of invented weather. A folder that holds anything is\n\
    left alone.")]
pub(super) struct Args {
    /// Folder to write into; made if it is not there
    #[arg(value_name = "DIR")]
    folder: PathBuf,
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
    let folder = &args.folder;
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
