//! An isotherm whose nuts hold more or less water in the same air.

use crate::crop::Isotherm;

/// The same isotherm with every equilibrium moisture (dry basis) multiplied by `factor`: nuts that hold
/// so much more water in the same air. Every form takes such a factor into its coefficients exactly, so
/// it stays a form with coefficients, and the heat of desorption stays consistent with it:
///
/// - Henderson M = [..]^(1/N)/K^(1/N): K factor^(-N);
/// - Chung-Pfost M = ..../B: B/factor;
/// - Halsey M = exp((A + B T)/C) ..: A + C ln factor;
/// - Oswin M = (A + B T) ..: A factor, B factor;
/// - GAB M = M_m ..: M_m factor.
///
/// A constant number of points added to the moisture would be a change of form for all but one of them.
pub fn holding(isotherm: &Isotherm, factor: f64) -> Isotherm {
    let mut held = *isotherm;
    match &mut held {
        Isotherm::ModifiedHenderson { k, n, .. } => *k *= factor.powf(-*n),
        Isotherm::ModifiedChungPfost { b, .. } => *b /= factor,
        Isotherm::ModifiedHalsey { a, c, .. } => *a += *c * factor.ln(),
        Isotherm::ModifiedOswin { a, b, .. } => {
            *a *= factor;
            *b *= factor;
        }
        Isotherm::Gab { monolayer, .. } => *monolayer *= factor,
    }
    held
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crop::FORMS;
    use approx::assert_relative_eq;

    #[test]
    fn every_form_holds_exactly_the_factor_more() {
        for form in FORMS {
            for factor in [0.7, 1.0, 1.25] {
                let held = holding(&form, factor);
                for t in [10.0, 40.0] {
                    for rh in [0.15, 0.5, 0.85] {
                        assert_relative_eq!(
                            held.equilibrium_moisture(t, rh),
                            factor * form.equilibrium_moisture(t, rh),
                            max_relative = 1e-12
                        );
                    }
                }
            }
        }
    }
}
