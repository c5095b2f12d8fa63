//! The colours of the carriers: one each, the same in every chart.

use super::view::View;
use crate::answer::figures::{ELECTRICITY, SourceFigures, is_fuel};
use crate::page::chart::Pen;
use crate::page::parts::Key;
use crate::palette;

/// Every carrier that any option pays for, each with its colour: electricity first.
pub(super) struct Carriers(Vec<(String, Pen)>);

impl Carriers {
    /// Those of all options.
    pub(super) fn of(view: &View<'_>) -> Self {
        let electricity = (ELECTRICITY.to_owned(), palette::ELECTRICITY.into());
        let fuels = view.figures.paid_fuels().into_iter().enumerate();
        let fuels = fuels.map(|(place, name)| (name.clone(), palette::of_fuel(Some(place)).into()));
        let electricity = view.figures.pays_for_electricity().then_some(electricity);
        Self(electricity.into_iter().chain(fuels).collect())
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
        known.unwrap_or_else(|| if is_fuel(carrier) { palette::of_fuel(None) } else { palette::ELECTRICITY }.into())
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
