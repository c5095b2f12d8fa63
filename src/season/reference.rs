//! Marches held against the season of the same plant with ample heat.

use super::path::may_follow;
use super::paths::Paths;
use super::plant::{Calling, Heating, Intake, Plant};
use super::run::Site;
use crate::cool_store::Placement;
use crate::heat::{Kind, Resistance, Source};
use crate::ledger::{Blocks, Book, Detail, Entry, Reference};
use crate::weather::WeatherYear;
use rayon::prelude::*;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// So many books are kept as they are, some 4 MB each with a year's hours: to fold more takes a little time whenever they
/// are read.
const OPEN_BOOKS: usize = 24;

/// More heat than any plant asks for, kW.
const AMPLE_KW: f64 = 1e6;

/// The references that were needed so far: one for each plant, intake and weather year, found by what these
/// are, whoever asks. The cool store is no part of it: without condensers in the room nothing that dries
/// depends on it.
#[derive(Debug, Default)]
pub struct References {
    known: Mutex<Vec<Arc<Known>>>,
    years: Mutex<Vec<Arc<WeatherYear>>>,
    paths: Paths,
}

#[derive(Debug)]
struct Known {
    /// Without its store.
    plant: Plant,
    intake: Intake,
    year: Arc<WeatherYear>,
    found: OnceLock<Arc<Reference>>,
}

/// Runs every option in every weather year, in parallel; `done` is called as each ends. The books come back by
/// option, then by year, whatever the order in which they were run.
pub fn run_all(
    plant: &Plant,
    heatings: &[Heating],
    intake: &Intake,
    years: &[WeatherYear],
    done: impl Fn() + Sync,
) -> Vec<Vec<Book>> {
    References::default().run_all(plant, heatings, intake, years, Detail::Site, done)
}

/// Runs one option through one weather year.
pub fn run_option(plant: &Plant, heating: &Heating, intake: &Intake, year: &WeatherYear) -> Book {
    References::default().run_option(plant, heating, intake, year)
}

impl References {
    /// Runs every option in every weather year, in parallel, as [`run_all`] does, in this detail. A year's options run
    /// one after the other's lead, while its paths are at hand; where there are many, its books are folded before the next
    /// year's come.
    pub fn run_all(
        &self,
        plant: &Plant,
        heatings: &[Heating],
        intake: &Intake,
        years: &[WeatherYear],
        detail: Detail,
        done: impl Fn() + Sync,
    ) -> Vec<Vec<Book>> {
        let waves = waves(plant, heatings);
        let blocks = Arc::new(Blocks::default());
        let keep = |book: Book| if heatings.len() * years.len() > OPEN_BOOKS { book.folded(&blocks) } else { book };
        let of_year = |year: &WeatherYear| -> Vec<Book> {
            let kept = self.kept(year);
            let march = |&option: &usize| {
                let book = self.paths.march(plant, &heatings[option], intake, &kept, detail);
                done();
                (option, keep(book))
            };
            let mut marched: Vec<(usize, Book)> =
                waves.iter().flat_map(|wave| wave.par_iter().map(march).collect::<Vec<_>>()).collect();
            marched.sort_unstable_by_key(|(option, _)| *option);
            // The first option whose own march serves is taken, whatever the order in which they ended.
            let mut serving = marched.iter().map(|(option, book)| (&heatings[*option], book));
            let serving = serving.find(|(heating, book)| serves(heating, book));
            let found = self.of(plant, intake, year, serving.map(|(_, book)| book));
            let measure = |(_, book): (usize, Book)| keep(measured(book, year, &found));
            marched.into_iter().map(measure).collect()
        };
        let by_year: Vec<Vec<Book>> = years.par_iter().map(of_year).collect();
        blocks.close();
        let mut by_option: Vec<Vec<Book>> = heatings.iter().map(|_| Vec::with_capacity(years.len())).collect();
        for book_of_option in by_year {
            for (books, book) in by_option.iter_mut().zip(book_of_option) {
                books.push(book);
            }
        }
        by_option
    }

    /// Runs one option through one weather year, along the path of another if it takes one.
    pub fn run_beside_others(&self, plant: &Plant, heating: &Heating, intake: &Intake, year: &WeatherYear) -> Book {
        let book = self.paths.march(plant, heating, intake, &self.kept(year), Detail::Site);
        self.measure(book, plant, heating, intake, year)
    }

    /// The same of an option that stands alone: no other will take its path.
    pub fn run_option(&self, plant: &Plant, heating: &Heating, intake: &Intake, year: &WeatherYear) -> Book {
        let book = Site { plant, intake, year }.march(heating, Detail::Site);
        self.measure(book, plant, heating, intake, year)
    }

    /// The same, given up as soon as any nuts have waited for a bin longer than `waiting_hours`: `None`.
    pub fn run_while_none_waits(
        &self,
        plant: &Plant,
        heating: &Heating,
        intake: &Intake,
        year: &WeatherYear,
        waiting_hours: f64,
    ) -> Option<Book> {
        let site = Site { plant, intake, year };
        let book = site.march_while_none_waits(heating, waiting_hours)?;
        Some(self.measure(book, plant, heating, intake, year))
    }

    fn measure(&self, book: Book, plant: &Plant, heating: &Heating, intake: &Intake, year: &WeatherYear) -> Book {
        let serving = serves(heating, &book).then_some(&book);
        let found = self.of(plant, intake, year, serving);
        measured(book, year, &found)
    }

    /// The reference of a plant, intake and year: known, or taken from a march that serves, or run now.
    fn of(&self, plant: &Plant, intake: &Intake, year: &WeatherYear, serving: Option<&Book>) -> Arc<Reference> {
        let known = self.known(plant, intake, year);
        let reference = known.found.get_or_init(|| {
            Arc::new(serving.map_or_else(
                || {
                    let march = self.paths.march(&known.plant, &ample(), intake, &known.year, Detail::Site);
                    Reference::of(&march)
                },
                Reference::of,
            ))
        });
        Arc::clone(reference)
    }

    fn known(&self, plant: &Plant, intake: &Intake, year: &WeatherYear) -> Arc<Known> {
        let year = self.kept(year);
        let mut all = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let alike = |known: &&Arc<Known>| {
            known.plant.dries_as(plant) && known.intake == *intake && Arc::ptr_eq(&known.year, &year)
        };
        if let Some(known) = all.iter().find(alike) {
            return Arc::clone(known);
        }
        let plant = Plant { store: None, ..plant.clone() };
        let intake = intake.clone();
        let known = Arc::new(Known { plant, intake, year, found: OnceLock::new() });
        all.push(Arc::clone(&known));
        known
    }
    /// A weather year kept once, however often it is asked for.
    fn kept(&self, year: &WeatherYear) -> Arc<WeatherYear> {
        let mut all = self.years.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(kept) = all.iter().find(|kept| kept.as_ref() == year) {
            return Arc::clone(kept);
        }
        let kept = Arc::new(year.clone());
        all.push(Arc::clone(&kept));
        kept
    }
}

/// Places of the options in the order in which they are best run: the first that may share a path lays it; then
/// the first of each way to have condensers in a room, which leave it somewhere; then all others, which follow one
/// of these, or go their own way.
fn waves(plant: &Plant, heatings: &[Heating]) -> [Vec<usize>; 3] {
    let stands = |heating: &Heating| {
        let indoors = heating.condensers.place.may_stand_in_room();
        indoors.then_some((heating.condensers, heating.condensers_room))
    };
    let mut waves = [const { Vec::new() }; 3];
    for (place, heating) in heatings.iter().enumerate() {
        let mut before = heatings[..place].iter().filter(|before| may_follow(plant, before)).peekable();
        let wave = if !may_follow(plant, heating) || before.peek().is_none() {
            0
        } else if before.all(|before| stands(before) != stands(heating)) {
            1
        } else {
            2
        };
        waves[wave].push(place);
    }
    waves
}

fn measured(book: Book, year: &WeatherYear, reference: &Arc<Reference>) -> Book {
    book.measured_against(reference, &year.hours, year.season_hours)
}

/// More heat than is ever asked for, and nothing else.
fn ample() -> Heating {
    Heating {
        name: "ample heat".to_owned(),
        condensers: Placement::Outdoors.into(),
        condensers_room: 0,
        sources: vec![Source::new("ample heat", AMPLE_KW, Kind::Resistance(Resistance))],
        calling: Calling::Ordered,
    }
}

/// True if a march may stand for the reference: bit for bit what ample heat gives. No condensers release heat
/// in the room, no source moves water or has the bins tried at another exhaust, and no hour was short.
fn serves(heating: &Heating, book: &Book) -> bool {
    let changes_the_air = |source: &Source| source.moves_water() || source.kind.says().uses_exhaust();
    let enough = |hour: &Entry| hour.heat_asked_kwh <= hour.heat_delivered_kwh;
    !heating.condensers.place.recovers()
        && !heating.sources.iter().any(changes_the_air)
        && book.hours.iter().all(|hour| enough(&hour))
}
