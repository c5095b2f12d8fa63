//! Which options decide, and which carriers are paid for: what page and workbook show first, and in which colours.

use super::{ApplicationFigures, ELECTRICITY, Figures, is_fuel};
use crate::answer::spoiling;
use std::collections::BTreeSet;

/// Why an option is looked at before others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Deciding {
    Recommended,
    /// In the place of the recommended one, where nuts may spoil with it.
    NoPlanYet,
    NextBest,
    Baseline,
}

impl Deciding {
    /// In words.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Recommended => "recommended",
            Self::NoPlanYet => "least cost, no plan yet",
            Self::NextBest => "next best",
            Self::Baseline => "baseline",
        }
    }
}

impl Figures {
    /// Place of the option of this name.
    pub(crate) fn place_of(&self, name: &str) -> Option<usize> {
        self.options.iter().position(|option| option.name == name)
    }

    /// Place of the baseline.
    pub(crate) fn baseline_place(&self) -> usize {
        self.place_of(&self.study.baseline).unwrap_or(0)
    }

    /// Places of the recommended option, the next best and the baseline, each once, by the first that it is.
    pub(crate) fn deciding(&self) -> Vec<(Deciding, usize)> {
        let place = |name: &Option<String>| name.as_deref().and_then(|name| self.place_of(name));
        let best = place(&self.study.recommended);
        let spoils = |place: usize| !spoiling(&self.options[place]).is_empty();
        let first = if best.is_some_and(spoils) { Deciding::NoPlanYet } else { Deciding::Recommended };
        let mut all: Vec<(Deciding, usize)> = Vec::new();
        for (what, place) in [
            (first, best),
            (Deciding::NextBest, place(&self.study.runner_up)),
            (Deciding::Baseline, Some(self.baseline_place())),
        ] {
            all.extend(place.filter(|place| all.iter().all(|(_, known)| known != place)).map(|place| (what, place)));
        }
        all
    }

    /// The figures of every proposal, that which is named first before the others.
    pub(crate) fn applications(&self) -> impl Iterator<Item = &ApplicationFigures> {
        self.application.iter().chain(&self.more_applications)
    }

    /// Names of the carriers that any option has a bill of.
    fn paid(&self) -> BTreeSet<&String> {
        let bills = self.options.iter().flat_map(|option| &option.carriers);
        bills.filter(|(_, carrier)| carrier.cost != 0.0).map(|(name, _)| name).collect()
    }

    /// True if any option has a bill of electricity.
    pub(crate) fn pays_for_electricity(&self) -> bool {
        self.paid().iter().any(|name| name.as_str() == ELECTRICITY)
    }

    /// Names of the fuels that any option has a bill of, in their order.
    pub(crate) fn paid_fuels(&self) -> Vec<&String> {
        self.paid().into_iter().filter(|name| is_fuel(name)).collect()
    }
}
