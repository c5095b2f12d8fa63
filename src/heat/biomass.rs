//! Biomass: shell, husk, chip or pellet, often the plant's own.

use super::{Conditions, Draw, HeatSource, Left};

/// A biomass heater.
#[derive(Clone, Debug, PartialEq)]
pub struct Biomass {
    /// Carrier it burns, by its name in the study.
    pub carrier: String,
    /// Heat to the air over fuel energy, on the net (lower) heating value.
    pub efficiency: f64,
    /// Electricity of feed and fans per heat given, kW/kW.
    pub electricity_share: f64,
    /// Fuel energy of the plant's own supply in a season, kWh net; `None` where fuel is purchased
    /// at need. When the supply is burnt the heater stands still.
    pub own_supply_kwh: Option<f64>,
}

impl HeatSource for Biomass {
    fn words(&self) -> &'static str {
        "biomass heater"
    }

    fn most_kw(&self, capacity_kw: f64, _: &Conditions, left: Left) -> f64 {
        capacity_kw.min(left.kwh.max(0.0) / left.hours * self.efficiency)
    }

    fn draw(&self, heat_kw: f64, _: &Conditions) -> Draw {
        Draw::of_fire(heat_kw, self.electricity_share, self.efficiency)
    }

    fn fuel(&self) -> Option<&str> {
        Some(&self.carrier)
    }

    fn own_supply_kwh(&self) -> Option<f64> {
        self.own_supply_kwh
    }

    fn grow_own_supply(&mut self, factor: f64) {
        if let Some(supply_kwh) = &mut self.own_supply_kwh {
            *supply_kwh *= factor;
        }
    }

    fn gives_at_will(&self) -> bool {
        true
    }
}
