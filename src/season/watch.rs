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
    pub(super) fn by(size: f64) -> Self {
        Self { size, limit: 0.0 }
    }
}

/// All guards of one season.
#[derive(Clone, Debug, Default)]
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
    pub(super) fn note(&mut self, kind: GuardKind, hours: f64, broken: Broken, hour: usize) {
        self.note_of(None, kind, hours, broken, hour);
    }

    /// The same of a guard that watches batches, where it was broken for this one.
    fn note_of(&mut self, batch: Option<usize>, kind: GuardKind, hours: f64, broken: Broken, hour: usize) {
        let Broken { size, limit } = broken;
        let day = hour / 24;
        match self.guards.iter_mut().find(|guard| guard.kind == kind) {
            Some(guard) => {
                guard.hours += hours;
                if guard.hours_by_day.len() <= day {
                    guard.hours_by_day.resize(day + 1, 0.0);
                }
                guard.hours_by_day[day] += hours;
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
                hours_by_day: std::iter::repeat_n(0.0, day).chain([hours]).collect(),
                worst: size,
                limit,
                most_t: None,
                worst_hour: hour,
                worst_batch: batch,
            }),
        }
    }

    /// These guards with those of another watch, which looks at other kinds.
    pub(super) fn with(mut self, others: Vec<Guard>) -> Self {
        self.guards.extend(others);
        self
    }

    /// The guards that fired, in the order of their kinds.
    pub(super) fn into_guards(mut self) -> Vec<Guard> {
        self.guards.sort_by_key(|guard| guard.kind);
        self.guards
    }

    /// Looks at the heaps of nuts that wait through this hour, as they are at its end.
    pub(super) fn waiting(&mut self, heap: &WaitingNuts, plant: &Plant, hour: usize) {
        let safe_h = |crop| plant.stay_of(crop).safe_waiting_hours;
        let Some(late) = heap.waiting_longer(hour + 1, safe_h) else {
            return;
        };
        let kind = GuardKind::WaitedTooLong;
        self.note(kind, 1.0, Broken { size: late.waited_h, limit: late.safe_h }, hour);
        let late_t = late.mass_kg / 1000.0;
        for guard in self.guards.iter_mut().filter(|guard| guard.kind == kind) {
            guard.most_t = Some(guard.most_t.map_or(late_t, |most_t| most_t.max(late_t)));
        }
    }

    /// Looks at the batches: air too hot for the nuts that it meets, and mould on the wettest.
    pub(super) fn batches(&mut self, room: &mut Room, plant: &Plant, (hour, hours): (usize, f64)) {
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
    pub(super) fn heat(&mut self, short_kw: f64, hour: usize, hours: f64) {
        if short_kw > SHORT_SLACK_KW {
            self.note(GuardKind::HeatShort, hours, Broken::by(short_kw), hour);
        }
    }

    /// Looks at a room's air.
    pub(super) fn humidity(&mut self, room: &Room, step: &RoomHour, hour: usize, hours: f64) {
        let recirculates = room.spec.air == AirPath::Recirculating;
        let over = step.relative_humidity - room.spec.relative_humidity_max;
        if recirculates && step.bins_drying > 0 && over > HUMIDITY_SLACK {
            let limit = room.spec.relative_humidity_max * 100.0;
            let broken = Broken { size: over * 100.0, limit };
            self.note(GuardKind::RoomTooHumid, hours, broken, hour);
        }
    }

    /// Looks at the fans of bins.
    pub(super) fn fans(&mut self, off: OffCurve, hour: usize, hours: f64) {
        for (kind, bins) in [(GuardKind::FanStalled, off.stalled), (GuardKind::FanThrottled, off.throttled)] {
            if bins > 0 {
                self.note(kind, hours, Broken::by(bins as f64), hour);
            }
        }
    }

    /// Looks at the store. `condenser_air` breaks its limit where units tripped.
    pub(super) fn store(&mut self, store: &StoreHour, condenser_air: Broken, hour: usize, hours: f64) {
        if store.units.unmet_kw > SHORT_SLACK_KW {
            self.note(GuardKind::CoolingUnmet, hours, Broken::by(store.units.unmet_kw), hour);
        }
        if store.units.tripped {
            self.note(GuardKind::UnitsTripped, hours, condenser_air, hour);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::plant::HotLimit;
    use super::super::tests::plant;
    use super::*;
    use crate::air::AirState;
    use crate::crop::Mould;
    use crate::dryer::{Bed, BrokenHours, Course, FanRun, Finish, Load, Nuts};
    use std::sync::Arc;

    /// Drying batch 7, whose nuts are these.
    fn load(bed: Bed) -> Load {
        Load {
            batch: 7,
            crop: 0,
            nuts: Arc::new(Nuts::INVENTED),
            in_the_way: None,
            bed,
            phase: Phase::Drying,
            finish: Finish::default(),
            course: Course::default(),
            drying_from_hour: 0.0,
            received_kg: 1200.0,
            hours_in_phase: 0.0,
            airflow_m3_per_s: 0.2,
            fan_kw: 0.1,
            fan_heat_kw: 0.1,
            fan_run: FanRun::default(),
            mould: Mould::default(),
            broken: BrokenHours::default(),
        }
    }

    /// Nuts wetter than 0.2 bear 34 °C, and air of 40 °C comes. First the wet nuts at the inlet meet it, then wet
    /// nuts behind dry ones meet air that has cooled on these; in the end the air is cool enough where the nuts
    /// are still wet. Neither the air at the inlet nor the bed's mean says so.
    #[test]
    fn hot_air_is_held_against_the_nuts_that_it_meets() {
        const WET: f64 = 0.2;
        let mut plant = plant();
        plant.crops[0].stay.hot_limits = vec![HotLimit { above_moisture: WET, air_max_c: 34.0 }];
        let inlet = AirState { dry_bulb_c: 40.0, humidity_ratio: 0.012 };
        let mut room = Room::new(plant.rooms[0].clone());
        room.bins[0].load = Some(load(Bed::new(12, 1000.0, 0.28, 20.0)));
        let (mut at_inlet, mut within, mut with_dry_mean, mut wet_and_cool) = (0, 0, 0, 0);
        for hour in 0..60 {
            let load = room.bins[0].load.as_mut().expect("a load");
            load.bed.try_step(&Nuts::INVENTED, inlet, 600.0, 95_000.0, 1.0);
            load.bed.accept();
            let (face, mean) = (load.bed.layers()[0].moisture, load.bed.mean_moisture());
            let wettest = load.bed.wettest().moisture;
            let mut watch = Watch::default();
            watch.batches(&mut room, &plant, (hour, 1.0));
            if let Some(guard) = watch.into_guards().first() {
                assert_eq!((guard.kind, guard.worst_batch), (GuardKind::HotWhenWet, Some(7)));
                assert_eq!((guard.hours, guard.limit), (1.0, 34.0));
                assert_eq!((guard.worst - 6.0).abs() < 1e-9, face > WET, "hour {hour}");
                at_inlet += i32::from(face > WET);
                within += i32::from(face <= WET);
                with_dry_mean += i32::from(mean <= WET);
            } else {
                assert!(face <= WET, "hour {hour}");
                wet_and_cool += i32::from(wettest > WET);
            }
        }
        assert!(at_inlet >= 15 && within >= 10, "{at_inlet} {within}");
        assert!(with_dry_mean >= 2 && wet_and_cool >= 5, "{with_dry_mean} {wet_and_cool}");
    }

    /// What cools is no longer watched for hot air.
    #[test]
    fn hot_air_is_not_held_against_a_batch_that_cools() {
        let mut plant = plant();
        plant.crops[0].stay.hot_limits = vec![HotLimit { above_moisture: 0.0, air_max_c: 34.0 }];
        let mut bed = Bed::new(12, 1000.0, 0.12, 20.0);
        let inlet = AirState { dry_bulb_c: 40.0, humidity_ratio: 0.012 };
        bed.try_step(&Nuts::INVENTED, inlet, 600.0, 95_000.0, 1.0);
        bed.accept();
        for (phase, fires) in [(Phase::Drying, true), (Phase::Cooling, false)] {
            let mut room = Room::new(plant.rooms[0].clone());
            room.bins[0].load = Some(Load { phase, ..load(bed.clone()) });
            let mut watch = Watch::default();
            watch.batches(&mut room, &plant, (0, 1.0));
            let kinds: Vec<GuardKind> = watch.into_guards().iter().map(|one| one.kind).collect();
            assert_eq!(kinds.contains(&GuardKind::HotWhenWet), fires);
        }
    }
}
