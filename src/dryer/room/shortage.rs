//! A recirculating room with too little heat for its set temperature: it grows damper, then colder.

use super::recirculating::{FRESH_TOLERANCE, Settled, Step};
use super::search::{GaveWay, Shortfall};
use crate::air::AirState;
use crate::solve::{rising_root, solve_pair};

/// How far from the set temperature the search for a room's temperature goes, K.
pub(super) const SEARCH_SPAN_K: f64 = 60.0;

/// Heat is aimed at this share below the most that can be had, and met to the same share, so that no
/// source is ever asked for more than it has.
const HEAT_TOLERANCE: f64 = 5e-5;

/// Heat that a purged room takes is aimed this far below what is released, and met to the same, kW.
pub(super) const PURGE_KW: f64 = 1e-6;

/// Least heat that the tolerance is a share of, kW: for a room without any.
const LEAST_HEAT_KW: f64 = 1e-3;

/// Fresh air that closes the balance is believed within this share of what its rule asks for.
const FRESH_BELIEVED: f64 = 0.2;

/// The same, in a search inside another, whose residual must not jump with it.
pub(super) const INNER_TOLERANCE: f64 = 1e-9;

/// Trials of the bins that the quick search may take.
const TRIES: usize = 15;

/// Tries a state of temperature, °C, and humidity ratio, g/kg: settled if both balances close there, and what they
/// fail to close by.
pub(super) type Tries<S> = fn(&mut S, [f64; 2]) -> (Option<Settled>, [f64; 2]);

/// The flow that closes the water balance, where it is nearly what its rule asks for, kg/s; and how far it is believed.
pub(super) fn closing_near(asked: f64, closing: f64) -> (f64, (f64, f64)) {
    let (low, high) = (asked * (1.0 - FRESH_BELIEVED), asked * (1.0 + FRESH_BELIEVED));
    (if closing.is_finite() { closing.clamp(low, high) } else { asked }, (low, high))
}

impl Step<'_> {
    /// Supply too small for the set temperature at the humidity limit. Fresh air is throttled first:
    /// humidity may rise to the room's ceiling, so that the set temperature is held as far as that goes.
    /// Only then does the temperature fall, with fresh air that holds the ceiling.
    ///
    /// The way that a room gave in the step before is looked at first.
    pub(super) fn give_way(&mut self, set_c: f64, at_set: Settled) -> Settled {
        let limit = self.relative_humidity;
        let ceiling = self.room.spec.relative_humidity_when_short.max(limit);
        self.relative_humidity = ceiling;
        let before = self.room.search.gave_way;
        let as_before = match before {
            Some(GaveWay::Damper) => self.throttle(set_c, at_set),
            Some(GaveWay::Colder) => self.colder_as_before(set_c),
            None => None,
        };
        if let Some(state) = as_before {
            return state;
        }
        let dampest = self.settle(set_c);
        if dampest.lacking_kw > self.most_kw(dampest.room, dampest.fresh_kg_per_s) {
            self.room.search.gave_way = Some(GaveWay::Colder);
            return self.fall_short(set_c);
        }
        self.room.search.gave_way = Some(GaveWay::Damper);
        let quickly = match before {
            Some(GaveWay::Damper) => None,
            _ => self.throttle(set_c, at_set),
        };
        quickly.unwrap_or_else(|| self.throttle_surely(set_c, at_set, (limit, ceiling), dampest))
    }

    /// The humidity, from that at the limit up to the ceiling, at which the set temperature takes the heat
    /// to be had, with the fresh air that closes the water balance there; `None` if there is none within
    /// the bounds of fresh air, or if sources bring water, which goes with the flow.
    fn throttle(&mut self, set_c: f64, at_set: Settled) -> Option<Settled> {
        if self.with_water {
            return None;
        }
        let most_kw = self.most_kw(at_set.room, at_set.fresh_kg_per_s);
        let tolerance_kw = HEAT_TOLERANCE * most_kw.max(LEAST_HEAT_KW);
        let (guess, slope) = self.room.search.throttled;
        let bounds = (at_set.room.humidity_ratio, self.humidity_limit(set_c));
        if bounds.0 >= bounds.1 {
            return None;
        }
        let mut found = None;
        let root = rising_root(guess, slope, bounds, tolerance_kw, |humidity_ratio| {
            let room = AirState { dry_bulb_c: set_c, humidity_ratio };
            let bins = self.bins_at(room);
            let lift = humidity_ratio - self.outside.humidity_ratio;
            let fresh = bins.evaporation_kg_per_s / lift;
            let settled = self.settled(set_c, humidity_ratio, fresh, bins);
            let spare_kw = self.most_kw(room, fresh) - settled.lacking_kw;
            let holds =
                (self.fresh_min..=self.fresh_max).contains(&fresh) && (0.0..=2.0 * tolerance_kw).contains(&spare_kw);
            found = holds.then_some(settled);
            spare_kw - tolerance_kw
        });
        if found.is_some() {
            self.room.search.throttled = (root.x, root.slope);
        }
        found
    }

    /// The same by the rule for fresh air at every humidity: slow, and sure.
    fn throttle_surely(
        &mut self,
        set_c: f64,
        at_set: Settled,
        (limit, ceiling): (f64, f64),
        dampest: Settled,
    ) -> Settled {
        let most_kw = self.most_kw(at_set.room, at_set.fresh_kg_per_s);
        let tolerance_kw = HEAT_TOLERANCE * most_kw.max(LEAST_HEAT_KW);
        let mut found = Nearest::default();
        found.see(dampest, self.most_kw(dampest.room, dampest.fresh_kg_per_s));
        let per_humidity = (at_set.lacking_kw - dampest.lacking_kw) / (ceiling - limit);
        let guess = limit + (at_set.lacking_kw - most_kw) / per_humidity;
        let (guess, slope) = if guess.is_finite() && per_humidity > 0.0 {
            (guess, per_humidity)
        } else {
            (0.5 * (limit + ceiling), 100.0)
        };
        rising_root(guess, slope, (limit, ceiling), tolerance_kw, |humidity| {
            self.relative_humidity = humidity;
            let settled = self.settle(set_c);
            let most_kw = self.most_kw(settled.room, settled.fresh_kg_per_s);
            found.see(settled, most_kw);
            most_kw - tolerance_kw - settled.lacking_kw
        });
        found.best().unwrap_or(dampest)
    }

    /// The colder state of a room that was colder in the step before, too; `None` if it is not found at
    /// once, or not below the set temperature.
    fn colder_as_before(&mut self, set_c: f64) -> Option<Settled> {
        let last = self.room.search.shortfall?;
        let found = self.fall_short_quickly(set_c, last)?;
        (found.room.dry_bulb_c < set_c).then_some(found)
    }

    /// The temperature at which the heat lacking is the heat to be had.
    ///
    /// Temperature and humidity are sought together, from where the last search ended. If that fails,
    /// as it may where a supply trips at some temperature, they are sought one inside the other.
    pub(super) fn fall_short(&mut self, set_c: f64) -> Settled {
        let from = match self.room.search.shortfall {
            Some(last) if self.room.last_c.is_some_and(|t_c| t_c < set_c) => last,
            Some(last) => Shortfall { state: self.just_below(set_c), before: self.just_below(set_c), ..last },
            None => self.first_look(set_c),
        };
        let found = self.fall_short_quickly(set_c, from).or_else(|| {
            let afresh = self.first_look(set_c);
            self.fall_short_quickly(set_c, afresh)
        });
        found.unwrap_or_else(|| {
            self.room.search.shortfall = None;
            self.fall_short_surely(set_c)
        })
    }

    /// Coldest that a room short of heat may become, °C.
    fn coldest_c(&self, set_c: f64) -> f64 {
        set_c.min(self.outside.dry_bulb_c) - SEARCH_SPAN_K
    }

    /// Room air of this temperature at the humidity limit.
    fn at_limit(&self, t_c: f64) -> AirState {
        AirState { dry_bulb_c: t_c, humidity_ratio: self.humidity_limit(t_c) }
    }

    /// A start for a search that knows no better.
    fn just_below(&self, set_c: f64) -> [f64; 2] {
        let t_c = self.room.last_c.unwrap_or(set_c).min(set_c - 0.5);
        [t_c, 1000.0 * self.humidity_limit(t_c)]
    }

    /// A start for a search without memory, with derivatives by differences.
    fn first_look(&mut self, set_c: f64) -> Shortfall {
        self.look_about(self.just_below(set_c), Self::short_at)
    }

    /// A start at this state, with derivatives by differences.
    pub(super) fn look_about(&mut self, state: [f64; 2], tries: Tries<Self>) -> Shortfall {
        let mut at = |state| tries(self, state).1;
        let here = at(state);
        let (warmer, damper) = (at([state[0] + 0.1, state[1]]), at([state[0], state[1] + 0.1]));
        let slope = |there: [f64; 2], row: usize| (there[row] - here[row]) / 0.1;
        Shortfall { state, before: state, jacobian: [0, 1].map(|row| [slope(warmer, row), slope(damper, row)]) }
    }

    fn fall_short_quickly(&mut self, set_c: f64, from: Shortfall) -> Option<Settled> {
        let (found, last) = self.close_together((self.coldest_c(set_c), set_c), from, Self::short_at);
        self.room.search.shortfall = Some(last);
        found
    }

    /// Seeks temperature, within these bounds, and humidity together, a step beyond where the last search ended; and
    /// where this one did.
    pub(super) fn close_together(
        &mut self,
        (coldest_c, warmest_c): (f64, f64),
        from: Shortfall,
        tries: Tries<Self>,
    ) -> (Option<Settled>, Shortfall) {
        let bounds = ([coldest_c, 0.0], [warmest_c, 200.0]);
        let mut last = from;
        let mut settled = None;
        let ahead = [0, 1].map(|i| 2.0 * from.state[i] - from.before[i]);
        let solved = solve_pair(ahead, bounds, &mut last.jacobian, TRIES, |state| {
            last.state = state;
            let (closed, residuals) = tries(self, state);
            settled = closed;
            closed.is_none().then_some(residuals)
        });
        last.before = from.state;
        (settled.filter(|_| solved), last)
    }

    /// Tries a state: settled if both balances close there, and what they fail to close by (water in
    /// kg/s, heat in kW).
    ///
    /// Fresh air is what the humidity limit asks for at this evaporation, within its bounds; where the
    /// flow that closes the water balance is nearly that, it is taken instead, so that water closes
    /// exactly.
    fn short_at(&mut self, state: [f64; 2]) -> (Option<Settled>, [f64; 2]) {
        let room = AirState { dry_bulb_c: state[0], humidity_ratio: state[1] / 1000.0 };
        let bins = self.bins_at(room);
        // All that can be had is asked for, and the water that comes with it.
        let (_, fresh) = self.fresh_asked(room.dry_bulb_c, bins.evaporation_kg_per_s);
        let water = bins.evaporation_kg_per_s + self.water_with_most(room, fresh);
        let (_, asked) = self.fresh_asked(room.dry_bulb_c, water);
        let lift = room.humidity_ratio - self.outside.humidity_ratio;
        let (fresh, (low, high)) = closing_near(asked, water / lift);
        let at = |fresh: f64| self.settled(room.dry_bulb_c, room.humidity_ratio, fresh, bins);
        let mut settled = at(fresh);
        if settled.source_water_kg_per_s != 0.0 {
            // The heat lacking differs a little from all there is, and so does the water with it.
            let tolerance = 1e-15 + 1e-12 * water.abs();
            // Room air drier than the outside's is dried by less fresh air, not more.
            let towards = lift.signum();
            rising_root(fresh, lift.abs(), (low, high), tolerance, |fresh| {
                settled = at(fresh);
                let water = bins.evaporation_kg_per_s + settled.source_water_kg_per_s;
                towards * (fresh * lift - water)
            });
        }
        let fresh = settled.fresh_kg_per_s;
        let most_kw = self.most_kw(room, fresh);
        let tolerance_kw = HEAT_TOLERANCE * most_kw.max(LEAST_HEAT_KW);
        let heat = settled.lacking_kw - (most_kw - tolerance_kw);
        let below_saturation = room.humidity_ratio <= self.saturation(room.dry_bulb_c);
        let closed = below_saturation && heat.abs() <= tolerance_kw && (fresh / asked - 1.0).abs() <= FRESH_TOLERANCE;
        (closed.then_some(settled), [asked * lift - water, heat])
    }

    /// The most heat that can be had in this state, kW.
    fn most_kw(&self, room: AirState, fresh: f64) -> f64 {
        self.supply.most_kw(&self.ask(room, fresh))
    }

    /// Heat released whether wanted or not, kW.
    pub(super) fn unasked_kw(&self, room: AirState, fresh: f64) -> f64 {
        self.supply.unasked_kw(&self.ask(room, fresh))
    }

    /// Water that comes with the most heat, kg/s.
    fn water_with_most(&self, room: AirState, fresh: f64) -> f64 {
        if !self.with_water {
            return 0.0;
        }
        let ask = self.ask(room, fresh);
        self.supply.water_kg_per_s(self.supply.most_kw(&ask), &ask)
    }

    /// Humidity inside temperature: slow, and sure.
    fn fall_short_surely(&mut self, set_c: f64) -> Settled {
        self.fresh_tolerance = INNER_TOLERANCE;
        let guess = self.room.last_c.unwrap_or(set_c).min(set_c - 0.1);
        let slope = self.room.search.temperature_slope;
        let bounds = (self.coldest_c(set_c), set_c);
        let most_kw = self.most_kw(self.at_limit(set_c), self.fresh_min);
        let tolerance_kw = HEAT_TOLERANCE * most_kw.max(LEAST_HEAT_KW);
        let mut found = Nearest::default();
        let root = rising_root(guess, slope, bounds, tolerance_kw, |t| {
            let settled = self.settle(t);
            let most_kw = self.most_kw(settled.room, settled.fresh_kg_per_s);
            found.see(settled, most_kw);
            settled.lacking_kw - (most_kw - tolerance_kw)
        });
        self.room.search.temperature_slope = root.slope;
        let state = found.best().unwrap_or_else(|| self.settle(set_c));
        if state.lacking_kw < -tolerance_kw {
            let state = self.without_cooling(state);
            if state.lacking_kw < -tolerance_kw {
                return self.warmed_by_itself(state, set_c);
            }
            return state;
        }
        state
    }

    /// Where no flow at this temperature does without cooling either, nuts and steel give more than the
    /// room takes: it is warmer than that, with this much fresh air.
    fn warmed_by_itself(&mut self, state: Settled, set_c: f64) -> Settled {
        let fresh = state.fresh_kg_per_s;
        let bounds = (state.room.dry_bulb_c, set_c);
        let slope = self.room.search.temperature_slope;
        let mut nearest = state;
        rising_root(bounds.0, slope, bounds, PURGE_KW, |t| {
            let settled = self.settle_with_fresh(t, fresh);
            nearest = nearest.or_nearer_none(settled);
            settled.lacking_kw + PURGE_KW
        });
        nearest
    }

    /// Where evaporation comes to a stand in air as damp as the outside's, a breath colder or warmer
    /// turns the rule for fresh air from the most to the least, and no temperature balances. There the
    /// flow is free, and is taken so that the room asks for no cooling.
    fn without_cooling(&mut self, state: Settled) -> Settled {
        let t_c = state.room.dry_bulb_c;
        let per_flow = state.room.enthalpy() - self.outside.enthalpy();
        let bounds = (self.fresh_min, self.fresh_max);
        let mut nearest = state;
        rising_root(state.fresh_kg_per_s, per_flow.abs(), bounds, PURGE_KW, |fresh| {
            let settled = self.settle_with_fresh(t_c, fresh);
            nearest = nearest.or_nearer_none(settled);
            (settled.lacking_kw + PURGE_KW) * per_flow.signum()
        });
        nearest
    }
}

impl Settled {
    /// The other state if it asks for no heat either, and for less cooling.
    fn or_nearer_none(self, other: Self) -> Self {
        if other.lacking_kw <= 0.0 && other.lacking_kw > self.lacking_kw { other } else { self }
    }
}

/// The state seen that uses most of the heat to be had without asking for more. A search may end just
/// past a temperature at which a supply trips, where there is less heat than the state takes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Nearest {
    within: Option<(f64, Settled)>,
    last: Option<Settled>,
}

impl Nearest {
    pub(super) fn see(&mut self, settled: Settled, most_kw: f64) {
        self.last = Some(settled);
        let spare = most_kw - settled.lacking_kw;
        if spare >= 0.0 && self.within.is_none_or(|(least, _)| spare < least) {
            self.within = Some((spare, settled));
        }
    }

    pub(super) fn best(self) -> Option<Settled> {
        self.within.map(|(_, settled)| settled).or(self.last)
    }
}
