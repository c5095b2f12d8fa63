//! How a batch stands on its way to the end of drying, and when that is.

use crate::air::AirState;

/// When drying ends.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Finish {
    /// Mean moisture, dry basis.
    pub moisture: f64,
    /// The wettest nuts may be this much above it, dry basis.
    pub spread: f64,
    /// Hours of cooling with outside air that follow.
    pub cooling_hours: f64,
    /// True if drying ends when cooling will take the rest: both moistures are then those after it, reckoned
    /// with the outside air as it is.
    pub foresees_cooling: bool,
}

/// How a batch stands on its way to the end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Course {
    /// Share of the step after which it stops drying, in the step in which it does.
    pub(super) ends_at_share: Option<f64>,
    /// The air before the bed in the last step of drying, and its flow, kg of dry air per second.
    pub(super) met: Option<(AirState, f64)>,
    /// Hours of the last step in which air passed.
    pub(super) aired_hours: f64,
    /// Mean moisture lost in an hour of the last step in which air passed, dry basis.
    pub(super) falls_per_hour: f64,
    /// The end is looked for again from this hour of drying on.
    pub(super) look_from_hours: f64,
    /// Hours of drying after which the mean was as dry as it has to be, where the wettest nuts were not.
    pub mean_done_hours: Option<f64>,
    /// Hours into the last step at which drying ended, where it did in that step.
    pub ended_in_step: Option<f64>,
}

impl Course {
    /// Share of the step in which it dries.
    pub(super) fn share(&self) -> f64 {
        self.ends_at_share.unwrap_or(1.0)
    }

    /// Takes over what was found of the way ahead when the step was gone through before.
    pub(super) fn keep_in_mind(&mut self, found: &Self) {
        self.look_from_hours = found.look_from_hours;
        self.mean_done_hours = found.mean_done_hours;
    }
}
