//! A run of days as an axis.

use super::frame::Frame;
use crate::page::kit::months;
use chrono::{Datelike, Days as Ahead, NaiveDate};

/// Days in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Days {
    /// The first.
    pub first: NaiveDate,
    /// How many.
    pub count: usize,
}

impl Days {
    /// The day at a place.
    pub(crate) fn at(self, place: usize) -> NaiveDate {
        self.first.checked_add_days(Ahead::new(place as u64)).unwrap_or(self.first)
    }

    /// Places at which a month begins, the first day left out.
    pub(crate) fn month_starts(self) -> Vec<f64> {
        (1..self.count).filter(|&place| self.at(place).day() == 1).map(|place| place as f64).collect()
    }

    /// Names of the months at their middles; a month with few days shown has none.
    pub(crate) fn month_words(self) -> Vec<(f64, String)> {
        let mut edges = vec![0.0];
        edges.extend(self.month_starts());
        edges.push(self.count as f64);
        let room = self.count as f64 / 18.0;
        edges
            .windows(2)
            .filter(|edge| edge[1] - edge[0] >= room)
            .map(|edge| {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let month = self.at(edge[0] as usize).month();
                (f64::midpoint(edge[0], edge[1]), months::short(month).to_owned())
            })
            .collect()
    }

    /// A frame whose lower axis is these days.
    pub(crate) fn frame(
        self,
        edges: [f64; 4],
        y: std::ops::Range<f64>,
        y_words: Vec<(f64, String)>,
        y_title: &str,
    ) -> Frame {
        Frame {
            edges,
            x: 0.0..(self.count.max(1) as f64),
            y,
            x_words: self.month_words(),
            x_lines: self.month_starts(),
            y_words,
            y_title: y_title.into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_stand_in_the_middle_of_their_days() {
        let days = Days { first: NaiveDate::from_ymd_opt(2031, 3, 1).unwrap(), count: 64 };
        let words = days.month_words();
        assert_eq!(words[0], (15.5, "Mar".into()));
        assert_eq!(words[1], (46.0, "Apr".into()));
        assert_eq!(words.len(), 2, "three days of May have no room for a name");
        assert_eq!(days.month_starts(), [31.0, 61.0]);
    }
}
