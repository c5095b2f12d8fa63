//! What an option can give a room in a step: its condensers' heat and its stack's.

use crate::cool_store::{Placement, Running, StoreDemand, StoreSpec};
use crate::dryer::Supply;
use crate::heat::{Conditions, Stack};

/// An option's supply in one step.
pub(super) struct OptionSupply<'a> {
    pub placement: Placement,
    pub stack: &'a Stack,
    pub now: Conditions,
    pub store: Option<(&'a StoreSpec, &'a StoreDemand)>,
    pub condenser_air_kg_per_s_per_kw: f64,
    pub hours: f64,
}

impl OptionSupply<'_> {
    /// What the cooling units do with condenser air of this temperature.
    fn units(&self, condenser_air_c: f64) -> Running {
        self.store.map_or(Running::default(), |(spec, demand)| {
            spec.units
                .run(demand.cooling_kw, condenser_air_c, demand.wet_bulb_c)
        })
    }

    /// Condenser heat that can be used at this room temperature and fresh-air flow, kW.
    pub fn recoverable_kw(&self, room_c: f64, fresh_air_kg_per_s: f64) -> f64 {
        match self.placement {
            Placement::Outdoors => 0.0,
            Placement::Room => self.units(room_c).rejected_kw,
            Placement::FreshAir => {
                let rejected_kw = self.units(self.now.outside_c).rejected_kw;
                // The condensers draw what they need; the plant takes no more of that warmed air
                // than it takes fresh air.
                let drawn = rejected_kw * self.condenser_air_kg_per_s_per_kw;
                let share = if drawn > 0.0 {
                    (fresh_air_kg_per_s / drawn).min(1.0)
                } else {
                    0.0
                };
                rejected_kw * share
            }
        }
    }
}

impl Supply for OptionSupply<'_> {
    fn unasked_kw(&self, room_c: f64) -> f64 {
        match self.placement {
            Placement::Room => self.recoverable_kw(room_c, 0.0),
            Placement::Outdoors | Placement::FreshAir => 0.0,
        }
    }

    fn most_kw(&self, room_c: f64, fresh_air_kg_per_s: f64) -> f64 {
        self.recoverable_kw(room_c, fresh_air_kg_per_s) + self.stack.most_kw(&self.now, self.hours)
    }
}
