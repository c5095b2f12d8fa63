//! Pressure drop of air through a bed of nuts.

/// A law of pressure drop through a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BedResistance {
    /// Ergun's equation for packed spheres: viscous and inertial drop from size and porosity.
    Ergun {
        /// Diameter of the sphere that stands for one nut, m.
        diameter_m: f64,
        /// Share of the bed's volume that is air between the nuts, a fraction.
        porosity: f64,
        /// What shape, fines and trash multiply the drop of clean spheres by (1 = clean spheres;
        /// 1.3..2 for nuts, from memory, not verified).
        shape_factor: f64,
    },
    /// The form of Hukill and Ives with fitted coefficients: Δp/L = a Q²/ln(1 + b Q).
    HukillIves {
        /// a, Pa s²/m³.
        a: f64,
        /// b, m² s/m³.
        b: f64,
        /// What the bed's state multiplies the table's drop by: 0.8 for wet nuts (equilibrium relative
        /// humidity above 85 %), up to 1.5 for a bed packed by its filling (ASAE D272.3, chart note).
        factor: f64,
    },
}

impl BedResistance {
    /// Pressure drop, Pa, of air at this superficial velocity (m³/s per m² of bed, 0 or more) through
    /// this depth (m). The density (kg/m³) and viscosity (Pa s) of the air enter Ergun's equation; the
    /// Hukill-Ives coefficients carry the air of the tests they were fitted to.
    ///
    /// Ergun (1952), Chem. Eng. Prog. 48:89-94: Δp/L = 150 µ (1-ε)² v/(ε³ d²) + 1.75 (1-ε) ρ v²/(ε³ d).
    /// Hukill & Ives: ASAE D272.3 MAR96 (form and coefficients from memory, not verified).
    #[inline]
    pub fn pressure_drop_pa(
        &self,
        velocity_m_per_s: f64,
        depth_m: f64,
        density_kg_per_m3: f64,
        viscosity_pa_s: f64,
    ) -> f64 {
        let v = velocity_m_per_s;
        let per_metre = match *self {
            Self::Ergun { diameter_m: d, porosity, shape_factor } => {
                let solid = 1.0 - porosity;
                let viscous = 150.0 * viscosity_pa_s * solid / d;
                let inertial = 1.75 * density_kg_per_m3 * v;
                shape_factor * solid * v * (viscous + inertial) / (porosity.powi(3) * d)
            }
            // Q²/ln(1 + bQ) tends to Q/b, hence to 0, as the air stops.
            Self::HukillIves { a, b, factor } if v > 0.0 => factor * a * v * v / (b * v).ln_1p(),
            Self::HukillIves { .. } => 0.0,
        };
        per_metre * depth_m
    }
}

/// Dynamic viscosity of air, Pa s, at 0..100 °C: 1.458e-6 T^1.5/(T + 110.4) with kelvin T.
///
/// Sutherland's law with the constants of the U.S. Standard Atmosphere 1976, eq. 51 (from memory, not
/// verified; gives the 1.91e-5 Pa s of common tables at 40 °C). Humidity moves it by less than 1 %.
pub fn air_viscosity_pa_s(temperature_c: f64) -> f64 {
    let t = temperature_c + 273.15;
    1.458e-6 * t.powf(1.5) / (t + 110.4)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NUTS: BedResistance = BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.0 };

    #[test]
    fn still_air_drops_nothing_and_more_air_drops_more() {
        let peanut = BedResistance::HukillIves { a: 3800.0, b: 111.0, factor: 1.0 };
        for bed in [NUTS, peanut] {
            assert_eq!(bed.pressure_drop_pa(0.0, 2.0, 1.127, 1.91e-5), 0.0);
            let mut last = 0.0;
            for v in [1e-9, 0.01, 0.05, 0.2, 1.0] {
                let drop = bed.pressure_drop_pa(v, 2.0, 1.127, 1.91e-5);
                assert!(drop > last, "{bed:?} at {v}: {drop}");
                last = drop;
            }
        }
    }

    #[test]
    fn depth_and_shape_multiply() {
        let rough = BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.5 };
        let one = NUTS.pressure_drop_pa(0.1, 1.0, 1.127, 1.91e-5);
        let both = rough.pressure_drop_pa(0.1, 2.0, 1.127, 1.91e-5);
        assert!((both / one - 3.0).abs() < 1e-12);
    }

    /// Range of Re/(1 - ε) in which Ergun's equation holds; it gives too much above about 700
    /// (Ergun 1952, as documented by an open-source fluid library).
    const ERGUN_RANGE: (f64, f64) = (1.0, 2300.0);

    /// Re/(1 - ε) = ρ v d/[µ (1 - ε)], the number whose range [`ERGUN_RANGE`] states.
    fn ergun_reynolds(
        velocity_m_per_s: f64,
        diameter_m: f64,
        porosity: f64,
        density_kg_per_m3: f64,
        viscosity_pa_s: f64,
    ) -> f64 {
        density_kg_per_m3 * velocity_m_per_s * diameter_m / (viscosity_pa_s * (1.0 - porosity))
    }

    #[test]
    fn nut_beds_lie_in_the_range_of_ergun() {
        let number = ergun_reynolds(0.2, 0.0237, 0.42, 1.127, air_viscosity_pa_s(40.0));
        assert!(number > ERGUN_RANGE.0 && number < ERGUN_RANGE.1);
    }
}
