//! What of an option's capital is to be spent, and what of it a grant may pay a share of.

use crate::money::GrantBase;
use crate::study::{SourceCost, Study};

/// True of what the baseline does not have.
pub(super) fn is_new(study: &Study, base: usize, item: &SourceCost) -> bool {
    !study.costs[base].items.contains(item)
}

/// True of what stands already: it is of an installed baseline.
pub(super) fn is_installed(study: &Study, base: usize, item: &SourceCost) -> bool {
    study.application.baseline_installed && study.costs[base].items.contains(item)
}

/// Capital to be spent on an option.
fn capital(study: &Study, base: usize, place: usize) -> f64 {
    let items = study.costs[place].items.iter();
    items.filter(|item| !is_installed(study, base, item)).map(|item| item.capital).sum()
}

/// What of an option's capital a grant may pay a share of.
pub(super) fn eligible(study: &Study, base: usize, place: usize) -> f64 {
    match study.application.grant.on {
        GrantBase::Capital => {
            let items = study.costs[place].items.iter();
            let new: f64 = items.filter(|item| is_new(study, base, item)).map(|item| item.capital).sum();
            // What less of a plant spares is no cost that a grant shares.
            new.max(0.0)
        }
        GrantBase::ExtraCost => (capital(study, base, place) - capital(study, base, base)).max(0.0),
    }
}
