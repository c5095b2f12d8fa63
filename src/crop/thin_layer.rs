//! How fast one layer of nuts dries in steady air.

use super::sphere::{fourier_of_sphere, moisture_ratio_of_sphere};
use crate::lanes::{Lanes, each, exp, ln, pow};
use std::f64::consts::PI;

/// Universal gas constant, kJ/(mol K) (CODATA 2018).
const GAS_CONSTANT: f64 = 8.314462618e-3;
const KELVIN: f64 = 273.15;

/// A thin-layer drying law. MR = (M - Mₑ)/(M₀ - Mₑ) is the share of the way still to go from the
/// moisture as received M₀ to the equilibrium Mₑ of the air, t is in hours.
///
/// The rate carries an Arrhenius temperature dependence: rate(T) = rate(T_ref) exp[-Eₐ/R (1/T -
/// 1/T_ref)] with kelvin temperatures. It is always the *rate* in 1/h that is scaled, never the k of a
/// Page equation, whose unit is hᐨⁿ and changes with n.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ThinLayer {
    /// Newton's (Lewis') law: MR = exp(-k t).
    Newton {
        /// k at the reference temperature, 1/h.
        rate_per_h: f64,
        /// Temperature for which the rate is stated, °C.
        reference_c: f64,
        /// Activation energy of the rate, kJ/mol.
        activation_kj_per_mol: f64,
    },
    /// Page's law, written with a rate: MR = exp(-(κ t)ⁿ), where κ = k^(1/n).
    Page {
        /// κ at the reference temperature, 1/h.
        rate_per_h: f64,
        /// n, dimensionless.
        exponent: f64,
        /// Temperature for which the rate is stated, °C.
        reference_c: f64,
        /// Activation energy of the rate, kJ/mol.
        activation_kj_per_mol: f64,
    },
    /// Diffusion out of a sphere with its surface at equilibrium: MR = (6/π²) Σ exp(-n² k t)/n², whose
    /// last stretch is Newton's law with k = π² D/r².
    Sphere {
        /// k = π² D/r² at the reference temperature, 1/h.
        rate_per_h: f64,
        /// Temperature for which the rate is stated, °C.
        reference_c: f64,
        /// Activation energy of the diffusivity, kJ/mol.
        activation_kj_per_mol: f64,
    },
}

impl ThinLayer {
    /// Page's law from its published k, in hᐨⁿ. A k in minᐨⁿ is first multiplied by 60ⁿ.
    pub fn page(k_per_h_to_n: f64, exponent: f64, reference_c: f64, activation_kj_per_mol: f64) -> Self {
        Self::Page { rate_per_h: k_per_h_to_n.powf(1.0 / exponent), exponent, reference_c, activation_kj_per_mol }
    }

    /// Rate, 1/h, at this temperature, °C: k of Newton's law and of the sphere, κ of Page's.
    #[inline(always)]
    pub fn rate_per_h(&self, temperature_c: f64) -> f64 {
        let (Self::Newton { rate_per_h, reference_c, activation_kj_per_mol }
        | Self::Page { rate_per_h, reference_c, activation_kj_per_mol, .. }
        | Self::Sphere { rate_per_h, reference_c, activation_kj_per_mol }) = *self;
        // Eₐ/R (1/T_ref - 1/T), with one division.
        let (t, reference) = (temperature_c + KELVIN, reference_c + KELVIN);
        let warmth = activation_kj_per_mol * (temperature_c - reference_c);
        rate_per_h * exp(warmth / (GAS_CONSTANT * t * reference))
    }

    /// Moisture (dry-basis fraction) after `hours` in air of this equilibrium and temperature: the
    /// law integrated exactly over the step, so that two half steps in the same air equal one whole.
    ///
    /// Page's law and the sphere remember how far drying has come through `received_moisture`: the
    /// moisture ratio gives the time it would have taken in this air, and the step goes on from there
    /// (the rate form).
    /// Nuts wetter than received start afresh at their own moisture. Nuts drier than the equilibrium
    /// take up water exponentially at the same rate: no law of rewetting is published for these nuts
    /// (an assumption). The answer always lies between `moisture` and `equilibrium`, rises with
    /// either, and is never NaN for finite arguments.
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
    pub(crate) fn moistures_after<const N: usize>(
        &self,
        moistures: &Lanes<N>,
        received_moistures: &Lanes<N>,
        equilibria: &Lanes<N>,
        temperatures_c: &Lanes<N>,
        hours: &Lanes<N>,
    ) -> Lanes<N> {
        let progress: Lanes<N> = each!(i => self.rate_per_h(temperatures_c[i]) * hours[i]);
        let to_go: Lanes<N> = each!(i => moistures[i] - equilibria[i]);
        // Nuts that have nothing to go, or are rewetted, do as by Newton's law.
        let by_newton: Lanes<N> = each!(i => to_go[i] * exp(-progress[i]));
        let span: Lanes<N> = each!(i => received_moistures[i].max(moistures[i]) - equilibria[i]);
        let share: Lanes<N> = each!(i => to_go[i] / span[i]);
        let by_law: Lanes<N> = match *self {
            Self::Newton { .. } => return each!(i => equilibria[i] + by_newton[i]),
            Self::Page { exponent, .. } => each!(i => {
                let gone = pow((-ln(share[i])).max(0.0), 1.0 / exponent);
                span[i] * exp(-pow(gone + progress[i], exponent))
            }),
            Self::Sphere { .. } => each!(i => {
                let gone = fourier_of_sphere(if share[i] > 0.0 { share[i] } else { 1.0 });
                span[i] * moisture_ratio_of_sphere(gone + progress[i] / (PI * PI))
            }),
        };
        each!(i => {
            // A share too small to have a logarithm, or none at all, is at its end or being rewetted.
            let dries = to_go[i] > 0.0 && share[i] > f64::MIN_POSITIVE;
            // Rounding must not wet nuts that dry.
            equilibria[i] + if dries { by_law[i].min(to_go[i]) } else { by_newton[i] }
        })
    }

    /// Hours that steady air takes to bring nuts from the moisture as received to `dried`, all
    /// dry-basis fractions; `None` where the air's equilibrium is not below `dried`.
    pub fn hours_to_dry(&self, received: f64, dried: f64, equilibrium: f64, temperature_c: f64) -> Option<f64> {
        if dried >= received {
            return Some(0.0);
        }
        if dried <= equilibrium {
            return None;
        }
        let share = (dried - equilibrium) / (received - equilibrium);
        let progress = match *self {
            Self::Newton { .. } => -share.ln(),
            Self::Page { exponent, .. } => (-share.ln()).powf(1.0 / exponent),
            Self::Sphere { .. } => PI * PI * fourier_of_sphere(share),
        };
        Some(progress / self.rate_per_h(temperature_c))
    }
}

/// Rate of Newton's law, 1/h, that a drying log implies: k = ln[(M₀ - Mₑ)/(M - Mₑ)]/t. `None` unless
/// the nuts dried (M₀ > M > Mₑ) over a positive time.
pub fn rate_of_log_per_h(received: f64, dried: f64, equilibrium: f64, hours: f64) -> Option<f64> {
    let dried_down = received > dried && dried > equilibrium && hours > 0.0;
    dried_down.then(|| ((received - equilibrium) / (dried - equilibrium)).ln() / hours)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    const NEWTON: ThinLayer = ThinLayer::Newton { rate_per_h: 0.02, reference_c: 40.0, activation_kj_per_mol: 30.0 };

    #[test]
    fn page_with_exponent_one_is_newton() {
        let page = ThinLayer::page(0.02, 1.0, 40.0, 30.0);
        for (m, eq) in [(0.25, 0.03), (0.05, 0.09)] {
            assert_relative_eq!(
                page.moisture_after(m, 0.25, eq, 46.0, 7.0),
                NEWTON.moisture_after(m, 0.25, eq, 46.0, 7.0),
                max_relative = 1e-12
            );
        }
    }

    #[test]
    fn page_from_the_start_is_the_published_equation() {
        let page = ThinLayer::page(0.31, 0.7, 40.0, 0.0);
        let expected = 0.05 + 0.20 * (-0.31 * 6.0_f64.powf(0.7)).exp();
        assert_relative_eq!(page.moisture_after(0.25, 0.25, 0.05, 40.0, 6.0), expected, max_relative = 1e-12);
    }

    #[test]
    fn page_in_minutes_and_in_hours_is_one_curve() {
        let (k_min, n) = (0.02_f64, 0.8_f64);
        let page = ThinLayer::page(k_min * 60.0_f64.powf(n), n, 40.0, 0.0);
        let by_minutes = (-k_min * 150.0_f64.powf(n)).exp();
        assert_relative_eq!(page.moisture_after(1.0, 1.0, 0.0, 40.0, 2.5), by_minutes, max_relative = 1e-12);
    }

    #[test]
    fn hours_to_dry_is_the_time_the_law_takes() {
        for law in [NEWTON, ThinLayer::page(0.3, 0.65, 40.0, 22.0), SPHERE] {
            let hours = law.hours_to_dry(0.30, 0.11, 0.04, 45.0).unwrap();
            assert_relative_eq!(law.moisture_after(0.30, 0.30, 0.04, 45.0, hours), 0.11, max_relative = 1e-10);
            assert_eq!(law.hours_to_dry(0.30, 0.04, 0.05, 45.0), None);
            assert_eq!(law.hours_to_dry(0.10, 0.11, 0.05, 45.0), Some(0.0));
        }
    }

    #[test]
    fn a_log_made_by_the_law_gives_the_rate_back() {
        let dried = NEWTON.moisture_after(0.25, 0.25, 0.04, 40.0, 30.0);
        let rate = rate_of_log_per_h(0.25, dried, 0.04, 30.0).unwrap();
        assert_relative_eq!(rate, 0.02, max_relative = 1e-12);
        assert_eq!(rate_of_log_per_h(0.25, 0.25, 0.04, 30.0), None);
        assert_eq!(rate_of_log_per_h(0.25, 0.03, 0.04, 30.0), None);
    }

    const SPHERE: ThinLayer = ThinLayer::Sphere { rate_per_h: 0.056, reference_c: 40.0, activation_kj_per_mol: 22.5 };

    fn law() -> impl Strategy<Value = ThinLayer> {
        (0.005..2.0_f64, 0.4..1.6_f64, 0.0..50.0_f64, 0..3).prop_map(|(k, n, ea, which)| match which {
            0 => ThinLayer::page(k, n, 40.0, ea),
            1 => ThinLayer::Sphere { rate_per_h: k, reference_c: 40.0, activation_kj_per_mol: ea },
            _ => ThinLayer::Newton { rate_per_h: k, reference_c: 40.0, activation_kj_per_mol: ea },
        })
    }

    proptest! {
        #[test]
        fn the_answer_lies_between_moisture_and_equilibrium(
            law in law(), m in 0.0..0.8_f64, received in 0.0..0.8_f64, eq in 0.0..0.8_f64,
            t in 0.0..70.0_f64, hours in 0.0..200.0_f64,
        ) {
            let after = law.moisture_after(m, received, eq, t, hours);
            prop_assert!(after >= m.min(eq) - 1e-12 && after <= m.max(eq) + 1e-12, "{after}");
        }

        #[test]
        fn two_half_steps_are_one_step(
            law in law(), m in 0.02..0.5_f64, more in 0.0..0.2_f64, eq in 0.0..0.5_f64,
        ) {
            let received = m + more;
            let half = law.moisture_after(m, received, eq, 40.0, 0.5);
            let twice = law.moisture_after(half, received, eq, 40.0, 0.5);
            let once = law.moisture_after(m, received, eq, 40.0, 1.0);
            prop_assert!((twice - once).abs() < 1e-8, "{twice} {once}");
        }

        #[test]
        fn moister_air_leaves_moister_nuts(
            law in law(), m in 0.0..0.5_f64, received in 0.0..0.5_f64, eq in 0.0..0.5_f64,
            step in 1e-6..0.01_f64, hours in 0.01..24.0_f64,
        ) {
            let drier = law.moisture_after(m, received, eq, 40.0, hours);
            let moister = law.moisture_after(m, received, eq + step, 40.0, hours);
            prop_assert!(moister >= drier - 1e-8, "{moister} {drier}");
        }
    }
}
