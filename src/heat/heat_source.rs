//! What a kind of heat source says of itself: all that others ask of it.

use super::conditions::Conditions;
use std::ops::AddAssign;

/// What a source takes in to give heat. Powers are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Draw {
    /// Heat given to the air, kW.
    pub heat_kw: f64,
    /// Electricity, kW: all of it for a resistance, drives and fans for a burner.
    pub electricity_kw: f64,
    /// Energy of the fuel burnt, kW, on the net (lower) heating value.
    pub fuel_kw: f64,
    /// Water brought into the air, kg/h; less than zero where it is condensed out of it.
    pub water_kg_per_h: f64,
    /// Heat that went into a heat store, kW; zero for every other kind.
    pub charged_kw: f64,
}

impl Draw {
    /// Of a fire that gives this heat: so much electricity for each kW of it, and so much of the fuel's energy as heat.
    pub fn of_fire(heat_kw: f64, electricity_share: f64, efficiency: f64) -> Self {
        Self {
            heat_kw,
            electricity_kw: heat_kw * electricity_share,
            fuel_kw: heat_kw / efficiency,
            water_kg_per_h: 0.0,
            charged_kw: 0.0,
        }
    }

    /// What this draw has over another.
    #[must_use]
    pub fn over(&self, other: &Self) -> Self {
        Self {
            heat_kw: self.heat_kw - other.heat_kw,
            electricity_kw: self.electricity_kw - other.electricity_kw,
            fuel_kw: self.fuel_kw - other.fuel_kw,
            water_kg_per_h: self.water_kg_per_h - other.water_kg_per_h,
            charged_kw: self.charged_kw - other.charged_kw,
        }
    }
}

impl AddAssign for Draw {
    fn add_assign(&mut self, other: Self) {
        self.heat_kw += other.heat_kw;
        self.electricity_kw += other.electricity_kw;
        self.fuel_kw += other.fuel_kw;
        self.water_kg_per_h += other.water_kg_per_h;
        self.charged_kw += other.charged_kw;
    }
}

/// What a source took in and gave over some time.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Drawn {
    /// Heat given to the air, kWh.
    pub heat_kwh: f64,
    /// Electricity, kWh.
    pub electricity_kwh: f64,
    /// Energy of the fuel burnt, kWh on the net (lower) heating value.
    pub fuel_kwh: f64,
    /// Water brought into the air, kg; less than zero where it was condensed out of it.
    pub water_kg: f64,
    /// Heat that went into a heat store, kWh.
    pub charged_kwh: f64,
}

impl Drawn {
    /// Adds what was drawn for so many hours.
    pub fn add(&mut self, draw: &Draw, hours: f64) {
        self.heat_kwh += draw.heat_kw * hours;
        self.electricity_kwh += draw.electricity_kw * hours;
        self.fuel_kwh += draw.fuel_kw * hours;
        self.water_kg += draw.water_kg_per_h * hours;
        self.charged_kwh += draw.charged_kw * hours;
    }
}

/// Where the heat comes from that a source gives beyond the energy it takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FreeHeat {
    /// Outside air, cooled by a heat pump.
    OutsideAir,
    /// Air that leaves the plant and warms the fresh air.
    LeavingAir,
    /// The sun.
    Sun,
    /// The water of the cool store's condensers.
    CondenserWater,
    /// Water vapour of the drying air that is condensed in it.
    Vapour,
}

/// How a plane lies under the sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TiltedPlane {
    /// From the horizontal, degrees.
    pub tilt_deg: f64,
    /// Clockwise from north, degrees.
    pub azimuth_deg: f64,
}

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

/// Where a source has its free heat from.
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

    /// How the plane lies that the sun shines on; `None` for one without any.
    fn plane(&self) -> Option<TiltedPlane> {
        None
    }

    /// True for one that is charged by another source.
    fn is_store(&self) -> bool {
        false
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
