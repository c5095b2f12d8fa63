//! A heat pump that lifts what the cool store's condensers reject.
//!
//! The condensers give their heat to a water loop; the heat pump takes it from there and gives it to the
//! drying air hotter. Kept simple, within honest limits: the loop is held at one temperature, the
//! cooling units work as they do outdoors (a loop warmer than the outside would cost them more, a cooler
//! one less), and what the loop holds from one hour to the next is left out. It can give no more than
//! the condensers reject in the same hour and its own compressor.

use super::{Conditions, Draw, FreeHeat, HeatSource, Left, Origin};

/// A water-to-air heat pump on the condensers' loop, as a fraction of Carnot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterHeatPump {
    /// Fraction of Carnot reached, pumps counted.
    pub carnot_fraction: f64,
    /// Temperature of the loop, °C.
    pub loop_c: f64,
    /// Evaporating temperature below the loop, K.
    pub source_approach_k: f64,
    /// Condensing temperature above the air it heats, K.
    pub sink_approach_k: f64,
    /// COP is held at this where the lift is small.
    pub cop_max: f64,
}

impl WaterHeatPump {
    /// Heat given over electricity taken under these conditions; above 1.
    pub fn cop(&self, now: &Conditions) -> f64 {
        let sink_k = now.supply_c + self.sink_approach_k + 273.15;
        let source_k = self.loop_c - self.source_approach_k + 273.15;
        let carnot = sink_k / (sink_k - source_k).max(1.0);
        (self.carnot_fraction * carnot).clamp(1.01, self.cop_max.max(1.01))
    }
}

impl HeatSource for WaterHeatPump {
    fn words(&self) -> &'static str {
        "heat pump on the condensers' water"
    }

    fn most_kw(&self, capacity_kw: f64, now: &Conditions, _: Left) -> f64 {
        let cop = self.cop(now);
        capacity_kw.min(now.condenser_heat_kw * cop / (cop - 1.0))
    }

    fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw {
        Draw { heat_kw, electricity_kw: heat_kw / self.cop(now), ..Draw::default() }
    }

    fn origin(&self) -> Origin<'_> {
        Origin::Of(FreeHeat::CondenserWater)
    }

    fn lifts_condenser_heat(&self) -> bool {
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn it_gives_what_the_condensers_reject_and_its_compressor() {
        let pump = WaterHeatPump {
            carnot_fraction: 0.5,
            loop_c: 30.0,
            source_approach_k: 5.0,
            sink_approach_k: 8.0,
            cop_max: 8.0,
        };
        let now = Conditions { supply_c: 38.0, condenser_heat_kw: 20.0, ..Conditions::default() };
        let heat_kw = pump.most_kw(500.0, &now, Left::NO_LIMIT);
        let draw = pump.draw(heat_kw, &now);
        assert_relative_eq!(heat_kw - draw.electricity_kw, 20.0, max_relative = 1e-12);
        assert_relative_eq!(pump.cop(&now), 0.5 * 319.15 / 21.0, max_relative = 1e-12);
        assert_eq!(pump.most_kw(500.0, &Conditions { condenser_heat_kw: 0.0, ..now }, Left::NO_LIMIT), 0.0);
    }
}
