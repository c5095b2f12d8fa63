//! Heat sources: one file per kind, and the stack that calls on them in order.

mod biomass;
mod burner;
mod heat_pump;
mod resistance;
mod stack;

pub use biomass::Biomass;
pub use burner::Burner;
pub use heat_pump::HeatPump;
pub use resistance::Resistance;
pub use stack::{Given, Stack};

/// What an hour is like for a source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Outside dry bulb, °C.
    pub outside_c: f64,
    /// Outside relative humidity, fraction.
    pub outside_relative_humidity: f64,
    /// Temperature of the air that the source heats, as it leaves the source, °C.
    pub supply_c: f64,
}

/// What a source takes in to give heat. Powers are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Draw {
    /// Heat given to the air, kW.
    pub heat_kw: f64,
    /// Electricity, kW: all of it for a resistance, drives and fans for a burner.
    pub electricity_kw: f64,
    /// Energy of the fuel burnt, kW, on the net (lower) heating value.
    pub fuel_kw: f64,
}

/// One heater.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Name in the study.
    pub name: String,
    /// Heat it can give at its rating, kW.
    pub capacity_kw: f64,
    /// What kind it is, and what goes with the kind.
    pub kind: Kind,
}

/// The kinds of source.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// Electric resistance.
    Resistance(Resistance),
    /// Gas or diesel, indirect: flue gas and air apart.
    Burner(Burner),
    /// Shell, husk, chip or pellet.
    Biomass(Biomass),
    /// Air-source heat pump.
    HeatPump(HeatPump),
}

impl Source {
    /// The most heat it can give under these conditions, kW, with `fuel_left_kwh` of its own supply
    /// left for a step of `hours` (infinite where the supply has no limit).
    pub fn most_kw(&self, now: &Conditions, fuel_left_kwh: f64, hours: f64) -> f64 {
        match &self.kind {
            Kind::Resistance(_) | Kind::Burner(_) => self.capacity_kw,
            Kind::Biomass(biomass) => biomass.most_kw(self.capacity_kw, fuel_left_kwh, hours),
            Kind::HeatPump(pump) => pump.most_kw(self.capacity_kw, now),
        }
    }

    /// What it takes to give `heat_kw` under these conditions.
    pub fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw {
        match &self.kind {
            Kind::Resistance(Resistance) => Resistance::draw(heat_kw),
            Kind::Burner(burner) => burner.draw(heat_kw),
            Kind::Biomass(biomass) => biomass.draw(heat_kw),
            Kind::HeatPump(pump) => pump.draw(heat_kw, now),
        }
    }

    /// Name of the carrier it burns; `None` if it takes electricity alone.
    pub fn fuel(&self) -> Option<&str> {
        match &self.kind {
            Kind::Resistance(_) | Kind::HeatPump(_) => None,
            Kind::Burner(burner) => Some(&burner.carrier),
            Kind::Biomass(biomass) => Some(&biomass.carrier),
        }
    }

    /// Fuel energy its own supply holds for a season, kWh; infinite where the supply has no limit.
    pub fn own_supply_kwh(&self) -> f64 {
        match &self.kind {
            Kind::Biomass(biomass) => biomass.own_supply_kwh.unwrap_or(f64::INFINITY),
            _ => f64::INFINITY,
        }
    }
}
