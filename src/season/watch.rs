//! Guards: each counts the hours in which it was broken and remembers the worst.

use super::plant::Plant;
use crate::cool_store::StoreHour;
use crate::crop::FIRST_GROWTH;
use crate::dryer::{AirPath, OffCurve, Phase, Room, RoomHour, WaitingNuts};
use crate::ledger::{Guard, GuardKind};

/// How far a guard was broken, and the limit that it broke, in the kind's own units.
#[derive(Clone, Copy, Debug)]
pub(super) struct Broken {
    pub size: f64,
    pub limit: f64,
}

impl Broken {
    /// Of what ought never to be.
    pub fn by(size: f64) -> Self {
        Self { size, limit: 0.0 }
    }
}

/// All guards of one season.
#[derive(Debug, Default)]
pub(super) struct Watch {
    guards: Vec<Guard>,
}

/// A room's humidity may stand this far above its limit before it counts: the solver's own
/// tolerance is far below.
const HUMIDITY_SLACK: f64 = 0.005;

/// Air this much above a crop's limit is rounding, K.
const HEAT_SLACK_K: f64 = 1e-6;

/// A heat shortfall below this is rounding, kW.
pub(super) const SHORT_SLACK_KW: f64 = 1e-3;

impl Watch {
    /// Counts `hours` of a broken guard.
    pub fn note(&mut self, kind: GuardKind, hours: f64, broken: Broken, hour: usize) {
        self.note_of(None, kind, hours, broken, hour);
    }

    /// The same of a guard that watches batches, where it was broken for this one.
    fn note_of(
        &mut self,
        batch: Option<usize>,
        kind: GuardKind,
        hours: f64,
        broken: Broken,
        hour: usize,
    ) {
        let Broken { size, limit } = broken;
        match self.guards.iter_mut().find(|guard| guard.kind == kind) {
            Some(guard) => {
                guard.hours += hours;
                if size > guard.worst {
                    guard.worst = size;
                    guard.limit = limit;
                    guard.worst_hour = hour;
                    guard.worst_batch = batch;
                }
            }
            None => self.guards.push(Guard {
                kind,
                hours,
                worst: size,
                limit,
                worst_hour: hour,
                worst_batch: batch,
            }),
        }
    }

    /// The guards that fired, in the order of their kinds.
    pub fn into_guards(mut self) -> Vec<Guard> {
        self.guards.sort_by_key(|guard| guard.kind);
        self.guards
    }

    /// Looks at the heaps of waiting nuts.
    pub fn waiting(&mut self, heap: &WaitingNuts, plant: &Plant, hour: usize, hours: f64) {
        let late_kg =
            heap.mass_waiting_longer_kg(hour, |crop| plant.stay_of(crop).safe_waiting_hours);
        if late_kg > 0.0 {
            // Of several crops the least patient's.
            let safe_h = plant.stays().map(|stay| stay.safe_waiting_hours);
            let broken =
                Broken { size: late_kg / 1000.0, limit: safe_h.fold(f64::INFINITY, f64::min) };
            self.note(GuardKind::WaitedTooLong, hours, broken, hour);
        }
    }

    /// Looks at the batches: air too hot for the nuts that it meets, and mould on the wettest.
    pub fn batches(&mut self, room: &mut Room, plant: &Plant, (hour, hours): (usize, f64)) {
        for load in room.bins.iter_mut().filter_map(|bin| bin.load.as_mut()) {
            let stay = plant.stay_of(load.crop);
            if load.phase == Phase::Drying {
                let over = |(air_c, moisture): (f64, f64)| {
                    let limit = stay.hottest_air_c(moisture);
                    Broken { size: air_c - limit, limit }
                };
                let met = load.bed.air_met().map(over);
                let worst = met.max_by(|a, b| a.size.total_cmp(&b.size));
                if let Some(broken) = worst.filter(|broken| broken.size > HEAT_SLACK_K) {
                    load.broken.hot_air += hours;
                    self.note_of(Some(load.batch), GuardKind::HotWhenWet, hours, broken, hour);
                }
            }
            load.let_mould_live(&stay.mould_law(), hours);
            if load.mould.is_seen() {
                load.broken.mould_seen += hours;
                let broken = Broken { size: load.mould.index, limit: FIRST_GROWTH };
                self.note_of(Some(load.batch), GuardKind::MouldInBin, hours, broken, hour);
            }
        }
    }

    /// Looks at what heat all rooms lack together.
    pub fn heat(&mut self, short_kw: f64, hour: usize, hours: f64) {
        if short_kw > SHORT_SLACK_KW {
            self.note(GuardKind::HeatShort, hours, Broken::by(short_kw), hour);
        }
    }

    /// Looks at a room's air.
    pub fn humidity(&mut self, room: &Room, step: &RoomHour, hour: usize, hours: f64) {
        let recirculates = room.spec.air == AirPath::Recirculating;
        let over = step.relative_humidity - room.spec.relative_humidity_max;
        if recirculates && step.bins_drying > 0 && over > HUMIDITY_SLACK {
            let limit = room.spec.relative_humidity_max * 100.0;
            let broken = Broken { size: over * 100.0, limit };
            self.note(GuardKind::RoomTooHumid, hours, broken, hour);
        }
    }

    /// Looks at the fans of bins.
    pub fn fans(&mut self, off: OffCurve, hour: usize, hours: f64) {
        for (kind, bins) in
            [(GuardKind::FanStalled, off.stalled), (GuardKind::FanThrottled, off.throttled)]
        {
            if bins > 0 {
                self.note(kind, hours, Broken::by(bins as f64), hour);
            }
        }
    }

    /// Looks at the store. `condenser_air` breaks its limit where units tripped.
    pub fn store(&mut self, store: &StoreHour, condenser_air: Broken, hour: usize, hours: f64) {
        if store.units.unmet_kw > SHORT_SLACK_KW {
            self.note(GuardKind::CoolingUnmet, hours, Broken::by(store.units.unmet_kw), hour);
        }
        if store.units.tripped {
            self.note(GuardKind::UnitsTripped, hours, condenser_air, hour);
        }
    }
}
