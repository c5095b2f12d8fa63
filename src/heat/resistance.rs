//! Electric resistance in the airstream.

use super::{Conditions, Draw, HeatSource};

/// Electric resistance: every kilowatt-hour taken is a kilowatt-hour of heat, since leads and
/// elements stand in the air they warm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Resistance;

impl HeatSource for Resistance {
    fn words(&self) -> &'static str {
        "electric resistance"
    }

    fn draw(&self, heat_kw: f64, _: &Conditions) -> Draw {
        Draw { heat_kw, electricity_kw: heat_kw, fuel_kw: 0.0, water_kg_per_h: 0.0, charged_kw: 0.0 }
    }

    fn gives_at_will(&self) -> bool {
        true
    }
}
