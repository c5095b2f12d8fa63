//! The paths that were taken so far, found by what they are paths of, whoever asks.

use super::path::{Path, may_follow};
use super::plant::{Heating, Intake, Plant};
use super::run::Site;
use crate::ledger::{Book, Detail};
use crate::weather::WeatherYear;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Hours of rooms that are kept at a time, some 80 MB: what the options of a plant take in a few weather years. The
/// path that was not taken for longest goes first.
const MOST_ROOM_HOURS: usize = 100_000;

/// Paths of plants, intakes and weather years.
#[derive(Debug, Default)]
pub(super) struct Paths {
    taken: Mutex<VecDeque<Arc<Taken>>>,
}

#[derive(Debug)]
struct Taken {
    plant: Plant,
    intake: Intake,
    year: Arc<WeatherYear>,
    path: Path,
}

impl Paths {
    /// One option through one weather year, which is `kept`: along a path that it takes, or lived through.
    pub(super) fn march(
        &self,
        plant: &Plant,
        heating: &Heating,
        intake: &Intake,
        kept: &Arc<WeatherYear>,
        detail: Detail,
    ) -> Book {
        let site = Site { plant, intake, year: kept.as_ref() };
        if !may_follow(plant, heating) {
            return site.march(heating, detail);
        }
        for taken in self.of(plant, intake, kept) {
            if let Some(book) = site.follow(&taken.path, heating, detail) {
                self.keep(taken);
                return book;
            }
        }
        let (book, path) = site.march_and_record(heating, detail);
        let (plant, intake, year) = (plant.clone(), intake.clone(), Arc::clone(kept));
        self.keep(Arc::new(Taken { plant, intake, year, path }));
        book
    }

    fn of(&self, plant: &Plant, intake: &Intake, year: &Arc<WeatherYear>) -> Vec<Arc<Taken>> {
        let taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let alike =
            |taken: &&Arc<Taken>| Arc::ptr_eq(&taken.year, year) && taken.plant == *plant && taken.intake == *intake;
        taken.iter().filter(alike).cloned().collect()
    }

    /// Keeps a path as the one taken last.
    fn keep(&self, path: Arc<Taken>) {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        taken.retain(|other| !Arc::ptr_eq(other, &path));
        taken.push_back(path);
        let room_hours = |taken: &VecDeque<Arc<Taken>>| taken.iter().map(|one| one.path.room_hours()).sum::<usize>();
        while taken.len() > 1 && room_hours(&taken) > MOST_ROOM_HOURS {
            taken.pop_front();
        }
    }
}
