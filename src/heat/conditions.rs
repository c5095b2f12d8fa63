//! What an hour is like for a source.

use crate::air::{
    CP_DRY_AIR, CP_VAPOUR, enthalpy_kj_per_kg, saturation_pressure_pa, vapour_pressure_pa,
};

/// A state of air as a source sees it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirState {
    /// Dry bulb, °C.
    pub dry_bulb_c: f64,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
}

impl AirState {
    /// Enthalpy, kJ per kg of dry air.
    pub fn enthalpy(&self) -> f64 {
        enthalpy_kj_per_kg(self.dry_bulb_c, self.humidity_ratio)
    }

    /// Heat capacity, kJ/K per kg of dry air.
    pub fn heat_capacity(&self) -> f64 {
        CP_DRY_AIR + CP_VAPOUR * self.humidity_ratio
    }

    /// Relative humidity at this pressure, Pa; a fraction.
    pub fn relative_humidity(&self, pressure_pa: f64) -> f64 {
        vapour_pressure_pa(self.humidity_ratio, pressure_pa)
            / saturation_pressure_pa(self.dry_bulb_c)
    }
}

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
