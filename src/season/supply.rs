//! What an option can give a room in a step: its condensers' heat and its stack's.

use super::course::RoomStep;
use crate::cool_store::{CondenserAirs, Condensers, Parted, Stand, StoreDemand, StoreSpec};
use crate::dryer::{Ask, Supply};
use crate::heat::{Conditions, Source, Stack};

/// An option's supply in one step.
pub(super) struct OptionSupply<'a> {
    pub condensers: &'a Condensers,
    pub stack: &'a Stack,
    /// What the hour is like, but for the air inside.
    pub now: Conditions,
    pub store: Option<(&'a StoreSpec, &'a StoreDemand)>,
    pub condenser_air_kg_per_s_per_kw: f64,
    /// Heat that other rooms' sources took from the condensers' water, kW.
    pub lifted_kw: f64,
    pub hours: f64,
}

/// How the heat that a room was given came about.
pub(super) struct Shares {
    /// Where the recovering condensers stood.
    pub stand: Stand,
    /// The air they found there.
    pub airs: CondenserAirs,
    /// Condenser heat that went into the need, kW.
    pub recovered_kw: f64,
    /// What the stack found.
    pub conditions: Conditions,
}

impl OptionSupply<'_> {
    /// The shares of what the room was given.
    pub(super) fn shares(&self, room: &RoomStep) -> Shares {
        let ask = &room.asked;
        let stand = self.stand(ask);
        let recoverable_kw = self.recoverable_kw(stand, ask);
        Shares {
            stand,
            airs: self.airs(ask),
            recovered_kw: recoverable_kw.min(room.heat_given_kw),
            conditions: self.conditions(ask, stand, recoverable_kw),
        }
    }

    /// Where the recovering condensers stand.
    fn stand(&self, ask: &Ask) -> Stand {
        self.store.map_or(Stand::Outdoors, |(spec, demand)| {
            self.condensers.stand(&spec.units, &demand.asked, self.airs(ask), ask.need_kw)
        })
    }

    /// What the cooling units do with their recovering condensers standing there.
    fn units(&self, stand: Stand, ask: &Ask) -> Parted {
        self.store.map_or(Parted::default(), |(spec, demand)| {
            self.condensers.run(&spec.units, &demand.asked, stand, self.airs(ask))
        })
    }

    fn airs(&self, ask: &Ask) -> CondenserAirs {
        CondenserAirs {
            outside_c: self.now.outside.dry_bulb_c,
            room_c: ask.air.dry_bulb_c,
            fresh_kg_per_s: ask.fresh_air_kg_per_s,
            rated_kg_per_s_per_kw: self.condenser_air_kg_per_s_per_kw,
        }
    }

    /// Condenser heat that can be used there, kW.
    fn recoverable_kw(&self, stand: Stand, ask: &Ask) -> f64 {
        if stand == Stand::Outdoors {
            return 0.0;
        }
        let rejected_kw = self.units(stand, ask).recovering.rejected_kw;
        if stand == Stand::Room {
            return rejected_kw;
        }
        // The plant takes no more of the warmed air than it takes fresh air.
        self.store.map_or(0.0, |(spec, demand)| {
            let airs = self.airs(ask);
            rejected_kw * self.condensers.share_taken(&spec.units, &demand.asked, &airs, rejected_kw)
        })
    }

    /// What the stack finds beside condensers that give this much.
    fn conditions(&self, ask: &Ask, stand: Stand, recoverable_kw: f64) -> Conditions {
        let mut now =
            Conditions { air: ask.air, exhaust: ask.exhaust, fresh_kg_per_s: ask.fresh_air_kg_per_s, ..self.now };
        if stand == Stand::FreshAir && ask.fresh_air_kg_per_s > 0.0 {
            now.intake_c += recoverable_kw / now.fresh_capacity_kw_per_k();
        }
        if self.stack.sources().iter().any(Source::lifts_condenser_heat) {
            let rejected_kw = self.units(stand, ask).outdoors.rejected_kw;
            now.condenser_heat_kw = (rejected_kw - self.lifted_kw).max(0.0);
        }
        now
    }
}

impl Supply for OptionSupply<'_> {
    fn unasked_kw(&self, ask: &Ask) -> f64 {
        match self.stand(ask) {
            Stand::Room => self.recoverable_kw(Stand::Room, ask),
            Stand::Outdoors | Stand::FreshAir => 0.0,
        }
    }

    fn most_kw(&self, ask: &Ask) -> f64 {
        let stand = self.stand(ask);
        let recoverable_kw = self.recoverable_kw(stand, ask);
        let now = self.conditions(ask, stand, recoverable_kw);
        recoverable_kw + self.stack.most_kw(&now, self.hours)
    }

    fn uses_exhaust(&self) -> bool {
        self.stack.sources().iter().any(|source| source.kind.says().uses_exhaust())
    }

    fn goes_by_need(&self) -> bool {
        self.condensers.place.place().has_damper()
    }

    fn moves_water(&self) -> bool {
        self.stack.moves_water()
    }

    fn water_kg_per_s(&self, heat_kw: f64, ask: &Ask) -> f64 {
        let stand = self.stand(ask);
        let recoverable_kw = self.recoverable_kw(stand, ask);
        let now = self.conditions(ask, stand, recoverable_kw);
        let by_stack_kw = (heat_kw - recoverable_kw).max(0.0);
        self.stack.water_kg_per_s(by_stack_kw, &now, self.hours)
    }
}
