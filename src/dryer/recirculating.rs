//! A recirculating room: one temperature and humidity, shared by all bins.
//!
//! Two balances close each step (quasi-steady: the air's own storage is small beside its flow):
//! water brought by fresh air + evaporated = water extracted, and heat. Heat is what the balance lacks
//! at the set temperature. If the supply cannot give it, the temperature falls until the balance
//! closes; if condensers standing in the room give more than it takes, more outside air is drawn
//! through it, and if that is not enough the room grows warmer.

use super::bin::Phase;
use super::layer::AirAt;
use super::nuts::Nuts;
use super::room::{Room, RoomHour, Supply, after_fan, outside_at};
use crate::air::{
    MoistAir, humidity_ratio_of_vapour, saturation_humidity_ratio, saturation_pressure_pa,
    vapour_pressure_pa,
};
use crate::solve::rising_root;

/// Slopes and places where the last searches ended: where the next ones start.
#[derive(Clone, Copy, Debug)]
pub(super) struct Search {
    humidity_ratio: f64,
    humidity_slope: f64,
    temperature_slope: f64,
    fresh_slope: f64,
}

impl Default for Search {
    fn default() -> Self {
        Self {
            humidity_ratio: 0.01,
            humidity_slope: 1.0,
            temperature_slope: 1.0,
            fresh_slope: 10.0,
        }
    }
}

/// How far from the set temperature the search for a room's temperature goes, K.
const SEARCH_SPAN_K: f64 = 60.0;

/// A room state that closes the water balance, and the heat that it lacks.
#[derive(Clone, Copy, Debug)]
struct Settled {
    room: AirAt,
    fresh_kg_per_s: f64,
    evaporation_kg_per_s: f64,
    /// Heat that must come in to hold this state, kW.
    lacking_kw: f64,
}

/// All that stays the same while a step's state is sought.
struct Step<'a> {
    room: &'a mut Room,
    nuts: &'a Nuts,
    outside: AirAt,
    pressure_pa: f64,
    hours: f64,
    /// Specific volume that turns the bins' volume flow into dry air, m³/kg.
    bin_air_m3_per_kg: f64,
    fresh_min: f64,
    fresh_max: f64,
    steel_from_c: f64,
    fan_heat_kw: f64,
    /// The bin inlet state last tried; the beds hold its outcome.
    tried: Option<AirAt>,
}

/// What the bins together do at one room state.
#[derive(Clone, Copy, Debug, Default)]
struct Bins {
    evaporation_kg_per_s: f64,
    absorbed_kw: f64,
}

pub(super) fn step(
    room: &mut Room,
    outside: &MoistAir,
    nuts: &Nuts,
    supply: &impl Supply,
    hours: f64,
) -> RoomHour {
    let drying = room
        .bins
        .iter()
        .filter(|bin| bin.load_in(Phase::Drying).is_some())
        .count();
    if drying == 0 {
        // An idle room stands open: it asks for nothing and is as warm as outside.
        room.last_c = None;
        return RoomHour {
            air_c: outside.dry_bulb_c(),
            relative_humidity: outside.relative_humidity(),
            ..RoomHour::default()
        };
    }
    let set_c = room
        .spec
        .stages
        .first()
        .map_or(f64::NAN, |stage| stage.temperature_c);
    let volume = outside.specific_volume_m3_per_kg();
    let bin_air = room_air_volume(set_c, room.spec.relative_humidity_max, outside);
    let (fan_kw, fan_heat_kw) = bin_fans(room);
    let mut step = Step {
        nuts,
        outside: outside_at(outside),
        pressure_pa: outside.pressure_pa(),
        hours,
        bin_air_m3_per_kg: bin_air,
        fresh_min: room.spec.fresh_air_min_m3_per_s / volume,
        fresh_max: room.spec.fresh_air_max_m3_per_s / volume,
        steel_from_c: room.last_c.unwrap_or(outside.dry_bulb_c()),
        fan_heat_kw,
        tried: None,
        room,
    };
    let at_set = step.settle(set_c, step.fresh_min, step.fresh_max);
    let need_kw = at_set.lacking_kw.max(0.0);
    let unasked_kw = supply.unasked_kw(set_c);
    let state = if at_set.lacking_kw < unasked_kw {
        step.purge(set_c, at_set, supply)
    } else if at_set.lacking_kw > supply.most_kw(set_c, at_set.fresh_kg_per_s) {
        step.fall_short(set_c, supply)
    } else {
        at_set
    };
    let mut hour = step.accept(&state);
    // Heat actually released in the room splits into what the need took and what was purged.
    let released_kw = state.lacking_kw;
    hour.heat_need_kw = need_kw;
    hour.heat_given_kw = released_kw.min(need_kw);
    hour.purged_kw = released_kw - hour.heat_given_kw;
    hour.bins_drying = drying;
    hour.bin_fan_kw = fan_kw;
    hour.fan_heat_kw = fan_heat_kw;
    hour.extraction_fan_kw = room.spec.extraction_kw_per_m3_per_s * state.fresh_kg_per_s * bin_air;
    room.last_c = Some(state.room.dry_bulb_c);
    hour
}

/// Specific volume of room air at its set temperature and humidity limit: the fans' fixed volume
/// flow is turned into dry air with it, so that the flow does not wander while a state is sought.
fn room_air_volume(set_c: f64, relative_humidity: f64, outside: &MoistAir) -> f64 {
    MoistAir::from_relative_humidity(set_c, relative_humidity, outside.pressure_pa())
        .map_or(outside.specific_volume_m3_per_kg(), |air| {
            air.specific_volume_m3_per_kg()
        })
}

/// Electric power and air-side heat of the drying bins' fans, kW.
fn bin_fans(room: &Room) -> (f64, f64) {
    room.bins
        .iter()
        .filter_map(|bin| bin.load_in(Phase::Drying))
        .fold((0.0, 0.0), |(power, heat), load| {
            (power + load.fan_kw, heat + load.fan_heat_kw)
        })
}

impl Step<'_> {
    /// Tries the bins with room air in this state.
    fn bins_at(&mut self, air: AirAt) -> Bins {
        let mut all = Bins::default();
        let seconds = self.hours * 3600.0;
        for bin in &mut self.room.bins {
            let Some(load) = bin.load_in_mut(Phase::Drying) else {
                continue;
            };
            let flow = load.airflow_m3_per_s / self.bin_air_m3_per_kg;
            let inlet = after_fan(air, load.fan_heat_kw, flow);
            let passage = load.bed.try_step(
                self.nuts,
                inlet,
                flow * seconds,
                self.pressure_pa,
                self.hours,
            );
            all.evaporation_kg_per_s += passage.evaporated_kg / seconds;
            all.absorbed_kw += passage.absorbed_kj / seconds;
        }
        self.tried = Some(air);
        all
    }

    /// The humidity at which the water balance closes at room temperature `t_c`, with as little
    /// fresh air between the bounds as the humidity limit allows.
    fn settle(&mut self, t_c: f64, fresh_min: f64, fresh_max: f64) -> Settled {
        let limit = self.room.spec.relative_humidity_max;
        let at_limit =
            humidity_ratio_of_vapour(limit * saturation_pressure_pa(t_c), self.pressure_pa);
        let bins = self.bins_at(AirAt {
            dry_bulb_c: t_c,
            humidity_ratio: at_limit,
        });
        let lift = at_limit - self.outside.humidity_ratio;
        let asked = bins.evaporation_kg_per_s / lift;
        if lift > 0.0 && (fresh_min..=fresh_max).contains(&asked) {
            self.settled(t_c, at_limit, asked, bins)
        } else if lift > 0.0 && asked < fresh_min {
            self.settle_with_fresh(t_c, fresh_min)
        } else {
            self.settle_with_fresh(t_c, fresh_max)
        }
    }

    /// The humidity at which the water balance closes with this much fresh air.
    fn settle_with_fresh(&mut self, t_c: f64, fresh: f64) -> Settled {
        let outside = self.outside.humidity_ratio;
        let ceiling = saturation_humidity_ratio(t_c, self.pressure_pa).min(1.0);
        let guess = self.room.search.humidity_ratio;
        let slope = self.room.search.humidity_slope.max(fresh);
        let tolerance = 1e-7 * (fresh * (outside + 0.001));
        let mut bins = Bins::default();
        let root = rising_root(guess, slope, (0.0, ceiling), tolerance, |w| {
            bins = self.bins_at(AirAt {
                dry_bulb_c: t_c,
                humidity_ratio: w,
            });
            fresh * (w - outside) - bins.evaporation_kg_per_s
        });
        self.room.search.humidity_ratio = root.x;
        self.room.search.humidity_slope = root.slope;
        self.settled(t_c, root.x, fresh, bins)
    }

    fn settled(&self, t_c: f64, humidity_ratio: f64, fresh: f64, bins: Bins) -> Settled {
        let room = AirAt {
            dry_bulb_c: t_c,
            humidity_ratio,
        };
        let ventilation = fresh * (room.enthalpy() - self.outside.enthalpy());
        Settled {
            room,
            fresh_kg_per_s: fresh,
            evaporation_kg_per_s: bins.evaporation_kg_per_s,
            lacking_kw: ventilation + self.envelope_kw(t_c) + self.steel_kw(t_c) + bins.absorbed_kw
                - self.fan_heat_kw
                - self.room.spec.gains_kw,
        }
    }

    fn envelope_kw(&self, t_c: f64) -> f64 {
        self.room.spec.envelope_ua_w_per_k / 1000.0 * (t_c - self.outside.dry_bulb_c)
    }

    fn steel_kw(&self, t_c: f64) -> f64 {
        self.room.spec.steel_kj_per_k * (t_c - self.steel_from_c) / (self.hours * 3600.0)
    }

    /// Supply too small: the temperature at which the heat lacking is the heat to be had.
    fn fall_short(&mut self, set_c: f64, supply: &impl Supply) -> Settled {
        let (fresh_min, fresh_max) = (self.fresh_min, self.fresh_max);
        let mut state = None;
        let guess = self.room.last_c.unwrap_or(set_c).min(set_c - 0.1);
        let slope = self.room.search.temperature_slope;
        let root = rising_root(guess, slope, (set_c - SEARCH_SPAN_K, set_c), 1e-5, |t| {
            let settled = self.settle(t, fresh_min, fresh_max);
            state = Some(settled);
            settled.lacking_kw - supply.most_kw(t, settled.fresh_kg_per_s)
        });
        self.room.search.temperature_slope = root.slope;
        // The search evaluates at least once.
        state.unwrap_or_else(|| self.settle(set_c, fresh_min, fresh_max))
    }

    /// More heat released than the room takes: more outside air, and if that does not hold the
    /// temperature, a warmer room at the most outside air.
    fn purge(&mut self, set_c: f64, at_set: Settled, supply: &impl Supply) -> Settled {
        let released = supply.unasked_kw(set_c);
        let fullest = self.settle_with_fresh(set_c, self.fresh_max);
        let mut state = fullest;
        if fullest.lacking_kw > released {
            let slope = self.room.search.fresh_slope;
            let bounds = (at_set.fresh_kg_per_s, self.fresh_max);
            let root = rising_root(at_set.fresh_kg_per_s * 1.2, slope, bounds, 1e-5, |fresh| {
                state = self.settle_with_fresh(set_c, fresh);
                state.lacking_kw - released
            });
            self.room.search.fresh_slope = root.slope;
        } else {
            let slope = self.room.search.temperature_slope;
            let bounds = (set_c, set_c + SEARCH_SPAN_K);
            let fresh = self.fresh_max;
            let root = rising_root(set_c + 0.5, slope, bounds, 1e-5, |t| {
                state = self.settle_with_fresh(t, fresh);
                state.lacking_kw - supply.unasked_kw(t)
            });
            self.room.search.temperature_slope = root.slope;
        }
        state
    }

    /// Makes this state the room's and writes down what it took.
    fn accept(&mut self, state: &Settled) -> RoomHour {
        if self.tried != Some(state.room) {
            self.bins_at(state.room);
        }
        let seconds = self.hours * 3600.0;
        let mut binding_kw = 0.0;
        for bin in &mut self.room.bins {
            if let Some(load) = bin.load_in_mut(Phase::Drying) {
                binding_kw += load.bed.binding_kj_of_step(self.nuts) / seconds;
                load.bed.accept();
            }
        }
        let room = state.room;
        let lift = room.humidity_ratio - self.outside.humidity_ratio;
        let relative_humidity = vapour_pressure_pa(room.humidity_ratio, self.pressure_pa)
            / saturation_pressure_pa(room.dry_bulb_c);
        RoomHour {
            air_c: room.dry_bulb_c,
            hottest_c: room.dry_bulb_c,
            relative_humidity: relative_humidity.min(1.0),
            fresh_air_kg_per_s: state.fresh_kg_per_s,
            evaporated_kg: state.evaporation_kg_per_s * seconds,
            gains_kw: self.room.spec.gains_kw,
            lights_kw: self.room.spec.lights_kw,
            ventilation_kw: state.fresh_kg_per_s * (room.enthalpy() - self.outside.enthalpy()),
            envelope_kw: self.envelope_kw(room.dry_bulb_c),
            warming_kw: self.steel_kw(room.dry_bulb_c),
            binding_kw,
            water_residual_kg: (state.evaporation_kg_per_s - state.fresh_kg_per_s * lift) * seconds,
            ..RoomHour::default()
        }
    }
}
