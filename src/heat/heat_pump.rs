//! Air-source heat pump: outside air is its source, the drying air its sink.

use super::pump_table::PumpTable;
use super::{Conditions, Draw, FreeHeat, HeatSource, Left, Origin};
use std::sync::Arc;

/// An air-source heat pump as a fraction of Carnot between its evaporating and condensing
/// temperatures, or by its maker's table.
///
/// COP = f T_c / (T_c - T_e), with T_c = supply air + `sink_approach_k` and T_e = outside air -
/// `source_approach_k`, in kelvin: the ideal cycle's coefficient (any thermodynamics text) times a
/// stated fraction.
#[derive(Clone, Debug, PartialEq)]
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
    /// Its maker's figures, which stand in for all of the above where there are any.
    pub table: Option<Arc<PumpTable>>,
}

/// Frost forms on the evaporator below this outside temperature in damp air, °C (common practice, no
/// published source).
const FROST_BELOW_C: f64 = 5.0;
/// ... and above this relative humidity.
const FROST_ABOVE_HUMIDITY: f64 = 0.7;
/// Capacity stays within these multiples of the rated one.
const CAPACITY_BOUNDS: (f64, f64) = (0.4, 1.3);

impl HeatPump {
    /// A usual one, where nothing is known of it. Assumptions: real heat pumps reach 0.4..0.55 of Carnot (cycles
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
        table: None,
    };

    /// Heat given over electricity taken under these conditions.
    pub fn cop(&self, now: &Conditions) -> f64 {
        if let Some(table) = &self.table {
            return table.cop(now.outside.dry_bulb_c, now.supply_c);
        }
        let sink_k = now.supply_c + self.sink_approach_k + 273.15;
        let source_k = now.outside.dry_bulb_c - self.source_approach_k + 273.15;
        let carnot = sink_k / (sink_k - source_k).max(1.0);
        let cop = (self.carnot_fraction * carnot).min(self.cop_max);
        (cop * self.frost(now)).max(1.0)
    }

    fn frost(&self, now: &Conditions) -> f64 {
        let frosts = now.outside.dry_bulb_c < FROST_BELOW_C && now.outside_relative_humidity > FROST_ABOVE_HUMIDITY;
        if frosts { self.frost_factor } else { 1.0 }
    }
}

impl HeatSource for HeatPump {
    fn words(&self) -> &'static str {
        "air-source heat pump"
    }

    fn most_kw(&self, capacity_kw: f64, now: &Conditions, _: Left) -> f64 {
        if let Some(table) = &self.table {
            // The rating is the table's largest figure, and a plant grown to more has more of such units.
            let here_kw = table.capacity_kw(now.outside.dry_bulb_c, now.supply_c);
            return capacity_kw * here_kw / table.largest_kw();
        }
        let by_source = 1.0 + self.capacity_per_k * (now.outside.dry_bulb_c - self.rated_outside_c);
        capacity_kw * by_source.clamp(CAPACITY_BOUNDS.0, CAPACITY_BOUNDS.1) * self.frost(now)
    }

    fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw {
        Draw { heat_kw, electricity_kw: heat_kw / self.cop(now), ..Draw::default() }
    }

    fn origin(&self) -> Origin<'_> {
        Origin::Of(FreeHeat::OutsideAir)
    }

    fn gives_at_will(&self) -> bool {
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::AirState;
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
            table: None,
        }
    }

    fn at(outside_c: f64, humidity: f64) -> Conditions {
        Conditions {
            outside: AirState { dry_bulb_c: outside_c, humidity_ratio: 0.005 },
            outside_relative_humidity: humidity,
            supply_c: 38.0,
            ..Conditions::default()
        }
    }

    #[test]
    fn cop_is_a_fraction_of_carnot() {
        // 46 °C condensing, 7 °C evaporating: Carnot 319.15 / 39.
        assert_relative_eq!(pump().cop(&at(15.0, 0.5)), 0.45 * 319.15 / 39.0, max_relative = 1e-12);
    }

    #[test]
    fn cold_air_gives_less_and_costs_more() {
        assert!(pump().cop(&at(5.0, 0.5)) < pump().cop(&at(20.0, 0.5)));
        assert!(pump().most_kw(100.0, &at(5.0, 0.5), Left::NO_LIMIT) < 100.0);
        assert_relative_eq!(pump().most_kw(100.0, &at(15.0, 0.5), Left::NO_LIMIT), 100.0);
        assert!(pump().cop(&at(3.0, 0.9)) < 0.95 * pump().cop(&at(3.0, 0.5)));
        assert!(pump().cop(&at(60.0, 0.2)) <= 6.0);
    }

    #[test]
    fn a_makers_table_stands_in_for_the_fraction_of_carnot() {
        let point =
            |outside_c, capacity_kw, cop| super::super::PumpPoint { outside_c, supply_c: 40.0, capacity_kw, cop };
        let table = PumpTable::of_points(&[point(0.0, 45.0, 2.8), point(20.0, 60.0, 4.2)]).unwrap();
        let pump = HeatPump { table: Some(Arc::new(table)), ..pump() };
        // No frost on top of what the table says; twice the rating gives twice the heat.
        assert_relative_eq!(pump.cop(&at(0.0, 0.9)), 2.8);
        assert_relative_eq!(pump.most_kw(60.0, &at(0.0, 0.9), Left::NO_LIMIT), 45.0);
        assert_relative_eq!(pump.most_kw(120.0, &at(10.0, 0.5), Left::NO_LIMIT), 105.0);
    }
}
