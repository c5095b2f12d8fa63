//! One hour of the ledger.

use super::hours::cells;
use super::store_entry::StoreEntry;
use crate::weather::Hour;
use chrono::NaiveDateTime;

/// What one hour used and did. Energies are kWh in the hour (so also mean kW).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Entry {
    /// Start of the hour, local standard time.
    pub starts: NaiveDateTime,
    /// True inside the drying season; false in the hours after it.
    pub in_season: bool,
    /// Outside dry bulb, °C.
    pub outside_c: f64,
    /// Outside relative humidity, fraction.
    pub outside_relative_humidity: f64,
    /// Outside humidity ratio, kg/kg.
    pub outside_humidity_ratio: f64,
    /// Station pressure, Pa.
    pub pressure_pa: f64,
    /// Global horizontal irradiance, W/m²; `None` where the weather has none.
    pub irradiance_w_per_m2: Option<f64>,
    /// True if temperature, humidity or pressure of the hour was mended.
    pub mended: bool,
    /// Air that dries: the room's temperature, or the mean of the heated air, °C.
    pub air_c: f64,
    /// Relative humidity of the same air, fraction.
    pub air_relative_humidity: f64,
    /// Batches drying.
    pub bins_drying: u32,
    /// Batches cooling in their bins.
    pub bins_cooling: u32,
    /// Nuts that wait to be loaded, t.
    pub waiting_t: f64,
    /// Of which would be loaded were a bin free, t; the others wait until a load has come together.
    pub waiting_for_bin_t: f64,
    /// Nuts in the cool store, t.
    pub stored_t: f64,
    /// Water evaporated, kg.
    pub evaporated_kg: f64,
    /// Fresh air, kg of dry air per second.
    pub fresh_air_kg_per_s: f64,
    /// Heat need: what the same plant with ample heat asks for in this hour of the season.
    pub heat_need_kwh: f64,
    /// Heat lacking at the set temperature in this march, before any source and before recovered heat. A plant
    /// that has grown cold asks for its rewarming, too, in every hour anew.
    pub heat_asked_kwh: f64,
    /// Heat that sources and recovered heat gave towards it.
    pub heat_delivered_kwh: f64,
    /// Heat not given of what was asked for, rewarming counted no higher than the need of the day around
    /// ([`Book::measured_against`](super::Book::measured_against)).
    pub heat_short_kwh: f64,
    /// Air below its set temperature because heat was short, K: mean over the hour and over the batches that
    /// dry.
    pub below_set_k: f64,
    /// Of the heat given, what was recovered from condensers.
    pub recovered_kwh: f64,
    /// Recovered heat beyond the need, purged with outside air.
    pub purged_kwh: f64,
    /// Bin fans.
    pub bin_fan_kwh: f64,
    /// Extraction fan.
    pub extraction_fan_kwh: f64,
    /// Lights of the drying room.
    pub lights_kwh: f64,
    /// Electricity of all heat sources.
    pub source_electricity_kwh: f64,
    /// Heat in heat stores at the hour's end.
    pub heat_store_kwh: f64,
    /// Heat that went into them.
    pub heat_store_charged_kwh: f64,
    /// Heat that they lost.
    pub heat_store_lost_kwh: f64,
    /// The cool store's load, water and condensers.
    pub store: StoreEntry,
    /// Cooling given to the store.
    pub store_cooling_kwh: f64,
    /// Cooling the store asked for and did not get.
    pub store_unmet_kwh: f64,
    /// How far the store stood above its set temperature, times the time it did, K h.
    pub store_above_set_kh: f64,
    /// Cooling that the same store with its condensers outdoors asked for and did not get; as
    /// `store_unmet_kwh` where they stand outdoors.
    pub outdoors_unmet_kwh: f64,
    /// How far that store stood above its set temperature, K h.
    pub outdoors_above_set_kh: f64,
    /// Compressors and condenser fans.
    pub store_units_kwh: f64,
    /// The store's own fans and lights.
    pub store_fans_kwh: f64,
    /// Store temperature, °C.
    pub store_c: f64,
    /// Store relative humidity, fraction.
    pub store_relative_humidity: f64,
    /// Weight that stored nuts lost to the store's air, kg; less than zero where they gained.
    pub store_nuts_lost_kg: f64,
    /// Heat given off by condensers that stand where it could be used; zero for condensers outdoors.
    pub gross_kwh: f64,
    /// Of which given off in a room in which no batch dried.
    pub gross_idle_kwh: f64,
    /// Electricity of the units above what the same cooling takes with the condensers outdoors; none or more
    /// while the store is short of cooling that it would get there.
    pub penalty_kwh: f64,
    /// Time in which recovered heat met a need and earned no credit, since the store was short of cooling that
    /// it would get with its condensers outdoors, h.
    pub unearned_hours: f64,
    /// That heat.
    pub unearned_useful_kwh: f64,
    /// Purchased energy that it spared, and that is not displaced by the credit's terms.
    pub unearned_displaced_kwh: f64,
    /// Heat that left with extracted or exhausted air, over outside air.
    pub ventilation_kwh: f64,
    /// Heat lost through the room's envelope.
    pub envelope_kwh: f64,
    /// Warming of nuts, held water and steel.
    pub warming_kwh: f64,
    /// Heat that freed bound water beyond free water's latent heat.
    pub binding_kwh: f64,
    /// Fan heat that stayed in the drying or cooling air.
    pub fan_heat_kwh: f64,
    /// Lights and people in the drying room.
    pub gains_kwh: f64,
    /// Water in less water out, kg.
    pub water_residual_kg: f64,
    /// Energy in less energy out.
    pub energy_residual_kwh: f64,
}

cells!(Entry {
    starts,
    in_season,
    outside_c,
    outside_relative_humidity,
    outside_humidity_ratio,
    pressure_pa,
    irradiance_w_per_m2,
    mended,
    air_c,
    air_relative_humidity,
    bins_drying,
    bins_cooling,
    waiting_t,
    waiting_for_bin_t,
    stored_t,
    evaporated_kg,
    fresh_air_kg_per_s,
    heat_need_kwh,
    heat_asked_kwh,
    heat_delivered_kwh,
    heat_short_kwh,
    below_set_k,
    recovered_kwh,
    purged_kwh,
    bin_fan_kwh,
    extraction_fan_kwh,
    lights_kwh,
    source_electricity_kwh,
    heat_store_kwh,
    heat_store_charged_kwh,
    heat_store_lost_kwh,
    store,
    store_cooling_kwh,
    store_unmet_kwh,
    store_above_set_kh,
    outdoors_unmet_kwh,
    outdoors_above_set_kh,
    store_units_kwh,
    store_fans_kwh,
    store_c,
    store_relative_humidity,
    store_nuts_lost_kg,
    gross_kwh,
    gross_idle_kwh,
    penalty_kwh,
    unearned_hours,
    unearned_useful_kwh,
    unearned_displaced_kwh,
    ventilation_kwh,
    envelope_kwh,
    warming_kwh,
    binding_kwh,
    fan_heat_kwh,
    gains_kwh,
    water_residual_kg,
    energy_residual_kwh,
});

impl Entry {
    /// An hour in which nothing dries, cools or is stored.
    pub fn idle(hour: &Hour, in_season: bool) -> Self {
        Self {
            starts: hour.starts,
            in_season,
            outside_c: hour.air.dry_bulb_c(),
            outside_relative_humidity: hour.air.relative_humidity(),
            outside_humidity_ratio: hour.air.humidity_ratio(),
            pressure_pa: hour.air.pressure_pa(),
            irradiance_w_per_m2: hour.global_horizontal_w_per_m2,
            mended: hour.mended,
            air_c: hour.air.dry_bulb_c(),
            air_relative_humidity: hour.air.relative_humidity(),
            ..Self::default()
        }
    }

    /// True if heat was short: less given than was asked for. Below a watt-hour it is rounding.
    pub fn is_short(&self) -> bool {
        self.heat_asked_kwh - self.heat_delivered_kwh > 1e-3
    }

    /// Nuts that wait until a load has come together, t.
    pub fn waiting_for_load_t(&self) -> f64 {
        self.waiting_t - self.waiting_for_bin_t
    }

    /// Electricity of the cool store: units, fans and lights.
    pub fn store_kwh(&self) -> f64 {
        self.store_units_kwh + self.store_fans_kwh
    }

    /// Electricity of the drying fans.
    pub fn fan_kwh(&self) -> f64 {
        self.bin_fan_kwh + self.extraction_fan_kwh
    }

    /// Electricity of the site: the meter sees fans, lights, sources and store together.
    pub fn site_electricity_kwh(&self) -> f64 {
        self.fan_kwh() + self.lights_kwh + self.source_electricity_kwh + self.store_kwh()
    }
}
