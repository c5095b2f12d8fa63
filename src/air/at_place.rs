//! Air on its way through a plant: what the hour loop passes on from place to place.

use super::constants::{CP_DRY_AIR, CP_VAPOUR};
use super::saturation::{saturation_pressure_pa, vapour_pressure_pa};
use super::state::enthalpy_kj_per_kg;

/// Temperature and humidity of air at one place within a plant, unchecked; its pressure is the plant's.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct AirState {
    /// Dry bulb, °C.
    pub dry_bulb_c: f64,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
}

impl AirState {
    /// Enthalpy, kJ per kg of dry air.
    #[inline(always)]
    pub fn enthalpy(&self) -> f64 {
        enthalpy_kj_per_kg(self.dry_bulb_c, self.humidity_ratio)
    }

    /// Heat capacity, kJ/K per kg of dry air.
    pub fn heat_capacity(&self) -> f64 {
        CP_DRY_AIR + CP_VAPOUR * self.humidity_ratio
    }

    /// Relative humidity at this pressure, Pa; a fraction.
    pub fn relative_humidity(&self, pressure_pa: f64) -> f64 {
        vapour_pressure_pa(self.humidity_ratio, pressure_pa) / saturation_pressure_pa(self.dry_bulb_c)
    }
}
