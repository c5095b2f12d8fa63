//! A room in the course of a season.

use super::search::Search;
use super::spec::{RoomSpec, Setback, Stage};
use crate::airflow::Standing;
use crate::dryer::bin::{Bin, Phase};

/// A room in the course of a season.
#[derive(Clone, Debug)]
pub struct Room {
    /// As built and set.
    pub spec: RoomSpec,
    /// Its bins.
    pub bins: Vec<Bin>,
    /// Room temperature at the end of the last step, °C; `None` while idle.
    pub(super) last_c: Option<f64>,
    /// The batches that the fans were last set for, by bin.
    pub(super) fans_set_for: Vec<Option<usize>>,
    pub(super) setback: Setback,
    /// True if fans were set back in the step before.
    pub(super) fans_were_slow: bool,
    /// Whether fans known by their curve were on it when they were set, by bin.
    pub(super) standings: Vec<Option<Standing>>,
    pub(super) search: Search,
}

impl Room {
    /// An empty room.
    pub fn new(spec: RoomSpec) -> Self {
        Self {
            bins: spec.bins.iter().map(|&bin| Bin::new(bin)).collect(),
            spec,
            last_c: None,
            fans_set_for: Vec::new(),
            setback: Setback::NONE,
            fans_were_slow: false,
            standings: Vec::new(),
            search: Search::default(),
        }
    }

    /// The hottest set temperature of the batches that dry, °C; `None` while none does in heated air.
    pub fn hottest_set_c(&self) -> Option<f64> {
        self.bins
            .iter()
            .filter_map(|bin| bin.load_in(Phase::Drying))
            .map(|load| self.spec.temperature_for_bed(&load.bed))
            .filter(|&set_c| set_c > Stage::UNHEATED_C)
            .reduce(f64::max)
            .map(|set_c| set_c.min(self.setback.temperature_c))
    }
}
