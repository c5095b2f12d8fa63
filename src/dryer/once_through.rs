//! Once-through air: outside -> fan -> heat -> bins -> outside.

use super::bin::Phase;
use super::layer::AirAt;
use super::nuts::Nuts;
use super::room::{Room, RoomHour, Supply, after_fan, outside_at};
use crate::air::{CP_DRY_AIR, CP_VAPOUR, MoistAir, saturation_pressure_pa, vapour_pressure_pa};

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

    let mut warmest_c = air.dry_bulb_c;
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
        warmest_c = warmest_c.max(set_c);
    }
    if hour.bins_drying == 0 {
        return hour;
    }
    let most_kw = supply.most_kw(warmest_c, flow_all);
    hour.heat_given_kw = hour.heat_need_kw.min(most_kw.max(0.0));
    let share = if hour.heat_need_kw > 0.0 {
        hour.heat_given_kw / hour.heat_need_kw
    } else {
        0.0
    };
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
        hour.binding_kw += load.bed.binding_kj_of_step(nuts) / (hours * 3600.0);
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
