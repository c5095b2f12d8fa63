//! One hour of one room, with all terms of its water and heat.

/// How much of a march is written down.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Detail {
    /// Every hour of the site, and each room's sums.
    #[default]
    Site,
    /// Every hour of each room, too.
    Rooms,
}

/// Air that passed in an hour, and its mean state over its mass: enthalpy and water of the mean are those of all
/// of it, so that balances close.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PassedAir {
    /// Dry air, kg/s, mean over the hour.
    pub kg_per_s: f64,
    /// Dry bulb, °C.
    pub dry_bulb_c: f64,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
}

/// What one room did in an hour. Energies are kWh in the hour, water kg.
///
/// Water: `drying_evaporated_kg + source_water_kg` is what `left` carries above the outside air, and
/// `condensed_kg`; `cooling_evaporated_kg` is what `left_cooling` carries above it.
///
/// Heat: delivered + purged + fan heat + gains = ventilation + envelope + warming + binding.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RoomEntry {
    /// Batches drying.
    pub bins_drying: u32,
    /// Fresh air as it met the nuts that dry; a recirculating room's air. `None` where none was drawn.
    pub met_nuts: Option<PassedAir>,
    /// The same as it left the plant.
    pub left: Option<PassedAir>,
    /// Outside air that cooled bins, as it left them; `None` where no bin cooled.
    pub left_cooling: Option<PassedAir>,
    /// Water evaporated from nuts that dry.
    pub drying_evaporated_kg: f64,
    /// Water evaporated from nuts that cool.
    pub cooling_evaporated_kg: f64,
    /// Water brought by direct flames; less than zero where a source condensed it out of the air.
    pub source_water_kg: f64,
    /// Water that settled on surfaces of a saturated room.
    pub condensed_kg: f64,
    /// Heat lacking at the set temperature before any source.
    pub heat_asked_kwh: f64,
    /// Heat that sources and recovered heat gave towards it.
    pub heat_delivered_kwh: f64,
    /// Of which recovered from condensers.
    pub recovered_kwh: f64,
    /// Recovered heat beyond the need, purged with outside air.
    pub purged_kwh: f64,
    /// Fan heat that stayed in the air.
    pub fan_heat_kwh: f64,
    /// Lights and people.
    pub gains_kwh: f64,
    /// Heat of the air that left above the outside air's, less the enthalpy of the water that sources brought.
    pub ventilation_kwh: f64,
    /// Enthalpy of the water that sources brought, as vapour.
    pub source_water_kwh: f64,
    /// Loss through the envelope.
    pub envelope_kwh: f64,
    /// Warming of nuts, their water and steel, with the liquid water that left them.
    pub warming_kwh: f64,
    /// Heat that freed bound water beyond free water's latent heat.
    pub binding_kwh: f64,
    /// Electricity of bin fans.
    pub bin_fan_kwh: f64,
    /// Electricity of the extraction fan.
    pub extraction_fan_kwh: f64,
    /// Electricity of lights.
    pub lights_kwh: f64,
}
