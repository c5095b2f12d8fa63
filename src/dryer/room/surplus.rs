//! A recirculating room with more heat than it takes: it cools by itself while it is set back, and else it is purged
//! or grows warmer.

use super::recirculating::{FRESH_TOLERANCE, Settled, Step};
use super::search::Shortfall;
use super::shortage::{INNER_TOLERANCE, Nearest, PURGE_KW, SEARCH_SPAN_K, closing_near};
use crate::air::AirState;
use crate::solve::rising_root;

impl Step<'_> {
    /// A room set back cools by itself, with the fresh air that its humidity asks for, down to the
    /// temperature it is set back to. It is purged only at the one it has otherwise.
    ///
    /// Temperature and humidity are sought together, and only where that fails one inside the other.
    pub(super) fn coast(&mut self, held_c: f64, set_c: f64) -> Settled {
        // The sources stand still.
        self.with_water = false;
        let as_before = self.room.search.coasting.and_then(|from| self.coast_quickly((held_c, set_c), from));
        let quickly = as_before.or_else(|| {
            let t_c = self.room.last_c.unwrap_or(set_c).clamp(held_c, set_c);
            let afresh = self.look_about([t_c, 1000.0 * self.humidity_limit(t_c)], Self::coasting_at);
            self.coast_quickly((held_c, set_c), afresh)
        });
        quickly.unwrap_or_else(|| {
            self.room.search.coasting = None;
            self.coast_surely(held_c, set_c)
        })
    }

    fn coast_quickly(&mut self, bounds_c: (f64, f64), from: Shortfall) -> Option<Settled> {
        let (found, last) = self.close_together(bounds_c, from, Self::coasting_at);
        self.room.search.coasting = Some(last);
        found
    }

    /// Tries a state of a room whose sources stand still, as [`short_at`](Self::short_at) does one that takes all they
    /// have.
    fn coasting_at(&mut self, state: [f64; 2]) -> (Option<Settled>, [f64; 2]) {
        let room = AirState { dry_bulb_c: state[0], humidity_ratio: state[1] / 1000.0 };
        let bins = self.bins_at(room);
        let water = bins.evaporation_kg_per_s;
        let (_, asked) = self.fresh_asked(room.dry_bulb_c, water);
        let lift = room.humidity_ratio - self.outside.humidity_ratio;
        let (fresh, _) = closing_near(asked, water / lift);
        let settled = self.settled(room.dry_bulb_c, room.humidity_ratio, fresh, bins);
        let heat = settled.lacking_kw - (self.unasked_kw(room, fresh) - PURGE_KW);
        let below_saturation = room.humidity_ratio <= self.saturation(room.dry_bulb_c);
        let closed = below_saturation && heat.abs() <= PURGE_KW && (fresh / asked - 1.0).abs() <= FRESH_TOLERANCE;
        (closed.then_some(settled), [asked * lift - water, heat])
    }

    /// Humidity inside temperature: slow, and sure.
    fn coast_surely(&mut self, held_c: f64, set_c: f64) -> Settled {
        self.fresh_tolerance = INNER_TOLERANCE;
        let warmest = self.settle(set_c);
        if warmest.lacking_kw <= self.unasked_kw(warmest.room, warmest.fresh_kg_per_s) {
            return self.purge(set_c, warmest);
        }
        let guess = self.room.last_c.unwrap_or(held_c);
        let slope = self.room.search.temperature_slope;
        let mut found = Nearest::default();
        let root = rising_root(guess, slope, (held_c, set_c), PURGE_KW, |t| {
            let settled = self.settle(t);
            let released = self.unasked_kw(settled.room, settled.fresh_kg_per_s);
            found.see(settled, released);
            settled.lacking_kw - (released - PURGE_KW)
        });
        self.room.search.temperature_slope = root.slope;
        found.best().unwrap_or(warmest)
    }

    /// More heat released than the room takes: more outside air, and if that does not hold the
    /// temperature, a warmer room at the most outside air.
    pub(super) fn purge(&mut self, set_c: f64, at_set: Settled) -> Settled {
        self.fresh_tolerance = INNER_TOLERANCE;
        // The sources stand still.
        self.with_water = false;
        let released = self.unasked_kw(at_set.room, at_set.fresh_kg_per_s);
        let fullest = self.settle_with_fresh(set_c, self.fresh_max);
        let mut found = Nearest::default();
        if fullest.lacking_kw > released {
            let slope = self.room.search.fresh_slope;
            let bounds = (at_set.fresh_kg_per_s, self.fresh_max);
            let root = rising_root(at_set.fresh_kg_per_s * 1.2, slope, bounds, PURGE_KW, |fresh| {
                let settled = self.settle_with_fresh(set_c, fresh);
                found.see(settled, released);
                settled.lacking_kw - (released - PURGE_KW)
            });
            self.room.search.fresh_slope = root.slope;
        } else {
            let slope = self.room.search.temperature_slope;
            let bounds = (set_c, set_c + SEARCH_SPAN_K);
            let fresh = self.fresh_max;
            let root = rising_root(set_c + 0.5, slope, bounds, PURGE_KW, |t| {
                let settled = self.settle_with_fresh(t, fresh);
                let released = self.unasked_kw(settled.room, fresh);
                found.see(settled, released);
                settled.lacking_kw - (released - PURGE_KW)
            });
            self.room.search.temperature_slope = root.slope;
        }
        found.best().unwrap_or(fullest)
    }
}
