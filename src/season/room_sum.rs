//! What the hours of a season add up to in one room.

use crate::dryer::{RoomHour, RoomSpec};
use crate::ledger::RoomBook;

/// What one room did so far.
#[derive(Clone, Debug, Default)]
pub(super) struct RoomSum {
    /// Batches that began to dry in it.
    pub batches: usize,
    /// Bin-hours blocked by batches that could not go on to the next room.
    pub blocked_bin_hours: f64,
    damp_bin_hours: f64,
    hours_drying: usize,
    hours_short: usize,
    /// Sums over the hours in which batches dry.
    air_kh: f64,
    humidity_h: f64,
    /// Sums over all hours.
    heat_asked_kwh: f64,
    heat_delivered_kwh: f64,
    bin_fan_kwh: f64,
    extraction_fan_kwh: f64,
    evaporated_kg: f64,
}

impl RoomSum {
    /// Adds an hour.
    pub(super) fn add(&mut self, hour: &RoomHour) {
        self.damp_bin_hours += hour.bins_stopped;
        if hour.bins_drying > 0 {
            self.hours_drying += 1;
            self.air_kh += hour.air_c;
            self.humidity_h += hour.relative_humidity;
        }
        self.hours_short += usize::from(hour.heat_need_kw - hour.heat_given_kw > 1e-3);
        self.heat_asked_kwh += hour.heat_need_kw;
        self.heat_delivered_kwh += hour.heat_given_kw;
        self.bin_fan_kwh += hour.bin_fan_kw;
        self.extraction_fan_kwh += hour.extraction_fan_kw;
        self.evaporated_kg += hour.evaporated_kg;
    }

    /// The same as the book keeps it.
    pub(super) fn into_book(self, spec: &RoomSpec) -> RoomBook {
        let mean = |sum: f64| {
            if self.hours_drying > 0 { sum / self.hours_drying as f64 } else { 0.0 }
        };
        RoomBook {
            name: spec.name.clone(),
            bins: spec.bins.len(),
            batches: self.batches,
            blocked_bin_hours: self.blocked_bin_hours,
            damp_bin_hours: self.damp_bin_hours,
            hours_drying: self.hours_drying,
            hours_short: self.hours_short,
            mean_air_c: mean(self.air_kh),
            mean_relative_humidity: mean(self.humidity_h),
            heat_need_kwh: 0.0,
            heat_asked_kwh: self.heat_asked_kwh,
            heat_delivered_kwh: self.heat_delivered_kwh,
            bin_fan_kwh: self.bin_fan_kwh,
            extraction_fan_kwh: self.extraction_fan_kwh,
            evaporated_kg: self.evaporated_kg,
        }
    }
}
