//! Once-through air: outside -> fan -> heat -> ducts, plenum -> bins -> outside. A stage that is not heated
//! gets outside air, warmed by its fan alone.

use super::hour::RoomHour;
use super::spec::RoomSpec;
use super::state::Room;
use super::supply::{Ask, Supply};
use super::way_in::WayIn;
use crate::air::{AirState, MoistAir, dry_bulb_of_enthalpy_c, saturation_pressure_pa, vapour_pressure_pa};
use crate::dryer::bed::Passage;
use crate::dryer::bin::{Bin, Load, Phase};
use crate::dryer::passed::Passed;
use crate::dryer::streams::{outside_at, vapour_enthalpy};
use crate::solve::rising_root;

/// The heat given is aimed this share of the need below what can be had, and met to the same.
const SHARE_TOLERANCE: f64 = 1e-9;

/// One step of all drying bins, each with the air temperature of its own stage. When the heat does
/// not suffice, every bin gets the same share of the rise it asks for.
pub(super) fn step(room: &mut Room, outside: &MoistAir, supply: &dyn Supply, hours: f64) -> RoomHour {
    let mut hour =
        RoomHour { air_c: outside.dry_bulb_c(), relative_humidity: outside.relative_humidity(), ..RoomHour::default() };
    let air = outside_at(outside);
    let mut passing = Passing { outside, flow_all: 0.0, hottest_c: room.setback.temperature_c, hours };

    // Flow-weighted sums of the air's temperature before and behind the heater at full heat.
    let (mut unheated, mut heated) = (0.0, 0.0);
    for bin in &room.bins {
        let Some((way, set_c)) = passing.way(&room.spec, bin) else {
            continue;
        };
        let need_kw = way.need_kw(set_c);
        hour.heat_need_kw += need_kw;
        hour.bins_drying += 1;
        passing.flow_all += way.flow;
        unheated += way.flow * way.fan.dry_bulb_c;
        heated += way.flow * way.behind_heater_c(need_kw);
    }
    let flow_all = passing.flow_all;
    if hour.bins_drying == 0 || flow_all <= 0.0 {
        return hour;
    }
    let need_kw = hour.heat_need_kw;
    let ask = |share: f64, exhaust: AirState| Ask {
        need_kw,
        air: AirState {
            dry_bulb_c: (unheated + share * (heated - unheated)) / flow_all,
            humidity_ratio: air.humidity_ratio,
        },
        exhaust,
        fresh_air_kg_per_s: flow_all,
    };
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
    let source_water = if supply.moves_water() { supply.water_kg_per_s(hour.heat_given_kw, &hour.asked) } else { 0.0 };
    hour.source_water_kg = source_water * hours * 3600.0;

    let mut temperature_flow = 0.0;
    let spec = &room.spec;
    for bin in &mut room.bins {
        let Some((way, set_c)) = passing.way(spec, bin) else {
            continue;
        };
        let flow = way.flow;
        let inlet = passing.inlet(&way, set_c, share, source_water);
        if flow > 0.0 {
            bin.steel_c = Some(inlet.dry_bulb_c);
        }
        let Some(load) = bin.load_in_mut(Phase::Drying) else {
            continue;
        };
        let passage = passing.through(load, flow, inlet);
        hour.binding_kw += load.bed.binding_kj_of_step() / (hours * 3600.0);
        load.bed.accept();
        let ran = load.course.share();
        load.course.met = Some((inlet, flow / ran.max(f64::MIN_POSITIVE)));
        load.course.aired_hours = ran * hours;
        hour.evaporated_kg += passage.evaporated_kg;
        hour.bin_fan_kw += ran * load.fan_kw;
        hour.fan_heat_kw += ran * load.fan_heat_kw;
        hour.envelope_kw += way.loss_kw(inlet.dry_bulb_c);
        hour.warming_kw += way.steel_kw(inlet.dry_bulb_c);
        let source_water_kw = source_water * flow / flow_all * vapour_enthalpy(inlet.dry_bulb_c);
        hour.ventilation_kw += flow * (passage.outlet.enthalpy() - air.enthalpy()) - source_water_kw;
        hour.source_water_kw += source_water_kw;
        hour.met_nuts.add(&Passed::of(flow, inlet, hours));
        hour.left.add(&Passed::of(flow, passage.outlet, hours));
        temperature_flow += flow * inlet.dry_bulb_c;
        hour.hottest_c = hour.hottest_c.max(inlet.dry_bulb_c);
    }
    hour.air_c = temperature_flow / flow_all;
    hour.relative_humidity = (vapour_pressure_pa(air.humidity_ratio + source_water / flow_all, outside.pressure_pa())
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
    /// The way of the air to the nuts of a bin, if they dry, and the temperature that it is set to, °C.
    fn way(&self, room: &RoomSpec, bin: &Bin) -> Option<(WayIn, f64)> {
        let load = bin.load_in(Phase::Drying)?;
        let way = WayIn::of(room, &bin.spec, load, bin.steel_c, self.outside, self.hours);
        Some((way, room.temperature_for_bed(&load.bed).min(self.hottest_c)))
    }

    /// The air before the nuts of a bin when this share of the heat it asks for is given and sources bring
    /// this much water, kg/s, to all bins together.
    fn inlet(&self, way: &WayIn, set_c: f64, share: f64, water: f64) -> AirState {
        AirState {
            dry_bulb_c: way.at_nuts_c(set_c, share),
            humidity_ratio: way.fan.humidity_ratio + water / self.flow_all,
        }
    }

    fn through(&self, load: &mut Load, flow: f64, inlet: AirState) -> Passage {
        let dry_air_kg = flow * self.hours * 3600.0;
        let pressure_pa = self.outside.pressure_pa();
        let hours = load.course.share() * self.hours;
        load.bed.try_step(&load.nuts, inlet, dry_air_kg, pressure_pa, hours)
    }

    /// The air that leaves all bins together, were they to dry so; nothing is settled by it.
    fn exhaust(&self, room: &mut Room, share: f64, water: f64) -> AirState {
        let (mut enthalpy, mut humidity) = (0.0, 0.0);
        let spec = &room.spec;
        for bin in &mut room.bins {
            let Some((way, set_c)) = self.way(spec, bin) else {
                continue;
            };
            let (flow, inlet) = (way.flow, self.inlet(&way, set_c, share, water));
            let Some(load) = bin.load_in_mut(Phase::Drying) else {
                continue;
            };
            let outlet = self.through(load, flow, inlet).outlet;
            enthalpy += flow * outlet.enthalpy() / self.flow_all;
            humidity += flow * outlet.humidity_ratio / self.flow_all;
        }
        AirState { dry_bulb_c: dry_bulb_of_enthalpy_c(enthalpy, humidity), humidity_ratio: humidity }
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
