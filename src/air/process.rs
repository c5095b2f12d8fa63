//! What is done to air: mixing and heating.

use super::error::AirError;
use super::saturation::saturation_humidity_ratio;
use super::state::{MoistAir, dry_bulb_of_enthalpy_c, enthalpy_kj_per_kg, liquid_water_enthalpy_kj_per_kg};

/// A flow of moist air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stream {
    /// The air's state.
    pub air: MoistAir,
    /// Flow, kg of dry air per second.
    pub dry_air_kg_per_s: f64,
}

/// Adiabatic mixing of two streams at the pressure of the first: dry air, water and enthalpy add up.
/// A mixture above saturation (two moist streams of different temperature) is returned saturated, at
/// the temperature that conserves enthalpy with the fog counted as liquid; the fog is then dropped.
pub fn mix(a: Stream, b: Stream) -> Result<Stream, AirError> {
    let flow = a.dry_air_kg_per_s + b.dry_air_kg_per_s;
    if flow <= 0.0 {
        return Ok(Stream { air: a.air, dry_air_kg_per_s: 0.0 });
    }
    let share = a.dry_air_kg_per_s / flow;
    let blend = |x: f64, y: f64| share * x + (1.0 - share) * y;
    let pressure_pa = a.air.pressure_pa();
    let humidity_ratio = blend(a.air.humidity_ratio(), b.air.humidity_ratio());
    let enthalpy = blend(a.air.enthalpy_kj_per_kg(), b.air.enthalpy_kj_per_kg());
    let dry_bulb_c = dry_bulb_of_enthalpy_c(enthalpy, humidity_ratio);
    let air = if humidity_ratio <= saturation_humidity_ratio(dry_bulb_c, pressure_pa) {
        MoistAir::from_humidity_ratio(dry_bulb_c, humidity_ratio, pressure_pa)?
    } else {
        let t = saturated_at_enthalpy_c(enthalpy, humidity_ratio, pressure_pa, dry_bulb_c);
        MoistAir::from_relative_humidity(t, 1.0, pressure_pa)?
    };
    Ok(Stream { air, dry_air_kg_per_s: flow })
}

/// Temperature, °C, at which saturated air and its fog hold this enthalpy together.
fn saturated_at_enthalpy_c(enthalpy: f64, water: f64, pressure_pa: f64, above_c: f64) -> f64 {
    let held = |t: f64| {
        let vapour = saturation_humidity_ratio(t, pressure_pa).min(water);
        enthalpy_kj_per_kg(t, vapour) + (water - vapour) * liquid_water_enthalpy_kj_per_kg(t)
    };
    let (mut low, mut high) = (above_c, above_c + 40.0);
    for _ in 0..80 {
        let t = 0.5 * (low + high);
        if held(t) > enthalpy {
            high = t;
        } else {
            low = t;
        }
    }
    0.5 * (low + high)
}

/// Heat to bring air to `to_c` at constant humidity ratio, kJ per kg of dry air; zero for air that is
/// already as warm.
pub fn heat_to(air: &MoistAir, to_c: f64) -> f64 {
    (enthalpy_kj_per_kg(to_c, air.humidity_ratio()) - air.enthalpy_kj_per_kg()).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn air(t: f64, rh: f64) -> MoistAir {
        MoistAir::from_relative_humidity(t, rh, 101_325.0).unwrap()
    }

    #[test]
    fn mixing_conserves_water_and_enthalpy() {
        let a = Stream { air: air(5.0, 0.4), dry_air_kg_per_s: 2.0 };
        let b = Stream { air: air(35.0, 0.5), dry_air_kg_per_s: 3.0 };
        let m = mix(a, b).unwrap();
        assert_relative_eq!(m.dry_air_kg_per_s, 5.0);
        assert_relative_eq!(
            m.air.humidity_ratio() * 5.0,
            a.air.humidity_ratio() * 2.0 + b.air.humidity_ratio() * 3.0,
            max_relative = 1e-12
        );
        assert_relative_eq!(
            m.air.enthalpy_kj_per_kg() * 5.0,
            a.air.enthalpy_kj_per_kg() * 2.0 + b.air.enthalpy_kj_per_kg() * 3.0,
            max_relative = 1e-12
        );
    }

    #[test]
    fn fog_comes_back_as_saturated_air() {
        let cold = Stream { air: air(-10.0, 1.0), dry_air_kg_per_s: 1.0 };
        let warm = Stream { air: air(35.0, 1.0), dry_air_kg_per_s: 1.0 };
        let m = mix(cold, warm).unwrap();
        assert_relative_eq!(m.air.relative_humidity(), 1.0, max_relative = 1e-9);
        assert!(m.air.dry_bulb_c() > 12.5 && m.air.dry_bulb_c() < 25.0);
    }

    #[test]
    fn heating_air_that_is_warm_enough_costs_nothing() {
        assert_eq!(heat_to(&air(40.0, 0.2), 38.0), 0.0);
        assert!(heat_to(&air(20.0, 0.6), 38.0) > 18.0);
    }
}
