//! The nuts' side of a season: heap, rooms, batches, and what they do in each hour with the heat they get.

use super::course::{Course, Dried, RoomStep};
use super::hour_sum::{Waiting, together};
use super::plant::{Intake, Plant};
use super::room_sum::RoomSum;
use super::watch::Watch;
use crate::cool_store::Arrival;
use crate::dryer::{Delivery, Load, Nuts, Phase, Room, RoomHour, Supply, WaitingNuts};
use crate::ledger::{BatchRecord, HOURS_BETWEEN_LOOKS, Tonnage, WeatherEnd};
use crate::weather::{Hour, WeatherYear};
use chrono::{NaiveDateTime, TimeDelta};
use std::convert::Infallible;
use std::sync::Arc;

/// Drying may go on this long after the season's last day, h.
const TAIL_DRYING_HOURS: usize = 45 * 24;

/// Hours of weather that a season asks for after its last day: as long as drying may go on, and as nuts of any of these
/// plants then stay in the store.
pub fn tail_hours<'a>(plants: impl IntoIterator<Item = &'a Plant>) -> usize {
    let stays = plants.into_iter().flat_map(Plant::stays).map(|stay| stay.store_hours);
    let longest_h = stays.fold(0.0, f64::max);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most a year of hours
    let in_store = longest_h.ceil() as usize;
    TAIL_DRYING_HOURS + in_store
}

/// A batch between two rooms: neither bin is free, and no air passes it.
#[derive(Clone, Debug)]
pub(super) struct Underway {
    pub load: Load,
    /// Room and bin that it comes from.
    pub from: (usize, usize),
    /// Room and bin that it goes to.
    pub to: (usize, usize),
    /// Hour of the season at which it arrives.
    pub arrives: usize,
}

/// The state of the nuts and rooms of a season under way. It knows of heat only what a [`Supply`] answers.
pub(super) struct Drying<'a> {
    pub(super) plant: &'a Plant,
    pub(super) year: &'a WeatherYear,
    /// The laws of each crop's nuts.
    pub(super) nuts: Vec<Arc<Nuts>>,
    pub(super) deliveries: Vec<Delivery>,
    pub(super) next_delivery: usize,
    /// The rooms in the order in which batches pass them.
    pub(super) rooms: Vec<Room>,
    /// What each room did so far.
    pub(super) room_sums: Vec<RoomSum>,
    /// What each room did in the hour under way.
    hour: Vec<RoomHour>,
    /// Batches between two rooms.
    pub(super) underway: Vec<Underway>,
    pub(super) heap: WaitingNuts,
    pub(super) watch: Watch,
    pub(super) tonnage: Tonnage,
    /// The batches in the order in which they were loaded.
    pub(super) batches: Vec<BatchRecord>,
    /// Batches that left for the store in the hour under way.
    pub(super) leaving: Vec<Arrival>,
}

/// Nuts and rooms as they stand at the beginning of an hour: a season can go on from here.
#[derive(Clone, Debug)]
pub(super) struct Mark {
    next_delivery: usize,
    rooms: Vec<Room>,
    room_sums: Vec<RoomSum>,
    underway: Vec<Underway>,
    heap: WaitingNuts,
    watch: Watch,
    tonnage: Tonnage,
    batches: Vec<BatchRecord>,
}

impl<'a> Drying<'a> {
    /// Before the first hour.
    pub(super) fn new(plant: &'a Plant, intake: &Intake, year: &'a WeatherYear) -> Self {
        let rooms: Vec<Room> = plant.rooms().cloned().map(Room::new).collect();
        Self {
            plant,
            year,
            nuts: plant.nuts_by_crop().copied().map(Arc::new).collect(),
            deliveries: intake.deliveries(year.season()),
            next_delivery: 0,
            room_sums: rooms.iter().map(|_| RoomSum::default()).collect(),
            hour: Vec::with_capacity(rooms.len()),
            rooms,
            underway: Vec::new(),
            heap: WaitingNuts::default(),
            watch: Watch::default(),
            tonnage: Tonnage::default(),
            batches: Vec::new(),
            leaving: Vec::new(),
        }
    }

    /// How all stands, between two hours.
    pub(super) fn mark(&self) -> Mark {
        // Whatever else is here follows from the plant, the intake and the year, or is of one hour alone.
        let Self {
            plant: _,
            year: _,
            nuts: _,
            deliveries: _,
            hour: _,
            leaving: _,
            next_delivery,
            rooms,
            room_sums,
            underway,
            heap,
            watch,
            tonnage,
            batches,
        } = self;
        Mark {
            next_delivery: *next_delivery,
            rooms: rooms.clone(),
            room_sums: room_sums.clone(),
            underway: underway.clone(),
            heap: heap.clone(),
            watch: watch.clone(),
            tonnage: *tonnage,
            batches: batches.clone(),
        }
    }

    /// Stands as at this mark of a season of the same plant, intake and year.
    pub(super) fn at_mark(self, mark: &Mark) -> Self {
        let Mark { next_delivery, rooms, room_sums, underway, heap, watch, tonnage, batches } = mark.clone();
        Self { next_delivery, rooms, room_sums, underway, heap, watch, tonnage, batches, ..self }
    }

    fn drying_time_is_up(&self, at: usize) -> bool {
        at >= self.year.season_hours + TAIL_DRYING_HOURS
    }

    /// The weather's end at this hour of the season, where the time to dry is not over then.
    fn weather_end(&self, at: usize) -> Option<WeatherEnd> {
        let hours = |count: usize| i64::try_from(count).map(TimeDelta::hours).ok();
        let last = self.year.hours.get(at.checked_sub(1)?)?.starts;
        let left = (self.year.season_hours + TAIL_DRYING_HOURS).checked_sub(at)?;
        let ended = last + hours(1)?;
        (left > 0).then_some(WeatherEnd { at: ended, wanted_until: ended + hours(left)? })
    }
}

impl Course for Drying<'_> {
    type Astray = Infallible;

    fn is_over(&self, at: usize) -> bool {
        let nothing_to_dry = || {
            self.heap.is_empty()
                && self.underway.is_empty()
                && self.rooms.iter().flat_map(|room| &room.bins).all(|bin| bin.load.is_none())
        };
        at >= self.year.season_hours && (self.drying_time_is_up(at) || nothing_to_dry())
    }

    fn begin_hour(&mut self, at: usize, hour: &Hour) -> Result<(Waiting, &[Arrival]), Infallible> {
        self.leaving.clear();
        self.hour.clear();
        self.hour.resize(self.rooms.len(), RoomHour::default());
        self.receive(at);
        self.finish_batches(at);
        if self.drying_time_is_up(at) {
            self.abandon(at);
        }
        self.hand_over(at);
        self.load_bins(at, hour);
        if at.is_multiple_of(HOURS_BETWEEN_LOOKS) {
            self.look_at_batches();
        }
        let waiting = Waiting { all_t: self.heap.mass_kg() / 1000.0, for_bin_t: self.waiting_for_bin_kg(at) / 1000.0 };
        self.tonnage.waiting_tonne_days += waiting.all_t / 24.0;
        self.tonnage.waiting_for_bin_tonne_days += waiting.for_bin_t / 24.0;
        self.let_mould_live(hour);
        self.watch.waiting(&self.heap, self.plant, at);
        Ok((waiting, &self.leaving))
    }

    fn hottest_set_c(&mut self, place: usize, starts: NaiveDateTime) -> Option<f64> {
        let setback = self.plant.setback(place, starts);
        self.rooms[place].set_back(setback);
        self.rooms[place].hottest_set_c()
    }

    fn step_room(
        &mut self,
        place: usize,
        (at, hour): (usize, &Hour),
        supply: &dyn Supply,
        hours: f64,
    ) -> Result<RoomStep, Infallible> {
        let room = self.rooms[place].step(&hour.air, supply, hours);
        self.watch.humidity(&self.rooms[place], &room, at, hours);
        self.watch.fans(room.off_curve, at, hours);
        self.watch.batches(&mut self.rooms[place], self.plant, (at, hours));
        self.hour[place].add(&room, hours);
        Ok(RoomStep::of(&room))
    }

    fn end_step(&mut self, from: f64) {
        self.note_ends(from);
    }

    fn end_hour(&mut self) -> (&[RoomHour], u32) {
        for (kept, hour) in self.room_sums.iter_mut().zip(&self.hour) {
            kept.add(hour);
        }
        self.tonnage.evaporated_kg += together(&self.hour).evaporated_kg;
        let cooling = self
            .rooms
            .iter()
            .flat_map(|room| &room.bins)
            .filter_map(|bin| bin.load_in(Phase::Cooling))
            // What dried in a part of this hour counts as drying.
            .filter(|load| load.hours_in_phase + 1e-9 >= 1.0);
        (&self.hour, u32::try_from(cooling.count()).unwrap_or(u32::MAX))
    }

    fn close(&mut self, hours: usize) -> Dried {
        let left_before_kg = self.tonnage.left_kg;
        self.abandon(hours.saturating_sub(1));
        let weather_ended = if self.tonnage.left_kg > left_before_kg { self.weather_end(hours) } else { None };
        let rooms = self.rooms.iter().zip(std::mem::take(&mut self.room_sums));
        Dried {
            rooms: rooms.map(|(room, sum)| sum.into_book(&room.spec)).collect(),
            batches: std::mem::take(&mut self.batches),
            tonnage: self.tonnage,
            guards: std::mem::take(&mut self.watch).into_guards(),
            weather_ended,
        }
    }
}
