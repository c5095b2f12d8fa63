//! When rooms are set back.

use crate::calendar::TimeOfUse;
use crate::dryer::Setback;
use chrono::{NaiveDateTime, Timelike};

/// Hours in which a room is set back.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomSetback {
    /// The room, from 0.
    pub room: usize,
    /// When.
    pub when: SetbackHours,
    /// To what.
    pub to: Setback,
}

/// Hours that come again.
#[derive(Clone, Debug, PartialEq)]
pub enum SetbackHours {
    /// Every day from one hour of local standard time to another, 0 to 24; past midnight where the second
    /// is the smaller.
    Daily {
        /// First hour.
        from: u32,
        /// Hour at which it is over.
        until: u32,
    },
    /// Those of some kinds of hour, each by what most of it is.
    OfCalendar {
        /// All kinds of hour.
        times: TimeOfUse,
        /// Those in which the room is set back.
        kinds: Vec<usize>,
    },
}

impl SetbackHours {
    /// True in the hour that starts then, local standard time.
    pub fn holds(&self, hour_starts: NaiveDateTime) -> bool {
        match self {
            Self::Daily { from, until } => {
                let hour = hour_starts.hour();
                if from < until { (*from..*until).contains(&hour) } else { hour >= *from || hour < *until }
            }
            Self::OfCalendar { times, kinds } => kinds.contains(&times.kind_of_most(hour_starts)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    #[test]
    fn hours_of_a_day_may_pass_midnight() {
        let at = |hour| NaiveDate::from_ymd_opt(2031, 3, 1).and_then(|day| day.and_hms_opt(hour, 0, 0)).unwrap();
        let held = |from, until| -> Vec<u32> {
            let hours = SetbackHours::Daily { from, until };
            (0..24).filter(|&hour| hours.holds(at(hour))).collect()
        };
        assert_eq!(held(22, 2), [0, 1, 22, 23]);
        assert_eq!(held(9, 12), [9, 10, 11]);
        assert_eq!(held(22, 24), [22, 23]);
    }
}
