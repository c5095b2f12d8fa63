//! The constants of a thin-layer law, whichever it is.

use crate::crop::ThinLayer;

/// The same law with these constants: rate in 1/h at the reference temperature, °C, activation energy in kJ/mol.
pub(super) fn with_constants(law: ThinLayer, rate: f64, reference: f64, activation: f64) -> ThinLayer {
    let mut law = law;
    let (ThinLayer::Newton { rate_per_h, reference_c, activation_kj_per_mol }
    | ThinLayer::Page { rate_per_h, reference_c, activation_kj_per_mol, .. }
    | ThinLayer::Sphere { rate_per_h, reference_c, activation_kj_per_mol }) = &mut law;
    *rate_per_h = rate;
    *reference_c = reference;
    *activation_kj_per_mol = activation;
    law
}

/// Activation energy of a law, kJ/mol.
pub(super) fn activation_of(law: &ThinLayer) -> f64 {
    let (ThinLayer::Newton { activation_kj_per_mol, .. }
    | ThinLayer::Page { activation_kj_per_mol, .. }
    | ThinLayer::Sphere { activation_kj_per_mol, .. }) = *law;
    activation_kj_per_mol
}
