//! An hour as the book keeps it.

use super::dispatch::Dispatch;
use super::hour_sum::{Arrived, HourSum, Waiting, together};
use super::room_entry::room_entry;
use crate::dryer::RoomHour;
use crate::ledger::{Detail, Entry, StoreEntry};
use crate::weather::Hour;

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
        let source_electricity_kwh = sum.given.iter().map(|drawn| drawn.electricity_kwh).sum();
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
        self.book.hours.open_mut().push(entry);
        let recovers = self.heating.condensers.place.recovers();
        for ((source, given), displaced) in self.book.sources.iter_mut().zip(sum.given).zip(sum.displaced) {
            source.given.open_mut().push(given);
            if recovers {
                source.displaced.open_mut().push(displaced);
            }
        }
    }
}
