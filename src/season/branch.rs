//! A season that goes along a path of another option's up to a mark, and from there its own way.

use super::course::{Course, Dried, RoomStep};
use super::drying::Drying;
use super::hour_sum::Waiting;
use super::path::{AnotherWay, Followed, Path, Recorded};
use crate::cool_store::Arrival;
use crate::dryer::{RoomHour, Supply};
use crate::weather::Hour;
use chrono::NaiveDateTime;

/// A path gone along up to a mark, and a season lived through from there.
pub(super) struct Branching<'a> {
    followed: Followed<'a>,
    lived: Recorded<'a>,
    /// The hour from which on it is lived through.
    from: usize,
    is_following: bool,
}

impl<'a> Branching<'a> {
    /// Leaves a path at its last mark up to this hour; `drying` stands before the first hour. `None` where no mark
    /// comes so early.
    pub(super) fn off(path: &'a Path, hour: usize, rooms: usize, drying: Drying<'a>) -> Option<Self> {
        let (from, lived) = Recorded::from_path(path, hour, drying)?;
        Some(Self { followed: Followed::new(path, rooms), lived, from, is_following: true })
    }

    /// The path of the season that has been closed.
    pub(super) fn into_path(self) -> Path {
        self.lived.into_path()
    }
}

impl Course for Branching<'_> {
    type Astray = AnotherWay;

    fn is_over(&self, at: usize) -> bool {
        if at < self.from { self.followed.is_over(at) } else { self.lived.is_over(at) }
    }

    fn begin_hour(&mut self, at: usize, hour: &Hour) -> Result<(Waiting, &[Arrival]), AnotherWay> {
        self.is_following = at < self.from;
        if self.is_following {
            return self.followed.begin_hour(at, hour);
        }
        let Ok(begun) = self.lived.begin_hour(at, hour);
        Ok(begun)
    }

    fn hottest_set_c(&mut self, place: usize, starts: NaiveDateTime) -> Option<f64> {
        if self.is_following {
            self.followed.hottest_set_c(place, starts)
        } else {
            self.lived.hottest_set_c(place, starts)
        }
    }

    fn step_room(
        &mut self,
        place: usize,
        now: (usize, &Hour),
        supply: &dyn Supply,
        hours: f64,
    ) -> Result<RoomStep, AnotherWay> {
        if self.is_following {
            return self.followed.step_room(place, now, supply, hours);
        }
        let Ok(room) = self.lived.step_room(place, now, supply, hours);
        Ok(room)
    }

    fn end_step(&mut self, from: f64) {
        if self.is_following {
            self.followed.end_step(from);
        } else {
            self.lived.end_step(from);
        }
    }

    fn end_hour(&mut self) -> (&[RoomHour], u32) {
        if self.is_following { self.followed.end_hour() } else { self.lived.end_hour() }
    }

    fn close(&mut self, hours: usize) -> Dried {
        self.lived.close(hours)
    }
}
