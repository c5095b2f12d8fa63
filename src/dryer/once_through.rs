//! Once-through air: outside -> fan -> heat -> bins -> outside.

use super::bed::Passage;
use super::bin::{Load, Phase};
use super::layer::AirAt;
use super::passed::Passed;
use super::room::{Ask, Room, RoomHour, RoomSpec, Supply, after_fan, outside_at, vapour_enthalpy};
use crate::air::{
    CP_DRY_AIR, CP_VAPOUR, MoistAir, dry_bulb_of_enthalpy_c, saturation_pressure_pa,
    vapour_pressure_pa,
};
use crate::solve::rising_root;

/// The heat given is aimed this share of the need below what can be had, and met to the same.
const SHARE_TOLERANCE: f64 = 1e-9;

/// One step of all drying bins, each with the air temperature of its own stage. When the heat does
/// not suffice, every bin gets the same share of the rise it asks for.
pub(super) fn step(
    room: &mut Room,
    outside: &MoistAir,
    supply: &dyn Supply,
    hours: f64,
) -> RoomHour {
    let mut hour = RoomHour {
        air_c: outside.dry_bulb_c(),
        relative_humidity: outside.relative_humidity(),
        ..RoomHour::default()
    };
    let air = outside_at(outside);
    let volume = outside.specific_volume_m3_per_kg();
    let heat_capacity = CP_DRY_AIR + CP_VAPOUR * air.humidity_ratio;

    // Flow-weighted sums of the air's temperature before and after the heat it asks for.
    let (mut unheated, mut heated) = (0.0, 0.0);
    let mut flow_all = 0.0;
    for load in room.bins.iter().filter_map(|bin| bin.load_in(Phase::Drying)) {
        let share = load.course.share();
        let full_flow = load.airflow_m3_per_s / volume;
        let flow = share * full_flow;
        let set_c = room.spec.temperature_for_bed(&load.bed).min(room.setback.temperature_c);
        let after_fan = after_fan(air, load.fan_heat_kw, full_flow);
        let rise = (set_c - after_fan.dry_bulb_c).max(0.0);
        hour.heat_need_kw += flow * heat_capacity * rise;
        hour.bins_drying += 1;
        flow_all += flow;
        unheated += flow * after_fan.dry_bulb_c;
        heated += flow * (after_fan.dry_bulb_c + rise);
    }
    if hour.bins_drying == 0 || flow_all <= 0.0 {
        return hour;
    }
    let need_kw = hour.heat_need_kw;
    let ask = |share: f64, exhaust: AirAt| Ask {
        need_kw,
        air: AirAt {
            dry_bulb_c: (unheated + share * (heated - unheated)) / flow_all,
            humidity_ratio: air.humidity_ratio,
        },
        exhaust,
        fresh_air_kg_per_s: flow_all,
    };
    let passing = Passing { outside, flow_all, hottest_c: room.setback.temperature_c, hours };
    // What the air is like that leaves: with the outside's own water first, then with what sources
    // bring while it is so.
    let mut leaving = |share: f64| {
        if !supply.uses_exhaust() {
            return air;
        }
        let dry = passing.exhaust(room, share, 0.0);
        if !supply.moves_water() {
            return dry;
        }
        let water = supply.water_kg_per_s(share * need_kw, &ask(share, dry));
        passing.exhaust(room, share, water)
    };
    let share = share_given(need_kw, |share| supply.most_kw(&ask(share, leaving(share))).max(0.0));
    hour.asked = ask(share, leaving(share));
    hour.heat_given_kw = share * need_kw;
    hour.below_set_k = (1.0 - share) * (heated - unheated) / flow_all;
    hour.fresh_air_kg_per_s = flow_all;
    let source_water = if supply.moves_water() {
        supply.water_kg_per_s(hour.heat_given_kw, &hour.asked)
    } else {
        0.0
    };
    hour.source_water_kg = source_water * hours * 3600.0;

    let mut temperature_flow = 0.0;
    let spec = &room.spec;
    for bin in &mut room.bins {
        let Some(load) = bin.load_in_mut(Phase::Drying) else {
            continue;
        };
        let (flow, inlet) = passing.inlet(spec, load, share, source_water);
        let passage = passing.through(load, flow, inlet);
        hour.binding_kw += load.bed.binding_kj_of_step() / (hours * 3600.0);
        load.bed.accept();
        let ran = load.course.share();
        load.course.met = Some((inlet, flow / ran.max(f64::MIN_POSITIVE)));
        load.course.aired_hours = ran * hours;
        hour.evaporated_kg += passage.evaporated_kg;
        hour.bin_fan_kw += ran * load.fan_kw;
        hour.fan_heat_kw += ran * load.fan_heat_kw;
        let source_water_kw = source_water * flow / flow_all * vapour_enthalpy(inlet.dry_bulb_c);
        hour.ventilation_kw +=
            flow * (passage.outlet.enthalpy() - air.enthalpy()) - source_water_kw;
        hour.source_water_kw += source_water_kw;
        hour.met_nuts.add(&Passed::of(flow, inlet, hours));
        hour.left.add(&Passed::of(flow, passage.outlet, hours));
        temperature_flow += flow * inlet.dry_bulb_c;
        hour.hottest_c = hour.hottest_c.max(inlet.dry_bulb_c);
    }
    hour.air_c = temperature_flow / flow_all;
    hour.relative_humidity =
        (vapour_pressure_pa(air.humidity_ratio + source_water / flow_all, outside.pressure_pa())
            / saturation_pressure_pa(hour.air_c))
        .min(1.0);
    hour
}

/// What stays the same for all bins of a step.
struct Passing<'a> {
    outside: &'a MoistAir,
    flow_all: f64,
    /// Air is held no warmer than this, °C.
    hottest_c: f64,
    hours: f64,
}

impl Passing<'_> {
    /// Flow through a bin, kg/s in the mean of the step, and the air before it, when this share of the rise it asks for is given
    /// and sources bring this much water, kg/s, to all bins together.
    fn inlet(&self, spec: &RoomSpec, load: &Load, share: f64, water: f64) -> (f64, AirAt) {
        let flow = load.airflow_m3_per_s / self.outside.specific_volume_m3_per_kg();
        let mean_flow = load.course.share() * flow;
        let set_c = spec.temperature_for_bed(&load.bed).min(self.hottest_c);
        let after_fan = after_fan(outside_at(self.outside), load.fan_heat_kw, flow);
        let rise = (set_c - after_fan.dry_bulb_c).max(0.0);
        let inlet = AirAt {
            dry_bulb_c: after_fan.dry_bulb_c + share * rise,
            humidity_ratio: after_fan.humidity_ratio + water / self.flow_all,
        };
        (mean_flow, inlet)
    }

    fn through(&self, load: &mut Load, flow: f64, inlet: AirAt) -> Passage {
        let dry_air_kg = flow * self.hours * 3600.0;
        let pressure_pa = self.outside.pressure_pa();
        let hours = load.course.share() * self.hours;
        load.bed.try_step(&load.nuts, inlet, dry_air_kg, pressure_pa, hours)
    }

    /// The air that leaves all bins together, were they to dry so; nothing is settled by it.
    fn exhaust(&self, room: &mut Room, share: f64, water: f64) -> AirAt {
        let (mut enthalpy, mut humidity) = (0.0, 0.0);
        let spec = &room.spec;
        for load in room.bins.iter_mut().filter_map(|bin| bin.load_in_mut(Phase::Drying)) {
            let (flow, inlet) = self.inlet(spec, load, share, water);
            let outlet = self.through(load, flow, inlet).outlet;
            enthalpy += flow * outlet.enthalpy() / self.flow_all;
            humidity += flow * outlet.humidity_ratio / self.flow_all;
        }
        AirAt { dry_bulb_c: dry_bulb_of_enthalpy_c(enthalpy, humidity), humidity_ratio: humidity }
    }
}

/// The share of the need that can be given, 0 to 1. What can be had depends on the air's temperature and
/// so on the share itself: condensers in that air give off more in warmer air, until they trip.
fn share_given(need_kw: f64, mut most_kw: impl FnMut(f64) -> f64) -> f64 {
    if need_kw <= 0.0 {
        return 0.0;
    }
    let at_set_kw = most_kw(1.0);
    if at_set_kw >= need_kw {
        return 1.0;
    }
    // Past a trip there is less heat than on this side of it: only what can be had counts.
    let mut best = 0.0_f64;
    let guess = (at_set_kw / need_kw).min(1.0);
    rising_root(guess, need_kw, (0.0, 1.0), SHARE_TOLERANCE * need_kw, |share| {
        let spare_kw = most_kw(share) - share * need_kw;
        if spare_kw >= 0.0 {
            best = best.max(share);
        }
        SHARE_TOLERANCE * need_kw - spare_kw
    });
    // The air's temperature is summed up again from the bins; it must not round past a trip.
    best * (1.0 - 1e-12)
}
