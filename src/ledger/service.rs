//! What the cool store got over a season, beside what the same store gets with its condensers outdoors.

use super::book::Book;

/// Cooling short by less than this in an hour is rounding, kWh.
const UNMET_SLACK_KWH: f64 = 1e-3;

/// What a store lacked over a season.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StoreLack {
    /// Hours in which it asked for more cooling than it got.
    pub hours_unmet: f64,
    /// Cooling it asked for and did not get, kWh.
    pub unmet_kwh: f64,
    /// Degrees above its set temperature times hours, K h.
    pub above_set_kh: f64,
}

/// A season's service of the store: the option's own, and the same store's with its condensers outdoors, run
/// hour by hour beside it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StoreService {
    /// With its condensers where the option has them.
    pub own: StoreLack,
    /// With its condensers outdoors.
    pub outdoors: StoreLack,
}

impl StoreService {
    /// Of one option in one weather year.
    pub fn of(book: &Book) -> Self {
        let mut service = Self::default();
        for hour in &book.hours {
            service.own.add(hour.store_unmet_kwh, hour.store_above_set_kh);
            service.outdoors.add(hour.outdoors_unmet_kwh, hour.outdoors_above_set_kh);
        }
        service
    }

    /// Hours in which cooling was short, above those with the condensers outdoors; zero if fewer.
    pub fn hours_more(&self) -> f64 {
        (self.own.hours_unmet - self.outdoors.hours_unmet).max(0.0)
    }

    /// Kelvin-hours above the set temperature, above those with the condensers outdoors; zero if fewer, K h.
    pub fn kelvin_hours_more(&self) -> f64 {
        (self.own.above_set_kh - self.outdoors.above_set_kh).max(0.0)
    }
}

impl StoreLack {
    fn add(&mut self, unmet_kwh: f64, above_set_kh: f64) {
        self.hours_unmet += if unmet_kwh > UNMET_SLACK_KWH { 1.0 } else { 0.0 };
        self.unmet_kwh += unmet_kwh;
        self.above_set_kh += above_set_kh;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Entry;

    fn book(hours: &[[f64; 4]]) -> Book {
        let entry = |&[own, own_kh, outdoors, outdoors_kh]: &[f64; 4]| Entry {
            store_unmet_kwh: own,
            store_above_set_kh: own_kh,
            outdoors_unmet_kwh: outdoors,
            outdoors_above_set_kh: outdoors_kh,
            ..Entry::default()
        };
        Book { hours: hours.iter().map(entry).collect(), ..Book::default() }
    }

    #[test]
    fn what_a_store_lacks_is_counted_beside_what_it_lacks_outdoors() {
        let service = StoreService::of(&book(&[[2.0, 1.0, 0.5, 0.2], [3.0, 4.0, 0.0, 0.1], [1e-9, 2.0, 0.0, 0.0]]));
        assert_eq!(service.own.hours_unmet, 2.0);
        assert!((service.own.unmet_kwh - 5.0).abs() < 1e-6);
        assert_eq!(service.hours_more(), 1.0);
        assert!((service.kelvin_hours_more() - 6.7).abs() < 1e-9);
    }

    #[test]
    fn a_store_that_is_kept_better_than_outdoors_lacks_nothing_more() {
        let service = StoreService::of(&book(&[[0.0, 0.0, 9.0, 3.0]]));
        assert_eq!((service.hours_more(), service.kelvin_hours_more()), (0.0, 0.0));
    }
}
