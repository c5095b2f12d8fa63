//! The colours of the carriers: one each, the same in every chart.

use super::view::View;
use crate::answer::figures::ELECTRICITY;
use crate::answer::figures::{OptionFigures, SourceFigures, is_fuel};
use crate::page::chart::Pen;
use crate::page::parts::Key;
use std::collections::BTreeSet;

/// Every carrier that any option pays for, each with its colour: electricity first.
pub(super) struct Carriers(Vec<(String, Pen)>);

/// Colours of the carriers, electricity's first; a fifth carrier shares the last.
const COLOURS: [Pen; 4] = [Pen::Fill1, Pen::Fill4, Pen::Fill2, Pen::Fill7];

impl Carriers {
    /// Those of all options.
    pub(super) fn of(view: &View<'_>) -> Self {
        let costly = |option: &OptionFigures| -> Vec<String> {
            let used = option.carriers.iter().filter(|(_, carrier)| carrier.cost != 0.0);
            used.map(|(name, _)| name.clone()).collect()
        };
        let names: BTreeSet<String> = view.figures.options.iter().flat_map(costly).collect();
        let (fuels, electric): (Vec<_>, Vec<_>) = names.into_iter().partition(|name| is_fuel(name));
        let pens = (0..).map(|place: usize| COLOURS[place.min(COLOURS.len() - 1)]);
        // Electricity keeps its colour where no option has a bill of it.
        let skipped = usize::from(electric.is_empty());
        Self(electric.into_iter().chain(fuels).zip(pens.skip(skipped)).collect())
    }

    /// Their names, in the order of their colours.
    pub(super) fn names(&self) -> impl Iterator<Item = &String> {
        self.0.iter().map(|(name, _)| name)
    }

    /// Their colours.
    pub(super) fn pens(&self) -> Vec<Pen> {
        self.0.iter().map(|(_, pen)| *pen).collect()
    }

    /// What the colours stand for.
    pub(super) fn keys(&self) -> Vec<Key> {
        self.0.iter().map(|(name, pen)| Key::fill(*pen, name.clone())).collect()
    }

    /// The colour of a carrier; that of the last for one that costs nothing.
    pub(super) fn pen(&self, carrier: &str) -> Pen {
        let known = self.0.iter().find(|(name, _)| name == carrier).map(|(_, pen)| *pen);
        known.unwrap_or(if is_fuel(carrier) { COLOURS[COLOURS.len() - 1] } else { COLOURS[0] })
    }

    /// The same colour where shapes cross and words lie upon them.
    pub(super) fn pale(&self, carrier: &str) -> Pen {
        self.pen(carrier).pale()
    }

    /// The colour of a source: that of what it burns, else of electricity.
    pub(super) fn pen_of_source(&self, source: &SourceFigures) -> Pen {
        self.pen(source.fuel.as_deref().unwrap_or(ELECTRICITY))
    }
}
