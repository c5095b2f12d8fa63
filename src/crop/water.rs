//! Arithmetic of nuts and water, and the latent heat of free water.
//!
//! Dry basis means kg of water per kg of dry matter; wet basis kg of water per kg of moist nuts. Dry
//! matter stays what it is while nuts dry, so every sum is made on it.

/// Dry-basis fraction of a wet-basis fraction (0 ≤ wet < 1): M = w/(1 - w).
pub fn dry_basis(wet_basis: f64) -> f64 {
    wet_basis / (1.0 - wet_basis)
}

/// Wet-basis fraction of a dry-basis fraction (0 or more): w = M/(1 + M).
pub fn wet_basis(dry_basis: f64) -> f64 {
    dry_basis / (1.0 + dry_basis)
}

/// Dry-basis fraction of moisture as people write it, % wet basis.
pub fn dry_basis_of_percent(percent_wet_basis: f64) -> f64 {
    dry_basis(percent_wet_basis / 100.0)
}

/// Moisture as people read it, % wet basis, of a dry-basis fraction.
pub fn percent_of_dry_basis(dry_basis: f64) -> f64 {
    wet_basis(dry_basis) * 100.0
}

/// Dry matter, kg, in this mass of nuts at this dry-basis moisture.
pub fn dry_matter_kg(mass_kg: f64, moisture_db: f64) -> f64 {
    mass_kg / (1.0 + moisture_db)
}

/// Mass, kg, that nuts have after drying from one dry-basis moisture to another.
pub fn mass_after_drying_kg(received_kg: f64, received_db: f64, dried_db: f64) -> f64 {
    dry_matter_kg(received_kg, received_db) * (1.0 + dried_db)
}

/// Water, kg, that leaves one tonne of nuts *as received*, between dry-basis moistures:
/// 1000 (M₁ - M₂)/(1 + M₁), which is 1000 (w₁ - w₂)/(1 - w₂) in wet-basis terms.
pub fn water_per_received_tonne_kg(received_db: f64, dried_db: f64) -> f64 {
    1000.0 * (received_db - dried_db) / (1.0 + received_db)
}

/// Water, kg, that left for each tonne of *dried* nuts, between dry-basis moistures:
/// 1000 (M₁ - M₂)/(1 + M₂), which is 1000 (w₁ - w₂)/(1 - w₁) in wet-basis terms.
pub fn water_per_dried_tonne_kg(received_db: f64, dried_db: f64) -> f64 {
    1000.0 * (received_db - dried_db) / (1.0 + dried_db)
}

/// Latent heat of evaporation of free water, kJ/kg, at 10..70 °C: 2501.6 - 2.399 T, a straight line
/// fitted to the IAPWS-95 formulation as computed by `CoolProp`; largest miss 0.63 kJ/kg.
///
/// The enthalpy of moist air implies a latent heat of its own: vapour (2501 + 1.86 T) less liquid
/// (4.186 T), which is 2501 - 2.326 T. The two differ by 0.1 kJ/kg at 10 °C and 4.5 kJ/kg (0.2 %) at
/// 70 °C, because real vapour and liquid have no constant specific heat. A balance that must close
/// on air enthalpies takes the air's; the heat of desorption of the isotherm is added to either.
pub fn latent_heat_of_free_water_kj_per_kg(temperature_c: f64) -> f64 {
    2501.6 - 2.399 * temperature_c
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_two_bases_invert_each_other() {
        for w in [0.0, 0.015, 0.1, 0.3, 0.6] {
            assert_relative_eq!(wet_basis(dry_basis(w)), w, epsilon = 1e-15);
        }
        assert_relative_eq!(dry_basis_of_percent(20.0), 0.25, max_relative = 1e-15);
        assert_relative_eq!(percent_of_dry_basis(0.25), 20.0, max_relative = 1e-15);
    }

    #[test]
    fn what_leaves_and_what_stays_make_the_whole() {
        let (m1, m2) = (dry_basis(0.22), dry_basis(0.10));
        let left = mass_after_drying_kg(1000.0, m1, m2);
        let water = water_per_received_tonne_kg(m1, m2);
        assert_relative_eq!(left + water, 1000.0, max_relative = 1e-14);
        assert_relative_eq!(water_per_dried_tonne_kg(m1, m2), water / left * 1000.0, max_relative = 1e-14);
    }

    #[test]
    fn the_latent_heat_stays_near_the_one_in_air_enthalpy() {
        use crate::air::{CP_LIQUID_WATER, CP_VAPOUR, LATENT_AT_ZERO};
        for t in [10.0, 40.0, 70.0] {
            let in_air = LATENT_AT_ZERO + (CP_VAPOUR - CP_LIQUID_WATER) * t;
            assert!((latent_heat_of_free_water_kj_per_kg(t) - in_air).abs() < 4.6);
        }
    }
}
