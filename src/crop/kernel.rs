//! Kernel and shell apart: a pair of isotherms, one of the nut in shell and one of its kernel, joined by
//! the water activity that both hold in the same air.
//!
//! At one water activity a and temperature the kernel's moisture is that of its own isotherm, the nut's
//! that of the isotherm in shell, and the shell's follows from the balance of water on dry matter,
//! `M_in_shell = f M_kernel + (1 - f) M_shell`, with f the kernel's share of the dry mass. That shell and
//! kernel hold one water activity is true of nuts that have rested, as in a store, and untrue while they
//! dry: at harvest the shells of walnuts were 6 to 12 points wetter than the kernels (Khir, Pan, Atungulu,
//! Thompson & Shao 2011).

use super::Isotherm;
use super::properties::IsothermOrigin;
use super::water::percent_of_dry_basis;

/// Lowest and highest water activity at which the pair is used. Beyond them hardly any nut was
/// measured, and near saturation a curve says anything.
pub const PAIR_ACTIVITY: (f64, f64) = (0.05, 0.95);

/// What is known of the kernel's own moisture.
#[derive(Clone, Debug, PartialEq)]
pub struct KernelIsotherm {
    /// The isotherm of the kernel alone.
    pub isotherm: Isotherm,
    /// Where it comes from.
    pub origin: IsothermOrigin,
}

/// The isotherm in shell and that of the kernel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IsothermPair {
    /// Of the nut, shell and kernel together.
    pub in_shell: Isotherm,
    /// Of the kernel alone.
    pub kernel: Isotherm,
    /// The kernel's share of the dry mass, 0..1.
    pub kernel_share: f64,
}

/// A rested nut: moistures (dry-basis fractions) of its parts at one water activity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RestedNut {
    /// Water activity, a fraction.
    pub water_activity: f64,
    /// Of shell and kernel together.
    pub in_shell: f64,
    /// Of the kernel.
    pub kernel: f64,
    /// Of the shell.
    pub shell: f64,
}

/// Why a pair gives no moisture.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PairError {
    /// Drier or wetter than the pair reaches.
    #[error(
        "{part} at {asked_pct:.2} % w.b. lies outside what the isotherm pair reaches at {temperature_c:.0} °C: {low_pct:.2} to {high_pct:.2} % w.b., which is from {} to {} of water activity", PAIR_ACTIVITY.0, PAIR_ACTIVITY.1
    )]
    Unreachable {
        /// `a kernel` or `a nut in shell`.
        part: &'static str,
        /// What was asked, % wet basis.
        asked_pct: f64,
        /// Temperature, °C.
        temperature_c: f64,
        /// Driest, % wet basis.
        low_pct: f64,
        /// Wettest, % wet basis.
        high_pct: f64,
    },
    /// No such water activity.
    #[error("a water activity of {found} lies outside {} to {}", PAIR_ACTIVITY.0, PAIR_ACTIVITY.1)]
    Activity {
        /// What was asked.
        found: f64,
    },
    /// The two curves contradict each other.
    #[error(
        "the isotherms in shell and of the kernel contradict each other: at a water activity of {water_activity:.2} and {temperature_c:.0} °C the nut holds {in_shell_pct:.2} % w.b. and its kernel {kernel_pct:.2} %, which leaves the shell less than no water"
    )]
    Contradiction {
        /// Where, a fraction.
        water_activity: f64,
        /// Where, °C.
        temperature_c: f64,
        /// In shell, % wet basis.
        in_shell_pct: f64,
        /// Kernel, % wet basis.
        kernel_pct: f64,
    },
}

impl IsothermPair {
    /// The rested nut of this water activity ([`PAIR_ACTIVITY`]) and temperature (0..60 °C).
    pub fn at(&self, temperature_c: f64, water_activity: f64) -> Result<RestedNut, PairError> {
        if !(PAIR_ACTIVITY.0..=PAIR_ACTIVITY.1).contains(&water_activity) {
            return Err(PairError::Activity { found: water_activity });
        }
        let held = |isotherm: &Isotherm| isotherm.equilibrium_moisture(temperature_c, water_activity);
        let (in_shell, kernel) = (held(&self.in_shell), held(&self.kernel));
        let shell = (in_shell - self.kernel_share * kernel) / (1.0 - self.kernel_share);
        if shell.is_nan() || shell < 0.0 {
            return Err(PairError::Contradiction {
                water_activity,
                temperature_c,
                in_shell_pct: percent_of_dry_basis(in_shell),
                kernel_pct: percent_of_dry_basis(kernel),
            });
        }
        Ok(RestedNut { water_activity, in_shell, kernel, shell })
    }

    /// The rested nut whose kernel holds this moisture (dry-basis fraction).
    pub fn of_kernel(&self, temperature_c: f64, kernel: f64) -> Result<RestedNut, PairError> {
        self.by(&self.kernel, "a kernel", temperature_c, kernel)
    }

    /// The rested nut that holds this moisture in shell (dry-basis fraction).
    pub fn of_in_shell(&self, temperature_c: f64, in_shell: f64) -> Result<RestedNut, PairError> {
        self.by(&self.in_shell, "a nut in shell", temperature_c, in_shell)
    }

    fn by(
        &self,
        isotherm: &Isotherm,
        part: &'static str,
        temperature_c: f64,
        moisture: f64,
    ) -> Result<RestedNut, PairError> {
        let end = |activity| isotherm.equilibrium_moisture(temperature_c, activity);
        let (low, high) = (end(PAIR_ACTIVITY.0), end(PAIR_ACTIVITY.1));
        if !(low..=high).contains(&moisture) {
            return Err(PairError::Unreachable {
                part,
                asked_pct: percent_of_dry_basis(moisture),
                temperature_c,
                low_pct: percent_of_dry_basis(low),
                high_pct: percent_of_dry_basis(high),
            });
        }
        let activity = isotherm.equilibrium_relative_humidity(temperature_c, moisture);
        // At the very ends rounding may step over the range.
        self.at(temperature_c, activity.clamp(PAIR_ACTIVITY.0, PAIR_ACTIVITY.1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crop::water::dry_basis_of_percent;
    use crate::crop::{Crop, all, find};
    use approx::assert_relative_eq;

    fn pair_of(name: &str) -> IsothermPair {
        find(name).unwrap().isotherm_pair().expect("a kernel part")
    }

    /// Every crop of whose kernel something is known.
    fn pairs() -> impl Iterator<Item = (&'static str, IsothermPair)> {
        let known = |crop: &'static Crop| Some((crop.name(), crop.isotherm_pair()?));
        all().iter().filter_map(known)
    }

    #[test]
    fn kernel_and_in_shell_invert_each_other() {
        assert!(pairs().count() > 1);
        for (_, pair) in pairs() {
            for t in [10.0, 20.0, 25.0, 40.0, 60.0] {
                for a in [0.05, 0.1, 0.25, 0.5, 0.7, 0.9, 0.95] {
                    let nut = pair.at(t, a).unwrap();
                    let by_kernel = pair.of_kernel(t, nut.kernel).unwrap();
                    let by_nut = pair.of_in_shell(t, nut.in_shell).unwrap();
                    assert_relative_eq!(by_kernel.in_shell, nut.in_shell, max_relative = 1e-9);
                    assert_relative_eq!(by_nut.kernel, nut.kernel, max_relative = 1e-9);
                    assert_relative_eq!(by_nut.water_activity, a, max_relative = 1e-9);
                }
            }
        }
    }

    #[test]
    fn the_parts_make_the_whole_and_the_shell_is_damper_than_the_kernel() {
        for (name, pair) in pairs() {
            let share = pair.kernel_share;
            for t in [10.0, 25.0, 40.0, 60.0] {
                for a in [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85] {
                    let nut = pair.at(t, a).unwrap();
                    let whole = share * nut.kernel + (1.0 - share) * nut.shell;
                    assert_relative_eq!(whole, nut.in_shell, max_relative = 1e-12);
                    assert!(
                        nut.shell > nut.kernel,
                        "{name} at {t} °C, {a}: shell {}, kernel {}",
                        nut.shell,
                        nut.kernel
                    );
                }
            }
        }
    }

    #[test]
    fn what_the_pair_does_not_reach_is_refused_with_what_it_does() {
        let pair = pair_of("macadamia");
        for pct in [0.0, 0.1, 25.0, 99.0] {
            let told = pair.of_kernel(25.0, dry_basis_of_percent(pct)).unwrap_err();
            assert!(matches!(told, PairError::Unreachable { .. }), "{told}");
            assert!(told.to_string().contains("0.05"), "{told}");
        }
        for moisture in [f64::NAN, f64::INFINITY, -0.1] {
            assert!(pair.of_kernel(25.0, moisture).is_err());
            assert!(pair.of_in_shell(25.0, moisture).is_err());
            assert!(pair.at(25.0, moisture).is_err());
        }
        assert!(pair.of_kernel(f64::NAN, 0.015).is_err());
    }

    #[test]
    fn curves_that_contradict_each_other_are_refused() {
        let walnut = pair_of("walnut");
        let swapped = IsothermPair { in_shell: walnut.kernel, kernel: walnut.in_shell, kernel_share: 0.9 };
        let told = swapped.at(25.0, 0.5).unwrap_err();
        assert!(matches!(told, PairError::Contradiction { .. }), "{told}");
    }
}
