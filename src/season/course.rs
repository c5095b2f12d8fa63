//! The nuts' side of a season as an option's heat sees it: lived through, or followed on a path that another
//! option has taken. Rooms and nuts know of heat only what a [`Supply`] answers.

use super::hour_sum::Waiting;
use crate::cool_store::Arrival;
use crate::dryer::{Ask, RoomHour, Supply};
use crate::ledger::{BatchRecord, Guard, RoomBook, Tonnage, WeatherEnd};
use crate::weather::Hour;
use chrono::NaiveDateTime;

/// What an option's heat must know of a room's step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct RoomStep {
    pub bins_drying: usize,
    pub air_c: f64,
    pub asked: Ask,
    pub heat_need_kw: f64,
    pub heat_given_kw: f64,
}

impl RoomStep {
    pub(super) fn of(room: &RoomHour) -> Self {
        Self {
            bins_drying: room.bins_drying,
            air_c: room.air_c,
            asked: room.asked,
            heat_need_kw: room.heat_need_kw,
            heat_given_kw: room.heat_given_kw,
        }
    }
}

/// What a season's nuts came to.
#[derive(Clone, Debug, Default)]
pub(super) struct Dried {
    pub rooms: Vec<RoomBook>,
    pub batches: Vec<BatchRecord>,
    pub tonnage: Tonnage,
    /// Guards of nuts, rooms and fans that fired.
    pub guards: Vec<Guard>,
    pub weather_ended: Option<WeatherEnd>,
}

/// The nuts' side of a season, hour by hour.
pub(super) trait Course {
    /// Why it cannot go on with this option; `Infallible` where it always can.
    type Astray;
    /// True when no nuts are left to dry, or no time to dry them.
    fn is_over(&self, at: usize) -> bool;
    /// Nuts move. What waits then, and what left for the store.
    fn begin_hour(&mut self, at: usize, hour: &Hour) -> Result<(Waiting, &[Arrival]), Self::Astray>;
    /// The hottest set temperature of a room's batches in the step that begins, °C; `None` while none dries
    /// in heated air.
    fn hottest_set_c(&mut self, place: usize, starts: NaiveDateTime) -> Option<f64>;
    /// One room lives through a step with what this supply can give.
    fn step_room(
        &mut self,
        place: usize,
        now: (usize, &Hour),
        supply: &dyn Supply,
        hours: f64,
    ) -> Result<RoomStep, Self::Astray>;
    /// All rooms have lived through a step that began so many hours into the season.
    fn end_step(&mut self, from: f64);
    /// What each room did in the hour, and how many batches cooled through it.
    fn end_hour(&mut self) -> (&[RoomHour], u32);
    /// Ends the season after so many hours.
    fn close(&mut self, hours: usize) -> Dried;
}
