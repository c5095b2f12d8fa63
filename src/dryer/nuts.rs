//! The laws of the nuts that a bed needs.

use crate::crop::{Crop, Isotherm, ThinLayer};
use crate::lanes::{Lanes, each};

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
    /// The laws of this crop's nuts.
    pub fn of(crop: &Crop) -> Self {
        let (dry_matter_kj_per_kg_k, held_water_kj_per_kg_k) = crop.specific_heats_kj_per_kg_k();
        Self {
            isotherm: *crop.isotherm(),
            thin_layer: *crop.thin_layer(),
            dry_matter_kj_per_kg_k,
            held_water_kj_per_kg_k,
        }
    }

    /// Heat capacity, kJ/K per kg of dry matter, at a dry-basis moisture: c_dry + c_w M. Per kg of moist nuts it is the
    /// same over 1 + M.
    #[inline(always)]
    pub fn heat_capacity(&self, moisture: f64) -> f64 {
        self.dry_matter_kj_per_kg_k + self.held_water_kj_per_kg_k * moisture
    }

    /// Sensible enthalpy, kJ per kg of dry matter, from 0 °C.
    #[inline(always)]
    pub fn enthalpy(&self, moisture: f64, temperature_c: f64) -> f64 {
        self.heat_capacity(moisture) * temperature_c
    }

    /// Moisture, dry basis, that the nuts reach in air of this temperature (°C) and relative humidity
    /// (a fraction).
    pub fn equilibrium_moisture(&self, temperature_c: f64, relative_humidity: f64) -> f64 {
        let [moisture] = self.equilibrium_moistures(&[temperature_c], &[relative_humidity]);
        moisture
    }

    /// The same of several, each by itself.
    #[inline(always)]
    pub(super) fn equilibrium_moistures<const N: usize>(&self, t_c: &Lanes<N>, humidity: &Lanes<N>) -> Lanes<N> {
        self.isotherm.equilibrium_moistures(&within_laws(t_c), humidity)
    }

    /// Water activity, a fraction, of nuts of this temperature (°C) and moisture (dry basis).
    pub fn water_activity(&self, temperature_c: f64, moisture: f64) -> f64 {
        let [activity] = self.water_activities(&[temperature_c], &[moisture]);
        activity
    }

    /// The same of several, each by itself.
    #[inline(always)]
    pub(super) fn water_activities<const N: usize>(&self, t_c: &Lanes<N>, moisture: &Lanes<N>) -> Lanes<N> {
        self.isotherm.equilibrium_relative_humidities(&within_laws(t_c), moisture)
    }

    /// Heat beyond the latent heat of free water that frees water from nuts of this temperature (°C)
    /// and moisture (dry basis), kJ per kg of water.
    pub fn binding_kj_per_kg(&self, temperature_c: f64, moisture: f64) -> f64 {
        self.isotherm.net_heat_of_desorption_kj_per_kg(within_laws(&[temperature_c])[0], moisture)
    }

    /// The same of several whose water activity is known, each by itself.
    #[inline(always)]
    pub(super) fn bindings_at_activity_kj_per_kg<const N: usize>(
        &self,
        t_c: &Lanes<N>,
        moisture: &Lanes<N>,
        activity: &Lanes<N>,
    ) -> Lanes<N> {
        self.isotherm.net_heats_at_activity_kj_per_kg(&within_laws(t_c), moisture, activity)
    }

    /// Moisture, dry basis, after `hours` in air of this temperature (°C) and equilibrium, by the
    /// thin-layer law.
    pub fn moisture_after(
        &self,
        moisture: f64,
        received_moisture: f64,
        equilibrium: f64,
        temperature_c: f64,
        hours: f64,
    ) -> f64 {
        let [after] =
            self.moistures_after(&[moisture], &[received_moisture], &[equilibrium], &[temperature_c], &[hours]);
        after
    }

    /// The same of several, each by itself.
    #[inline(always)]
    pub(super) fn moistures_after<const N: usize>(
        &self,
        moisture: &Lanes<N>,
        received_moisture: &Lanes<N>,
        equilibrium: &Lanes<N>,
        t_c: &Lanes<N>,
        hours: &Lanes<N>,
    ) -> Lanes<N> {
        self.thin_layer.moistures_after(moisture, received_moisture, equilibrium, &within_laws(t_c), hours)
    }
}

#[inline(always)]
fn within_laws<const N: usize>(t_c: &Lanes<N>) -> Lanes<N> {
    each!(i => t_c[i].clamp(LAWS_RANGE_C.0, LAWS_RANGE_C.1))
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
