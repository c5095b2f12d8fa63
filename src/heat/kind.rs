//! The kinds of source.

use super::{
    Biomass, Burner, Collector, Dehumidifier, Exchanger, HeatPump, HeatSource, HeatStore, HotWater, OpenFlame,
    Resistance, WaterHeatPump,
};

/// The kinds of source.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// Electric resistance.
    Resistance(Resistance),
    /// Gas or diesel, indirect: flue gas and air apart.
    Burner(Burner),
    /// Gas or diesel, direct: the flame burns in the drying air.
    OpenFlame(OpenFlame),
    /// Shell, husk, chip or pellet.
    Biomass(Biomass),
    /// A coil in the air, fed with hot water by a boiler of its own.
    HotWater(HotWater),
    /// Air-source heat pump.
    HeatPump(HeatPump),
    /// Heat pump that lifts what the cool store's condensers reject into a water loop.
    WaterHeatPump(WaterHeatPump),
    /// Heat pump that condenses the room's water.
    Dehumidifier(Dehumidifier),
    /// Exhaust-to-intake heat exchanger.
    Exchanger(Exchanger),
    /// Roof or collector that preheats fresh air with the sun.
    Collector(Collector),
    /// Tank of hot water or bed of pebbles, charged by another source.
    HeatStore(HeatStore),
}

/// The same for a kind and for one that is to be changed.
macro_rules! of_kind {
    ($kind:expr) => {
        match $kind {
            Kind::Resistance(one) => one,
            Kind::Burner(one) => one,
            Kind::OpenFlame(one) => one,
            Kind::Biomass(one) => one,
            Kind::HotWater(one) => one,
            Kind::HeatPump(one) => one,
            Kind::WaterHeatPump(one) => one,
            Kind::Dehumidifier(one) => one,
            Kind::Exchanger(one) => one,
            Kind::Collector(one) => one,
            Kind::HeatStore(one) => one,
        }
    };
}

impl Kind {
    /// What it says of itself.
    pub fn says(&self) -> &dyn HeatSource {
        of_kind!(self)
    }

    pub(super) fn says_mut(&mut self) -> &mut dyn HeatSource {
        of_kind!(self)
    }
}

#[cfg(test)]
mod tests;
