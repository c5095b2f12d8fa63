//! One state of moist air and its properties.

use super::constants::{CP_DRY_AIR, CP_LIQUID_WATER, CP_VAPOUR, LATENT_AT_ZERO, RATIO_OF_MOLAR_MASSES};
use super::error::AirError;
use super::saturation::{
    dew_point_of_vapour_c, humidity_ratio_of_vapour, saturation_humidity_ratio, saturation_pressure_pa,
    vapour_pressure_pa,
};
use super::wet_bulb::{humidity_ratio_at_wet_bulb, wet_bulb_c};

/// Range of dry-bulb temperature, °C, in which this room's functions are used and tested.
pub const DRY_BULB_RANGE_C: (f64, f64) = (-60.0, 100.0);
/// Range of total pressure, Pa.
pub const PRESSURE_RANGE_PA: (f64, f64) = (50_000.0, 110_000.0);

const GAS_CONSTANT_DRY_AIR: f64 = 0.287042; // kJ/(kg K), ASHRAE Fundamentals 2017 ch. 1 eq. 26
const KELVIN: f64 = 273.15;

/// Enthalpy of moist air, kJ per kg of dry air: h = 1.006 t + w (2501 + 1.86 t)
/// (ASHRAE Fundamentals 2017 ch. 1 eq. 30).
#[inline(always)]
pub fn enthalpy_kj_per_kg(dry_bulb_c: f64, humidity_ratio: f64) -> f64 {
    CP_DRY_AIR * dry_bulb_c + humidity_ratio * (LATENT_AT_ZERO + CP_VAPOUR * dry_bulb_c)
}

/// Dry bulb, °C, of air with this enthalpy and humidity ratio (the same equation, inverted).
pub fn dry_bulb_of_enthalpy_c(enthalpy_kj_per_kg: f64, humidity_ratio: f64) -> f64 {
    (enthalpy_kj_per_kg - humidity_ratio * LATENT_AT_ZERO) / (CP_DRY_AIR + humidity_ratio * CP_VAPOUR)
}

/// Enthalpy of liquid water, kJ/kg, on the same zero as [`enthalpy_kj_per_kg`].
pub fn liquid_water_enthalpy_kj_per_kg(t_c: f64) -> f64 {
    CP_LIQUID_WATER * t_c
}

/// A state of moist air: dry bulb, humidity ratio and pressure, checked when made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoistAir {
    dry_bulb_c: f64,
    humidity_ratio: f64,
    pressure_pa: f64,
}

fn check(dry_bulb_c: f64, pressure_pa: f64) -> Result<(), AirError> {
    if !(DRY_BULB_RANGE_C.0..=DRY_BULB_RANGE_C.1).contains(&dry_bulb_c) {
        return Err(AirError::DryBulb(dry_bulb_c));
    }
    if !(PRESSURE_RANGE_PA.0..=PRESSURE_RANGE_PA.1).contains(&pressure_pa) {
        return Err(AirError::Pressure(pressure_pa));
    }
    Ok(())
}

impl MoistAir {
    /// From dry bulb (°C), relative humidity (fraction 0..1) and pressure (Pa).
    pub fn from_relative_humidity(dry_bulb_c: f64, relative_humidity: f64, pressure_pa: f64) -> Result<Self, AirError> {
        check(dry_bulb_c, pressure_pa)?;
        if !(0.0..=1.0).contains(&relative_humidity) {
            return Err(AirError::RelativeHumidity(relative_humidity));
        }
        let vapour_pa = relative_humidity * saturation_pressure_pa(dry_bulb_c);
        Self::from_vapour(dry_bulb_c, vapour_pa, pressure_pa)
    }

    /// From dry bulb (°C), dew point (°C, at most the dry bulb) and pressure (Pa).
    pub fn from_dew_point(dry_bulb_c: f64, dew_point_c: f64, pressure_pa: f64) -> Result<Self, AirError> {
        check(dry_bulb_c, pressure_pa)?;
        if !(-100.0..=dry_bulb_c).contains(&dew_point_c) {
            return Err(AirError::DewPoint { dew_point_c, dry_bulb_c });
        }
        Self::from_vapour(dry_bulb_c, saturation_pressure_pa(dew_point_c), pressure_pa)
    }

    /// From dry bulb (°C), thermodynamic wet bulb (°C, at most the dry bulb) and pressure (Pa);
    /// ASHRAE Fundamentals (2017) ch. 1 eq. 33 (water) and eq. 35 (ice).
    pub fn from_wet_bulb(dry_bulb_c: f64, wet_bulb_c: f64, pressure_pa: f64) -> Result<Self, AirError> {
        check(dry_bulb_c, pressure_pa)?;
        let refused = AirError::WetBulb { wet_bulb_c, dry_bulb_c };
        if !(DRY_BULB_RANGE_C.0..=dry_bulb_c).contains(&wet_bulb_c) {
            return Err(refused);
        }
        let humidity_ratio = humidity_ratio_at_wet_bulb(dry_bulb_c, wet_bulb_c, pressure_pa);
        if !humidity_ratio.is_finite() || humidity_ratio < 0.0 {
            return Err(refused);
        }
        Self::from_humidity_ratio(dry_bulb_c, humidity_ratio, pressure_pa)
    }

    /// From dry bulb (°C), humidity ratio (kg/kg, at most saturation) and pressure (Pa).
    pub fn from_humidity_ratio(dry_bulb_c: f64, humidity_ratio: f64, pressure_pa: f64) -> Result<Self, AirError> {
        check(dry_bulb_c, pressure_pa)?;
        let saturated = saturation_humidity_ratio(dry_bulb_c, pressure_pa);
        // A whisker of rounding above saturation is saturation, not an error.
        if !humidity_ratio.is_finite() || humidity_ratio < 0.0 || humidity_ratio > saturated * (1.0 + 1e-9) {
            return Err(AirError::HumidityRatio { found: humidity_ratio, saturated });
        }
        Ok(Self { dry_bulb_c, humidity_ratio: humidity_ratio.min(saturated), pressure_pa })
    }

    fn from_vapour(dry_bulb_c: f64, vapour_pa: f64, pressure_pa: f64) -> Result<Self, AirError> {
        if vapour_pa >= pressure_pa {
            return Err(AirError::Boiling { vapour_pa, pressure_pa });
        }
        Ok(Self { dry_bulb_c, humidity_ratio: humidity_ratio_of_vapour(vapour_pa, pressure_pa), pressure_pa })
    }

    /// Dry-bulb temperature, °C.
    pub fn dry_bulb_c(&self) -> f64 {
        self.dry_bulb_c
    }

    /// Humidity ratio, kg of water per kg of dry air.
    pub fn humidity_ratio(&self) -> f64 {
        self.humidity_ratio
    }

    /// Total pressure, Pa.
    pub fn pressure_pa(&self) -> f64 {
        self.pressure_pa
    }

    /// Partial pressure of the water vapour, Pa.
    pub fn vapour_pressure_pa(&self) -> f64 {
        vapour_pressure_pa(self.humidity_ratio, self.pressure_pa)
    }

    /// Relative humidity, fraction 0..1 (ASHRAE Fundamentals 2017 ch. 1 eq. 22).
    pub fn relative_humidity(&self) -> f64 {
        (self.vapour_pressure_pa() / saturation_pressure_pa(self.dry_bulb_c)).min(1.0)
    }

    /// Dew point, °C; `None` for air too dry to have one above -100 °C.
    pub fn dew_point_c(&self) -> Option<f64> {
        dew_point_of_vapour_c(self.vapour_pressure_pa()).map(|t| t.min(self.dry_bulb_c))
    }

    /// Enthalpy, kJ per kg of dry air.
    pub fn enthalpy_kj_per_kg(&self) -> f64 {
        enthalpy_kj_per_kg(self.dry_bulb_c, self.humidity_ratio)
    }

    /// Specific volume, m³ per kg of dry air (ASHRAE Fundamentals 2017 ch. 1 eq. 26).
    pub fn specific_volume_m3_per_kg(&self) -> f64 {
        GAS_CONSTANT_DRY_AIR * (self.dry_bulb_c + KELVIN) * (1.0 + self.humidity_ratio / RATIO_OF_MOLAR_MASSES)
            / (self.pressure_pa / 1000.0)
    }

    /// Density of the moist air, kg/m³.
    pub fn density_kg_per_m3(&self) -> f64 {
        (1.0 + self.humidity_ratio) / self.specific_volume_m3_per_kg()
    }

    /// Thermodynamic wet bulb, °C, to 1e-9 K.
    pub fn wet_bulb_c(&self) -> f64 {
        wet_bulb_c(self.dry_bulb_c, self.humidity_ratio, self.pressure_pa)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const SEA_LEVEL: f64 = 101_325.0;

    #[test]
    fn every_pair_gives_the_same_state() {
        for (t, rh) in [(-20.0, 0.8), (2.0, 0.3), (25.0, 0.5), (38.0, 0.21), (60.0, 0.95)] {
            let air = MoistAir::from_relative_humidity(t, rh, SEA_LEVEL).unwrap();
            let by_dew = MoistAir::from_dew_point(t, air.dew_point_c().unwrap(), SEA_LEVEL).unwrap();
            let by_wet = MoistAir::from_wet_bulb(t, air.wet_bulb_c(), SEA_LEVEL).unwrap();
            let by_ratio = MoistAir::from_humidity_ratio(t, air.humidity_ratio(), SEA_LEVEL).unwrap();
            for other in [by_dew, by_wet, by_ratio] {
                assert_relative_eq!(other.humidity_ratio(), air.humidity_ratio(), max_relative = 1e-6);
                assert_relative_eq!(other.relative_humidity(), rh, max_relative = 1e-6);
            }
        }
    }

    #[test]
    fn enthalpy_inverts() {
        let h = enthalpy_kj_per_kg(38.0, 0.012);
        assert_relative_eq!(dry_bulb_of_enthalpy_c(h, 0.012), 38.0, max_relative = 1e-12);
    }

    #[test]
    fn impossible_states_are_errors_not_nan() {
        assert!(MoistAir::from_relative_humidity(f64::NAN, 0.5, SEA_LEVEL).is_err());
        assert!(MoistAir::from_relative_humidity(20.0, 1.01, SEA_LEVEL).is_err());
        assert!(MoistAir::from_relative_humidity(20.0, 0.5, 900.0).is_err());
        assert!(MoistAir::from_relative_humidity(100.0, 1.0, SEA_LEVEL).is_err());
        assert!(MoistAir::from_dew_point(20.0, 20.1, SEA_LEVEL).is_err());
        assert!(MoistAir::from_wet_bulb(20.0, 0.0, SEA_LEVEL).is_err());
        assert!(MoistAir::from_humidity_ratio(20.0, 0.02, SEA_LEVEL).is_err());
        assert!(MoistAir::from_humidity_ratio(20.0, -1e-9, SEA_LEVEL).is_err());
    }

    #[test]
    fn dry_air_has_no_dew_point_but_a_wet_bulb() {
        let air = MoistAir::from_relative_humidity(40.0, 0.0, SEA_LEVEL).unwrap();
        assert_eq!(air.dew_point_c(), None);
        assert!(air.wet_bulb_c() > 5.0 && air.wet_bulb_c() < 20.0);
    }

    #[test]
    fn saturated_air_has_one_temperature() {
        let air = MoistAir::from_relative_humidity(20.0, 1.0, SEA_LEVEL).unwrap();
        assert_relative_eq!(air.wet_bulb_c(), 20.0, epsilon = 1e-6);
        assert_relative_eq!(air.dew_point_c().unwrap(), 20.0, epsilon = 1e-6);
    }
}
