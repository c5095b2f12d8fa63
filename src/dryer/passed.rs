//! Air that passed, summed so that means over it close a balance.

use crate::air::{AirState, dry_bulb_of_enthalpy_c};

/// Dry air that passed a place, with the water and the heat that it carried there. Both are in proportion to the
/// mass, so that over any time the mean state has the same water and enthalpy as all of it together.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Passed {
    /// Dry air, kg.
    pub dry_air_kg: f64,
    /// Water in it, kg.
    pub water_kg: f64,
    /// Enthalpy, kJ.
    pub enthalpy_kj: f64,
}

impl Passed {
    /// A flow in this state, kg of dry air per second, for so many hours.
    pub fn of(dry_air_kg_per_s: f64, air: AirState, hours: f64) -> Self {
        let dry_air_kg = dry_air_kg_per_s * hours * 3600.0;
        Self { dry_air_kg, water_kg: dry_air_kg * air.humidity_ratio, enthalpy_kj: dry_air_kg * air.enthalpy() }
    }

    /// More air with it.
    pub fn add(&mut self, more: &Self) {
        self.dry_air_kg += more.dry_air_kg;
        self.water_kg += more.water_kg;
        self.enthalpy_kj += more.enthalpy_kj;
    }

    /// The state with the mean enthalpy and the mean humidity; `None` where nothing passed.
    pub fn mean(&self) -> Option<AirState> {
        (self.dry_air_kg > 0.0).then(|| {
            let humidity_ratio = self.water_kg / self.dry_air_kg;
            let enthalpy = self.enthalpy_kj / self.dry_air_kg;
            AirState { dry_bulb_c: dry_bulb_of_enthalpy_c(enthalpy, humidity_ratio), humidity_ratio }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_mean_carries_what_all_of_it_carried() {
        let (warm, cold) = (
            AirState { dry_bulb_c: 40.0, humidity_ratio: 0.018 },
            AirState { dry_bulb_c: 10.0, humidity_ratio: 0.005 },
        );
        let mut all = Passed::of(0.3, warm, 0.25);
        all.add(&Passed::of(0.9, cold, 0.75));
        let mean = all.mean().unwrap();
        let whole = Passed::of(all.dry_air_kg / 3600.0, mean, 1.0);
        assert_relative_eq!(whole.water_kg, all.water_kg, max_relative = 1e-12);
        assert_relative_eq!(whole.enthalpy_kj, all.enthalpy_kj, max_relative = 1e-12);
        assert_eq!(Passed::default().mean(), None);
    }
}
