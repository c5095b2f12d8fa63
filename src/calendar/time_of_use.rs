//! Which of several kinds of hour a moment belongs to: the hours of a tariff, without its prices.

use super::{Holiday, WallClock, Window};
use chrono::{NaiveDateTime, TimeDelta, Timelike};

/// Kinds of hour, such as peak and night: plain data, so that two tariffs with the same hours are alike
/// here whatever their prices.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TimeOfUse {
    /// When each kind holds. The first that holds at a moment counts; where none does it is the kind after
    /// the last.
    pub kinds: Vec<Vec<Window>>,
    /// Holidays.
    pub holidays: Vec<Holiday>,
    /// The clock that the windows follow; without one they follow local standard time.
    pub clock: Option<WallClock>,
}

impl TimeOfUse {
    /// The time on its clock.
    pub fn on_the_wall(&self, standard: NaiveDateTime) -> NaiveDateTime {
        self.clock.map_or(standard, |clock| clock.read(standard))
    }

    /// True if any of these windows holds at this moment of local standard time.
    pub fn any_holds(&self, windows: &[Window], standard: NaiveDateTime) -> bool {
        let moment = self.on_the_wall(standard);
        let date = moment.date();
        let holiday = self.holidays.iter().any(|holiday| holiday.falls_on(date));
        windows.iter().any(|window| window.holds(moment, holiday))
    }

    /// Kinds that share the hour that starts at this local standard time, with their shares, which add
    /// to 1: an hour that straddles two is told by its quarters.
    pub fn shares(&self, hour_starts: NaiveDateTime) -> Vec<(usize, f64)> {
        if self.is_of_one_kind(hour_starts) {
            return vec![(self.kind_at(hour_starts), 1.0)];
        }
        let mut shares: Vec<(usize, f64)> = Vec::with_capacity(2);
        for quarter in 0..4 {
            let kind = self.kind_at(hour_starts + TimeDelta::minutes(15 * quarter));
            match shares.iter_mut().find(|(known, _)| *known == kind) {
                Some((_, share)) => *share += 0.25,
                None => shares.push((kind, 0.25)),
            }
        }
        shares
    }

    /// True if the kind cannot change within the hour: windows begin and end on full hours, and so does the hour on
    /// the wall. It does not on a clock that is half an hour ahead in summer, nor when the clock is changed.
    fn is_of_one_kind(&self, hour_starts: NaiveDateTime) -> bool {
        let later = TimeDelta::minutes(45);
        let on_the_wall = self.on_the_wall(hour_starts);
        self.kinds.iter().flatten().all(Window::is_on_full_hours)
            && on_the_wall.minute() == 0
            && self.on_the_wall(hour_starts + later) - on_the_wall == later
    }

    /// The kind of most of the hour that starts then; of equal shares the first.
    pub fn kind_of_most(&self, hour_starts: NaiveDateTime) -> usize {
        let (kind, _) = self
            .shares(hour_starts)
            .into_iter()
            .fold((usize::MAX, 0.0), |most, share| if share.1 > most.1 { share } else { most });
        kind
    }

    /// What an hour has of a number that each kind has, by the shares of the hour.
    pub fn mean(&self, hour_starts: NaiveDateTime, of: impl Fn(usize) -> f64) -> f64 {
        self.shares(hour_starts).into_iter().map(|(kind, share)| of(kind) * share).sum()
    }

    fn kind_at(&self, standard: NaiveDateTime) -> usize {
        let first = self.kinds.iter().position(|windows| self.any_holds(windows, standard));
        first.unwrap_or(self.kinds.len())
    }
}
