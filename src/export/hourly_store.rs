//! The cool store's columns of `hourly.csv`.

use super::column::Adds::{End, Mean, MeanOverAir, Sum};
use super::column::Column;
use super::hour::{CELSIUS, KG, KG_PER_S, KWH, OfHour, RATIO, flag_of_hour, maybe_of_hour, of_hour};
use crate::ledger::Entry;

/// A store that holds nothing yet has no state.
fn state(hour: &Entry, of: f64) -> Option<f64> {
    (hour.store_relative_humidity > 0.0).then_some(of)
}

pub(super) fn columns<'a, R: OfHour>() -> Vec<Column<'a, R>> {
    let mut columns = load();
    columns.extend(water_and_nuts());
    columns.extend(units());
    columns
}

fn load<'a, R: OfHour>() -> Vec<Column<'a, R>> {
    let kwh = |head: &str, says: &'static str, of: fn(&Entry) -> f64| of_hour(head, (Sum, KWH), says, of);
    vec![
        kwh("store_envelope_kwh", "heat into the store by its envelope", |hour| hour.store.envelope_kwh),
        kwh("store_air_kwh", "with outside air, without its water", |hour| hour.store.air_kwh),
        kwh("store_gains_kwh", "by fans, lights and people", |hour| hour.store.gains_kwh),
        kwh("store_respiration_kwh", "by respiration", |hour| hour.store.respiration_kwh),
        kwh("store_nuts_kwh", "by nuts that cool down", |hour| hour.store.nuts_kwh),
        kwh("store_evaporation_kwh", "taken by water that becomes vapour in it", |hour| hour.store.evaporation_kwh),
        kwh("store_fabric_kwh", "warming of its air and fabric", |hour| hour.store.fabric_kwh),
        kwh("store_sensible_kwh", "cooling that went into the air", |hour| hour.store.sensible_kwh),
        kwh("store_latent_kwh", "cooling that took water out", |hour| hour.store.latent_kwh),
        kwh("store_cooling_kwh", "cooling given", |hour| hour.store_cooling_kwh),
        kwh("store_unmet_kwh", "cooling asked for and not given", |hour| hour.store_unmet_kwh),
    ]
}

fn water_and_nuts<'a, R: OfHour>() -> Vec<Column<'a, R>> {
    vec![
        of_hour("store_air_kg_per_s", (Mean, KG_PER_S), "outside air into the store", |hour| hour.store.air_kg_per_s),
        maybe_of_hour(
            "store_humidity_ratio",
            (MeanOverAir, RATIO),
            "humidity ratio of the store's air, kg/kg",
            |hour| state(hour, hour.store.humidity_ratio),
        ),
        of_hour("store_condensate_kg", (Sum, KG), "water that the coil took out", |hour| hour.store.condensate_kg),
        of_hour("store_humidifier_kg", (Sum, KG), "water that the humidifier gave", |hour| hour.store.humidifier_kg),
        of_hour("store_nuts_lost_kg", (Sum, KG), "water that stored nuts lost", |hour| hour.store_nuts_lost_kg),
        of_hour("store_arrived_kg", (Sum, KG), "nuts that came into the store", |hour| hour.store.arrived_kg),
        maybe_of_hour("store_arrived_c", (Mean, CELSIUS), "their temperature", |hour| hour.store.arrived_c),
        maybe_of_hour("store_c", (End, CELSIUS), "store temperature", |hour| state(hour, hour.store_c)),
        maybe_of_hour("store_rh_pct", (End, 2), "store relative humidity", |hour| {
            state(hour, hour.store_relative_humidity * 100.0)
        }),
    ]
}

fn units<'a, R: OfHour>() -> Vec<Column<'a, R>> {
    vec![
        maybe_of_hour("condenser_air_c", (Mean, CELSIUS), "air that condensers found", |hour| {
            hour.store.condenser_air_c
        }),
        flag_of_hour("tripped", "true if their air kept units from running", |hour| hour.store.tripped),
        of_hour("condensers_all_kwh", (Sum, KWH), "heat given off at all condensers", |hour| hour.store.rejected_kwh),
        of_hour("condenser_heat_kwh", (Sum, KWH), "of which where it could be used: gross recovered heat", |hour| {
            hour.gross_kwh
        }),
        of_hour("condenser_heat_idle_kwh", (Sum, KWH), "of which in an idle room", |hour| hour.gross_idle_kwh),
        of_hour("penalty_kwh", (Sum, KWH), "electricity of units above that outdoors", |hour| hour.penalty_kwh),
    ]
}
