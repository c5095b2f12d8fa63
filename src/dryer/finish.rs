//! When a batch is done, to the minute: what it must be, what cooling still takes from it, and where in a
//! step it gets there.

use super::bed::{Bed, Passage};
use super::bin::{Bin, Load, Phase};
use super::course::Finish;
use super::streams::{after_fan, outside_at};
use crate::air::{AirState, MoistAir};
use crate::solve::nearly_rising_root;

impl Load {
    /// Says that drying ends after this share of the coming step; at its beginning, that it has ended.
    pub(super) fn end_at(&mut self, share: f64) {
        if share > 0.0 {
            self.course.ends_at_share = Some(share);
        } else {
            self.phase = Phase::Cooling;
            self.hours_in_phase = 0.0;
            self.course.ended_in_step = Some(0.0);
        }
    }
}

/// How much wetter a batch is than done, dry basis; neither above zero where it is done.
#[derive(Clone, Copy)]
struct Left {
    mean: f64,
    wettest: f64,
}

impl Left {
    fn most(self) -> f64 {
        self.mean.max(self.wettest)
    }
}

/// Cooling is foreseen in no more steps than this.
const MOST_COOLING_STEPS: f64 = 8.0;
/// The end is looked for no less often, h: outside air, stages and setbacks change what is left.
const LONGEST_LOOK_AHEAD_H: f64 = 12.0;
/// Latent heat of water at some 30 °C, kJ/kg (ASHRAE Handbook - Fundamentals, steam tables).
const LATENT_KJ_PER_KG: f64 = 2430.0;
/// What cooling takes beyond the nuts' own heat, at most, dry basis: the outside air dries, too. Only says
/// from when on the end is looked for.
const TAKEN_BY_AIR: f64 = 0.01;
/// What a batch may lose in its first step, dry basis: how fast it dries is not known yet.
const MOST_AT_ONCE: f64 = 0.1;
/// The moment of the end is met to this moisture, dry basis.
const TOLERANCE: f64 = 1e-9;

impl Finish {
    /// How much wetter than done this bed of the load is.
    fn left(&self, load: &Load, bed: &Bed, outside: &MoistAir) -> Left {
        let of = |bed: &Bed| Left {
            mean: bed.mean_moisture() - self.moisture,
            wettest: bed.wettest().moisture - self.moisture - self.spread,
        };
        if !self.foresees_cooling || self.cooling_hours <= 0.0 {
            return of(bed);
        }
        let mut bed = bed.clone();
        let steps = self.cooling_hours.ceil().clamp(1.0, MOST_COOLING_STEPS);
        let hours = self.cooling_hours / steps;
        let (inlet, flow) = cooling_air(load, outside);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few
        let steps = steps as usize;
        bed.pass_on_end(&load.nuts, inlet, (flow * hours * 3600.0, hours), outside.pressure_pa(), steps);
        of(&bed)
    }

    /// True if a batch may be done within the next `hours`, so that its end is to be looked for.
    fn is_near(&self, load: &Load, outside: &MoistAir, hours: f64) -> bool {
        let course = &load.course;
        if load.hours_in_phase + hours + 1e-9 < course.look_from_hours {
            return false;
        }
        let bed = &load.bed;
        let moisture = bed.mean_moisture();
        let by_cooling = if self.foresees_cooling && self.cooling_hours > 0.0 {
            let above_k = (bed.mean_temperature_c(&load.nuts) - outside.dry_bulb_c()).max(0.0);
            load.nuts.heat_capacity(moisture) * above_k / LATENT_KJ_PER_KG + TAKEN_BY_AIR
        } else {
            0.0
        };
        let may_fall = if load.hours_in_phase > 0.0 { 2.0 * course.falls_per_hour * hours } else { MOST_AT_ONCE };
        moisture <= self.moisture + by_cooling + may_fall
    }
}

/// Outside air before a load that it cools, and its flow, kg/s.
fn cooling_air(load: &Load, outside: &MoistAir) -> (AirState, f64) {
    let flow = load.airflow_m3_per_s / outside.specific_volume_m3_per_kg();
    (after_fan(outside_at(outside), load.fan_heat_kw, flow), flow)
}

/// Cools a bed with outside air for some hours; the step is tried, not yet the bed's state.
pub(super) fn cool(bed: &mut Bed, load: &Load, outside: &MoistAir, hours: f64) -> Passage {
    let (inlet, flow) = cooling_air(load, outside);
    bed.try_step(&load.nuts, inlet, flow * hours * 3600.0, outside.pressure_pa(), hours)
}

/// True if any batch may be done within the step.
pub(super) fn any_is_near(bins: &[Bin], outside: &MoistAir, hours: f64) -> bool {
    let mut drying = bins.iter().filter_map(|bin| bin.load_in(Phase::Drying));
    drying.any(|load| load.finish.is_near(load, outside, hours))
}

/// The batches that got dry in a step of `hours`, and the share of it that each took. `before` are the bins
/// as they were; `after`, as they are, keep in mind what was found.
pub(super) fn ends(before: &[Bin], after: &mut [Bin], outside: &MoistAir, hours: f64) -> Vec<(usize, f64)> {
    let mut found = Vec::new();
    for (place, (was, is)) in before.iter().zip(after).enumerate() {
        let (Some(was), Some(load)) = (was.load_in(Phase::Drying), is.load_in_mut(Phase::Drying)) else {
            continue;
        };
        if !load.finish.is_near(was, outside, hours) {
            continue;
        }
        let left = load.finish.left(load, &load.bed, outside);
        let falls_per_hour = (was.bed.mean_moisture() - load.bed.mean_moisture()) / hours;
        if left.mean <= 0.0 && load.course.mean_done_hours.is_none() {
            let ago_hours = if falls_per_hour > 0.0 { -left.mean / falls_per_hour } else { 0.0 };
            load.course.mean_done_hours = Some(load.hours_in_phase - ago_hours.min(hours));
        }
        if left.most() > 0.0 {
            // The mean falls ever slower, and the wettest nuts fall faster than it.
            let far = if left.mean > 0.0 { left.mean } else { 0.5 * left.wettest };
            // Fans that stand or turn slowly now may not in the next hour.
            let falls = falls_per_hour.max(was.course.falls_per_hour).max(f64::MIN_POSITIVE);
            let due_hours = 0.5 * far / falls;
            load.course.look_from_hours = load.hours_in_phase + due_hours.min(LONGEST_LOOK_AHEAD_H);
            continue;
        }
        let share = share_until_done(was, (load.course.met, left.most()), outside, hours);
        found.push((place, share));
    }
    found
}

/// Share of a step of `hours` after which a batch is done that is so at its end, when so much is left then;
/// zero if it was before.
fn share_until_done(
    load: &Load,
    (met, left_after): (Option<(AirState, f64)>, f64),
    outside: &MoistAir,
    hours: f64,
) -> f64 {
    let finish = &load.finish;
    let left_before = finish.left(load, &load.bed, outside).most();
    let (Some((inlet, flow)), true) = (met, left_before > 0.0) else {
        return 0.0;
    };
    let done_after = |share: f64| {
        let mut bed = load.bed.clone();
        let air_kg = flow * share * hours * 3600.0;
        bed.try_step(&load.nuts, inlet, air_kg, outside.pressure_pa(), share * hours);
        bed.accept();
        -finish.left(load, &bed, outside).most()
    };
    // What is left falls nearly straight through the step.
    let slope = left_before - left_after;
    nearly_rising_root(left_before / slope, slope, (1e-6, 1.0), TOLERANCE, done_after).x
}

/// Batches that dried for a part of the step begin to cool in the rest of it.
pub(super) fn begin_cooling(bins: &mut [Bin], hours: f64) {
    for load in bins.iter_mut().filter_map(|bin| bin.load_in_mut(Phase::Drying)) {
        let Some(share) = load.course.ends_at_share.take() else {
            continue;
        };
        load.phase = Phase::Cooling;
        load.hours_in_phase = 0.0;
        load.course.ended_in_step = Some(share * hours);
    }
}

/// What a step of `hours` adds to the account that each load keeps of itself. `before` are the bins before
/// it.
pub(super) fn note_step(before: &[f64], bins: &mut [Bin], hours: f64) {
    for (bin, moisture_before) in bins.iter_mut().zip(before) {
        let Some(load) = bin.load.as_mut() else {
            continue;
        };
        let since_hours = hours - load.course.ended_in_step.unwrap_or(0.0);
        load.hours_in_phase += since_hours;
        if load.phase == Phase::Drying && load.airflow_m3_per_s > 0.0 {
            let fallen = moisture_before - load.bed.mean_moisture();
            load.course.falls_per_hour = (fallen / hours).max(0.0);
        }
        let aired_hours = load.course.aired_hours;
        // Once it is cool it only waits to be taken out.
        let waits_hours = match load.phase {
            Phase::Drying => 0.0,
            Phase::Cooling => load.hours_in_phase - load.finish.cooling_hours,
        };
        load.fan_run.hours += hours - waits_hours.clamp(0.0, since_hours);
        if load.airflow_m3_per_s > 0.0 {
            load.fan_run.running_hours += aired_hours;
        }
        load.fan_run.air_m3 += load.airflow_m3_per_s * aired_hours * 3600.0;
        load.fan_run.fan_kwh += load.fan_kw * aired_hours;
    }
}

/// Mean moisture of each bin's batch; zero where there is none.
pub(super) fn moistures(bins: &[Bin]) -> Vec<f64> {
    let of = |bin: &Bin| bin.load.as_ref().map_or(0.0, |load| load.bed.mean_moisture());
    bins.iter().map(of).collect()
}
