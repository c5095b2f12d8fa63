//! A march held against the season of the same plant with ample heat.

use super::book::{BatchRecord, Book};
use super::entry::Entry;
use super::reference::Reference;
use crate::weather::Hour;
use std::sync::Arc;

impl Reference {
    /// From a march that was never short of heat and whose sources did not change the air.
    pub fn of(ample: &Book) -> Self {
        let mut need_kwh: Vec<f64> = ample.hours.iter().map(|hour| hour.heat_asked_kwh).collect();
        let last = need_kwh.iter().rposition(|asked| *asked > 0.0);
        need_kwh.truncate(last.map_or(0, |last| last + 1));
        Self {
            need_kwh,
            room_need_kwh: ample.rooms.iter().map(|room| room.heat_asked_kwh).collect(),
            last_dry_hour: ample.last_dry_hour(),
            mean_drying_hours: ample.mean_drying_hours(),
        }
    }
}

impl Book {
    /// The march held against the reference: every hour gets the reference's need, and what it was short by.
    ///
    /// An hour's march says what lacks at the set temperature from where the hour before left off. In a plant
    /// that has grown cold this takes in the rewarming of nuts, bins and steel, every hour anew, so that it is
    /// no need of the season. Short is therefore what lacked, counted up to the highest hour that the reference
    /// asks for within a day before or after: exact in the first hour of a shortage, never less than what of
    /// the reference's need lies above the heat that was to be had, and never a need that no plant has.
    ///
    /// `hours` are those of the weather: where the reference still asks for heat after this march was over,
    /// idle hours follow.
    #[must_use]
    pub fn measured_against(mut self, reference: &Arc<Reference>, hours: &[Hour], season: usize) -> Self {
        let own = self.hours.open_mut();
        for hour in hours.iter().take(reference.need_kwh.len()).skip(own.len()) {
            own.push(Entry::idle(hour, own.len() < season));
            for source in &mut self.sources {
                source.stand_still();
            }
        }
        for (at, hour) in own.iter_mut().enumerate() {
            hour.heat_need_kwh = reference.need_of_kwh(at);
            hour.heat_short_kwh = if hour.is_short() {
                let asked = hour.heat_asked_kwh.min(reference.most_around_kwh(at));
                (asked - hour.heat_delivered_kwh).max(0.0)
            } else {
                0.0
            };
        }
        for (room, need_kwh) in self.rooms.iter_mut().zip(&reference.room_need_kwh) {
            room.heat_need_kwh = *need_kwh;
        }
        self.reference = Arc::clone(reference);
        self
    }

    /// Mean hours from loading to dry; `None` if no batch was dried.
    pub fn mean_drying_hours(&self) -> Option<f64> {
        let hours: Vec<f64> = self.batches.iter().filter_map(BatchRecord::hours_to_dry).collect();
        (!hours.is_empty()).then(|| hours.iter().sum::<f64>() / hours.len() as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn book(asked_and_given: &[(f64, f64)]) -> Book {
        let hours = asked_and_given
            .iter()
            .map(|&(heat_asked_kwh, heat_delivered_kwh)| Entry {
                heat_asked_kwh,
                heat_delivered_kwh,
                ..Entry::default()
            })
            .collect();
        Book { hours, ..Book::default() }
    }

    fn short(march: &[(f64, f64)], need: &[f64]) -> Vec<f64> {
        let ample: Vec<(f64, f64)> = need.iter().map(|&kwh| (kwh, kwh)).collect();
        let reference = Arc::new(Reference::of(&book(&ample)));
        let measured = book(march).measured_against(&reference, &[], 0);
        measured.hours.iter().map(|hour| hour.heat_short_kwh).collect()
    }

    #[test]
    fn rewarming_is_not_counted_beyond_what_the_ample_plant_ever_asks_for() {
        // 10 kW short in the first hour; then the cold room asks for more and more, 50 kW at most count.
        let march = [(50.0, 40.0), (60.0, 40.0), (200.0, 40.0), (30.0, 30.0)];
        assert_eq!(short(&march, &[50.0, 45.0, 45.0, 45.0]), [10.0, 10.0, 10.0, 0.0]);
    }

    #[test]
    fn a_peak_counts_for_a_day_before_and_after_it() {
        let mut need = vec![20.0; 60];
        need[30] = 50.0;
        let march = vec![(90.0, 15.0); 60];
        let found = short(&march, &need);
        assert_eq!((found[5], found[6], found[54], found[55]), (5.0, 35.0, 35.0, 5.0));
    }

    #[test]
    fn the_need_is_the_references_whatever_a_march_asked_for() {
        let reference = Arc::new(Reference::of(&book(&[(7.0, 7.0), (3.0, 3.0), (0.0, 0.0)])));
        assert_eq!(reference.need_kwh, [7.0, 3.0]);
        let measured = book(&[(9.0, 2.0), (9.0, 2.0), (9.0, 2.0)]).measured_against(&reference, &[], 0);
        let need: Vec<f64> = measured.hours.iter().map(|hour| hour.heat_need_kwh).collect();
        assert_eq!(need, [7.0, 3.0, 0.0]);
    }
}
