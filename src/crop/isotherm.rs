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

use crate::lanes::{Lanes, each, exp, ln, pow};

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
/// So little that a series of five terms is exact to rounding: the sixth is below 1e-18.
const NEARLY_NONE: f64 = 1e-3;

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

#[inline(always)]
fn arrhenius(before: f64, kj_per_mol: f64, temperature_c: f64) -> f64 {
    before * exp(kj_per_mol / (GAS_CONSTANT * (temperature_c + KELVIN)))
}

/// 1 - exp(-y) of y zero or more. The plain exponential loses digits where it is nearly one: a series takes its place.
#[inline(always)]
fn one_less_exp(y: f64) -> f64 {
    let series = y * (1.0 - y * (0.5 - y * (1.0 / 6.0 - y * (1.0 / 24.0 - y * (1.0 / 120.0)))));
    let form = 1.0 - exp(-y);
    if y < NEARLY_NONE { series } else { form }
}

/// ln(1 - RH). The plain logarithm loses digits where the air is nearly bone dry: a series takes its place.
#[inline(always)]
fn ln_of_dryness(relative_humidity: f64) -> f64 {
    let h = relative_humidity;
    let series = -h * (1.0 + h * (0.5 + h * (1.0 / 3.0 + h * (0.25 + h * 0.2))));
    let form = ln(1.0 - h);
    if h < NEARLY_NONE { series } else { form }
}

impl GabAt {
    /// x = K a_w at this moisture, %: the root near zero of
    /// M (C - 1) x² + [M_m C - M (C - 2)] x - M = 0, written so that nothing cancels.
    #[inline(always)]
    fn x(&self, moisture_pct: f64) -> f64 {
        let square = moisture_pct * (self.c - 1.0);
        let linear = self.monolayer * self.c - moisture_pct * (self.c - 2.0);
        let root = (linear * linear + 4.0 * square * moisture_pct).max(0.0).sqrt();
        2.0 * moisture_pct / (linear + root)
    }
}

/// Coefficients of the GAB form.
#[derive(Clone, Copy)]
struct Gab {
    monolayer: (f64, f64),
    c: (f64, f64),
    k: (f64, f64),
}

impl Gab {
    #[inline(always)]
    fn at(self, temperature_c: f64) -> GabAt {
        let of = |(before, kj_per_mol): (f64, f64)| arrhenius(before, kj_per_mol, temperature_c);
        GabAt { monolayer: of(self.monolayer), c: of(self.c), k: of(self.k) }
    }
}

impl Isotherm {
    /// Moisture, dry-basis fraction, that nuts reach in air of this temperature (°C) and relative
    /// humidity (a fraction; damper air than [`RH_CEILING`] counts as air at it). Never negative: the
    /// Chung-Pfost form crosses zero in very dry air and is held there.
    pub fn equilibrium_moisture(&self, temperature_c: f64, relative_humidity: f64) -> f64 {
        let [moisture] = self.equilibrium_moistures(&[temperature_c], &[relative_humidity]);
        moisture
    }

    /// The same of several, each by itself.
    #[inline(always)]
    pub(crate) fn equilibrium_moistures<const N: usize>(
        &self,
        temperatures_c: &Lanes<N>,
        relative_humidities: &Lanes<N>,
    ) -> Lanes<N> {
        let t_c = temperatures_c;
        let rh: Lanes<N> = each!(i => relative_humidities[i].clamp(0.0, RH_CEILING));
        let percent: Lanes<N> = match *self {
            Self::ModifiedHenderson { k, n, c } => {
                each!(i => pow(-ln_of_dryness(rh[i]) * (1.0 / (k * (t_c[i] + c))), 1.0 / n))
            }
            Self::ModifiedChungPfost { a, b, c } => each!(i => (-ln(-(t_c[i] + c) * ln(rh[i]) / a) / b).max(0.0)),
            Self::ModifiedHalsey { a, b, c } => each!(i => pow(exp(a + b * t_c[i]) / -ln(rh[i]), 1.0 / c)),
            Self::ModifiedOswin { a, b, c } => each!(i => (a + b * t_c[i]) * pow(rh[i] / (1.0 - rh[i]), 1.0 / c)),
            Self::Gab { monolayer, monolayer_kj_per_mol, c, c_kj_per_mol, k, k_kj_per_mol } => {
                let gab =
                    Gab { monolayer: (monolayer, monolayer_kj_per_mol), c: (c, c_kj_per_mol), k: (k, k_kj_per_mol) };
                each!(i => {
                    let at = gab.at(t_c[i]);
                    let x = at.k * rh[i];
                    at.monolayer * at.c * x / ((1.0 - x) * (1.0 - x + at.c * x))
                })
            }
        };
        each!(i => percent[i] * 0.01)
    }

    /// Relative humidity, a fraction 0..1, of air that neither wets nor dries nuts of this temperature
    /// (°C) and moisture (dry-basis fraction, 0 or more): their water activity.
    pub fn equilibrium_relative_humidity(&self, temperature_c: f64, moisture_db: f64) -> f64 {
        let [activity] = self.equilibrium_relative_humidities(&[temperature_c], &[moisture_db]);
        activity
    }

    /// The same of several, each by itself.
    #[inline(always)]
    pub(crate) fn equilibrium_relative_humidities<const N: usize>(
        &self,
        temperatures_c: &Lanes<N>,
        moistures_db: &Lanes<N>,
    ) -> Lanes<N> {
        let t_c = temperatures_c;
        let m: Lanes<N> = each!(i => moistures_db[i] * 100.0);
        match *self {
            Self::ModifiedHenderson { k, n, c } => each!(i => one_less_exp(k * (t_c[i] + c) * pow(m[i], n))),
            Self::ModifiedChungPfost { a, b, c } => each!(i => exp(-a / (t_c[i] + c) * exp(-b * m[i]))),
            Self::ModifiedHalsey { a, b, c } => each!(i => exp(-exp(a + b * t_c[i]) * pow(m[i], -c))),
            Self::ModifiedOswin { a, b, c } => each!(i => 1.0 / (1.0 + pow((a + b * t_c[i]) / m[i], c))),
            Self::Gab { monolayer, monolayer_kj_per_mol, c, c_kj_per_mol, k, k_kj_per_mol } => {
                let gab =
                    Gab { monolayer: (monolayer, monolayer_kj_per_mol), c: (c, c_kj_per_mol), k: (k, k_kj_per_mol) };
                each!(i => {
                    let at = gab.at(t_c[i]);
                    (at.x(m[i]) / at.k).min(1.0)
                })
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
    pub fn net_heat_of_desorption_kj_per_kg(&self, temperature_c: f64, moisture_db: f64) -> f64 {
        let (temperature_c, moisture_db) = ([temperature_c], [moisture_db]);
        let activity = self.equilibrium_relative_humidities(&temperature_c, &moisture_db);
        let [heat] = self.net_heats_at_activity_kj_per_kg(&temperature_c, &moisture_db, &activity);
        heat
    }

    /// The same of several whose water activity is known, each by itself.
    #[inline(always)]
    pub(crate) fn net_heats_at_activity_kj_per_kg<const N: usize>(
        &self,
        temperatures_c: &Lanes<N>,
        moistures_db: &Lanes<N>,
        activities: &Lanes<N>,
    ) -> Lanes<N> {
        let t_c = temperatures_c;
        let m: Lanes<N> = each!(i => moistures_db[i] * 100.0);
        let kelvin: Lanes<N> = each!(i => t_c[i] + KELVIN);
        let slope: Lanes<N> = match *self {
            Self::ModifiedHenderson { c, .. } => each!(i => {
                // K Mᴺ = -ln(1 - a)/(T + C); the share has a limit at M = 0, and one where soaked nuts round to a = 1
                let a = activities[i];
                let share = -ln_of_dryness(a) * (1.0 - a) / a;
                let share = if a > 1e-12 { share } else { 1.0 };
                (if a >= 1.0 { 0.0 } else { share }) / (t_c[i] + c)
            }),
            Self::ModifiedChungPfost { a, b, c } => each!(i => a / ((t_c[i] + c) * (t_c[i] + c)) * exp(-b * m[i])),
            Self::ModifiedHalsey { a, b, c } => {
                each!(i => -b * exp(a + b * t_c[i]) * pow(m[i].max(HALSEY_DRIEST_PCT), -c))
            }
            Self::ModifiedOswin { a, b, c } => each!(i => (1.0 - activities[i]) * c * -b / (a + b * t_c[i])),
            Self::Gab { monolayer, monolayer_kj_per_mol, c, c_kj_per_mol, k, k_kj_per_mol } => {
                let gab =
                    Gab { monolayer: (monolayer, monolayer_kj_per_mol), c: (c, c_kj_per_mol), k: (k, k_kj_per_mol) };
                each!(i => {
                    // ln M = ln M_m + ln C + ln x - ln(1 - x) - ln[1 + (C - 1) x], x = K a, held constant
                    let at = gab.at(t_c[i]);
                    let x = at.x(m[i]);
                    let bound = 1.0 + (at.c - 1.0) * x;
                    let by_c = 1.0 - at.c * x / bound;
                    let by_x = 1.0 + x / (1.0 - x) - (at.c - 1.0) * x / bound;
                    let drift = monolayer_kj_per_mol + by_c * c_kj_per_mol;
                    (drift / by_x + k_kj_per_mol) / (GAS_CONSTANT * kelvin[i] * kelvin[i])
                })
            }
        };
        each!(i => WATER_GAS_CONSTANT * kelvin[i] * kelvin[i] * slope[i])
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// One of every form.
    pub(crate) const FORMS: [Isotherm; 5] = [
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
