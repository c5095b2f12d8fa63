//! The cool store in one hour of the ledger.

use super::hours::cells;

/// What the cool store did in an hour: energies kWh, water and nuts kg. All nothing without a store.
///
/// Heat: envelope + air + gains + respiration + nuts - evaporation = sensible + fabric; sensible + latent is the
/// cooling given. Water: what outside air brings above the store's, the nuts' loss and the humidifier's water
/// are the condensate.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StoreEntry {
    /// Through the envelope, with the sun on it.
    pub envelope_kwh: f64,
    /// With outside air, without its water.
    pub air_kwh: f64,
    /// Fans, lights and people.
    pub gains_kwh: f64,
    /// Respiration of the nuts.
    pub respiration_kwh: f64,
    /// Given by nuts that cool down.
    pub nuts_kwh: f64,
    /// Taken by the water of nuts and humidifier to become vapour.
    pub evaporation_kwh: f64,
    /// Cooling that went into the air.
    pub sensible_kwh: f64,
    /// Cooling that took water out.
    pub latent_kwh: f64,
    /// Warming of air and fabric.
    pub fabric_kwh: f64,
    /// Outside air that came in, kg of dry air per second.
    pub air_kg_per_s: f64,
    /// Humidity ratio of the store's air, kg/kg, mean over the air that went out.
    pub humidity_ratio: f64,
    /// Water that the coil took out.
    pub condensate_kg: f64,
    /// Water that the humidifier gave.
    pub humidifier_kg: f64,
    /// Heat given off at all condensers: cooling and the units' electricity.
    pub rejected_kwh: f64,
    /// Air that the condensers found, °C; `None` where no nuts are stored.
    pub condenser_air_c: Option<f64>,
    /// True if the condensers' air kept units from running.
    pub tripped: bool,
    /// Nuts that came in.
    pub arrived_kg: f64,
    /// Their temperature, °C, mean by heat capacity; `None` where none came.
    pub arrived_c: Option<f64>,
}

cells!(StoreEntry {
    envelope_kwh,
    air_kwh,
    gains_kwh,
    respiration_kwh,
    nuts_kwh,
    evaporation_kwh,
    sensible_kwh,
    latent_kwh,
    fabric_kwh,
    air_kg_per_s,
    humidity_ratio,
    condensate_kg,
    humidifier_kg,
    rejected_kwh,
    condenser_air_c,
    tripped,
    arrived_kg,
    arrived_c,
});
