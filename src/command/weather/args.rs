//! What `dryledger weather` may be asked.

use crate::command::output::{Force, Target};
use crate::export::Wrote;
use std::path::PathBuf;

/// What a weather file holds, what is wrong with it, what was mended; a clean copy.
#[derive(Debug, clap::Args)]
#[command(after_help = HELP)]
pub(crate) struct Args {
    /// Weather files of any known format
    #[arg(required_unless_present = "normals", value_name = "FILE")]
    pub(in crate::command) files: Vec<PathBuf>,
    /// Instead of files: twelve monthly normals, from which an hourly year is invented
    #[arg(long, value_name = "FILE", conflicts_with_all = ["files", "typical", "columns"])]
    pub(in crate::command) normals: Option<PathBuf>,
    /// Calendar year of the invented hours
    #[arg(long, value_name = "YEAR", default_value_t = 2001, requires = "normals", conflicts_with = "files",
        value_parser = clap::value_parser!(i32).range(1..=9999))]
    pub(in crate::command) year: i32,
    /// Seed of the invented hours: another seed, another year
    #[arg(long, value_name = "N", default_value_t = 1, requires = "normals", conflicts_with = "files")]
    pub(in crate::command) seed: u64,
    /// Let the invented months differ from the normals, as those of single years do
    #[arg(long, requires = "normals", conflicts_with = "files")]
    pub(in crate::command) varying: bool,
    /// Read tables of no known format by the [weather.columns] of this study
    #[arg(long, value_name = "STUDY")]
    pub(in crate::command) columns: Option<PathBuf>,
    /// Write a mended (or invented) copy in the tool's own CSV
    #[arg(long, value_name = "CSV")]
    pub(in crate::command) write: Option<PathBuf>,
    /// Write a typical year put together from ten or more years (ISO 15927-4)
    #[arg(long, value_name = "CSV")]
    pub(in crate::command) typical: Option<PathBuf>,
    /// Write a picture of the hours on one page
    #[arg(long, value_name = "HTML")]
    pub(in crate::command) html: Option<PathBuf>,
    #[command(flatten)]
    pub(in crate::command) force: Force,
    /// Longest gap that is filled, h
    #[arg(long, value_name = "HOURS", default_value_t = 6)]
    pub(in crate::command) max_gap_hours: usize,
    /// Fill longer gaps too, up to fifteen days
    #[arg(long)]
    pub(in crate::command) fill_long_gaps: bool,
    /// Elevation, m, for files that lack it
    #[arg(long, value_name = "M", allow_hyphen_values = true)]
    pub(in crate::command) altitude: Option<f64>,
    /// Print JSON alone
    #[arg(long)]
    pub(in crate::command) json: bool,
}

impl Args {
    /// All that is to be written.
    pub(in crate::command) fn targets(&self) -> Vec<Target> {
        let asked = [(&self.write, Wrote::Weather), (&self.typical, Wrote::Weather), (&self.html, Wrote::Page)];
        asked.into_iter().filter_map(|(path, mark)| Some(Target::marked(path.as_ref()?, mark))).collect()
    }
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
