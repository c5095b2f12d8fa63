//! What of a season's heat and fans falls to each batch.

use super::book::{BatchRecord, Book};

/// What falls to one batch, kWh.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BatchEnergy {
    /// Heat.
    pub heat_kwh: f64,
    /// Heat while it dried on for its wettest nuts, its mean being as dry as it has to be.
    pub heat_for_spread_kwh: f64,
    /// Electricity of its bin's fan in the same time.
    pub fan_for_spread_kwh: f64,
}

impl Book {
    /// The hour at which a batch left its bin: when it was cool, or when drying was given up.
    pub fn left_bin_hour(&self, batch: &BatchRecord) -> f64 {
        batch.out_hour.unwrap_or_else(|| {
            // Given up: bins run until the last hour in which any dries or cools.
            let last = self.hours.open().iter().rposition(|hour| hour.bins_drying + hour.bins_cooling > 0);
            last.map_or(batch.loaded_hour, |last| last + 1).max(batch.loaded_hour) as f64
        })
    }

    /// What falls to each batch. The heat of an hour is shared among the batches that dry in it, since they
    /// share one air: by their received tonnes and the part of the hour for which they dry. The shares add up
    /// to the season's heat; they are no measurement.
    pub fn energy_by_batch(&self) -> Vec<BatchEnergy> {
        let delivered_kwh: Vec<f64> = self.hours.iter().map(|hour| hour.heat_delivered_kwh).collect();
        let mut drying_kg = vec![0.0; delivered_kwh.len()];
        let ends = |batch: &BatchRecord| batch.dry_hour.unwrap_or_else(|| self.left_bin_hour(batch));
        for batch in &self.batches {
            for (hour, part) in parts_of_hours(batch.loaded_hour as f64, ends(batch)) {
                if let Some(kg) = drying_kg.get_mut(hour) {
                    *kg += part * batch.received_kg;
                }
            }
        }
        let heat = |batch: &BatchRecord, from: f64, to: f64| -> f64 {
            parts_of_hours(from, to)
                .filter_map(|(hour, part)| {
                    let heat_kwh = delivered_kwh.get(hour)?;
                    let all_kg = drying_kg[hour];
                    (all_kg > 0.0).then(|| heat_kwh * part * batch.received_kg / all_kg)
                })
                .sum()
        };
        let of = |batch: &BatchRecord| {
            let end = ends(batch);
            let fan_kw = if batch.fan_hours > 0.0 { batch.fan_kwh / batch.fan_hours } else { 0.0 };
            BatchEnergy {
                heat_kwh: heat(batch, batch.loaded_hour as f64, end),
                heat_for_spread_kwh: heat(batch, end - batch.spread_hours(), end),
                fan_for_spread_kwh: fan_kw * batch.spread_hours(),
            }
        };
        self.batches.iter().map(of).collect()
    }
}

/// The hours from one moment to another, each with the part of it that lies between them.
fn parts_of_hours(from: f64, to: f64) -> impl Iterator<Item = (usize, f64)> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // hours of a season
    let (first, end) = (from.max(0.0).floor() as usize, to.max(0.0).ceil() as usize);
    (first..end.max(first)).map(move |hour| {
        let start = hour as f64;
        (hour, (to.min(start + 1.0) - from.max(start)).max(0.0))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Entry;
    use approx::assert_relative_eq;

    /// Two batches of 2 t and 1 t: alone for an hour and a half each, together for half an hour.
    #[test]
    fn heat_is_shared_by_tonnes_and_minutes_and_adds_up() {
        let batch = |loaded_hour, received_kg, dry: f64, mean: f64| BatchRecord {
            loaded_hour,
            received_kg,
            dry_hour: Some(dry),
            mean_dry_hour: Some(mean),
            out_hour: Some(4.0),
            fan_kwh: 8.0,
            fan_hours: 4.0,
            ..BatchRecord::default()
        };
        let book = Book {
            hours: vec![Entry { heat_delivered_kwh: 6.0, ..Entry::default() }; 3].into(),
            batches: vec![batch(0, 2000.0, 1.5, 1.25), batch(1, 1000.0, 3.0, 3.0)],
            ..Book::default()
        };
        let energy = book.energy_by_batch();
        // Hour 1: 2 t for half of it, 1 t for all of it.
        assert_relative_eq!(energy[0].heat_kwh, 6.0 + 3.0);
        assert_relative_eq!(energy[1].heat_kwh, 3.0 + 6.0);
        assert_relative_eq!(energy[0].heat_for_spread_kwh, 1.5);
        assert_relative_eq!(energy[0].fan_for_spread_kwh, 0.5);
        assert_eq!(energy[1].heat_for_spread_kwh, 0.0);
    }
}
