//! The paths that were taken so far, found by what they are paths of, whoever asks.

use super::path::{AnotherWay, Path, may_follow};
use super::plant::{Heating, Intake, Plant};
use super::run::Site;
use crate::ledger::{Book, Detail};
use crate::weather::WeatherYear;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Hours of rooms that are kept at a time, some 25 MB with the marks: what the options of a plant take in a few
/// weather years. The path that was not taken for longest goes first.
const MOST_ROOM_HOURS: usize = 20_000;

/// So many paths are kept whatever their hours: what the options of a plant of several rooms take.
const LEAST_PATHS: usize = 4;

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
        let mut longest: Option<(AnotherWay, Arc<Taken>)> = None;
        for taken in self.of(plant, intake, kept) {
            match site.follow(&taken.path, heating, detail) {
                Ok(book) => {
                    self.keep(taken);
                    return book;
                }
                Err(left) if longest.as_ref().is_none_or(|(other, _)| left.from_hour > other.from_hour) => {
                    longest = Some((left, taken));
                }
                Err(_) => {}
            }
        }
        // As far along a path as any goes its way.
        let left = longest.and_then(|(left, taken)| site.leave(&taken.path, left, heating, detail));
        let (book, path) = left.unwrap_or_else(|| site.march_and_record(heating, detail));
        let (plant, intake, year) = (plant.clone(), intake.clone(), Arc::clone(kept));
        self.keep(Arc::new(Taken { plant, intake, year, path }));
        book
    }

    /// Nuts and rooms know nothing of the store: plants that differ in it alone share paths.
    fn of(&self, plant: &Plant, intake: &Intake, year: &Arc<WeatherYear>) -> Vec<Arc<Taken>> {
        let taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let alike = |taken: &&Arc<Taken>| {
            let is_year_of_nuts = Arc::ptr_eq(&taken.year, year) && taken.intake == *intake;
            let ends_alike = taken.plant.store == plant.store || !taken.path.leaves_nuts();
            is_year_of_nuts && ends_alike && taken.plant.dries_as(plant)
        };
        taken.iter().filter(alike).cloned().collect()
    }

    /// Keeps a path as the one taken last.
    fn keep(&self, path: Arc<Taken>) {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        taken.retain(|other| !Arc::ptr_eq(other, &path));
        taken.push_back(path);
        let room_hours = |taken: &VecDeque<Arc<Taken>>| taken.iter().map(|one| one.path.room_hours()).sum::<usize>();
        while taken.len() > LEAST_PATHS && room_hours(&taken) > MOST_ROOM_HOURS {
            taken.pop_front();
        }
    }
}
