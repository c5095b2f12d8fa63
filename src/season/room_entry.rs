//! A room's hour as the book keeps it.

use crate::dryer::{Passed, RoomHour};
use crate::ledger::{PassedAir, RoomEntry};

/// A room's hour, of whose heat so much came from condensers, kWh.
pub(super) fn room_entry(room: &RoomHour, recovered_kwh: f64) -> RoomEntry {
    RoomEntry {
        bins_drying: u32::try_from(room.bins_drying).unwrap_or(u32::MAX),
        met_nuts: passed_air(&room.met_nuts),
        left: passed_air(&room.left),
        left_cooling: passed_air(&room.left_cooling),
        drying_evaporated_kg: room.evaporated_kg - room.cooling_evaporated_kg,
        cooling_evaporated_kg: room.cooling_evaporated_kg,
        source_water_kg: room.source_water_kg,
        condensed_kg: room.condensed_kg,
        heat_asked_kwh: room.heat_need_kw,
        heat_delivered_kwh: room.heat_given_kw,
        recovered_kwh,
        purged_kwh: room.purged_kw,
        fan_heat_kwh: room.fan_heat_kw,
        gains_kwh: room.gains_kw,
        ventilation_kwh: room.ventilation_kw,
        source_water_kwh: room.source_water_kw,
        envelope_kwh: room.envelope_kw,
        warming_kwh: room.warming_kw,
        binding_kwh: room.binding_kw,
        bin_fan_kwh: room.bin_fan_kw,
        extraction_fan_kwh: room.extraction_fan_kw,
        lights_kwh: room.lights_kw,
    }
}

/// What passed in an hour, as a flow in its mean state.
fn passed_air(passed: &Passed) -> Option<PassedAir> {
    passed.mean().map(|mean| PassedAir {
        kg_per_s: passed.dry_air_kg / 3600.0,
        dry_bulb_c: mean.dry_bulb_c,
        humidity_ratio: mean.humidity_ratio,
    })
}
