//! Options that a study does not have, read as if they stood behind it: to see where to look, and what a package is made of.

use super::folder::Opened;
use crate::answer::{Joined, Tried, WayAsked};
use crate::study::Study;
use crate::study::document::Reading;
use crate::trial::{StandingMeasure, joining, packages, standing_measures};

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

/// The standing list of measures for the option at this place, each with the study that has it as its last option.
/// `heat_peak_kw` is the most heat that the option's plant needs in an hour, kW.
pub(super) fn tried(opened: &Opened, on: usize, heat_peak_kw: f64) -> Vec<Tried> {
    let Reading { value: study, inputs, .. } = &opened.reading;
    let inputs = study.changed_by(on).map_or(inputs, |changed| &changed.inputs);
    let list = standing_measures(study, on, inputs, heat_peak_kw);
    let read = |measure: StandingMeasure| Tried { study: opened.with_option(&measure.trial()), measure };
    list.into_iter().map(read).collect()
}

/// What the packages of a study are made of, with the studies that have their measures joined in part.
pub(super) fn ways(opened: &Opened) -> Vec<WayAsked> {
    let study = &opened.reading.value;
    let asked = packages(study).into_iter().map(|parts| {
        let sets = parts.unknown_sets().into_iter();
        let joined = sets.map(|measures| {
            let study = opened.with_option(&joining(study, &measures));
            Joined { measures, study }
        });
        WayAsked { joined: joined.collect(), parts }
    });
    asked.collect()
}
