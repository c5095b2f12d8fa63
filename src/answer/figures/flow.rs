//! Where each kWh of an option goes: what comes in, what takes it, the drying air, and where it leaves.

use schemars::JsonSchema;
use serde::Serialize;

/// Energies of an option in a mean season, kWh, none below zero. What sources take and give stands with the
/// sources. Into the drying air: heat of the sources, fan heat, gains, recovered heat, `nuts_cooling_kwh`,
/// `envelope_gain_kwh` and `outside_air_kwh`. Out of it: evaporation, extracted air, envelope, warming, and
/// desorption.
#[allow(clippy::struct_field_names)] // each name carries its unit
#[derive(Clone, Copy, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct FlowFigures {
    /// Electricity of the drying fans.
    pub fans_kwh: f64,
    /// Of which heat in the drying air.
    pub fan_heat_kwh: f64,
    /// Of which lost outside it.
    pub fan_loss_kwh: f64,
    /// Electricity of the drying room's lights.
    pub lights_kwh: f64,
    /// Heat of the people in it.
    pub people_kwh: f64,
    /// Electricity of the cool store.
    pub store_electricity_kwh: f64,
    /// Heat that the cool store drew from nuts, air and building.
    pub store_load_kwh: f64,
    /// Heat that all condensers rejected: electricity and load of the store.
    pub rejected_kwh: f64,
    /// Of which into the drying air, useful or purged.
    pub rejected_to_air_kwh: f64,
    /// Of which taken from the condensers' water by heat pumps.
    pub rejected_to_pumps_kwh: f64,
    /// Of which to the outdoors.
    pub rejected_to_outdoors_kwh: f64,
    /// Heat that nuts and steel gave to the drying air: they left colder than they came.
    pub nuts_cooling_kwh: f64,
    /// Heat that came in through the envelope.
    pub envelope_gain_kwh: f64,
    /// Heat that outside air gave: it left colder than it came, and the difference evaporated water.
    pub outside_air_kwh: f64,
    /// All heat that came into the drying air.
    pub air_in_kwh: f64,
    /// Evaporation: the latent heat of the water that the nuts gave up, at 0 °C as enthalpy counts it. It is
    /// what drying is for.
    pub evaporation_kwh: f64,
    /// Heat that left with extracted or exhausted air over outside air's, the latent heat of that water left
    /// out.
    pub extracted_air_kwh: f64,
    /// Heat lost through the envelope.
    pub envelope_kwh: f64,
    /// Warming of nuts, held water and steel.
    pub warming_kwh: f64,
    /// Heat of desorption: what bound water takes beyond free water's latent heat.
    pub desorption_kwh: f64,
    /// All heat that left the drying air.
    pub air_out_kwh: f64,
}
