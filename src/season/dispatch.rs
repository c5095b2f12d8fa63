//! The heat's side of a season: an option's sources, condensers and store, called on hour by hour for what rooms
//! and nuts ask.

use super::course::{Course, Dried};
use super::hour_sum::{Arrived, HourSum};
use super::plant::{Heating, Plant};
use super::watch::Watch;
use crate::cool_store::Store;
use crate::heat::Stack;
use crate::ledger::{Book, Detail, Hours, SourceBook};
use crate::weather::{Hour, WeatherYear};

/// The state of an option's heat and cold in a season under way.
pub(super) struct Dispatch<'a> {
    pub(super) plant: &'a Plant,
    pub(super) heating: &'a Heating,
    year: &'a WeatherYear,
    pub(super) stack: Stack,
    /// The store with its condensers where the option has them.
    pub(super) store: Option<Store>,
    /// The same store with its condensers outdoors: what the credit is measured against.
    pub(super) outdoors: Option<Store>,
    pub(super) watch: Watch,
    pub(super) book: Book,
    pub(super) detail: Detail,
    /// Nuts that came into the store in the hour under way.
    pub(super) arrived: Arrived,
}

impl<'a> Dispatch<'a> {
    /// Before the first hour.
    pub(super) fn new(plant: &'a Plant, heating: &'a Heating, year: &'a WeatherYear, detail: Detail) -> Self {
        let room_hours = match detail {
            Detail::Site => 0,
            Detail::Rooms => year.hours.len() * plant.rooms.len(),
        };
        let store = plant.store.clone().map(Store::new);
        let outdoors = heating.condensers.place.recovers().then(|| store.clone()).flatten();
        let sources = heating.sources.iter().map(|source| SourceBook {
            name: source.name.clone(),
            fuel: source.fuel().map(str::to_owned),
            burns_own_alone: source.burns_own_alone(),
            given: Vec::with_capacity(year.hours.len()).into(),
            displaced: Hours::default(),
        });
        Self {
            plant,
            heating,
            year,
            stack: Stack::new(heating.sources.clone(), heating.calling.dispatch()),
            store,
            outdoors,
            watch: Watch::default(),
            book: Book {
                option: heating.name.clone(),
                year: year.label.clone(),
                hours: Vec::with_capacity(year.hours.len()).into(),
                sources: sources.collect(),
                room_hours: Vec::with_capacity(room_hours),
                ..Book::default()
            },
            detail,
            arrived: Arrived::default(),
        }
    }

    /// One hour of the course of the nuts; an error where it cannot go on with what this option answers.
    pub(super) fn live<C: Course>(&mut self, course: &mut C, at: usize, hour: &Hour) -> Result<(), C::Astray> {
        let (waiting, leaving) = course.begin_hour(at, hour)?;
        for batch in leaving {
            if self.store.is_some() {
                self.arrived.add(batch);
            }
            for store in [self.store.as_mut(), self.outdoors.as_mut()].into_iter().flatten() {
                store.take_in(batch);
            }
        }
        let steps = self.plant.steps_per_hour.max(1);
        let length = 1.0 / f64::from(steps);
        let mut sum = HourSum::of(self.plant.rooms.len(), self.heating.sources.len());
        for step in 0..steps {
            self.step(course, (at, hour), length, &mut sum)?;
            course.end_step(at as f64 + f64::from(step) * length);
        }
        self.write_down((at, hour), waiting, course.end_hour(), sum);
        Ok(())
    }

    /// True when the store stands empty, too.
    pub(super) fn is_over(&self) -> bool {
        self.store.as_ref().is_none_or(|store| !store.in_use())
    }

    /// True inside the drying season.
    pub(super) fn is_in_season(&self, at: usize) -> bool {
        at < self.year.season_hours
    }

    /// The book of the season whose nuts came to this.
    pub(super) fn close(self, dried: Dried) -> Book {
        let crops = self.plant.nuts_by_crop().count();
        let lost_kg = |crop| self.store.as_ref().map_or(0.0, |store| store.lost_kg(crop));
        Book {
            rooms: dried.rooms,
            batches: dried.batches,
            tonnage: dried.tonnage,
            store_lost_kg: (0..crops).map(lost_kg).collect(),
            guards: self.watch.with(dried.guards).into_guards(),
            weather_ended: dried.weather_ended,
            ..self.book
        }
    }
}
