//! Isotherms by name: from a form and its coefficients as written in a library or a study.

use super::Isotherm;

/// Names of the forms, each with its coefficients in order.
const FORMS: [(&str, &[&str]); 5] = [
    ("modified-henderson", &["k", "n", "c"]),
    ("modified-chung-pfost", &["a", "b", "c"]),
    ("modified-halsey", &["a", "b", "c"]),
    ("modified-oswin", &["a", "b", "c"]),
    ("gab", &["monolayer", "monolayer_kj_per_mol", "c", "c_kj_per_mol", "k", "k_kj_per_mol"]),
];

/// Why a form and coefficients make no isotherm.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum IsothermError {
    /// No such form.
    #[error("there is no isotherm form '{0}': use one of {known}", known = names(FORMS.iter().map(|f| f.0)))]
    Form(String),
    /// A coefficient is missing or one too many.
    #[error("the {form} isotherm takes the coefficients {expected}; found {found}")]
    Coefficients {
        /// The form.
        form: String,
        /// What it takes.
        expected: String,
        /// What was given.
        found: String,
    },
    /// The curve does not rise with humidity, or is not finite, at a temperature where nuts are dried.
    #[error(
        "this {form} isotherm is no curve of nuts: at {temperature_c} °C and {relative_humidity_pct} % RH it gives {found_pct} % dry basis, where a rising curve between 0 and 100 % is expected; coefficients take moisture in % dry basis and °C"
    )]
    NotACurve {
        /// The form.
        form: String,
        /// Where, °C.
        temperature_c: f64,
        /// Where, %.
        relative_humidity_pct: f64,
        /// What came out, % dry basis.
        found_pct: f64,
    },
}

fn names<'a>(names: impl Iterator<Item = &'a str>) -> String {
    names.collect::<Vec<_>>().join(", ")
}

impl Isotherm {
    /// From the name of a form and its named coefficients (moisture in % dry basis, °C): exactly those
    /// of the form, and such that moisture rises with humidity and stays within 0..100 % dry basis for
    /// 5..60 °C and 10..90 % RH.
    pub fn of_form(form: &str, coefficients: &[(String, f64)]) -> Result<Self, IsothermError> {
        let Some((_, expected)) = FORMS.iter().find(|(name, _)| *name == form) else {
            return Err(IsothermError::Form(form.to_owned()));
        };
        let mut values = Vec::with_capacity(expected.len());
        for name in *expected {
            values.extend(coefficients.iter().filter(|(given, _)| given == name).map(|(_, value)| *value));
        }
        let complete = values.len() == expected.len() && coefficients.len() == expected.len();
        let isotherm = match (form, values.as_slice()) {
            ("modified-henderson", &[k, n, c]) if complete => Self::ModifiedHenderson { k, n, c },
            ("modified-chung-pfost", &[a, b, c]) if complete => Self::ModifiedChungPfost { a, b, c },
            ("modified-halsey", &[a, b, c]) if complete => Self::ModifiedHalsey { a, b, c },
            ("modified-oswin", &[a, b, c]) if complete => Self::ModifiedOswin { a, b, c },
            ("gab", &[monolayer, h_m, c, h_c, k, h_k]) if complete => {
                Self::Gab { monolayer, monolayer_kj_per_mol: h_m, c, c_kj_per_mol: h_c, k, k_kj_per_mol: h_k }
            }
            _ => {
                return Err(IsothermError::Coefficients {
                    form: form.to_owned(),
                    expected: names(expected.iter().copied()),
                    found: names(coefficients.iter().map(|(name, _)| name.as_str())),
                });
            }
        };
        isotherm.check()?;
        Ok(isotherm)
    }

    fn check(&self) -> Result<(), IsothermError> {
        for temperature_c in [5.0, 25.0, 40.0, 60.0] {
            let mut last = 0.0;
            for relative_humidity in [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9] {
                let found = self.equilibrium_moisture(temperature_c, relative_humidity);
                if !(found.is_finite() && found > last && found < 1.0) {
                    return Err(IsothermError::NotACurve {
                        form: self.form_name().to_owned(),
                        temperature_c,
                        relative_humidity_pct: relative_humidity * 100.0,
                        found_pct: found * 100.0,
                    });
                }
                last = found;
            }
        }
        Ok(())
    }

    /// Name of the form, as [`Isotherm::of_form`] takes it.
    pub fn form_name(&self) -> &'static str {
        match self {
            Self::ModifiedHenderson { .. } => FORMS[0].0,
            Self::ModifiedChungPfost { .. } => FORMS[1].0,
            Self::ModifiedHalsey { .. } => FORMS[2].0,
            Self::ModifiedOswin { .. } => FORMS[3].0,
            Self::Gab { .. } => FORMS[4].0,
        }
    }

    /// Coefficients by name, in the form's order.
    pub fn coefficients(&self) -> Vec<(&'static str, f64)> {
        let (form, values) = match *self {
            Self::ModifiedHenderson { k, n, c } => (0, vec![k, n, c]),
            Self::ModifiedChungPfost { a, b, c } => (1, vec![a, b, c]),
            Self::ModifiedHalsey { a, b, c } => (2, vec![a, b, c]),
            Self::ModifiedOswin { a, b, c } => (3, vec![a, b, c]),
            Self::Gab { monolayer, monolayer_kj_per_mol, c, c_kj_per_mol, k, k_kj_per_mol } => {
                (4, vec![monolayer, monolayer_kj_per_mol, c, c_kj_per_mol, k, k_kj_per_mol])
            }
        };
        FORMS[form].1.iter().copied().zip(values).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(form: &str, coefficients: &[(&str, f64)]) -> Result<Isotherm, IsothermError> {
        let owned: Vec<_> = coefficients.iter().map(|(name, value)| ((*name).to_owned(), *value)).collect();
        Isotherm::of_form(form, &owned)
    }

    #[test]
    fn a_form_comes_back_as_it_was_written() {
        let pod = of("modified-henderson", &[("c", 23.318), ("k", 6.6587e-5), ("n", 2.5362)]).unwrap();
        assert_eq!(pod.form_name(), "modified-henderson");
        assert_eq!(pod.coefficients(), [("k", 6.6587e-5), ("n", 2.5362), ("c", 23.318)]);
    }

    #[test]
    fn wrong_forms_and_coefficients_are_refused_in_words() {
        let text = of("henderson", &[]).unwrap_err().to_string();
        assert!(text.contains("modified-henderson"), "{text}");
        let text = of("modified-henderson", &[("k", 1e-4), ("n", 1.5)]).unwrap_err().to_string();
        assert!(text.contains("k, n, c"), "{text}");
        // a percent too many: K for moisture as a fraction
        let text = of("modified-henderson", &[("k", 6.6587e-9), ("n", 1.0), ("c", 23.318)]).unwrap_err().to_string();
        assert!(text.contains("% dry basis"), "{text}");
        assert!(of("modified-oswin", &[("a", f64::NAN), ("b", 0.0), ("c", 2.0)]).is_err());
    }
}
