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
        Draw::of_fire(heat_kw, self.electricity_share, self.efficiency)
    }

    fn fuel(&self) -> Option<&str> {
        Some(&self.carrier)
    }

    fn gives_at_will(&self) -> bool {
        true
    }
}
