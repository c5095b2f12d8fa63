//! What `dryledger report` may be asked.

use super::files::Besides;
use crate::command::output;
use crate::command::setting::Setting;
use crate::study::{Study, may_sample, samples_expected};
use std::path::PathBuf;

/// Simulate the season for every option and write the report
#[derive(Debug, clap::Args)]
#[command(after_help = "Example: dryledger report reports/demo/study.toml\n\
    Writes report.html, report.xlsx, figures.json, monthly.csv and batches.csv beside the study (or into --out).\n\
    --set asks \"what if?\": dryledger report study.toml --set crop.received_moisture=26 --set \"room.drying room.air=once-through\"\n\
    computes the study with those values, prints the answer and writes nothing, unless --out names a folder.\n\
    --hourly adds what an assessor recomputes a season from: hourly.csv, a row for each option, weather\n\
    year and hour of the site; hourly_rooms.csv, a row for each room in it; hourly_columns.csv, what\n\
    each column says and how it adds.\n\n\
    Doubt: values that move the answer (the drying rate, air, losses, efficiencies) stand in doubt about\n\
    the study's own, and [uncertainty] in the study names more, such as prices, or what is known:\n\
    \"carrier.lpg.price\" = { normal = { mean = 1.35, sd = 0.2 } }\n\
    \"crop.drying_rate\" = \"known\"\n\
    Every option is computed at up to 64 draws (samples = N there, or --samples N), fewer where the answer\n\
    is steady before, and at each input's P10 and P90; the report tells odds, ranges and what moves the\n\
    answer. --samples 0 leaves that out: quick while a study is being written.")]
pub(in crate::command) struct Args {
    /// The study file
    pub(super) study: PathBuf,
    #[command(flatten)]
    pub(super) setting: Setting,
    /// Folder for the report; the study's own if not given, or, with --set, none
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    #[command(flatten)]
    pub(super) force: output::Force,
    #[command(flatten)]
    pub(super) besides: Besides,
    /// Draws of the study's uncertain inputs, at most; 0 leaves them out. The study's own number if not given
    #[arg(long, value_name = "N", value_parser = samples)]
    pub(super) samples: Option<u32>,
    #[command(flatten)]
    pub(super) trying: Trying,
    /// Exit with 1 if a guard fired in any option, or the weather is in doubt
    #[arg(long)]
    pub(super) strict: bool,
    /// Print the figures as JSON alone
    #[arg(long)]
    pub(in crate::command) json: bool,
    /// Stay, and make the report anew whenever the study or a file that it names changes; Ctrl-C ends it
    #[arg(long, conflicts_with = "json")]
    pub(super) watch: bool,
}

/// Whether the standing list of measures is tried.
#[derive(Debug, clap::Args)]
pub(super) struct Trying {
    /// Leave the standing list of measures untried, as `screening = false` in the study's [study] does
    #[arg(long)]
    no_screening: bool,
}

impl Trying {
    /// True if the study wants it, and the run does not leave it out.
    pub(super) fn is_wanted(&self, study: &Study) -> bool {
        study.is_screened && !self.no_screening
    }
}

/// A number of draws that says something.
fn samples(text: &str) -> Result<u32, String> {
    let samples = text.parse().ok().filter(|samples| may_sample(*samples));
    samples.ok_or_else(|| format!("expected {}", samples_expected()))
}
