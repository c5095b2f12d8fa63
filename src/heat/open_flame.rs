//! Gas or diesel, direct: the flame burns in the drying air.
//!
//! All that burns goes through the nuts: water, carbon dioxide, and what an ill-kept flame leaves
//! (soot, oxides of nitrogen, traces that settle on the shell). Whether that is allowed is a matter of
//! the product, its buyers and the law of the place; it is not for this reckoning to say.

use super::{Conditions, Draw, HeatSource};

/// A direct burner.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenFlame {
    /// Carrier it burns, by its name in the study.
    pub carrier: String,
    /// Heat to the air over fuel energy, on the net (lower) heating value: the water it makes leaves as
    /// vapour, so that the lower value is the one that warms.
    pub efficiency: f64,
    /// Electricity of burner and combustion fan per heat given, kW/kW.
    pub electricity_share: f64,
    /// Water it makes per fuel energy on the lower heating value, kg/kWh: 0.127 for propane, 0.162 for
    /// methane, about 0.099 for diesel.
    pub water_kg_per_kwh: f64,
}

impl HeatSource for OpenFlame {
    fn words(&self) -> &'static str {
        "direct burner, whose flue gas passes the nuts"
    }

    fn draw(&self, heat_kw: f64, _: &Conditions) -> Draw {
        let fire = Draw::of_fire(heat_kw, self.electricity_share, self.efficiency);
        Draw { water_kg_per_h: fire.fuel_kw * self.water_kg_per_kwh, ..fire }
    }

    fn fuel(&self) -> Option<&str> {
        Some(&self.carrier)
    }

    fn moves_water(&self) -> bool {
        true
    }
}
