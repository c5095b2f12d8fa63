//! The water balance of a recirculating room: water brought by fresh air, by what evaporates and by
//! sources leaves with the air. It settles the room's humidity, or the fresh air that holds its limit.

use super::recirculating::{Bins, Settled, Step};
use super::search::FreshAir;
use crate::air::{AirState, humidity_ratio_of_vapour, saturation_humidity_ratio, saturation_pressure_pa};
use crate::solve::rising_root;

/// Outside air takes up at least this much before more of it is asked for, kg/kg. Where the outside is
/// as damp as the limit, hardly any evaporation would otherwise ask for all the air there is.
const LEAST_LIFT: f64 = 1e-4;

/// Water that may stay unaccounted for where hardly any evaporates, kg per hour and kg of dry matter.
const NEGLIGIBLE_EVAPORATION: f64 = 1e-9;

/// Fresh air that closes the balance where sources bring or take water may differ by this share at most: what a
/// dehumidifier does hangs steeply on the room's humidity.
const TOLERANCE_WITH_WATER: f64 = 1e-5;

impl Step<'_> {
    /// The humidity at which the water balance closes at room temperature `t_c`, with as little
    /// fresh air as the humidity limit allows. The rule that held last is tried first.
    pub(super) fn settle(&mut self, t_c: f64) -> Settled {
        let at_limit = self.humidity_limit(t_c);
        let asked_for = usize::from(self.relative_humidity > self.room.spec.relative_humidity_max);
        match self.room.search.water(self.with_water).rule[asked_for] {
            FreshAir::ByLimit => {}
            FreshAir::Least => {
                let settled = self.settle_with_fresh(t_c, self.fresh_min);
                if settled.room.humidity_ratio < at_limit {
                    return settled;
                }
            }
            FreshAir::Most => {
                let settled = self.settle_with_fresh(t_c, self.fresh_max);
                if settled.room.humidity_ratio >= at_limit {
                    return settled;
                }
            }
        }
        let bins = self.bins_at(AirState { dry_bulb_c: t_c, humidity_ratio: at_limit });
        let (rule, asked) = self.fresh_asked_at(t_c, at_limit, bins);
        self.room.search.water(self.with_water).rule[asked_for] = rule;
        match rule {
            FreshAir::ByLimit => {
                let settled = self.settled(t_c, at_limit, asked, bins);
                if self.closes(&settled) {
                    settled
                } else {
                    // What sources bring jumps with the flow: at the jump humidity gives way.
                    self.settle_with_fresh(t_c, asked)
                }
            }
            FreshAir::Least | FreshAir::Most => self.settle_with_fresh(t_c, asked),
        }
    }

    /// True if a state closes the water balance; without water from sources it does by its flow.
    fn closes(&self, state: &Settled) -> bool {
        let lift = state.room.humidity_ratio - self.outside.humidity_ratio;
        let water = state.evaporation_kg_per_s + state.source_water_kg_per_s;
        !self.with_water || (state.fresh_kg_per_s * lift - water).abs() <= 1e-13 + 1e-11 * water.abs()
    }

    /// Humidity ratio of saturated room air, kg/kg.
    pub(super) fn saturation(&self, t_c: f64) -> f64 {
        saturation_humidity_ratio(t_c, self.pressure_pa).min(1.0)
    }

    /// Humidity ratio that fresh air is asked to hold, kg/kg: the room's limit, but never closer to the
    /// outside's than [`LEAST_LIFT`], nor above saturation.
    pub(super) fn humidity_limit(&self, t_c: f64) -> f64 {
        let saturation_pa = saturation_pressure_pa(t_c);
        let limit = self.relative_humidity * saturation_pa;
        humidity_ratio_of_vapour(limit, self.pressure_pa)
            .max(self.outside.humidity_ratio + LEAST_LIFT)
            .min(self.saturation(t_c))
    }

    /// Fresh air that holds the humidity limit when the bins do this there and sources bring or take the
    /// water that goes with the heat lacking, within its bounds, kg/s.
    fn fresh_asked_at(&self, t_c: f64, at_limit: f64, bins: Bins) -> (FreshAir, f64) {
        let lift = at_limit - self.outside.humidity_ratio;
        let evaporation = bins.evaporation_kg_per_s;
        let water_at = |fresh: f64| self.settled(t_c, at_limit, fresh, bins).source_water_kg_per_s;
        let (rule, asked) = self.fresh_asked(t_c, evaporation);
        if !self.with_water {
            return (rule, asked);
        }
        let spare = |fresh: f64| fresh * lift - evaporation - water_at(fresh);
        if spare(self.fresh_min) >= 0.0 {
            return (FreshAir::Least, self.fresh_min);
        }
        if spare(self.fresh_max) < 0.0 {
            return (FreshAir::Most, self.fresh_max);
        }
        let bounds = (self.fresh_min, self.fresh_max);
        let tolerance = 1e-14 + 1e-12 * evaporation.abs();
        let root = rising_root(asked.clamp(bounds.0, bounds.1), lift, bounds, tolerance, spare);
        (FreshAir::ByLimit, root.x)
    }

    /// Fresh air that holds the humidity limit against this much water, within its bounds, kg/s.
    pub(super) fn fresh_asked(&self, t_c: f64, water_kg_per_s: f64) -> (FreshAir, f64) {
        let lift = self.humidity_limit(t_c) - self.outside.humidity_ratio;
        // Air that cannot take up anything is asked for in full all the same: there is no better.
        let asked = if water_kg_per_s <= 0.0 {
            0.0
        } else if lift <= 0.0 {
            f64::INFINITY
        } else {
            water_kg_per_s / lift
        };
        if asked < self.fresh_min {
            (FreshAir::Least, self.fresh_min)
        } else if asked > self.fresh_max {
            (FreshAir::Most, self.fresh_max)
        } else {
            (FreshAir::ByLimit, asked)
        }
    }

    /// The humidity at which the water balance closes with this much fresh air. It closes exactly: the
    /// flow settled on may differ a little from the one asked.
    pub(super) fn settle_with_fresh(&mut self, t_c: f64, asked: f64) -> Settled {
        let ceiling = self.saturation(t_c);
        let search = self.room.search.water(self.with_water);
        let (guess, slope) = (search.humidity_ratio, search.humidity_slope.max(asked));
        let tolerance = NEGLIGIBLE_EVAPORATION * self.dry_matter_kg / 3600.0 + 1e-16 * asked;
        let mut bins = Bins::default();
        let mut fresh = asked;
        let root = rising_root(guess, slope, (0.0, ceiling), tolerance, |w| {
            bins = self.bins_at(AirState { dry_bulb_c: t_c, humidity_ratio: w });
            if let Some(closing) = self.nearly_closing(t_c, w, asked, bins) {
                fresh = closing;
                return 0.0;
            }
            fresh = asked;
            self.left_behind(t_c, w, asked, bins)
        });
        let search = self.room.search.water(self.with_water);
        (search.humidity_ratio, search.humidity_slope) = (root.x, root.slope);
        self.settled(t_c, root.x, fresh, bins)
    }

    /// How much more water leaves with this much fresh air than comes in, kg/s, when the bins do this.
    fn left_behind(&self, t_c: f64, humidity_ratio: f64, fresh: f64, bins: Bins) -> f64 {
        let lift = humidity_ratio - self.outside.humidity_ratio;
        let from_sources = self.settled(t_c, humidity_ratio, fresh, bins).source_water_kg_per_s;
        fresh * lift - (bins.evaporation_kg_per_s + from_sources)
    }

    /// Fresh air that closes the water balance in this state, kg/s, if it is within the tolerance of what is
    /// asked for.
    fn nearly_closing(&self, t_c: f64, humidity_ratio: f64, asked: f64, bins: Bins) -> Option<f64> {
        let tolerated = self.fresh_tolerance;
        if !self.with_water {
            let closing = bins.evaporation_kg_per_s / (humidity_ratio - self.outside.humidity_ratio);
            return ((closing / asked - 1.0).abs() <= tolerated).then_some(closing);
        }
        let tolerated = tolerated.min(TOLERANCE_WITH_WATER);
        // What sources bring depends on the flow: it is sought, without another trial of the bins.
        let (low, high) = (asked * (1.0 - tolerated), asked * (1.0 + tolerated));
        let left = |fresh: f64| self.left_behind(t_c, humidity_ratio, fresh, bins);
        let (at_low, at_high) = (left(low), left(high));
        if at_low * at_high > 0.0 {
            return None;
        }
        let water = bins.evaporation_kg_per_s.abs() + high * humidity_ratio;
        let (towards, slope) = ((at_high - at_low).signum(), ((at_high - at_low) / (high - low)).abs());
        let tolerance = 1e-15 + 1e-13 * water;
        let root = rising_root(asked, slope, (low, high), tolerance, |fresh| towards * left(fresh));
        (root.residual.abs() <= 10.0 * tolerance).then_some(root.x)
    }
}
