//! `--set PATH=VALUE`: values that stand in for the study's own in one run.

use super::Failure;
use crate::problem::Problems;
use crate::study::Change;

/// What may be set, for commands that read a study.
#[derive(Debug, clap::Args)]
pub(super) struct Setting {
    /// A value of the study for this run alone, by the path that the report lists it under:
    /// "crop.received_moisture=26", "room.drying room.air=recirculating", "carrier.electricity.price_factor=1.3".
    /// May be given several times. VALUE is read as in the study; what is no number, list or true/false is a word
    #[arg(long = "set", value_name = "PATH=VALUE")]
    set: Vec<String>,
}

impl Setting {
    /// The changes, in the order in which they were asked for.
    pub(super) fn changes(&self) -> Result<Vec<Change>, Failure> {
        let (mut changes, mut problems) = (Vec::new(), Vec::new());
        for words in &self.set {
            match Change::asked("--set", words) {
                Ok(change) => changes.push(change),
                Err(found) => problems.extend(found.into_vec()),
            }
        }
        if problems.is_empty() { Ok(changes) } else { Err(Problems::new(problems).into()) }
    }

    /// True if something is set.
    pub(super) fn is_used(&self) -> bool {
        !self.set.is_empty()
    }
}
