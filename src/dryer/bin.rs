//! A bin and the batch in it.

use super::bed::Bed;
use super::bin_fan::NutBed;
use super::bin_spec::BinSpec;
use super::course::{Course, Finish};
use super::nuts::Nuts;
use crate::crop::{Mould, MouldLaw};
use std::sync::Arc;

/// What happens to a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Heated air until the target moisture.
    Drying,
    /// Outside air until the nuts are cool.
    Cooling,
}

/// A batch in its bin.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Number of the batch in the season, from 0.
    pub batch: usize,
    /// Place of its crop among the plant's, from 0.
    pub crop: usize,
    /// The laws of its nuts.
    pub nuts: Arc<Nuts>,
    /// How its nuts stand in the way of the air, where they are not those that the room's fans are given
    /// for.
    pub in_the_way: Option<NutBed>,
    /// The nuts.
    pub bed: Bed,
    /// Where the batch stands.
    pub phase: Phase,
    /// When its drying ends.
    pub finish: Finish,
    /// How it stands on its way there.
    pub course: Course,
    /// Hour of the season at which it began to dry in this bin.
    pub drying_from_hour: f64,
    /// Received mass, kg.
    pub received_kg: f64,
    /// Hours in this phase.
    pub hours_in_phase: f64,
    /// Dry air through the bed, kg/s per m³/s of the fan's design flow is applied elsewhere: this is
    /// the fan's volume flow, m³/s.
    pub airflow_m3_per_s: f64,
    /// Fan power of the bin, kW.
    pub fan_kw: f64,
    /// Part of the fan power that warms the air, kW.
    pub fan_heat_kw: f64,
    /// What the fan did since the batch was loaded.
    pub fan_run: FanRun,
    /// What has grown on its wettest nuts since they arrived.
    pub mould: Mould,
    /// Hours in which a limit of its nuts was broken.
    pub broken: BrokenHours,
}

/// Hours in which limits of a batch's nuts were broken since it was loaded.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BrokenHours {
    /// In air hotter than the crop allows at the moisture that the nuts have where it meets them.
    pub hot_air: f64,
    /// With mould to be seen under the microscope.
    pub mould_seen: f64,
}

impl Load {
    /// Lets mould live for some hours on the wettest nuts as they are now.
    pub fn let_mould_live(&mut self, law: &MouldLaw, hours: f64) {
        let wettest = self.bed.wettest();
        let activity = self.nuts.water_activity(wettest.temperature_c, wettest.moisture);
        law.live(&mut self.mould, wettest.temperature_c, activity, hours);
    }
}

/// What a bin's fan did for one batch.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FanRun {
    /// Hours in the bin, until the batch was cool.
    pub hours: f64,
    /// Hours in which the fan ran.
    pub running_hours: f64,
    /// Hours in which damp air stopped it.
    pub damp_hours: f64,
    /// Air moved, m³.
    pub air_m3: f64,
    /// Electricity taken, kWh.
    pub fan_kwh: f64,
}

impl FanRun {
    /// Mean air, m³/s; none before the fan ran.
    pub fn mean_m3_per_s(&self) -> f64 {
        if self.hours > 0.0 { self.air_m3 / (self.hours * 3600.0) } else { 0.0 }
    }
}

/// A bin, empty or loaded.
#[derive(Clone, Debug, PartialEq)]
pub struct Bin {
    /// As built.
    pub spec: BinSpec,
    /// The batch in it.
    pub load: Option<Load>,
    /// Temperature of its steel where air passes once, °C; `None` where it is as cold as outside.
    pub(super) steel_c: Option<f64>,
}

impl Bin {
    /// An empty bin.
    pub fn new(spec: BinSpec) -> Self {
        Self { spec, load: None, steel_c: None }
    }

    /// The load, if it is in this phase.
    pub fn load_in(&self, phase: Phase) -> Option<&Load> {
        self.load.as_ref().filter(|load| load.phase == phase)
    }

    /// The load for change, if it is in this phase.
    pub fn load_in_mut(&mut self, phase: Phase) -> Option<&mut Load> {
        self.load.as_mut().filter(|load| load.phase == phase)
    }
}
