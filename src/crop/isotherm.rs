//! Sorption isotherms: how much water nuts hold in air of a given temperature and humidity, the
//! humidity that nuts hold around themselves, and the heat that frees bound water.
//!
//! Forms as in ASAE D245.5 OCT95 (R2001), recalled from memory, not verified against the standard.
//! The published coefficients take moisture in % dry basis; the functions take and give dry-basis
//! *fractions*. Valid where the coefficients' source says, within 0..100 °C.
//!
//! The net heat of desorption follows from the isotherm by the Clausius-Clapeyron equation,
//! q = R_w T² (∂ ln a_w/∂T) at constant moisture, so heat and moisture stay consistent and no further
//! coefficients are needed.

/// The highest relative humidity, a fraction, that may be asked of an isotherm. Every form climbs
/// without bound towards saturation, where none was ever measured; damper air counts as air at this.
pub const RH_CEILING: f64 = 0.995;

/// Gas constant of water vapour, kJ/(kg K): 8.314462618 kJ/(kmol K) over 18.01527 kg/kmol.
const WATER_GAS_CONSTANT: f64 = 0.461526;
/// Universal gas constant, kJ/(mol K) (CODATA 2018).
const GAS_CONSTANT: f64 = 8.314462618e-3;
const KELVIN: f64 = 273.15;
/// Moisture, % dry basis, below which the Halsey heat is held: its power law runs to infinity in
/// bone-dry nuts, and no set was fitted to drier ones.
const HALSEY_DRIEST_PCT: f64 = 1.0;

/// A sorption isotherm with its coefficients (moisture in % dry basis, temperature T in °C, relative
/// humidity a fraction).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Isotherm {
    /// RH = 1 - exp[-K (T + C) Mᴺ].
    ModifiedHenderson {
        /// K.
        k: f64,
        /// N.
        n: f64,
        /// C, K.
        c: f64,
    },
    /// RH = exp[-A/(T + C) exp(-B M)].
    ModifiedChungPfost {
        /// A, K.
        a: f64,
        /// B, 1/%.
        b: f64,
        /// C, K.
        c: f64,
    },
    /// RH = exp[-exp(A + B T) M^(-C)].
    ModifiedHalsey {
        /// A.
        a: f64,
        /// B, 1/K.
        b: f64,
        /// C.
        c: f64,
    },
    /// RH = 1/(1 + [(A + B T)/M]^C).
    ModifiedOswin {
        /// A, %.
        a: f64,
        /// B, %/K.
        b: f64,
        /// C.
        c: f64,
    },
    /// Guggenheim-Anderson-de Boer: M = M_m C x/[(1 - x)(1 - x + C x)], x = K a_w; each of M_m, C and K
    /// is X₀ exp(ΔH/(R T)).
    Gab {
        /// M_m before the exponential, %.
        monolayer: f64,
        /// ΔH of M_m, kJ/mol.
        monolayer_kj_per_mol: f64,
        /// C before the exponential.
        c: f64,
        /// ΔH of C, kJ/mol.
        c_kj_per_mol: f64,
        /// K before the exponential.
        k: f64,
        /// ΔH of K, kJ/mol.
        k_kj_per_mol: f64,
    },
}

/// M_m (%), C and K of the GAB form at one temperature.
struct GabAt {
    monolayer: f64,
    c: f64,
    k: f64,
}

#[inline]
fn arrhenius(before: f64, kj_per_mol: f64, temperature_c: f64) -> f64 {
    before * (kj_per_mol / (GAS_CONSTANT * (temperature_c + KELVIN))).exp()
}

/// 1 - exp(-y) of y zero or more. The plain exponential loses digits only where it is nearly one, and is far quicker.
#[inline]
fn one_less_exp(y: f64) -> f64 {
    if y < 1e-3 { -(-y).exp_m1() } else { 1.0 - (-y).exp() }
}

/// ln(1 - RH). The plain logarithm loses digits only where the air is nearly bone dry, and is far
/// quicker: this is the hottest line of a season.
#[inline]
fn ln_of_dryness(relative_humidity: f64) -> f64 {
    if relative_humidity < 1e-3 { (-relative_humidity).ln_1p() } else { (1.0 - relative_humidity).ln() }
}

impl GabAt {
    /// x = K a_w at this moisture, %: the root near zero of
    /// M (C - 1) x² + [M_m C - M (C - 2)] x - M = 0, written so that nothing cancels.
    #[inline]
    fn x(&self, moisture_pct: f64) -> f64 {
        let square = moisture_pct * (self.c - 1.0);
        let linear = self.monolayer * self.c - moisture_pct * (self.c - 2.0);
        let root = (linear * linear + 4.0 * square * moisture_pct).max(0.0).sqrt();
        2.0 * moisture_pct / (linear + root)
    }
}

impl Isotherm {
    /// GAB parameters at this temperature; the other forms have none.
    #[inline]
    fn gab_at(&self, temperature_c: f64) -> GabAt {
        let Self::Gab { monolayer, monolayer_kj_per_mol, c, c_kj_per_mol, k, k_kj_per_mol } = *self else {
            return GabAt { monolayer: 0.0, c: 1.0, k: 1.0 };
        };
        GabAt {
            monolayer: arrhenius(monolayer, monolayer_kj_per_mol, temperature_c),
            c: arrhenius(c, c_kj_per_mol, temperature_c),
            k: arrhenius(k, k_kj_per_mol, temperature_c),
        }
    }

    /// Moisture, dry-basis fraction, that nuts reach in air of this temperature (°C) and relative
    /// humidity (a fraction; damper air than [`RH_CEILING`] counts as air at it). Never negative: the
    /// Chung-Pfost form crosses zero in very dry air and is held there.
    #[inline]
    pub fn equilibrium_moisture(&self, temperature_c: f64, relative_humidity: f64) -> f64 {
        let rh = relative_humidity.clamp(0.0, RH_CEILING);
        let percent = match *self {
            Self::ModifiedHenderson { k, n, c } => {
                let power = -ln_of_dryness(rh) * (1.0 / (k * (temperature_c + c)));
                // powf(1/n), at half its cost
                (power.ln() * (1.0 / n)).exp()
            }
            Self::ModifiedChungPfost { a, b, c } => (-(-(temperature_c + c) * rh.ln() / a).ln() / b).max(0.0),
            Self::ModifiedHalsey { a, b, c } => ((a + b * temperature_c).exp() / -rh.ln()).powf(1.0 / c),
            Self::ModifiedOswin { a, b, c } => (a + b * temperature_c) * (rh / (1.0 - rh)).powf(1.0 / c),
            Self::Gab { .. } => {
                let at = self.gab_at(temperature_c);
                let x = at.k * rh;
                at.monolayer * at.c * x / ((1.0 - x) * (1.0 - x + at.c * x))
            }
        };
        percent * 0.01
    }

    /// Relative humidity, a fraction 0..1, of air that neither wets nor dries nuts of this temperature
    /// (°C) and moisture (dry-basis fraction, 0 or more): their water activity.
    #[inline]
    pub fn equilibrium_relative_humidity(&self, temperature_c: f64, moisture_db: f64) -> f64 {
        let m = moisture_db * 100.0;
        match *self {
            // powf(n), at half its cost
            Self::ModifiedHenderson { k, n, c } => one_less_exp(k * (temperature_c + c) * (n * m.ln()).exp()),
            Self::ModifiedChungPfost { a, b, c } => (-a / (temperature_c + c) * (-b * m).exp()).exp(),
            Self::ModifiedHalsey { a, b, c } => (-(a + b * temperature_c).exp() * m.powf(-c)).exp(),
            Self::ModifiedOswin { a, b, c } => 1.0 / (1.0 + ((a + b * temperature_c) / m).powf(c)),
            Self::Gab { .. } => {
                let at = self.gab_at(temperature_c);
                (at.x(m) / at.k).min(1.0)
            }
        }
    }

    /// Heat beyond the latent heat of free water, kJ per kg of water, that frees water from nuts of this
    /// temperature (°C) and moisture (dry-basis fraction, 0 or more), by Clausius-Clapeyron in closed form:
    ///
    /// - Henderson: R_w T² K Mᴺ (1 - a)/a; Chung-Pfost: R_w T² A/(T + C)² exp(-B M);
    /// - Halsey: R_w T² (-B) exp(A + B T) M^(-C), held below 1 % moisture;
    /// - Oswin: R_w T² (1 - a) C (-B)/(A + B T);
    /// - GAB: R_w T² times the derivative of ln a along constant M (implicit differentiation).
    #[inline]
    pub fn net_heat_of_desorption_kj_per_kg(&self, temperature_c: f64, moisture_db: f64) -> f64 {
        let activity = self.equilibrium_relative_humidity(temperature_c, moisture_db);
        self.net_heat_at_activity_kj_per_kg(temperature_c, moisture_db, activity)
    }

    /// The same where the water activity of these nuts is known.
    #[inline]
    pub(crate) fn net_heat_at_activity_kj_per_kg(&self, temperature_c: f64, moisture_db: f64, activity: f64) -> f64 {
        let m = moisture_db * 100.0;
        let kelvin = temperature_c + KELVIN;
        let slope = match *self {
            Self::ModifiedHenderson { c, .. } => {
                // K Mᴺ = -ln(1 - a)/(T + C); the share has a limit at M = 0, and one where soaked nuts round to a = 1
                let share = if activity >= 1.0 {
                    0.0
                } else if activity > 1e-12 {
                    -ln_of_dryness(activity) * (1.0 - activity) / activity
                } else {
                    1.0
                };
                share / (temperature_c + c)
            }
            Self::ModifiedChungPfost { a, b, c } => a / ((temperature_c + c) * (temperature_c + c)) * (-b * m).exp(),
            Self::ModifiedHalsey { a, b, c } => -b * (a + b * temperature_c).exp() * m.max(HALSEY_DRIEST_PCT).powf(-c),
            Self::ModifiedOswin { a, b, c } => (1.0 - activity) * c * -b / (a + b * temperature_c),
            Self::Gab { monolayer_kj_per_mol, c_kj_per_mol, k_kj_per_mol, .. } => {
                // ln M = ln M_m + ln C + ln x - ln(1 - x) - ln[1 + (C - 1) x], x = K a, held constant
                let at = self.gab_at(temperature_c);
                let x = at.x(m);
                let bound = 1.0 + (at.c - 1.0) * x;
                let by_c = 1.0 - at.c * x / bound;
                let by_x = 1.0 + x / (1.0 - x) - (at.c - 1.0) * x / bound;
                let drift = monolayer_kj_per_mol + by_c * c_kj_per_mol;
                (drift / by_x + k_kj_per_mol) / (GAS_CONSTANT * kelvin * kelvin)
            }
        };
        WATER_GAS_CONSTANT * kelvin * kelvin * slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const FORMS: [Isotherm; 5] = [
        Isotherm::ModifiedHenderson { k: 2.694697e-4, n: 1.520222, c: 113.7452 },
        Isotherm::ModifiedChungPfost { a: 463.1253, b: 0.2397159, c: 102.3279 },
        Isotherm::ModifiedHalsey { a: 3.9916, b: -0.017856, c: 2.2375 },
        Isotherm::ModifiedOswin { a: 7.32522, b: -0.02881129, c: 2.309999 },
        // invented coefficients of the size that nuts have
        Isotherm::Gab {
            monolayer: 0.9,
            monolayer_kj_per_mol: 3.5,
            c: 0.02,
            c_kj_per_mol: 15.0,
            k: 1.1,
            k_kj_per_mol: -0.6,
        },
    ];

    #[test]
    fn moisture_and_humidity_invert_each_other_in_every_form() {
        for form in FORMS {
            for t in [5.0, 25.0, 50.0] {
                for rh in [0.15, 0.4, 0.7, 0.9, 0.98] {
                    let m = form.equilibrium_moisture(t, rh);
                    let back = form.equilibrium_relative_humidity(t, m);
                    assert_relative_eq!(back, rh, max_relative = 1e-9);
                }
            }
        }
    }

    #[test]
    fn nuts_hold_more_water_in_damper_and_in_colder_air() {
        for form in FORMS {
            for rh in [0.2, 0.5, 0.8] {
                let m = form.equilibrium_moisture(25.0, rh);
                assert!(form.equilibrium_moisture(25.0, rh + 0.05) > m, "{form:?}");
                assert!(form.equilibrium_moisture(35.0, rh) < m, "{form:?}");
            }
        }
    }

    /// q = R_w T² ∂ ln a/∂T at constant moisture, by a central difference of 1e-3 K. Tolerance 1e-6.
    #[test]
    fn the_closed_forms_of_heat_are_the_derivative() {
        for form in FORMS {
            for t in [5.0, 25.0, 40.0, 60.0] {
                for m in [0.03, 0.06, 0.1111, 0.2] {
                    let h = 1e-3;
                    let up = form.equilibrium_relative_humidity(t + h, m).ln();
                    let down = form.equilibrium_relative_humidity(t - h, m).ln();
                    let kelvin = t + KELVIN;
                    let numeric = WATER_GAS_CONSTANT * kelvin * kelvin * (up - down) / (2.0 * h);
                    let closed = form.net_heat_of_desorption_kj_per_kg(t, m);
                    assert_relative_eq!(closed, numeric, max_relative = 1e-6, epsilon = 1e-4);
                }
            }
        }
    }

    #[test]
    fn the_ends_are_finite() {
        for form in FORMS {
            for t in [0.0, 60.0] {
                for rh in [0.0, 1e-12, RH_CEILING, 1.0] {
                    let m = form.equilibrium_moisture(t, rh);
                    assert!(m.is_finite() && m >= 0.0, "{form:?} {rh}: {m}");
                }
                for m in [0.0, 1e-9, 0.5, 5.0] {
                    let rh = form.equilibrium_relative_humidity(t, m);
                    assert!((0.0..=1.0).contains(&rh), "{form:?} {m}: {rh}");
                    let heat = form.net_heat_of_desorption_kj_per_kg(t, m);
                    // GAB water beyond the monolayer may be bound a little less than free water
                    let floor = if matches!(form, Isotherm::Gab { .. }) { -40.0 } else { 0.0 };
                    assert!(heat.is_finite() && heat >= floor, "{form:?} {m}: {heat}");
                }
            }
        }
    }
}
