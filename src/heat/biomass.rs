//! Biomass: shell, husk, chip or pellet, often the plant's own.

use super::Draw;

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

impl Biomass {
    pub(super) fn most_kw(&self, capacity_kw: f64, fuel_left_kwh: f64, hours: f64) -> f64 {
        capacity_kw.min(fuel_left_kwh.max(0.0) / hours * self.efficiency)
    }

    pub(super) fn draw(&self, heat_kw: f64) -> Draw {
        Draw {
            heat_kw,
            electricity_kw: heat_kw * self.electricity_share,
            fuel_kw: heat_kw / self.efficiency,
            water_kg_per_h: 0.0,
            charged_kw: 0.0,
        }
    }
}
