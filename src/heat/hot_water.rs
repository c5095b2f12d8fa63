//! A hot-water coil with a boiler of its own.

use super::{Conditions, Draw, HeatSource};

/// A coil in the air, the boiler that feeds it and what lies between.
#[derive(Clone, Debug, PartialEq)]
pub struct HotWater {
    /// Carrier the boiler burns, by its name in the study.
    pub carrier: String,
    /// Heat to the water over fuel energy, on the net (lower) heating value.
    pub boiler_efficiency: f64,
    /// Share of the boiler's heat that pipes and tank lose outside the plant.
    pub distribution_loss: f64,
    /// Electricity of pump and burner per heat given, kW/kW.
    pub electricity_share: f64,
}

impl HeatSource for HotWater {
    fn words(&self) -> &'static str {
        "hot-water coil with its own boiler"
    }

    fn draw(&self, heat_kw: f64, _: &Conditions) -> Draw {
        let efficiency = self.boiler_efficiency * (1.0 - self.distribution_loss);
        Draw::of_fire(heat_kw, self.electricity_share, efficiency)
    }

    fn fuel(&self) -> Option<&str> {
        Some(&self.carrier)
    }

    fn gives_at_will(&self) -> bool {
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn boiler_and_pipes_lose_one_after_the_other() {
        let coil = HotWater {
            carrier: "chips".into(),
            boiler_efficiency: 0.8,
            distribution_loss: 0.1,
            electricity_share: 0.02,
        };
        assert_relative_eq!(coil.draw(72.0, &Conditions::default()).fuel_kw, 100.0);
        assert_relative_eq!(coil.draw(72.0, &Conditions::default()).electricity_kw, 1.44);
    }
}
