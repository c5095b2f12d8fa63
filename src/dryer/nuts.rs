//! The laws of the nuts that a bed needs.

use crate::crop::{Isotherm, ThinLayer};

/// What a bed has to know of its nuts: how they hold water, how fast they give it up, and what it
/// takes to warm them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nuts {
    /// Equilibrium with the air.
    pub isotherm: Isotherm,
    /// Drying rate of a single layer.
    pub thin_layer: ThinLayer,
    /// Specific heat of dry matter, kJ/(kg K).
    pub dry_matter_kj_per_kg_k: f64,
    /// Specific heat of the water held, kJ/(kg K).
    pub held_water_kj_per_kg_k: f64,
}

impl Nuts {
    /// Heat capacity, kJ/K per kg of dry matter, at a dry-basis moisture.
    pub fn heat_capacity(&self, moisture: f64) -> f64 {
        self.dry_matter_kj_per_kg_k + self.held_water_kj_per_kg_k * moisture
    }

    /// Sensible enthalpy, kJ per kg of dry matter, from 0 °C.
    pub fn enthalpy(&self, moisture: f64, temperature_c: f64) -> f64 {
        self.heat_capacity(moisture) * temperature_c
    }
}
