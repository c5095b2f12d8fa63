//! Sums of the ledger, over the season or over a month.

use super::book::{Book, HourOfBook};
use super::entry::Entry;
use chrono::Datelike;

/// Year and month of an hour.
pub fn month_of(entry: &Entry) -> (i32, u32) {
    (entry.starts.year(), entry.starts.month())
}

/// What recovered condenser heat was worth, kWh.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Credit {
    /// All heat the condensers gave off where it could be used.
    pub gross_kwh: f64,
    /// What displaced need.
    pub useful_kwh: f64,
    /// Of `gross_kwh` what was given off in a room in which no batch dried.
    pub gross_idle_kwh: f64,
    /// Electricity of the units above what the same cooling takes with condensers outdoors.
    pub penalty_kwh: f64,
    /// Electricity and fuel that the useful heat displaced while the store got its cooling
    /// as it would with its condensers outdoors.
    pub displaced_kwh: f64,
    /// Hours in which useful heat earned no credit, since the store's cooling was short.
    pub unearned_hours: f64,
    /// That heat.
    pub unearned_useful_kwh: f64,
    /// Electricity and fuel that it spared.
    pub unearned_displaced_kwh: f64,
    /// Cooling that the store lacked, above what it lacks with its condensers outdoors.
    pub cooling_short_kwh: f64,
}

impl Credit {
    /// Energy displaced less penalty, kWh.
    pub fn net_kwh(&self) -> f64 {
        self.displaced_kwh - self.penalty_kwh
    }
}

/// Sums over some hours of one option's book. Energies in kWh.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Account {
    /// Hours summed.
    pub hours: usize,
    /// Hours in which heat was short.
    pub hours_short: usize,
    /// Hours that were mended.
    pub mended_hours: usize,
    /// Water evaporated, kg.
    pub evaporated_kg: f64,
    /// Heat need: what the same plant with ample heat asks for.
    pub heat_need_kwh: f64,
    /// Heat lacking at the set temperature hour by hour in this march, before any source.
    pub heat_asked_kwh: f64,
    /// Heat given by sources and recovery.
    pub heat_delivered_kwh: f64,
    /// Heat not given of what was asked for ([`Entry::heat_short_kwh`]).
    pub heat_short_kwh: f64,
    /// Kelvin-hours below the set temperature because heat was short, mean over the batches that dry.
    pub below_set_kh: f64,
    /// Of the delivered heat, what fell in mended hours.
    pub heat_in_mended_hours_kwh: f64,
    /// Bin fans.
    pub bin_fan_kwh: f64,
    /// Extraction fan.
    pub extraction_fan_kwh: f64,
    /// Lights of the drying room.
    pub lights_kwh: f64,
    /// Compressors, condenser fans, store fans and lights.
    pub store_kwh: f64,
    /// Of which compressors and condenser fans.
    pub store_units_kwh: f64,
    /// Cooling given to the store.
    pub store_cooling_kwh: f64,
    /// Weight that stored nuts lost, kg; less than zero where they gained.
    pub store_nuts_lost_kg: f64,
    /// Electricity of the heat sources.
    pub source_electricity_kwh: f64,
    /// Electricity of the site.
    pub electricity_kwh: f64,
    /// Highest hour of the site's electricity, kW.
    pub electric_peak_kw: f64,
    /// Heat of each source, in the stack's order.
    pub source_heat_kwh: Vec<f64>,
    /// Fuel energy of each source, in the stack's order (net heating value).
    pub source_fuel_kwh: Vec<f64>,
    /// Recovered heat.
    pub credit: Credit,
    /// Heat recovered and not needed, purged.
    pub purged_kwh: f64,
    /// Heat off with the air, over outside air's.
    pub ventilation_kwh: f64,
    /// Heat lost through the envelope.
    pub envelope_kwh: f64,
    /// Heat left in nuts, water and steel.
    pub warming_kwh: f64,
    /// Heat that freed bound water.
    pub binding_kwh: f64,
    /// Fan heat kept by the air.
    pub fan_heat_kwh: f64,
    /// Lights and people.
    pub gains_kwh: f64,
}

impl Account {
    /// Sums the hours of a book that pass the filter.
    pub fn of(book: &Book, wanted: impl Fn(&Entry) -> bool) -> Self {
        let mut sum = Self::nothing(book.sources.len());
        book.each_hour(|now| {
            if wanted(&now.hour) {
                sum.add_now(now);
            }
        });
        sum
    }

    /// One account for each part into which the hours fall, in the order in which the first hour of each comes.
    pub fn by<K: PartialEq>(book: &Book, part: impl Fn(&Entry) -> K) -> Vec<(K, Self)> {
        let mut all: Vec<(K, Self)> = Vec::new();
        book.each_hour(|now| {
            let of_hour = part(&now.hour);
            // Most hours are of the part of the hour before.
            let place = all.iter().rposition(|(known, _)| *known == of_hour).unwrap_or_else(|| {
                all.push((of_hour, Self::nothing(book.sources.len())));
                all.len() - 1
            });
            all[place].1.add_now(now);
        });
        all
    }

    /// Of no hours, with so many sources.
    fn nothing(sources: usize) -> Self {
        Self { source_heat_kwh: vec![0.0; sources], source_fuel_kwh: vec![0.0; sources], ..Self::default() }
    }

    fn add_now(&mut self, now: &HourOfBook) {
        self.add(&now.hour);
        for (place, given) in now.given.iter().enumerate() {
            self.source_heat_kwh[place] += given.heat_kwh;
            self.source_fuel_kwh[place] += given.fuel_kwh;
        }
        for displaced in &now.displaced {
            self.credit.displaced_kwh += displaced.electricity_kwh + displaced.fuel_kwh;
        }
    }

    /// The whole book.
    pub fn of_all(book: &Book) -> Self {
        Self::of(book, |_| true)
    }

    fn add(&mut self, hour: &Entry) {
        // All that there is, so that none is left out; what sources gave stands beside the hour.
        let Self {
            hours,
            hours_short,
            mended_hours,
            evaporated_kg,
            heat_need_kwh,
            heat_asked_kwh,
            heat_delivered_kwh,
            heat_short_kwh,
            below_set_kh,
            heat_in_mended_hours_kwh,
            bin_fan_kwh,
            extraction_fan_kwh,
            lights_kwh,
            store_kwh,
            store_units_kwh,
            store_cooling_kwh,
            store_nuts_lost_kg,
            source_electricity_kwh,
            electricity_kwh,
            electric_peak_kw,
            source_heat_kwh: _,
            source_fuel_kwh: _,
            credit,
            purged_kwh,
            ventilation_kwh,
            envelope_kwh,
            warming_kwh,
            binding_kwh,
            fan_heat_kwh,
            gains_kwh,
        } = self;
        let Credit {
            gross_kwh,
            useful_kwh,
            gross_idle_kwh,
            penalty_kwh,
            displaced_kwh: _,
            unearned_hours,
            unearned_useful_kwh,
            unearned_displaced_kwh,
            cooling_short_kwh,
        } = credit;
        *hours += 1;
        *hours_short += usize::from(hour.is_short());
        *mended_hours += usize::from(hour.mended);
        *evaporated_kg += hour.evaporated_kg;
        *heat_need_kwh += hour.heat_need_kwh;
        *heat_asked_kwh += hour.heat_asked_kwh;
        *heat_short_kwh += hour.heat_short_kwh;
        *below_set_kh += hour.below_set_k;
        *heat_delivered_kwh += hour.heat_delivered_kwh;
        if hour.mended {
            *heat_in_mended_hours_kwh += hour.heat_delivered_kwh;
        }
        *bin_fan_kwh += hour.bin_fan_kwh;
        *extraction_fan_kwh += hour.extraction_fan_kwh;
        *lights_kwh += hour.lights_kwh;
        *store_kwh += hour.store_kwh();
        *store_units_kwh += hour.store_units_kwh;
        *store_cooling_kwh += hour.store_cooling_kwh;
        *store_nuts_lost_kg += hour.store_nuts_lost_kg;
        *source_electricity_kwh += hour.source_electricity_kwh;
        *electricity_kwh += hour.site_electricity_kwh();
        *electric_peak_kw = electric_peak_kw.max(hour.site_electricity_kwh());
        *gross_kwh += hour.gross_kwh;
        *useful_kwh += hour.recovered_kwh;
        *gross_idle_kwh += hour.gross_idle_kwh;
        *penalty_kwh += hour.penalty_kwh;
        *unearned_hours += hour.unearned_hours;
        *unearned_useful_kwh += hour.unearned_useful_kwh;
        *unearned_displaced_kwh += hour.unearned_displaced_kwh;
        *cooling_short_kwh += (hour.store_unmet_kwh - hour.outdoors_unmet_kwh).max(0.0);
        *purged_kwh += hour.purged_kwh;
        *ventilation_kwh += hour.ventilation_kwh;
        *envelope_kwh += hour.envelope_kwh;
        *warming_kwh += hour.warming_kwh;
        *binding_kwh += hour.binding_kwh;
        *fan_heat_kwh += hour.fan_heat_kwh;
        *gains_kwh += hour.gains_kwh;
    }

    /// Drying fans together, kWh.
    pub fn fan_kwh(&self) -> f64 {
        self.bin_fan_kwh + self.extraction_fan_kwh
    }

    /// Fuel energy of all sources, kWh.
    pub fn fuel_kwh(&self) -> f64 {
        self.source_fuel_kwh.iter().sum()
    }

    /// Energy used: electricity and fuel, purchased or the plant's own, kWh.
    pub fn used_kwh(&self) -> f64 {
        self.electricity_kwh + self.fuel_kwh()
    }

    /// Of the energy used, that of drying: heat sources, drying fans and the penalty of recovery, kWh.
    pub fn drying_kwh(&self) -> f64 {
        self.source_electricity_kwh + self.fuel_kwh() + self.fan_kwh() + self.credit.penalty_kwh
    }

    /// Specific energy at the point of use, MJ per kg of water evaporated: heat delivered and drying
    /// fans, the cool store left out. `None` when nothing evaporated.
    pub fn mj_per_kg_water(&self) -> Option<f64> {
        self.per_water((self.heat_delivered_kwh + self.fan_kwh()) * 3.6)
    }

    /// The same from the energy used: recovered heat free, its penalty charged.
    pub fn used_mj_per_kg_water(&self) -> Option<f64> {
        self.per_water(self.drying_kwh() * 3.6)
    }

    /// The same from purchased energy, when so much of the fuel was the plant's own.
    pub fn purchased_mj_per_kg_water(&self, own_kwh: f64) -> Option<f64> {
        self.per_water((self.drying_kwh() - own_kwh) * 3.6)
    }

    fn per_water(&self, mj: f64) -> Option<f64> {
        (self.evaporated_kg > 0.0).then(|| mj / self.evaporated_kg)
    }
}
