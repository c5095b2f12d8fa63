//! Gas or diesel, indirect: the flue gas heats the air through a wall.

use super::{Conditions, Draw, HeatSource};

/// An indirect burner.
#[derive(Clone, Debug, PartialEq)]
pub struct Burner {
    /// Carrier it burns, by its name in the study.
    pub carrier: String,
    /// Heat to the air over fuel energy, on the net (lower) heating value.
    pub efficiency: f64,
    /// Electricity of burner, pump and combustion fan per heat given, kW/kW.
    pub electricity_share: f64,
}

impl HeatSource for Burner {
    fn words(&self) -> &'static str {
        "indirect burner"
    }

    fn draw(&self, heat_kw: f64, _: &Conditions) -> Draw {
        Draw {
            heat_kw,
            electricity_kw: heat_kw * self.electricity_share,
            fuel_kw: heat_kw / self.efficiency,
            water_kg_per_h: 0.0,
            charged_kw: 0.0,
        }
    }

    fn fuel(&self) -> Option<&str> {
        Some(&self.carrier)
    }

    fn gives_at_will(&self) -> bool {
        true
    }
}
