//! Heat sources: one file per kind, and the stack that calls on them.
//!
//! A source is asked for heat and says what it takes to give it. Passive ones (an exchanger, a
//! collector) give what the hour offers; the others give what is asked, between a least and a most.
//! Some bring water into the air with their heat, or take it out: an open flame, a dehumidifying heat
//! pump.

mod biomass;
mod burner;
mod collector;
mod conditions;
mod dehumidifier;
mod effectiveness;
mod exchanger;
mod free_heat;
mod heat_pump;
mod heat_store;
mod hot_water;
mod open_flame;
mod pump_table;
mod resistance;
mod stack;
mod water_heat_pump;

pub use biomass::Biomass;
pub use burner::Burner;
pub use collector::{Collector, RatedLine};
pub use conditions::{AirState, Conditions};
pub use dehumidifier::Dehumidifier;
pub use effectiveness::{Arrangement, effectiveness};
pub use exchanger::{Effectiveness, Exchange, Exchanger};
pub use free_heat::{Conversion, FreeHeat};
pub use heat_pump::HeatPump;
pub use heat_store::{HeatStore, Shifted};
pub use hot_water::HotWater;
pub use open_flame::OpenFlame;
pub use pump_table::{BadPumpTable, PumpPoint, PumpTable};
pub use resistance::Resistance;
pub use stack::{Dispatch, Given, Prices, Stack};
pub use water_heat_pump::WaterHeatPump;

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

/// One heater.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Name in the study.
    pub name: String,
    /// Heat it can give at its rating, kW.
    pub capacity_kw: f64,
    /// Least heat it gives while it runs, as a share of the capacity: its turndown. It is not called on
    /// for less while others can give it; if none can, it cycles within the hour. Must be zero for every source of a stack that moves
    /// water: what comes with the heat may not jump with it, or no state of the room need balance.
    pub minimum_load: f64,
    /// Hottest air that it can make, °C; it only preheats air that must be hotter.
    pub supply_max_c: Option<f64>,
    /// Place of the only room that it serves, from 0; `None` if it serves them all.
    pub room: Option<usize>,
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

impl Source {
    /// A source that cycles within the hour and makes air as hot as it must be.
    pub fn new(name: impl Into<String>, capacity_kw: f64, kind: Kind) -> Self {
        Self {
            name: name.into(),
            capacity_kw,
            minimum_load: 0.0,
            supply_max_c: None,
            room: None,
            kind,
        }
    }

    /// Makes it so many times as large: its capacity, and what of its kind goes with size.
    pub fn grow(&mut self, factor: f64) {
        self.capacity_kw *= factor;
        match &mut self.kind {
            Kind::Dehumidifier(dehumidifier) => dehumidifier.coil_air_kg_per_s *= factor,
            Kind::Exchanger(exchanger) => {
                if let Effectiveness::OfSurface { ua_kw_per_k, .. } = &mut exchanger.effectiveness {
                    *ua_kw_per_k *= factor;
                }
            }
            Kind::Collector(collector) => {
                collector.area_m2 *= factor;
                collector.fan_kw *= factor;
            }
            Kind::HeatStore(store) => {
                store.capacity_kwh *= factor;
                store.charge_kw *= factor;
            }
            Kind::Resistance(_)
            | Kind::Burner(_)
            | Kind::OpenFlame(_)
            | Kind::Biomass(_)
            | Kind::HotWater(_)
            | Kind::HeatPump(_)
            | Kind::WaterHeatPump(_) => {}
        }
    }

    /// Least heat it gives while it runs, kW.
    pub fn least_kw(&self) -> f64 {
        self.minimum_load * self.capacity_kw
    }

    /// The most heat it can give under these conditions, kW, with `fuel_left_kwh` of its own supply
    /// left for a step of `hours` (infinite where the supply has no limit); of a heat store, what it holds.
    pub fn most_kw(&self, now: &Conditions, fuel_left_kwh: f64, hours: f64) -> f64 {
        if self.room.is_some_and(|only| only != now.room) {
            return 0.0;
        }
        let capacity_kw = self.capacity_kw;
        let by_kind = match &self.kind {
            Kind::Resistance(_) | Kind::Burner(_) | Kind::OpenFlame(_) | Kind::HotWater(_) => {
                capacity_kw
            }
            Kind::Biomass(biomass) => biomass.most_kw(capacity_kw, fuel_left_kwh, hours),
            Kind::HeatPump(pump) => pump.most_kw(capacity_kw, now),
            Kind::WaterHeatPump(pump) => pump.most_kw(capacity_kw, now),
            Kind::Dehumidifier(dehumidifier) => dehumidifier.most_kw(capacity_kw, now),
            Kind::Exchanger(exchanger) => exchanger.exchange(now).heat_kw.min(capacity_kw),
            Kind::Collector(collector) => collector.most_kw(now).min(capacity_kw),
            Kind::HeatStore(store) => {
                let held = (fuel_left_kwh, hours);
                store.most_kw(capacity_kw, held, now.electricity_price)
            }
        };
        by_kind.min(self.most_by_temperature_kw(now)).max(0.0)
    }

    /// What air no hotter than the source can make takes up: fresh air below that temperature, and the
    /// room's own air, of which a source near its limit gives less and less.
    fn most_by_temperature_kw(&self, now: &Conditions) -> f64 {
        const FADES_OVER_K: f64 = 3.0;
        let Some(supply_max_c) = self.supply_max_c else {
            return f64::INFINITY;
        };
        let preheat_kw = now.fresh_capacity_kw_per_k() * (supply_max_c - now.intake_c).max(0.0);
        if now.recirculates {
            let share = ((supply_max_c - now.air.dry_bulb_c) / FADES_OVER_K).clamp(0.0, 1.0);
            preheat_kw + share * self.capacity_kw
        } else {
            preheat_kw
        }
    }

    /// What it takes to give `heat_kw` under these conditions.
    pub fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw {
        if heat_kw <= 0.0 {
            return Draw::default();
        }
        match &self.kind {
            Kind::Resistance(Resistance) => Resistance::draw(heat_kw),
            Kind::Burner(burner) => burner.draw(heat_kw),
            Kind::OpenFlame(flame) => flame.draw(heat_kw),
            Kind::Biomass(biomass) => biomass.draw(heat_kw),
            Kind::HotWater(coil) => coil.draw(heat_kw),
            Kind::HeatPump(pump) => pump.draw(heat_kw, now),
            Kind::WaterHeatPump(pump) => pump.draw(heat_kw, now),
            Kind::Dehumidifier(dehumidifier) => dehumidifier.draw(heat_kw, now),
            Kind::Exchanger(exchanger) => exchanger.draw(heat_kw, now),
            Kind::Collector(collector) => collector.draw(heat_kw),
            Kind::HeatStore(_) => HeatStore::draw(heat_kw),
        }
    }

    /// Name of the carrier it burns; `None` if it burns none.
    pub fn fuel(&self) -> Option<&str> {
        match &self.kind {
            Kind::Burner(burner) => Some(&burner.carrier),
            Kind::OpenFlame(flame) => Some(&flame.carrier),
            Kind::Biomass(biomass) => Some(&biomass.carrier),
            Kind::HotWater(coil) => Some(&coil.carrier),
            Kind::HeatStore(store) => store.fuel.as_deref(),
            Kind::Resistance(_)
            | Kind::HeatPump(_)
            | Kind::WaterHeatPump(_)
            | Kind::Dehumidifier(_)
            | Kind::Exchanger(_)
            | Kind::Collector(_) => None,
        }
    }

    /// Fuel energy its own supply holds for a season, kWh; infinite where the supply has no limit. A heat
    /// store is empty.
    pub fn own_supply_kwh(&self) -> f64 {
        match &self.kind {
            Kind::HeatStore(_) => 0.0,
            Kind::Biomass(biomass) => biomass.own_supply_kwh.unwrap_or(f64::INFINITY),
            _ => f64::INFINITY,
        }
    }

    /// True for one whose fuel is the plant's own alone: it stands still when that is burnt.
    pub fn burns_own_alone(&self) -> bool {
        matches!(&self.kind, Kind::Biomass(biomass) if biomass.own_supply_kwh.is_some())
    }

    /// True for one that gives what the hour offers: it is called on before all others.
    pub fn is_passive(&self) -> bool {
        matches!(self.kind, Kind::Exchanger(_) | Kind::Collector(_))
    }

    /// True for one that brings water into the air or takes it out.
    pub fn moves_water(&self) -> bool {
        matches!(self.kind, Kind::OpenFlame(_) | Kind::Dehumidifier(_))
    }
}
