//! The way of once-through air to the nuts of one bin: its fan, its heater, and what ducts, plenum, bin
//! walls and steel take on the way.
//!
//! The temperature that counts is the one at the nuts. All of the loss is taken to lie before them, though
//! the upper walls of a bin are cooler: it errs to the side of more heat. Steel is as warm as the air at the
//! nuts; while no air flows, it and the nuts stay as warm as they are. When a batch is dry its steel cools
//! by itself: the next one warms it anew.

use super::spec::RoomSpec;
use crate::air::{AirState, CP_DRY_AIR, CP_VAPOUR, MoistAir};
use crate::dryer::bin::Load;
use crate::dryer::bin_spec::BinSpec;
use crate::dryer::streams::{after_fan, outside_at};

/// The way in of one bin over one step, of which the batch may dry for a share alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct WayIn {
    /// Dry air, kg/s, mean over the step.
    pub flow: f64,
    /// Air behind the fan.
    pub fan: AirState,
    /// Temperature at the nuts without heat, °C.
    pub unheated_c: f64,
    outside_c: f64,
    /// Heat capacity of the air's flow, kW/K.
    air_kw_per_k: f64,
    /// Loss to the outside, kW/K.
    loss_kw_per_k: f64,
    /// What warming the steel takes in the step, kW/K.
    steel_kw_per_k: f64,
    steel_from_c: f64,
}

impl WayIn {
    /// To the nuts of this load; `steel_c` is what the bin's steel is at, if it is not as cold as outside. In
    /// a room whose air comes back, walls and steel are the room's.
    pub(super) fn of(
        room: &RoomSpec,
        bin: &BinSpec,
        load: &Load,
        steel_c: Option<f64>,
        outside: &MoistAir,
        hours: f64,
    ) -> Self {
        let air = outside_at(outside);
        let dries_for = load.course.share();
        let full_flow = load.airflow_m3_per_s / outside.specific_volume_m3_per_kg();
        let fan = after_fan(air, load.fan_heat_kw, full_flow);
        let flow = dries_for * full_flow;
        let air_kw_per_k = flow * (CP_DRY_AIR + CP_VAPOUR * air.humidity_ratio);
        let steel_from_c = steel_c.unwrap_or(air.dry_bulb_c);
        let (loss_kw_per_k, steel_kw_per_k) = if flow > 0.0 {
            let (loss_w_per_k, steel_kj_per_k) = room.of_bin(bin);
            (dries_for * loss_w_per_k / 1000.0, steel_kj_per_k / (hours * 3600.0))
        } else {
            (0.0, 0.0)
        };
        let all = air_kw_per_k + loss_kw_per_k + steel_kw_per_k;
        let unheated_c = if all > 0.0 {
            (air_kw_per_k * fan.dry_bulb_c + loss_kw_per_k * air.dry_bulb_c + steel_kw_per_k * steel_from_c) / all
        } else {
            fan.dry_bulb_c
        };
        Self {
            flow,
            fan,
            unheated_c,
            outside_c: air.dry_bulb_c,
            air_kw_per_k,
            loss_kw_per_k,
            steel_kw_per_k,
            steel_from_c,
        }
    }

    /// Heat that brings the air at the nuts to a temperature, kW.
    pub(super) fn need_kw(&self, set_c: f64) -> f64 {
        let per_k = self.air_kw_per_k + self.loss_kw_per_k + self.steel_kw_per_k;
        per_k * (set_c - self.unheated_c).max(0.0)
    }

    /// Temperature at the nuts with a share of that heat, °C.
    pub(super) fn at_nuts_c(&self, set_c: f64, share: f64) -> f64 {
        self.unheated_c + share * (set_c - self.unheated_c).max(0.0)
    }

    /// Temperature behind the heater that gives so much, °C.
    pub(super) fn behind_heater_c(&self, heat_kw: f64) -> f64 {
        if self.air_kw_per_k > 0.0 { self.fan.dry_bulb_c + heat_kw / self.air_kw_per_k } else { self.fan.dry_bulb_c }
    }

    /// Loss to the outside with air of this temperature at the nuts, kW.
    pub(super) fn loss_kw(&self, at_nuts_c: f64) -> f64 {
        self.loss_kw_per_k * (at_nuts_c - self.outside_c)
    }

    /// Heat that the steel takes up in the step, kW; less than zero where it gives some back.
    pub(super) fn steel_kw(&self, at_nuts_c: f64) -> f64 {
        self.steel_kw_per_k * (at_nuts_c - self.steel_from_c)
    }
}
