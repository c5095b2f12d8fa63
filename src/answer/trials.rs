//! Options that a study does not have, read as if they stood behind it: to see where to look, and what a package is made of.

use super::build::{Joined, Tried, WayAsked};
use crate::study::Study;
use crate::study::input::Input;
use crate::trial::{StandingMeasure, joining, packages, standing_measures};

/// Reads a study with an option more behind its text, its last, or says why it cannot have it.
pub(crate) type ReadWith<'a> = &'a dyn Fn(&str) -> Result<Study, String>;

/// The standing list of measures for the option at this place, each with the study that has it as its last option.
/// `heat_peak_kw` is the most heat that the option's plant needs in an hour, kW.
pub(super) fn tried(
    (study, inputs): (&Study, &[Input]),
    on: usize,
    heat_peak_kw: f64,
    read: ReadWith<'_>,
) -> Vec<Tried> {
    let inputs = study.changed_by(on).map_or(inputs, |changed| &changed.inputs);
    let list = standing_measures(study, on, inputs, heat_peak_kw);
    let tried = |measure: StandingMeasure| Tried { study: read(&measure.trial()), measure };
    list.into_iter().map(tried).collect()
}

/// What the packages of a study are made of, with the studies that have their measures joined in part.
pub(super) fn package_parts(study: &Study, read: ReadWith<'_>) -> Vec<WayAsked> {
    let asked = packages(study).into_iter().map(|parts| {
        let sets = parts.unknown_sets().into_iter();
        let joined = sets.map(|measures| {
            let study = read(&joining(study, &measures));
            Joined { measures, study }
        });
        WayAsked { joined: joined.collect(), parts }
    });
    asked.collect()
}
