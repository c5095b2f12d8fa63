//! A recirculating room: one temperature and humidity, shared by all bins.
//!
//! Two balances close each step (quasi-steady: the air's own storage is small beside its flow):
//! water brought by fresh air + evaporated = water extracted, and heat. Heat is what the balance lacks
//! at the set temperature and the humidity limit. If the supply cannot give it, fresh air is throttled
//! and humidity rises, up to a ceiling, before the temperature falls until the balance closes; if
//! condensers standing in the room give more than it takes, more outside air is drawn through it, and
//! if that is not enough the room grows warmer.

use super::hour::RoomHour;
use super::state::Room;
use super::supply::{Ask, Supply};
use crate::air::{AirState, MoistAir, saturation_pressure_pa, vapour_pressure_pa};
use crate::dryer::bed::{Trial, cross_side_by_side};
use crate::dryer::bin::Phase;
use crate::dryer::passed::Passed;
use crate::dryer::streams::{after_fan, outside_at, vapour_enthalpy};
use crate::solve::rising_root;

/// Fresh air that closes the water balance may differ by this share from what its rule asks for.
pub(super) const FRESH_TOLERANCE: f64 = 1e-4;

/// A room state that closes the water balance, and the heat that it lacks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Settled {
    pub(super) room: AirState,
    pub(super) fresh_kg_per_s: f64,
    pub(super) evaporation_kg_per_s: f64,
    /// Heat that must come in to hold this state, kW.
    pub(super) lacking_kw: f64,
    /// Water that comes in with that heat, kg/s.
    pub(super) source_water_kg_per_s: f64,
}

/// All that stays the same while a step's state is sought.
pub(super) struct Step<'a> {
    pub(super) room: &'a mut Room,
    pub(super) supply: &'a dyn Supply,
    pub(super) outside: AirState,
    pub(super) pressure_pa: f64,
    hours: f64,
    /// Specific volume that turns the bins' volume flow into dry air, m³/kg.
    bin_air_m3_per_kg: f64,
    pub(super) fresh_min: f64,
    pub(super) fresh_max: f64,
    /// Humidity that fresh air is asked to hold, fraction: the room's limit, or more when heat is short.
    pub(super) relative_humidity: f64,
    steel_from_c: f64,
    fan_heat_kw: f64,
    /// Dry matter in the drying bins, kg.
    pub(super) dry_matter_kg: f64,
    /// Heat lacking at the set temperature without the water that sources bring, kW: what dampers go by.
    pub(super) need_kw: f64,
    /// True while sources are reckoned to bring or take water with the heat lacking.
    pub(super) with_water: bool,
    /// Fresh air that closes the water balance may differ by this share from what was asked for.
    pub(super) fresh_tolerance: f64,
    /// The bin inlet state last tried; the beds hold its outcome.
    tried: Option<AirState>,
}

/// What the bins together do at one room state.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Bins {
    pub(super) evaporation_kg_per_s: f64,
    absorbed_kw: f64,
}

pub(super) fn step(room: &mut Room, outside: &MoistAir, supply: &dyn Supply, hours: f64) -> RoomHour {
    let drying = room.bins.iter().filter(|bin| bin.load_in(Phase::Drying).is_some()).count();
    if drying == 0 {
        // An idle room stands open: it asks for nothing and is as warm as outside.
        room.last_c = None;
        return RoomHour {
            air_c: outside.dry_bulb_c(),
            relative_humidity: outside.relative_humidity(),
            ..RoomHour::default()
        };
    }
    let set_c = room.spec.stages.first().map_or(f64::NAN, |stage| stage.temperature_c);
    let volume = outside.specific_volume_m3_per_kg();
    let bin_air = room_air_volume(set_c, room.spec.relative_humidity_max, outside);
    let (fan_kw, fan_heat_kw) = bin_fans(room);
    let mut step = Step {
        supply,
        outside: outside_at(outside),
        pressure_pa: outside.pressure_pa(),
        hours,
        bin_air_m3_per_kg: bin_air,
        fresh_min: room.spec.fresh_air_min_m3_per_s / volume,
        fresh_max: room.spec.fresh_air_max_m3_per_s / volume,
        relative_humidity: room.spec.relative_humidity_max,
        steel_from_c: room.last_c.unwrap_or(outside.dry_bulb_c()),
        fan_heat_kw,
        dry_matter_kg: room
            .bins
            .iter()
            .filter_map(|bin| bin.load_in(Phase::Drying))
            .map(|load| load.bed.dry_matter_kg())
            .sum(),
        need_kw: 0.0,
        with_water: false,
        fresh_tolerance: FRESH_TOLERANCE,
        tried: None,
        room,
    };
    let held_c = set_c.min(step.room.setback.temperature_c);
    // A room that was short of heat will hardly be at its set temperature.
    let aside = step.room.search.gave_way.is_some();
    if aside {
        step.turn_aside();
    }
    let at_set = step.at_set(held_c);
    if aside {
        step.turn_aside();
    }
    let need_kw = at_set.lacking_kw.max(0.0);
    let ask = step.ask(at_set.room, at_set.fresh_kg_per_s);
    let unasked_kw = supply.unasked_kw(&ask);
    let fell_short = at_set.lacking_kw > supply.most_kw(&ask);
    if !fell_short {
        step.room.search.gave_way = None;
    }
    let coasts = at_set.lacking_kw < unasked_kw && held_c < set_c;
    if !coasts {
        step.room.search.coasting = None;
    }
    let state = if coasts {
        step.coast(held_c, set_c)
    } else if at_set.lacking_kw < unasked_kw {
        step.purge(set_c, at_set)
    } else if fell_short {
        step.give_way(held_c, at_set)
    } else {
        at_set
    };
    let state = step.hold(state);
    let mut hour = step.accept(&state);
    hour.asked = step.ask(state.room, state.fresh_kg_per_s);
    // Heat actually released in the room splits into what the need took and what was purged.
    let released_kw = state.lacking_kw;
    // A room that falls short may draw more outside air as it cools, and with it more heat than it
    // would have needed at its set temperature.
    let need_kw = if fell_short { need_kw.max(released_kw) } else { need_kw };
    hour.heat_need_kw = need_kw;
    hour.heat_given_kw = released_kw.min(need_kw).max(0.0);
    hour.below_set_k = (held_c - state.room.dry_bulb_c).max(0.0);
    hour.purged_kw = (released_kw - hour.heat_given_kw).max(0.0);
    hour.bins_drying = drying;
    hour.bin_fan_kw = fan_kw;
    hour.fan_heat_kw = fan_heat_kw;
    hour.extraction_fan_kw = room.spec.extraction_kw_per_m3_per_s * state.fresh_kg_per_s * bin_air;
    room.last_c = Some(state.room.dry_bulb_c);
    room.search.water(supply.moves_water()).look_ahead(at_set.room.humidity_ratio);
    hour
}

/// Specific volume of room air at its set temperature and humidity limit: the fans' fixed volume
/// flow is turned into dry air with it, so that the flow does not wander while a state is sought.
fn room_air_volume(set_c: f64, relative_humidity: f64, outside: &MoistAir) -> f64 {
    MoistAir::from_relative_humidity(set_c, relative_humidity, outside.pressure_pa())
        .map_or(outside.specific_volume_m3_per_kg(), |air| air.specific_volume_m3_per_kg())
}

/// Electric power and air-side heat of the drying bins' fans, kW, mean over the step.
fn bin_fans(room: &Room) -> (f64, f64) {
    room.bins.iter().filter_map(|bin| bin.load_in(Phase::Drying)).fold((0.0, 0.0), |(power, heat), load| {
        let share = load.course.share();
        (power + share * load.fan_kw, heat + share * load.fan_heat_kw)
    })
}

impl Step<'_> {
    /// The state at the set temperature. Dampers go by the heat lacking without the water of sources: where
    /// these move water, it is settled by itself first, for dampers alone.
    fn at_set(&mut self, held_c: f64) -> Settled {
        let moves_water = self.supply.moves_water();
        if !moves_water || self.supply.goes_by_need() {
            let dry = self.settle(held_c);
            self.need_kw = dry.lacking_kw.max(0.0);
            if !moves_water {
                return dry;
            }
            self.room.search.water(false).look_ahead(dry.room.humidity_ratio);
        }
        self.with_water = true;
        self.settle(held_c)
    }

    /// Turns the beds to trials for another state, or back.
    fn turn_aside(&mut self) {
        self.tried = None;
        for bin in &mut self.room.bins {
            if let Some(load) = bin.load_in_mut(Phase::Drying) {
                load.bed.turn_aside();
            }
        }
    }

    /// Tries the bins with room air in this state.
    pub(super) fn bins_at(&mut self, air: AirState) -> Bins {
        let mut all = Bins::default();
        let seconds = self.hours * 3600.0;
        let mut trials: Vec<Trial<'_>> = self
            .room
            .bins
            .iter_mut()
            .filter_map(|bin| bin.load_in_mut(Phase::Drying))
            .map(|load| {
                let flow = load.airflow_m3_per_s / self.bin_air_m3_per_kg;
                let inlet = after_fan(air, load.fan_heat_kw, flow);
                let share = load.course.share();
                let passes = (share * flow * seconds, share * self.hours);
                Trial::new(&mut load.bed, &load.nuts, inlet, passes, self.pressure_pa)
            })
            .collect();
        cross_side_by_side(&mut trials);
        for passage in trials.iter().map(Trial::passage) {
            all.evaporation_kg_per_s += passage.evaporated_kg / seconds;
            all.absorbed_kw += passage.absorbed_kj / seconds;
        }
        self.tried = Some(air);
        all
    }

    pub(super) fn settled(&self, t_c: f64, humidity_ratio: f64, fresh: f64, bins: Bins) -> Settled {
        let room = AirState { dry_bulb_c: t_c, humidity_ratio };
        let ventilation = fresh * (room.enthalpy() - self.outside.enthalpy());
        let without_water = ventilation + self.envelope_kw(t_c) + self.steel_kw(t_c) + bins.absorbed_kw
            - self.fan_heat_kw
            - self.room.spec.gains_kw;
        let (lacking_kw, source_water_kg_per_s) = self.heat_and_water(without_water, room, fresh);
        Settled {
            room,
            fresh_kg_per_s: fresh,
            evaporation_kg_per_s: bins.evaporation_kg_per_s,
            lacking_kw,
            source_water_kg_per_s,
        }
    }

    /// What the supply is asked in this state.
    pub(super) fn ask(&self, room: AirState, fresh_air_kg_per_s: f64) -> Ask {
        Ask { need_kw: self.need_kw, air: room, exhaust: room, fresh_air_kg_per_s }
    }

    /// Heat lacking, and the water that comes with it. Vapour from an open flame brings its enthalpy,
    /// and vapour condensed in the room leaves without it: heat lacking follows from the water, which
    /// follows from the heat.
    fn heat_and_water(&self, without_water_kw: f64, room: AirState, fresh: f64) -> (f64, f64) {
        if !self.with_water || without_water_kw <= 0.0 {
            return (without_water_kw, 0.0);
        }
        let ask = self.ask(room, fresh);
        let vapour = vapour_enthalpy(room.dry_bulb_c);
        let mut water = 0.0;
        let bounds = (0.0, 4.0 * without_water_kw);
        let tolerance = 1e-12 * without_water_kw;
        rising_root(without_water_kw, 1.0, bounds, tolerance, |heat_kw| {
            water = self.supply.water_kg_per_s(heat_kw, &ask);
            heat_kw + water * vapour - without_water_kw
        });
        (without_water_kw - water * vapour, water)
    }

    fn envelope_kw(&self, t_c: f64) -> f64 {
        self.room.spec.envelope_ua_w_per_k / 1000.0 * (t_c - self.outside.dry_bulb_c)
    }

    fn steel_kw(&self, t_c: f64) -> f64 {
        self.room.spec.steel_kj_per_k * (t_c - self.steel_from_c) / (self.hours * 3600.0)
    }

    /// The beds hold the outcome of this state, even where another was tried after it.
    fn hold(&mut self, state: Settled) -> Settled {
        if self.tried == Some(state.room) {
            return state;
        }
        let AirState { dry_bulb_c, humidity_ratio } = state.room;
        let bins = self.bins_at(state.room);
        self.settled(dry_bulb_c, humidity_ratio, state.fresh_kg_per_s, bins)
    }

    /// Makes this state the room's and writes down what it took.
    fn accept(&mut self, state: &Settled) -> RoomHour {
        let seconds = self.hours * 3600.0;
        let mut binding_kw = 0.0;
        for bin in &mut self.room.bins {
            if let Some(load) = bin.load_in_mut(Phase::Drying) {
                binding_kw += load.bed.binding_kj_of_step() / seconds;
                load.bed.accept();
                let flow = load.airflow_m3_per_s / self.bin_air_m3_per_kg;
                load.course.met = Some((after_fan(state.room, load.fan_heat_kw, flow), flow));
                load.course.aired_hours = load.course.share() * self.hours;
            }
        }
        let room = state.room;
        let lift = room.humidity_ratio - self.outside.humidity_ratio;
        let water_kg_per_s = state.evaporation_kg_per_s + state.source_water_kg_per_s;
        let left_behind_kg = (water_kg_per_s - state.fresh_kg_per_s * lift) * seconds;
        // Saturated air carries no more: what the fresh air cannot take settles in the room.
        let saturated = room.humidity_ratio >= self.saturation(room.dry_bulb_c) * (1.0 - 1e-9);
        let condensed_kg = if saturated { left_behind_kg.max(0.0) } else { 0.0 };
        let relative_humidity =
            vapour_pressure_pa(room.humidity_ratio, self.pressure_pa) / saturation_pressure_pa(room.dry_bulb_c);
        RoomHour {
            air_c: room.dry_bulb_c,
            hottest_c: room.dry_bulb_c,
            relative_humidity: relative_humidity.min(1.0),
            fresh_air_kg_per_s: state.fresh_kg_per_s,
            evaporated_kg: state.evaporation_kg_per_s * seconds,
            gains_kw: self.room.spec.gains_kw,
            lights_kw: self.room.spec.lights_kw,
            met_nuts: Passed::of(state.fresh_kg_per_s, room, self.hours),
            left: Passed::of(state.fresh_kg_per_s, room, self.hours),
            source_water_kg: state.source_water_kg_per_s * seconds,
            source_water_kw: state.source_water_kg_per_s * vapour_enthalpy(room.dry_bulb_c),
            ventilation_kw: state.fresh_kg_per_s * (room.enthalpy() - self.outside.enthalpy())
                - state.source_water_kg_per_s * vapour_enthalpy(room.dry_bulb_c),
            envelope_kw: self.envelope_kw(room.dry_bulb_c),
            warming_kw: self.steel_kw(room.dry_bulb_c),
            binding_kw,
            condensed_kg,
            water_residual_kg: left_behind_kg - condensed_kg,
            ..RoomHour::default()
        }
    }
}
