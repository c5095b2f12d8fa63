//! Air-source heat pump: outside air is its source, the drying air its sink.

use super::{Conditions, Draw};

/// An air-source heat pump as a fraction of Carnot between its evaporating and condensing
/// temperatures.
///
/// COP = f T_c / (T_c - T_e), with T_c = supply air + `sink_approach_k` and T_e = outside air -
/// `source_approach_k`, in kelvin: the ideal cycle's coefficient (any thermodynamics text) times a
/// stated fraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeatPump {
    /// Fraction of Carnot reached, all auxiliaries counted.
    pub carnot_fraction: f64,
    /// Condensing temperature above the air it heats, K.
    pub sink_approach_k: f64,
    /// Evaporating temperature below outside air, K.
    pub source_approach_k: f64,
    /// COP is held at this where the lift is small.
    pub cop_max: f64,
    /// Outside temperature at which the capacity is the rated one, °C.
    pub rated_outside_c: f64,
    /// Change of capacity per kelvin of outside temperature, as a fraction of the rated one.
    pub capacity_per_k: f64,
    /// Capacity and COP are multiplied by this while frost forms.
    pub frost_factor: f64,
}

/// Frost forms on the evaporator below this outside temperature in damp air, °C (common practice, no
/// published source).
const FROST_BELOW_C: f64 = 5.0;
/// ... and above this relative humidity.
const FROST_ABOVE_HUMIDITY: f64 = 0.7;
/// Capacity stays within these multiples of the rated one.
const CAPACITY_BOUNDS: (f64, f64) = (0.4, 1.3);

impl HeatPump {
    /// A usual one, where nothing is known of it. Assumptions: real units reach 0.4..0.55 of Carnot (cycles
    /// computed with CoolProp give 0.46..0.59 for the compressor alone), condense 10 K above the air they
    /// heat and evaporate 8 K below outside air.
    pub const USUAL: Self = Self {
        carnot_fraction: 0.45,
        sink_approach_k: 10.0,
        source_approach_k: 8.0,
        cop_max: 6.0,
        rated_outside_c: 15.0,
        capacity_per_k: 0.02,
        frost_factor: 0.9,
    };

    /// Heat given over electricity taken under these conditions.
    pub fn cop(&self, now: &Conditions) -> f64 {
        let sink_k = now.supply_c + self.sink_approach_k + 273.15;
        let source_k = now.outside.dry_bulb_c - self.source_approach_k + 273.15;
        let carnot = sink_k / (sink_k - source_k).max(1.0);
        let cop = (self.carnot_fraction * carnot).min(self.cop_max);
        (cop * self.frost(now)).max(1.0)
    }

    pub(super) fn most_kw(&self, capacity_kw: f64, now: &Conditions) -> f64 {
        let by_source = 1.0 + self.capacity_per_k * (now.outside.dry_bulb_c - self.rated_outside_c);
        capacity_kw * by_source.clamp(CAPACITY_BOUNDS.0, CAPACITY_BOUNDS.1) * self.frost(now)
    }

    pub(super) fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw {
        Draw {
            heat_kw,
            electricity_kw: heat_kw / self.cop(now),
            ..Draw::default()
        }
    }

    fn frost(&self, now: &Conditions) -> f64 {
        let frosts = now.outside.dry_bulb_c < FROST_BELOW_C
            && now.outside_relative_humidity > FROST_ABOVE_HUMIDITY;
        if frosts { self.frost_factor } else { 1.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::super::AirState;
    use super::*;
    use approx::assert_relative_eq;

    fn pump() -> HeatPump {
        HeatPump {
            carnot_fraction: 0.45,
            sink_approach_k: 8.0,
            source_approach_k: 8.0,
            cop_max: 6.0,
            rated_outside_c: 15.0,
            capacity_per_k: 0.02,
            frost_factor: 0.9,
        }
    }

    fn at(outside_c: f64, humidity: f64) -> Conditions {
        Conditions {
            outside: AirState {
                dry_bulb_c: outside_c,
                humidity_ratio: 0.005,
            },
            outside_relative_humidity: humidity,
            supply_c: 38.0,
            ..Conditions::default()
        }
    }

    #[test]
    fn cop_is_a_fraction_of_carnot() {
        // 46 °C condensing, 7 °C evaporating: Carnot 319.15 / 39.
        assert_relative_eq!(
            pump().cop(&at(15.0, 0.5)),
            0.45 * 319.15 / 39.0,
            max_relative = 1e-12
        );
    }

    #[test]
    fn cold_air_gives_less_and_costs_more() {
        assert!(pump().cop(&at(5.0, 0.5)) < pump().cop(&at(20.0, 0.5)));
        assert!(pump().most_kw(100.0, &at(5.0, 0.5)) < 100.0);
        assert_relative_eq!(pump().most_kw(100.0, &at(15.0, 0.5)), 100.0);
        assert!(pump().cop(&at(3.0, 0.9)) < 0.95 * pump().cop(&at(3.0, 0.5)));
        assert!(pump().cop(&at(60.0, 0.2)) <= 6.0);
    }
}
