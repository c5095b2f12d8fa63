//! Air on its way to the nuts: from outside, and after a fan.

use crate::air::{AirState, CP_DRY_AIR, CP_VAPOUR, LATENT_AT_ZERO, MoistAir};

/// Enthalpy of water vapour at a temperature, kJ/kg.
pub(super) fn vapour_enthalpy(t_c: f64) -> f64 {
    LATENT_AT_ZERO + CP_VAPOUR * t_c
}

/// Air after a fan that gives it `heat_kw`.
pub(super) fn after_fan(air: AirState, heat_kw: f64, dry_air_kg_per_s: f64) -> AirState {
    if dry_air_kg_per_s <= 0.0 {
        return air;
    }
    let capacity = dry_air_kg_per_s * (CP_DRY_AIR + CP_VAPOUR * air.humidity_ratio);
    AirState { dry_bulb_c: air.dry_bulb_c + heat_kw / capacity, humidity_ratio: air.humidity_ratio }
}

/// Outside air as a bed sees it.
pub(super) fn outside_at(outside: &MoistAir) -> AirState {
    AirState { dry_bulb_c: outside.dry_bulb_c(), humidity_ratio: outside.humidity_ratio() }
}
