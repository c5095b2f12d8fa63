//! What an hour is like for a source.

use crate::air::AirState;

/// What an hour is like for a source.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Conditions {
    /// Outside air.
    pub outside: AirState,
    /// Outside relative humidity, fraction.
    pub outside_relative_humidity: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature that the air which the source heats must reach, °C.
    pub supply_c: f64,
    /// The air that heat goes into: the room's, or the heated air before the bins.
    pub air: AirState,
    /// The air that leaves the plant.
    pub exhaust: AirState,
    /// Place of the room that is served, from 0.
    pub room: usize,
    /// True where `air` is a room's own, which comes back.
    pub recirculates: bool,
    /// Fresh air, kg of dry air per second.
    pub fresh_kg_per_s: f64,
    /// Fresh air's temperature as it comes to this source, °C: the outside's, or warmer by what stands
    /// before it.
    pub intake_c: f64,
    /// Sun on the source's own plane, W/m².
    pub sun_w_per_m2: f64,
    /// Heat that the cool store's condensers reject outdoors, kW.
    pub condenser_heat_kw: f64,
    /// What a kWh of electricity costs; `None` where nobody goes by it.
    pub electricity_price: Option<f64>,
}

impl Conditions {
    /// Heat capacity flow of the fresh air, kW/K.
    pub fn fresh_capacity_kw_per_k(&self) -> f64 {
        self.fresh_kg_per_s * self.outside.heat_capacity()
    }
}
