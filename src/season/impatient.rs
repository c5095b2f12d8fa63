//! A season that is given up as soon as nuts have waited too long: what sizing asks first.

use super::course::{Course, Dried, RoomStep};
use super::drying::Drying;
use super::hour_sum::Waiting;
use crate::cool_store::Arrival;
use crate::dryer::{RoomHour, Supply};
use crate::weather::Hour;
use chrono::NaiveDateTime;

/// A season lived through while no nuts wait for a bin longer than so many hours.
pub(super) struct Impatient<'a> {
    pub drying: Drying<'a>,
    pub waiting_hours: f64,
}

/// Nuts have waited too long.
pub(super) struct WaitedTooLong;

impl Course for Impatient<'_> {
    type Astray = WaitedTooLong;

    fn is_over(&self, at: usize) -> bool {
        self.drying.is_over(at)
    }

    fn begin_hour(&mut self, at: usize, hour: &Hour) -> Result<(Waiting, &[Arrival]), WaitedTooLong> {
        let Ok((waiting, _)) = self.drying.begin_hour(at, hour);
        // Nuts move on the hour alone: who waits now waits through it.
        if self.drying.heap.longest_wait_h(at) > self.waiting_hours {
            return Err(WaitedTooLong);
        }
        Ok((waiting, &self.drying.leaving))
    }

    fn hottest_set_c(&mut self, place: usize, starts: NaiveDateTime) -> Option<f64> {
        self.drying.hottest_set_c(place, starts)
    }

    fn step_room(
        &mut self,
        place: usize,
        now: (usize, &Hour),
        supply: &dyn Supply,
        hours: f64,
    ) -> Result<RoomStep, WaitedTooLong> {
        let Ok(room) = self.drying.step_room(place, now, supply, hours);
        Ok(room)
    }

    fn end_step(&mut self, from: f64) {
        self.drying.end_step(from);
    }

    fn end_hour(&mut self) -> (&[RoomHour], u32) {
        self.drying.end_hour()
    }

    fn close(&mut self, hours: usize) -> Dried {
        self.drying.close(hours)
    }
}
