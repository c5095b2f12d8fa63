//! What is sized, and the limit that its nuts keep.

use crate::season::plant::{Heating, Plant};

/// What a plant must keep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// No nuts wait for a bin longer than this, h; and all are dried in the end.
    pub waiting_hours: f64,
}

/// A plant and one way of heating it.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// The plant.
    pub plant: Plant,
    /// The way of heating it.
    pub heating: Heating,
}

impl Site {
    /// Heat capacity of all sources, kW.
    pub fn heat_kw(&self) -> f64 {
        self.heating.sources.iter().map(|source| source.capacity_kw).sum()
    }

    /// The site without a store that gives the rooms nothing: whether nuts wait is the same without it.
    pub(super) fn without_idle_store(&self) -> Self {
        let mut bare = self.clone();
        if !bare.heating.uses_store_heat() {
            bare.plant.store = None;
        }
        bare
    }

    /// The site with part loads dried within the waiting limit: where nuts may wait less long than
    /// the study lets them wait for a full bin, a part load is dried when the limit is reached, however
    /// small.
    pub fn within(mut self, limit: Limit) -> Self {
        for stay in self.plant.crops.iter_mut().map(|crop| &mut crop.stay) {
            stay.fill_within_hours = stay.fill_within_hours.min(limit.waiting_hours);
            stay.load_within_hours = stay.load_within_hours.min(limit.waiting_hours);
        }
        self
    }
}
