//! Once-through air: outside -> fan -> heat -> bins -> outside.

use super::bin::Phase;
use super::layer::AirAt;
use super::nuts::Nuts;
use super::room::{Room, RoomHour, Supply, after_fan, outside_at};
use crate::air::{CP_DRY_AIR, CP_VAPOUR, MoistAir, saturation_pressure_pa, vapour_pressure_pa};
use crate::solve::rising_root;

/// The heat given is aimed this share of the need below what can be had, and met to the same.
const SHARE_TOLERANCE: f64 = 1e-9;

/// One step of all drying bins, each with the air temperature of its own stage. When the heat does
/// not suffice, every bin gets the same share of the rise it asks for.
pub(super) fn step(
    room: &mut Room,
    outside: &MoistAir,
    nuts: &Nuts,
    supply: &impl Supply,
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
    for load in room
        .bins
        .iter()
        .filter_map(|bin| bin.load_in(Phase::Drying))
    {
        let flow = load.airflow_m3_per_s / volume;
        let set_c = room.spec.temperature_for(load.bed.mean_moisture());
        let after_fan = after_fan(air, load.fan_heat_kw, flow);
        let rise = (set_c - after_fan.dry_bulb_c).max(0.0);
        hour.heat_need_kw += flow * heat_capacity * rise;
        hour.bins_drying += 1;
        flow_all += flow;
        unheated += flow * after_fan.dry_bulb_c;
        heated += flow * (after_fan.dry_bulb_c + rise);
    }
    if hour.bins_drying == 0 {
        return hour;
    }
    let share = share_given(hour.heat_need_kw, |share| {
        let air_c = (unheated + share * (heated - unheated)) / flow_all;
        supply.most_kw(air_c, flow_all).max(0.0)
    });
    hour.heat_given_kw = share * hour.heat_need_kw;
    hour.fresh_air_kg_per_s = flow_all;

    let mut temperature_flow = 0.0;
    for bin in &mut room.bins {
        let Some(load) = bin.load_in_mut(Phase::Drying) else {
            continue;
        };
        let flow = load.airflow_m3_per_s / volume;
        let set_c = room.spec.temperature_for(load.bed.mean_moisture());
        let after_fan = after_fan(air, load.fan_heat_kw, flow);
        let rise = (set_c - after_fan.dry_bulb_c).max(0.0);
        let inlet = AirAt {
            dry_bulb_c: after_fan.dry_bulb_c + share * rise,
            humidity_ratio: air.humidity_ratio,
        };
        let dry_air_kg = flow * hours * 3600.0;
        let passage = load
            .bed
            .try_step(nuts, inlet, dry_air_kg, outside.pressure_pa(), hours);
        hour.binding_kw += load.bed.binding_kj_of_step() / (hours * 3600.0);
        load.bed.accept();
        hour.evaporated_kg += passage.evaporated_kg;
        hour.bin_fan_kw += load.fan_kw;
        hour.fan_heat_kw += load.fan_heat_kw;
        hour.ventilation_kw += flow * (passage.outlet.enthalpy() - air.enthalpy());
        temperature_flow += flow * inlet.dry_bulb_c;
        hour.hottest_c = hour.hottest_c.max(inlet.dry_bulb_c);
    }
    hour.air_c = temperature_flow / flow_all;
    hour.relative_humidity = (vapour_pressure_pa(air.humidity_ratio, outside.pressure_pa())
        / saturation_pressure_pa(hour.air_c))
    .min(1.0);
    hour
}

/// The share of the need that can be given, 0 to 1. What can be had depends on the air's temperature and
/// so on the share itself: condensers in that air give off more in warmer air, until they trip.
fn share_given(need_kw: f64, most_kw: impl Fn(f64) -> f64) -> f64 {
    if need_kw <= 0.0 {
        return 0.0;
    }
    if most_kw(1.0) >= need_kw {
        return 1.0;
    }
    // Past a trip there is less heat than on this side of it: only what can be had counts.
    let mut best = 0.0_f64;
    let guess = (most_kw(1.0) / need_kw).min(1.0);
    rising_root(
        guess,
        need_kw,
        (0.0, 1.0),
        SHARE_TOLERANCE * need_kw,
        |share| {
            let spare_kw = most_kw(share) - share * need_kw;
            if spare_kw >= 0.0 {
                best = best.max(share);
            }
            SHARE_TOLERANCE * need_kw - spare_kw
        },
    );
    // The air's temperature is summed up again from the bins; it must not round past a trip.
    best * (1.0 - 1e-12)
}
