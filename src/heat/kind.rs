//! The kinds of source, and what each says of itself: all that others ask of a kind stands in its own file.

use super::{
    Biomass, Burner, Collector, Conditions, Dehumidifier, Draw, Exchanger, FreeHeat, HeatPump,
    HeatStore, HotWater, OpenFlame, Resistance, WaterHeatPump,
};

/// What a source has left of what it lives on, for one step.
#[derive(Clone, Copy, Debug)]
pub struct Left {
    /// Fuel energy of its own supply, kWh (infinite where the supply has no limit); of a heat store, what it
    /// holds.
    pub kwh: f64,
    /// Length of the step, h.
    pub hours: f64,
}

impl Left {
    /// An hour of a source that lives on nothing of its own.
    pub const NO_LIMIT: Self = Self { kwh: f64::INFINITY, hours: 1.0 };
}

/// Where the heat comes from that a source gives beyond the energy it takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin<'a> {
    /// It has none.
    Nowhere,
    /// From here.
    Of(FreeHeat),
    /// From where the source of this name has it, which charges it.
    OfCharger(&'a str),
}

/// What a kind of source says of itself.
pub trait HeatSource {
    /// What it is called where people read.
    fn words(&self) -> &'static str;

    /// What it takes to give `heat_kw`, more than none, under these conditions.
    fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw;

    /// The most heat that one of this capacity gives, kW.
    fn most_kw(&self, capacity_kw: f64, now: &Conditions, left: Left) -> f64 {
        let _ = (now, left);
        capacity_kw
    }

    /// Name of the carrier it burns; `None` if it burns none.
    fn fuel(&self) -> Option<&str> {
        None
    }

    /// Fuel energy of the plant's own that it burns in a season and nothing else, kWh net; `None` where fuel is
    /// purchased at need.
    fn own_supply_kwh(&self) -> Option<f64> {
        None
    }

    /// Its own supply becomes so many times as large.
    fn grow_own_supply(&mut self, factor: f64) {
        let _ = factor;
    }

    /// Where its free heat comes from.
    fn origin(&self) -> Origin<'_> {
        Origin::Nowhere
    }

    /// True for one that gives what the hour offers: it is called on before all others, and warms the intake
    /// before them. What it takes drives a fan and warms nothing.
    fn is_passive(&self) -> bool {
        false
    }

    /// True for one that gives heat whenever it is asked, whatever the air: it may charge a heat store.
    fn gives_at_will(&self) -> bool {
        false
    }

    /// True for one that brings water into the air or takes it out.
    fn moves_water(&self) -> bool {
        false
    }

    /// True for one that condenses water out of the room's air: it needs air that comes back, and cannot start
    /// a cold room.
    fn dries_the_room(&self) -> bool {
        false
    }

    /// True for one that draws on the air that leaves: it stands in each room's own air.
    fn uses_exhaust(&self) -> bool {
        false
    }

    /// True for one that lives on the heat of the cool store's condensers.
    fn lifts_condenser_heat(&self) -> bool {
        false
    }

    /// The collector that the sun shines on.
    fn collector(&self) -> Option<&Collector> {
        None
    }

    /// The store that is charged by another source.
    fn store(&self) -> Option<&HeatStore> {
        None
    }

    /// The plant's own becomes so many times as large: what of the kind goes with size.
    fn grow(&mut self, factor: f64) {
        let _ = factor;
    }

    /// This share of it is left for another room in the same step: what of the kind is shared out.
    fn leave_share(&mut self, share: f64) {
        self.grow(share);
    }
}

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
