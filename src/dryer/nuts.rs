//! The laws of the nuts that a bed needs.

use crate::crop::{Isotherm, ThinLayer};

/// Temperatures within which the laws of the nuts were measured, °C. Colder or hotter nuts obey the
/// laws as they stand at its ends: some isotherms have no meaning much below freezing.
pub const LAWS_RANGE_C: (f64, f64) = (0.0, 100.0);

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

    /// Moisture, dry basis, that the nuts reach in air of this temperature (°C) and relative humidity
    /// (a fraction).
    #[inline]
    pub fn equilibrium_moisture(&self, temperature_c: f64, relative_humidity: f64) -> f64 {
        self.isotherm.equilibrium_moisture(within_laws(temperature_c), relative_humidity)
    }

    /// Water activity, a fraction, of nuts of this temperature (°C) and moisture (dry basis).
    pub fn water_activity(&self, temperature_c: f64, moisture: f64) -> f64 {
        self.isotherm.equilibrium_relative_humidity(within_laws(temperature_c), moisture)
    }

    /// Heat beyond the latent heat of free water that frees water from nuts of this temperature (°C)
    /// and moisture (dry basis), kJ per kg of water.
    #[inline]
    pub fn binding_kj_per_kg(&self, temperature_c: f64, moisture: f64) -> f64 {
        self.isotherm.net_heat_of_desorption_kj_per_kg(within_laws(temperature_c), moisture)
    }

    /// The same where their water activity is known.
    #[inline]
    pub(super) fn binding_at_activity_kj_per_kg(&self, temperature_c: f64, moisture: f64, activity: f64) -> f64 {
        self.isotherm.net_heat_at_activity_kj_per_kg(within_laws(temperature_c), moisture, activity)
    }

    /// Moisture, dry basis, after `hours` in air of this temperature (°C) and equilibrium, by the
    /// thin-layer law.
    #[inline]
    pub fn moisture_after(
        &self,
        moisture: f64,
        received_moisture: f64,
        equilibrium: f64,
        temperature_c: f64,
        hours: f64,
    ) -> f64 {
        self.thin_layer.moisture_after(moisture, received_moisture, equilibrium, within_laws(temperature_c), hours)
    }
}

fn within_laws(temperature_c: f64) -> f64 {
    temperature_c.clamp(LAWS_RANGE_C.0, LAWS_RANGE_C.1)
}

#[cfg(test)]
impl Nuts {
    /// Nuts for tests: invented coefficients of the size that in-shell nuts have.
    pub(crate) const INVENTED: Self = Self {
        isotherm: Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
        thin_layer: ThinLayer::Newton { rate_per_h: 0.02, reference_c: 40.0, activation_kj_per_mol: 30.0 },
        dry_matter_kj_per_kg_k: 1.52,
        held_water_kj_per_kg_k: 4.186,
    };
}
