//! The store's own balance, hour by hour.
//!
//! Air and fabric share one temperature. Each batch has its own, and follows the store's with a
//! first-order time constant. The humidity is quasi-steady: outside air that comes in, nuts that drift to
//! their equilibrium, each crop's by an isotherm of its own, a coil that takes water out above the band, a
//! humidifier that gives water below it.

use super::door::Doors;
use super::drift::{Drift, Exchanging, Held, held_humidity};
use super::load::StoreLoad;
use super::performance::StoreAir;
use super::placement::{Asked, Parted, Tripped};
use super::unit::{CoolingUnits, Running};
use crate::air::{CP_DRY_AIR, CP_LIQUID_WATER, CP_VAPOUR, LATENT_AT_ZERO, MoistAir};

/// A cool store as built and as set.
#[derive(Clone, Debug, PartialEq)]
pub struct StoreSpec {
    /// Temperature that cooling holds, °C. The store may be cooler when nothing warms it.
    pub temperature_c: f64,
    /// Lowest and highest relative humidity, fraction.
    pub relative_humidity: (f64, f64),
    /// Envelope, W/K.
    pub envelope_ua_w_per_k: f64,
    /// Rise of the outside surface above the air per irradiance, K per W/m², averaged over the
    /// envelope: solar absorptance x roof share / surface coefficient (the sol-air temperature).
    pub solar_rise_k_per_w_per_m2: f64,
    /// Air changes per hour with outside air, doors left out if they are described.
    pub air_changes_per_hour: f64,
    /// Doors that stand open now and then; `None` where the air changes count them.
    pub doors: Option<Doors>,
    /// Volume, m³.
    pub volume_m3: f64,
    /// Lights and people, kW, while the store is in use.
    pub gains_kw: f64,
    /// Electricity of the store's own fans, kW, while in use; all of it warms the store.
    pub fan_kw: f64,
    /// Part of `gains_kw` that is electricity (lights), kW.
    pub lights_kw: f64,
    /// Heat capacity of air and fabric, kJ/K.
    pub fabric_kj_per_k: f64,
    /// Time constant with which a batch follows the store's temperature, h.
    pub nuts_time_constant_h: f64,
    /// The cooling units.
    pub units: CoolingUnits,
}

/// How nuts of a crop behave in store.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Keeping {
    /// Heat of respiration, W per tonne of dried nuts.
    pub respiration_w_per_t: f64,
    /// How their moisture follows the store's air; `None` to leave it as it came.
    pub drift: Option<Drift>,
}

/// A batch that comes into the store.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arrival {
    /// Place of its crop among the plant's, from 0.
    pub crop: usize,
    /// How its nuts behave in store.
    pub keeping: Keeping,
    /// Its mass, kg.
    pub mass_kg: f64,
    /// Its moisture, dry basis.
    pub moisture: f64,
    /// Its heat capacity, kJ/K; held while it is stored.
    pub heat_capacity_kj_per_k: f64,
    /// Its temperature, °C.
    pub temperature_c: f64,
    /// How long it stays, h.
    pub stay_hours: f64,
}

/// A batch in the store.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Stored {
    crop: usize,
    keeping: Keeping,
    dry_kg: f64,
    water_kg: f64,
    heat_capacity_kj_per_k: f64,
    temperature_c: f64,
    hours_left: f64,
}

/// The store in the course of a season.
#[derive(Clone, Debug, PartialEq)]
pub struct Store {
    /// As built and set.
    pub spec: StoreSpec,
    batches: Vec<Stored>,
    /// Weight that nuts of each crop lost to the air so far, kg.
    lost_kg: Vec<f64>,
    temperature_c: f64,
    tripped: Tripped,
}

/// What an hour asks of the units, whatever their condensers' air.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StoreDemand {
    /// Cooling that would hold temperature and humidity, and the air that the evaporators see.
    pub asked: Asked,
    /// Part of it that takes water out, kW.
    pub latent_kw: f64,
    /// Water the coil takes out, kg.
    pub condensate_kg: f64,
    /// Water the humidifier gives, kg.
    pub humidifier_kg: f64,
    /// Relative humidity, fraction.
    pub relative_humidity: f64,
    /// Water the nuts give to the air, kg; less than zero where they take it up.
    pub nuts_water_kg: f64,
    /// Outside air through leaks and doors, kg of dry air per second.
    air_kg_per_s: f64,
    /// Humidity ratio of the store's air, kg/kg.
    humidity_ratio: f64,
    /// Gains by envelope, air and nuts: at 0 °C store temperature, kW, and how they fall per kelvin, kW/K.
    envelope: (f64, f64),
    air: (f64, f64),
    nuts: (f64, f64),
    /// Heat of respiration, and what water takes to become vapour, kW.
    respiration_kw: f64,
    evaporative_kw: f64,
    hours: f64,
}

/// What the store did in a step. Powers are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StoreHour {
    /// What the units did.
    pub units: Running,
    /// Temperature at the end of the step, °C.
    pub temperature_c: f64,
    /// Relative humidity, fraction.
    pub relative_humidity: f64,
    /// Nuts in the store, t.
    pub stored_t: f64,
    /// Electricity of fans and lights, kW.
    pub fans_and_lights_kw: f64,
    /// Water the humidifier gave, kg.
    pub humidifier_kg: f64,
    /// Water the coil took out, kg.
    pub condensate_kg: f64,
    /// Weight the nuts lost to the air, kg; less than zero where they gained.
    pub nuts_lost_kg: f64,
    /// Outside air that came in, kg of dry air, and as much went out.
    pub air_kg: f64,
    /// Water in the air that went out, kg.
    pub air_out_water_kg: f64,
    /// What the load is made of, kW.
    pub load: StoreLoad,
    /// Energy in less energy out, kWh: what the balance failed to close.
    pub energy_residual_kwh: f64,
}

impl StoreHour {
    /// Adds a step of `hours` to an hour's account: powers weighted by time, masses summed, states as
    /// the last step left them.
    pub fn add(&mut self, step: &Self, hours: f64) {
        // All that there is, so that none is left out.
        let Self {
            units,
            temperature_c,
            relative_humidity,
            stored_t,
            fans_and_lights_kw,
            humidifier_kg,
            condensate_kg,
            nuts_lost_kg,
            air_kg,
            air_out_water_kg,
            load,
            energy_residual_kwh,
        } = *step;
        self.units.cooling_kw += units.cooling_kw * hours;
        self.units.electricity_kw += units.electricity_kw * hours;
        self.units.rejected_kw += units.rejected_kw * hours;
        self.units.unmet_kw += units.unmet_kw * hours;
        self.units.tripped |= units.tripped;
        self.temperature_c = temperature_c;
        self.relative_humidity = relative_humidity;
        self.stored_t = stored_t;
        self.fans_and_lights_kw += fans_and_lights_kw * hours;
        self.humidifier_kg += humidifier_kg;
        self.condensate_kg += condensate_kg;
        self.nuts_lost_kg += nuts_lost_kg;
        self.air_kg += air_kg;
        self.air_out_water_kg += air_out_water_kg;
        self.load.add(&load, hours);
        self.energy_residual_kwh += energy_residual_kwh;
    }

    /// All electricity of the store, kW.
    pub fn electricity_kw(&self) -> f64 {
        self.units.electricity_kw + self.fans_and_lights_kw
    }
}

impl Stored {
    fn mass_kg(&self) -> f64 {
        self.dry_kg + self.water_kg
    }
}

impl Store {
    /// An empty store at its set temperature.
    pub fn new(spec: StoreSpec) -> Self {
        Self {
            batches: Vec::new(),
            lost_kg: Vec::new(),
            temperature_c: spec.temperature_c,
            tripped: Tripped::default(),
            spec,
        }
    }

    /// True while nuts are in it.
    pub fn in_use(&self) -> bool {
        !self.batches.is_empty()
    }

    /// Nuts in the store, t.
    pub fn stored_t(&self) -> f64 {
        self.batches.iter().map(Stored::mass_kg).sum::<f64>() / 1000.0
    }

    /// Weight that nuts of a crop lost to the store's air so far, kg; less than zero where they gained.
    pub fn lost_kg(&self, crop: usize) -> f64 {
        self.lost_kg.get(crop).copied().unwrap_or(0.0)
    }

    /// Store temperature, °C.
    pub fn temperature_c(&self) -> f64 {
        self.temperature_c
    }

    /// Takes a batch in.
    pub fn take_in(&mut self, batch: &Arrival) {
        let dry_kg = batch.mass_kg / (1.0 + batch.moisture);
        if self.lost_kg.len() <= batch.crop {
            self.lost_kg.resize(batch.crop + 1, 0.0);
        }
        self.batches.push(Stored {
            crop: batch.crop,
            keeping: batch.keeping,
            dry_kg,
            water_kg: batch.mass_kg - dry_kg,
            heat_capacity_kj_per_k: batch.heat_capacity_kj_per_k,
            temperature_c: batch.temperature_c,
            hours_left: batch.stay_hours,
        });
    }

    /// The cooling that this hour asks for; zero while the store is empty.
    pub fn demand(&self, outside: &MoistAir, irradiance: Option<f64>, hours: f64) -> StoreDemand {
        if !self.in_use() {
            return StoreDemand { hours, ..StoreDemand::default() };
        }
        let spec = &self.spec;
        let leaks = spec.air_changes_per_hour * spec.volume_m3 / 3600.0 / outside.specific_volume_m3_per_kg();
        let air_kg_per_s = leaks + self.through_doors(outside);
        let humidity = self.humidity(outside, air_kg_per_s, hours);

        let sol_air_c = outside.dry_bulb_c() + spec.solar_rise_k_per_w_per_m2 * irradiance.unwrap_or(0.0);
        let ua = spec.envelope_ua_w_per_k / 1000.0;
        let air = air_kg_per_s * (CP_DRY_AIR + CP_VAPOUR * outside.humidity_ratio());
        let seconds = hours * 3600.0;
        let decay = self.decay(hours);
        let (mut nuts, mut nuts_heat, mut respiration_kw) = (0.0, 0.0, 0.0);
        for batch in &self.batches {
            let coupled = batch.heat_capacity_kj_per_k * decay / seconds;
            nuts += coupled;
            nuts_heat += coupled * batch.temperature_c;
            respiration_kw += batch.keeping.respiration_w_per_t * batch.mass_kg() / 1e6;
        }
        let constant = ua * sol_air_c + air * outside.dry_bulb_c() + spec.gains_kw + spec.fan_kw + respiration_kw
            - humidity.evaporative_kw;
        let falls = ua + air;
        let gain_kw = constant + nuts_heat - (falls + nuts) * spec.temperature_c;
        let pull_down = spec.fabric_kj_per_k * (self.temperature_c - spec.temperature_c) / seconds;
        let sensible_kw = (gain_kw + pull_down).max(0.0);
        StoreDemand {
            asked: Asked {
                cooling_kw: sensible_kw + humidity.latent_kw,
                store: StoreAir { dry_bulb_c: self.temperature_c, wet_bulb_c: humidity.wet_bulb_c },
                tripped: self.tripped,
            },
            latent_kw: humidity.latent_kw,
            condensate_kg: humidity.condensate_kg,
            humidifier_kg: humidity.humidifier_kg,
            relative_humidity: humidity.held.relative_humidity,
            nuts_water_kg: humidity.held.nuts_kg_per_s * seconds,
            air_kg_per_s,
            humidity_ratio: humidity.held.humidity_ratio,
            envelope: (ua * sol_air_c, ua),
            air: (air * outside.dry_bulb_c(), air),
            nuts: (nuts_heat, nuts),
            respiration_kw,
            evaporative_kw: humidity.evaporative_kw,
            hours,
        }
    }

    /// Lets the store's temperature follow from what the units gave on this demand.
    pub fn settle(&mut self, demand: &StoreDemand, ran: &Parted) -> StoreHour {
        self.tripped = ran.tripped;
        if !self.in_use() {
            self.temperature_c = self.spec.temperature_c;
            return StoreHour { temperature_c: self.temperature_c, ..StoreHour::default() };
        }
        let hours = demand.hours;
        let seconds = hours * 3600.0;
        let units = ran.together();
        // Water is taken out first: the coil is below the dew point or it does not run.
        let latent_kw = demand.latent_kw.min(units.cooling_kw);
        let sensible_kw = units.cooling_kw - latent_kw;
        let (envelope_heat, ua) = demand.envelope;
        let (air_heat, air) = demand.air;
        let gains_kw = self.spec.gains_kw + self.spec.fan_kw;
        let constant = envelope_heat + air_heat + gains_kw + demand.respiration_kw - demand.evaporative_kw;
        let falls = ua + air;
        let (nuts_heat, nuts) = demand.nuts;
        let fabric = self.spec.fabric_kj_per_k / seconds;
        let before_c = self.temperature_c;
        let after_c = (fabric * before_c + constant + nuts_heat - sensible_kw) / (fabric + falls + nuts);
        self.temperature_c = after_c;

        let stored_t = self.stored_t();
        let decay = self.decay(hours);
        let mut nuts_gave_kw = 0.0;
        let wetted = self.drift_batches(demand);
        for batch in &mut self.batches {
            let fell_k = (batch.temperature_c - after_c) * decay;
            nuts_gave_kw += batch.heat_capacity_kj_per_k * fell_k / seconds;
            batch.temperature_c -= fell_k;
            batch.hours_left -= hours;
        }
        self.batches.retain(|batch| batch.hours_left > 1e-9);

        // The books again, from what each batch gave: what came in, less what is found.
        let load = StoreLoad {
            envelope: envelope_heat - ua * after_c,
            air: air_heat - air * after_c,
            gains: gains_kw,
            respiration: demand.respiration_kw,
            nuts: nuts_gave_kw,
            evaporation: demand.evaporative_kw,
            sensible: sensible_kw,
            latent: latent_kw,
            fabric: fabric * (after_c - before_c),
        };
        let air_kg = demand.air_kg_per_s * seconds;
        StoreHour {
            units,
            temperature_c: after_c,
            relative_humidity: demand.relative_humidity,
            stored_t,
            fans_and_lights_kw: self.spec.fan_kw + self.spec.lights_kw,
            humidifier_kg: demand.humidifier_kg,
            condensate_kg: demand.condensate_kg,
            nuts_lost_kg: -wetted,
            air_kg,
            air_out_water_kg: air_kg * demand.humidity_ratio,
            energy_residual_kwh: load.unaccounted() * hours,
            load,
        }
    }

    /// Share of the gap between a batch and the store that closes in a step.
    fn decay(&self, hours: f64) -> f64 {
        1.0 - (-hours / self.spec.nuts_time_constant_h).exp()
    }

    /// Lets every batch drift to its own equilibrium with the air that the demand speaks of, so that together
    /// they give what it says; kg that they gained.
    fn drift_batches(&mut self, demand: &StoreDemand) -> f64 {
        let (air_c, hours) = (demand.asked.store.dry_bulb_c, demand.hours);
        let drifting = self.drifting(hours);
        let (mut by_law_kg, mut takes_kg) = (0.0, 0.0);
        for (drift, nuts) in &drifting {
            let kg_per_s = drift.gives_kg_per_s(nuts, air_c, demand.relative_humidity);
            by_law_kg += kg_per_s * nuts.seconds;
            takes_kg += nuts.dry_kg * nuts.share;
        }
        if takes_kg <= 0.0 {
            return 0.0;
        }
        // What the search for the humidity left over, as moisture that all nuts' equilibria are off by.
        let off = (by_law_kg - demand.nuts_water_kg) / takes_kg;
        let mut gained_kg = 0.0;
        let even = |drift: &Drift| drift.isotherm.equilibrium_moisture(air_c, demand.relative_humidity);
        let evens: Vec<f64> = drifting.iter().map(|(drift, _)| even(drift)).collect();
        for batch in &mut self.batches {
            let mut kinds = drifting.iter().zip(&evens);
            let Some(((_, nuts), even)) = kinds.find(|((drift, _), _)| Some(*drift) == batch.keeping.drift) else {
                continue;
            };
            let gains = ((even + off) * batch.dry_kg - batch.water_kg) * nuts.share;
            batch.water_kg += gains;
            self.lost_kg[batch.crop] -= gains;
            gained_kg += gains;
        }
        gained_kg
    }

    /// The nuts that follow the store's air: all that follow it alike as one.
    fn drifting(&self, hours: f64) -> Vec<(Drift, Exchanging)> {
        let mut all: Vec<(Drift, Exchanging)> = Vec::new();
        for batch in &self.batches {
            let Some(drift) = batch.keeping.drift else {
                continue;
            };
            match all.iter_mut().find(|(alike, _)| *alike == drift) {
                Some((_, nuts)) => {
                    nuts.dry_kg += batch.dry_kg;
                    nuts.water_kg += batch.water_kg;
                }
                None => all.push((
                    drift,
                    Exchanging {
                        dry_kg: batch.dry_kg,
                        water_kg: batch.water_kg,
                        share: drift.share(hours),
                        seconds: hours * 3600.0,
                    },
                )),
            }
        }
        all
    }

    fn through_doors(&self, outside: &MoistAir) -> f64 {
        let (low, high) = self.spec.relative_humidity;
        self.spec.doors.map_or(0.0, |doors| {
            let inside =
                MoistAir::from_relative_humidity(self.temperature_c, 0.5 * (low + high), outside.pressure_pa());
            inside.map_or(0.0, |inside| doors.exchange_kg_per_s(outside, &inside))
        })
    }

    fn humidity(&self, outside: &MoistAir, air_kg_per_s: f64, hours: f64) -> WaterBalance {
        let t = self.temperature_c;
        let pressure = outside.pressure_pa();
        let seconds = hours * 3600.0;
        let held = held_humidity(
            (t, pressure),
            self.spec.relative_humidity,
            (air_kg_per_s, outside.humidity_ratio()),
            &self.drifting(hours),
        );
        let latent = LATENT_AT_ZERO + CP_VAPOUR * t - CP_LIQUID_WATER * t;
        let (taken, given) = (held.taken_kg_per_s.max(0.0), (-held.taken_kg_per_s).max(0.0));
        let store_air = MoistAir::from_humidity_ratio(t, held.humidity_ratio, pressure);
        WaterBalance {
            latent_kw: taken * latent,
            evaporative_kw: (given + held.nuts_kg_per_s) * latent,
            condensate_kg: taken * seconds,
            humidifier_kg: given * seconds,
            held,
            wet_bulb_c: store_air.map_or(t, |air| air.wet_bulb_c()),
        }
    }
}

/// What holding the humidity band takes in a step.
struct WaterBalance {
    latent_kw: f64,
    /// Heat that the humidifier's water and the nuts' take from the store to become vapour.
    evaporative_kw: f64,
    condensate_kg: f64,
    humidifier_kg: f64,
    held: Held,
    wet_bulb_c: f64,
}

#[cfg(test)]
mod tests;
