//! Sizing: the least heat, bins, air and extraction that bring the season's intake in, found by running
//! the season.

mod airflow;
mod joint;
mod lever;
mod search;
mod trial;

pub use airflow::{AirflowCurve, AirflowPoint, LeastAt, airflow_curve};
pub use joint::{Joint, JointNumber};
pub use lever::Lever;
pub use search::{Answer, BinsPoint, Sizing, size};
pub use trial::{Limit, Trial};

use super::plant::{Heating, Plant};

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
    fn without_idle_store(&self) -> Self {
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

#[cfg(test)]
mod tests;
