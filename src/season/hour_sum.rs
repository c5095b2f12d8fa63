//! What the steps of an hour add up to, and how it is written down.

use super::dispatch::Dispatch;
use super::room_entry::room_entry;
use super::step::{Spared, accumulate};
use crate::cool_store::{Arrival, StoreHour};
use crate::dryer::RoomHour;
use crate::heat::{Draw, Shifted};
use crate::ledger::{Detail, Entry, StoreEntry};
use crate::weather::Hour;

/// What the steps of one hour add up to (means of powers, sums of masses).
pub(super) struct HourSum {
    /// Condenser heat that met a need of each room, kWh.
    pub rooms_recovered_kwh: Vec<f64>,
    pub store: StoreHour,
    /// Air that the condensers found, mean of the steps in which nuts were stored: K h and h.
    pub condenser_air: (f64, f64),
    /// How far the store stood above its set temperature, K h.
    pub store_above_set_kh: f64,
    /// The same of the store with its condensers outdoors, and the cooling that it lacked, kWh.
    pub outdoors_above_set_kh: f64,
    pub outdoors_unmet_kwh: f64,
    pub recovered_kwh: f64,
    pub gross_kwh: f64,
    /// Of which given off in a room in which no batch dried.
    pub gross_idle_kwh: f64,
    pub penalty_kwh: f64,
    /// Time in which recovered heat met a need and earned no credit, since the store's cooling was short, h;
    /// that heat, and the purchased energy that it spared, kWh.
    pub unearned_hours: f64,
    pub unearned_useful_kwh: f64,
    pub unearned_displaced_kwh: f64,
    pub residual_kwh: f64,
    pub shifted: ShiftedHour,
    pub given: Vec<Draw>,
    pub displaced: Vec<Draw>,
}

/// Nuts that came into the store in an hour.
#[derive(Clone, Copy, Default)]
pub(super) struct Arrived {
    pub kg: f64,
    /// Their heat capacity, kJ/K, and with it their heat above 0 °C, kJ.
    pub heat_capacity_kj_per_k: f64,
    pub heat_kj: f64,
}

impl Arrived {
    pub fn add(&mut self, batch: &Arrival) {
        self.kg += batch.mass_kg;
        self.heat_capacity_kj_per_k += batch.heat_capacity_kj_per_k;
        self.heat_kj += batch.heat_capacity_kj_per_k * batch.temperature_c;
    }
}

/// Nuts that wait in an hour, t.
#[derive(Clone, Copy, Debug)]
pub(super) struct Waiting {
    pub all_t: f64,
    /// Of which for a bin to fall free; the others wait until a load has come together.
    pub for_bin_t: f64,
}

impl HourSum {
    /// Nothing yet, of so many rooms and sources.
    pub fn of(rooms: usize, sources: usize) -> Self {
        Self {
            rooms_recovered_kwh: vec![0.0; rooms],
            store: StoreHour::default(),
            condenser_air: (0.0, 0.0),
            store_above_set_kh: 0.0,
            outdoors_above_set_kh: 0.0,
            outdoors_unmet_kwh: 0.0,
            recovered_kwh: 0.0,
            gross_kwh: 0.0,
            gross_idle_kwh: 0.0,
            penalty_kwh: 0.0,
            unearned_hours: 0.0,
            unearned_useful_kwh: 0.0,
            unearned_displaced_kwh: 0.0,
            residual_kwh: 0.0,
            shifted: ShiftedHour::default(),
            given: vec![Draw::default(); sources],
            displaced: vec![Draw::default(); sources],
        }
    }

    /// Books what recovered heat spared the sources in a step of so many hours: as displaced where the credit
    /// is earned, else apart. A spare that is a cost is booked all the same.
    pub fn credit(&mut self, spared: &Spared, is_earned: bool, hours: f64) {
        self.recovered_kwh += spared.recovered_kw * hours;
        let purchased_kw: f64 =
            spared.draws.iter().map(|draw| draw.electricity_kw + draw.fuel_kw).sum();
        if is_earned || purchased_kw < 0.0 {
            for (sum, draw) in self.displaced.iter_mut().zip(&spared.draws) {
                accumulate(sum, draw, hours);
            }
        } else if spared.recovered_kw > 0.0 {
            self.unearned_hours += hours;
            self.unearned_useful_kwh += spared.recovered_kw * hours;
            self.unearned_displaced_kwh += purchased_kw * hours;
        }
    }
}

/// What the heat stores of a stack did in an hour together, kWh.
#[derive(Default)]
pub(super) struct ShiftedHour {
    charged: f64,
    given: f64,
    lost: f64,
    held: f64,
}

impl ShiftedHour {
    pub fn add(&mut self, step: &[Shifted], hours: f64) {
        let sum = |of: fn(&Shifted) -> f64| step.iter().map(of).sum::<f64>();
        self.charged += sum(|one| one.charged_kw) * hours;
        self.given += sum(|one| one.given_kw) * hours;
        self.lost += sum(|one| one.lost_kw) * hours;
        self.held = sum(|one| one.held_kwh);
    }

    /// Heat that cannot be found again, kWh, when so much was held before.
    fn residual_kwh(&self, held_before: f64) -> f64 {
        held_before + self.charged - self.given - self.lost - self.held
    }
}

/// All rooms as one: sums, and of the air the mean over the batches that dry in it. Residuals are added
/// without their signs, so that one room's does not hide another's.
pub(super) fn together(rooms: &[RoomHour]) -> RoomHour {
    let Some((first, others)) = rooms.split_first() else {
        return RoomHour::default();
    };
    if others.is_empty() {
        return *first;
    }
    let mut all = RoomHour::default();
    for room in rooms {
        all.add(room, 1.0);
    }
    all.bins_drying = rooms.iter().map(|room| room.bins_drying).sum();
    let over_batches = |of: &dyn Fn(&RoomHour) -> f64| {
        if all.bins_drying == 0 {
            return of(first);
        }
        let sum: f64 = rooms.iter().map(|room| room.bins_drying as f64 * of(room)).sum();
        sum / all.bins_drying as f64
    };
    RoomHour {
        air_c: over_batches(&|room| room.air_c),
        relative_humidity: over_batches(&|room| room.relative_humidity),
        below_set_k: over_batches(&|room| room.below_set_k),
        water_residual_kg: rooms.iter().map(|room| room.water_residual_kg.abs()).sum(),
        energy_residual_kwh: rooms.iter().map(|room| room.energy_residual_kwh.abs()).sum(),
        ..all
    }
}

/// The store's part of an hour, with the nuts that came in.
fn store_entry(sum: &HourSum, arrived: Arrived) -> StoreEntry {
    let store = &sum.store;
    let (air_kh, air_h) = sum.condenser_air;
    let ratio = |sum: f64, of: f64| if of > 0.0 { Some(sum / of) } else { None };
    StoreEntry {
        envelope_kwh: store.load.envelope,
        air_kwh: store.load.air,
        gains_kwh: store.load.gains,
        respiration_kwh: store.load.respiration,
        nuts_kwh: store.load.nuts,
        evaporation_kwh: store.load.evaporation,
        sensible_kwh: store.load.sensible,
        latent_kwh: store.load.latent,
        fabric_kwh: store.load.fabric,
        air_kg_per_s: store.air_kg / 3600.0,
        humidity_ratio: ratio(store.air_out_water_kg, store.air_kg).unwrap_or(0.0),
        condensate_kg: store.condensate_kg,
        humidifier_kg: store.humidifier_kg,
        rejected_kwh: store.units.rejected_kw,
        condenser_air_c: ratio(air_kh, air_h),
        tripped: store.units.tripped,
        arrived_kg: arrived.kg,
        arrived_c: ratio(arrived.heat_kj, arrived.heat_capacity_kj_per_k),
    }
}

impl Dispatch<'_> {
    /// Writes the hour into the book, in which rooms did this.
    pub(super) fn write_down(
        &mut self,
        (at, hour): (usize, &Hour),
        waiting: Waiting,
        (rooms, bins_cooling): (&[RoomHour], u32),
        sum: HourSum,
    ) {
        match self.detail {
            Detail::Site => {}
            Detail::Rooms => self.book.room_hours.extend(
                rooms
                    .iter()
                    .zip(&sum.rooms_recovered_kwh)
                    .map(|(room, &recovered_kwh)| room_entry(room, recovered_kwh)),
            ),
        }
        let room = together(rooms);
        let source_electricity_kwh = sum.given.iter().map(|draw| draw.electricity_kw).sum();
        let hours = &self.book.hours;
        let held_before = hours.last().map_or(0.0, |hour| hour.heat_store_kwh);
        let entry = Entry {
            starts: hour.starts,
            in_season: self.is_in_season(at),
            outside_c: hour.air.dry_bulb_c(),
            outside_relative_humidity: hour.air.relative_humidity(),
            outside_humidity_ratio: hour.air.humidity_ratio(),
            pressure_pa: hour.air.pressure_pa(),
            irradiance_w_per_m2: hour.global_horizontal_w_per_m2,
            mended: hour.mended,
            air_c: room.air_c,
            air_relative_humidity: room.relative_humidity,
            bins_drying: u32::try_from(room.bins_drying).unwrap_or(u32::MAX),
            bins_cooling,
            waiting_t: waiting.all_t,
            waiting_for_bin_t: waiting.for_bin_t,
            stored_t: sum.store.stored_t,
            evaporated_kg: room.evaporated_kg,
            fresh_air_kg_per_s: room.fresh_air_kg_per_s,
            heat_asked_kwh: room.heat_need_kw,
            below_set_k: room.below_set_k,
            heat_delivered_kwh: room.heat_given_kw,
            recovered_kwh: sum.recovered_kwh,
            purged_kwh: room.purged_kw,
            bin_fan_kwh: room.bin_fan_kw,
            extraction_fan_kwh: room.extraction_fan_kw,
            lights_kwh: room.lights_kw,
            source_electricity_kwh,
            heat_store_kwh: sum.shifted.held,
            heat_store_charged_kwh: sum.shifted.charged,
            heat_store_lost_kwh: sum.shifted.lost,
            store: store_entry(&sum, std::mem::take(&mut self.arrived)),
            store_cooling_kwh: sum.store.units.cooling_kw,
            store_unmet_kwh: sum.store.units.unmet_kw,
            store_above_set_kh: sum.store_above_set_kh,
            outdoors_unmet_kwh: sum.outdoors_unmet_kwh,
            outdoors_above_set_kh: sum.outdoors_above_set_kh,
            store_units_kwh: sum.store.units.electricity_kw,
            store_fans_kwh: sum.store.fans_and_lights_kw,
            store_c: sum.store.temperature_c,
            store_nuts_lost_kg: sum.store.nuts_lost_kg,
            store_relative_humidity: sum.store.relative_humidity,
            gross_kwh: sum.gross_kwh,
            gross_idle_kwh: sum.gross_idle_kwh,
            penalty_kwh: sum.penalty_kwh,
            unearned_hours: sum.unearned_hours,
            unearned_useful_kwh: sum.unearned_useful_kwh,
            unearned_displaced_kwh: sum.unearned_displaced_kwh,
            ventilation_kwh: room.ventilation_kw,
            envelope_kwh: room.envelope_kw,
            warming_kwh: room.warming_kw,
            binding_kwh: room.binding_kw,
            fan_heat_kwh: room.fan_heat_kw,
            gains_kwh: room.gains_kw,
            water_residual_kg: room.water_residual_kg,
            energy_residual_kwh: room.energy_residual_kwh.abs()
                + sum.residual_kwh.abs()
                + sum.shifted.residual_kwh(held_before).abs(),
            // Known once the march is held against its reference.
            heat_need_kwh: 0.0,
            heat_short_kwh: 0.0,
        };
        self.book.hours.push(entry);
        let recovers = self.heating.condensers.place.recovers();
        for ((source, given), displaced) in
            self.book.sources.iter_mut().zip(sum.given).zip(sum.displaced)
        {
            source.given.push(given);
            if recovers {
                source.displaced.push(displaced);
            }
        }
    }
}
