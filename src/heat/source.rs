//! One heater of an option: a kind of source with its size and its limits.

use super::{Conditions, Draw, Kind, Left};

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

impl Source {
    /// A source that cycles within the hour and makes air as hot as it must be.
    pub fn new(name: impl Into<String>, capacity_kw: f64, kind: Kind) -> Self {
        Self { name: name.into(), capacity_kw, minimum_load: 0.0, supply_max_c: None, room: None, kind }
    }

    /// Makes it so many times as large: its capacity, and what of its kind goes with size.
    pub fn grow(&mut self, factor: f64) {
        self.capacity_kw *= factor;
        self.kind.says_mut().grow(factor);
    }

    /// Makes the plant's own supply of its fuel so many times as large, where it has one.
    pub fn grow_own_supply(&mut self, factor: f64) {
        self.kind.says_mut().grow_own_supply(factor);
    }

    /// Leaves this share of it for another room in the same step.
    pub(super) fn leave_share(&mut self, share: f64) {
        self.capacity_kw *= share;
        self.kind.says_mut().leave_share(share);
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
        let left = Left { kwh: fuel_left_kwh, hours };
        let by_kind = self.kind.says().most_kw(self.capacity_kw, now, left);
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
        self.kind.says().draw(heat_kw, now)
    }

    /// Name of the carrier it burns; `None` if it burns none.
    pub fn fuel(&self) -> Option<&str> {
        self.kind.says().fuel()
    }

    /// Fuel energy its own supply holds for a season, kWh; infinite where the supply has no limit. A heat
    /// store is empty.
    pub fn own_supply_kwh(&self) -> f64 {
        let kind = self.kind.says();
        if kind.is_store() { 0.0 } else { kind.own_supply_kwh().unwrap_or(f64::INFINITY) }
    }

    /// True for one whose fuel is the plant's own alone: it stands still when that is burnt.
    pub fn burns_own_alone(&self) -> bool {
        self.kind.says().own_supply_kwh().is_some()
    }

    /// True for one that gives what the hour offers: it is called on before all others.
    pub fn is_passive(&self) -> bool {
        self.kind.says().is_passive()
    }

    /// True for one that brings water into the air or takes it out.
    pub fn moves_water(&self) -> bool {
        self.kind.says().moves_water()
    }

    /// True for one that lives on the heat of the cool store's condensers.
    pub fn lifts_condenser_heat(&self) -> bool {
        self.kind.says().lifts_condenser_heat()
    }
}
