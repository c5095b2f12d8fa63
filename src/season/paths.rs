//! The paths that were taken so far, found by what they are paths of, whoever asks.

use super::path::{Path, may_follow};
use super::plant::{Heating, Intake, Plant};
use super::run::Site;
use crate::ledger::{Book, Detail};
use crate::weather::WeatherYear;
use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

/// Paths kept at a time: what the options of a plant take in a few weather years. The oldest goes first.
const MOST_KEPT: usize = 40;

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
        let along = |taken: Arc<Taken>| site.follow(&taken.path, heating, detail);
        if let Some(book) = self.of(plant, intake, kept).into_iter().find_map(along) {
            return book;
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

    fn keep(&self, path: Arc<Taken>) {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        if taken.len() >= MOST_KEPT {
            taken.pop_front();
        }
        taken.push_back(path);
    }
}
