//! The hour loop of one option in one weather year.

use super::hour_sum::{Arrived, HourSum, Waiting};
use super::moves::Underway;
use super::plant::{Heating, Intake, Plant};
use super::room_sum::RoomSum;
use super::watch::Watch;
use crate::cool_store::Store;
use crate::dryer::{Delivery, Nuts, Room, WaitingNuts};
use crate::heat::Stack;
use crate::ledger::{Book, Detail, SourceBook, Tonnage, WeatherEnd};
use crate::weather::{Hour, WeatherYear};
use chrono::TimeDelta;
use std::sync::Arc;

/// Drying may go on this long after the season's last day, h.
pub const TAIL_DRYING_HOURS: usize = 45 * 24;

/// One option through one weather year, not yet held against its reference.
pub(super) fn march(
    plant: &Plant,
    heating: &Heating,
    intake: &Intake,
    year: &WeatherYear,
    detail: Detail,
) -> Book {
    let mut run = Run::new(plant, heating, intake, year, detail);
    for (at, hour) in year.hours.iter().enumerate() {
        if run.is_over(at) {
            break;
        }
        run.live(at, hour);
    }
    run.close()
}

/// The same, given up as soon as any nuts have waited for a bin longer than `waiting_hours`: `None`.
pub(super) fn march_while_none_waits(
    plant: &Plant,
    heating: &Heating,
    intake: &Intake,
    year: &WeatherYear,
    waiting_hours: f64,
) -> Option<Book> {
    let mut run = Run::new(plant, heating, intake, year, Detail::Site);
    for (at, hour) in year.hours.iter().enumerate() {
        if run.is_over(at) {
            break;
        }
        run.live(at, hour);
        if run.heap.longest_wait_h(at) > waiting_hours {
            return None;
        }
    }
    Some(run.close())
}

/// The state of a season under way.
pub(super) struct Run<'a> {
    pub(super) plant: &'a Plant,
    pub(super) heating: &'a Heating,
    pub(super) year: &'a WeatherYear,
    /// The laws of each crop's nuts.
    pub(super) nuts: Vec<Arc<Nuts>>,
    pub(super) deliveries: Vec<Delivery>,
    pub(super) next_delivery: usize,
    /// The rooms in the order in which batches pass them.
    pub(super) rooms: Vec<Room>,
    /// What each room did so far.
    pub(super) room_sums: Vec<RoomSum>,
    /// Batches between two rooms.
    pub(super) underway: Vec<Underway>,
    pub(super) stack: Stack,
    /// The store with its condensers where the option has them.
    pub(super) store: Option<Store>,
    /// The same store with its condensers outdoors: what the credit is measured against.
    pub(super) outdoors: Option<Store>,
    pub(super) heap: WaitingNuts,
    pub(super) watch: Watch,
    pub(super) book: Book,
    pub(super) detail: Detail,
    /// Nuts that came into the store in the hour under way.
    pub(super) arrived: Arrived,
}

impl<'a> Run<'a> {
    fn new(
        plant: &'a Plant,
        heating: &'a Heating,
        intake: &Intake,
        year: &'a WeatherYear,
        detail: Detail,
    ) -> Self {
        let room_hours = match detail {
            Detail::Site => 0,
            Detail::Rooms => year.hours.len() * plant.rooms().count(),
        };
        let store = plant.store.clone().map(Store::new);
        let outdoors = heating.condensers.place.recovers().then(|| store.clone()).flatten();
        let sources = heating
            .sources
            .iter()
            .map(|source| SourceBook {
                name: source.name.clone(),
                fuel: source.fuel().map(str::to_owned),
                burns_own_alone: source.burns_own_alone(),
                given: Vec::with_capacity(year.hours.len()),
                displaced: Vec::new(),
            })
            .collect();
        Self {
            plant,
            heating,
            year,
            nuts: plant.nuts_by_crop().copied().map(Arc::new).collect(),
            deliveries: intake.deliveries(year.season()),
            next_delivery: 0,
            rooms: plant.rooms().cloned().map(Room::new).collect(),
            room_sums: plant.rooms().map(|_| RoomSum::default()).collect(),
            underway: Vec::new(),
            stack: Stack::new(heating.sources.clone(), heating.calling.dispatch()),
            store,
            outdoors,
            heap: WaitingNuts::default(),
            watch: Watch::default(),
            book: Book {
                option: heating.name.clone(),
                year: year.label.clone(),
                hours: Vec::with_capacity(year.hours.len()),
                sources,
                batches: Vec::new(),
                rooms: Vec::new(),
                room_hours: Vec::with_capacity(room_hours),
                tonnage: Tonnage::default(),
                store_lost_kg: Vec::new(),
                guards: Vec::new(),
                weather_ended: None,
                reference: Arc::default(),
            },
            detail,
            arrived: Arrived::default(),
        }
    }

    /// True when the season is past and nothing is left to do: no nuts to dry (or no time left to dry
    /// them) and an empty store.
    fn is_over(&self, at: usize) -> bool {
        let past_season = at >= self.year.season_hours;
        let nothing_to_dry = self.heap.is_empty()
            && self.underway.is_empty()
            && self.rooms.iter().flat_map(|room| &room.bins).all(|bin| bin.load.is_none());
        past_season
            && (nothing_to_dry || self.drying_time_is_up(at))
            && self.store.as_ref().is_none_or(|store| !store.in_use())
    }

    fn drying_time_is_up(&self, at: usize) -> bool {
        at >= self.year.season_hours + TAIL_DRYING_HOURS
    }

    /// One hour: nuts move, then air, heat and cold.
    fn live(&mut self, at: usize, hour: &Hour) {
        self.receive(at);
        self.finish_batches(at);
        if self.drying_time_is_up(at) {
            self.abandon(at);
        }
        self.hand_over(at);
        self.load_bins(at, hour);
        let waiting = Waiting {
            all_t: self.heap.mass_kg() / 1000.0,
            for_bin_t: self.waiting_for_bin_kg(at) / 1000.0,
        };
        self.book.tonnage.waiting_tonne_days += waiting.all_t / 24.0;
        self.book.tonnage.waiting_for_bin_tonne_days += waiting.for_bin_t / 24.0;
        self.let_mould_live(hour);
        self.watch.waiting(&self.heap, self.plant, at);

        let steps = self.plant.steps_per_hour.max(1);
        let length = 1.0 / f64::from(steps);
        let mut sum = HourSum::of(self.rooms.len(), self.heating.sources.len());
        for step in 0..steps {
            self.step(at, hour, length, &mut sum);
            self.note_ends(at as f64 + f64::from(step) * length);
        }
        self.write_down(at, hour, waiting, sum);
    }

    /// The weather's end at this hour of the season, where the time to dry is not over then.
    fn weather_end(&self, at: usize) -> Option<WeatherEnd> {
        let hours = |count: usize| i64::try_from(count).map(TimeDelta::hours).ok();
        let last = self.book.hours.last()?.starts;
        let left = (self.year.season_hours + TAIL_DRYING_HOURS).checked_sub(at)?;
        let ended = last + hours(1)?;
        (left > 0).then_some(WeatherEnd { at: ended, wanted_until: ended + hours(left)? })
    }

    /// Ends the season: nuts still inside are said to be left.
    fn close(mut self) -> Book {
        let at = self.book.hours.len();
        let left_before_kg = self.book.tonnage.left_kg;
        self.abandon(at.saturating_sub(1));
        if self.book.tonnage.left_kg > left_before_kg {
            self.book.weather_ended = self.weather_end(at);
        }
        let sums = std::mem::take(&mut self.room_sums);
        self.book.rooms =
            self.rooms.iter().zip(sums).map(|(room, sum)| sum.into_book(&room.spec)).collect();
        let lost_kg = |crop| self.store.as_ref().map_or(0.0, |store| store.lost_kg(crop));
        self.book.store_lost_kg = (0..self.nuts.len()).map(lost_kg).collect();
        self.book.guards = self.watch.into_guards();
        self.book
    }
}
