//! An intake file of which rows may be lost: worth a note, for an orchard may rest as well.

use super::Doubts;
use crate::season::Intake;
use crate::weather::{MonthDay, SeasonWindow};
use chrono::{Datelike, NaiveDate};

/// Fewer days of deliveries than this show no habit.
const FEWEST_DAYS: usize = 8;
/// A pause of so many days, and of so many times the usual one, and of this part of all days, is long (assumption).
const LONG_PAUSE_DAYS: i64 = 8;
const LONG_PAUSE_TIMES: i64 = 5;
const LONG_PAUSE_SHARE: f64 = 0.25;
/// A season that goes on for longer than this part of it after the last delivery may want its later rows (assumption: batches
/// of the last days take a week or two to dry).
const LATE_SHARE: f64 = 0.4;
const LATE_DAYS: i64 = 21;

impl Doubts<'_> {
    /// A long pause amid the deliveries, and a season that goes on long after them.
    pub(super) fn lost_deliveries(&mut self) {
        let season = self.study.season;
        // Crops that come one after the other pause for one another.
        let Intake::Daily(rows) = &self.study.intake else { return };
        let given = rows.iter().filter(|row| row.tonnes > 0.0);
        let mut days: Vec<(i64, MonthDay)> =
            given.map(|row| (days_into(season, MonthDay::of(row.date)), MonthDay::of(row.date))).collect();
        days.sort_unstable();
        days.dedup();
        let (Some((first, _)), Some((last, last_day))) = (days.first().copied(), days.last().copied()) else { return };
        if days.len() < FEWEST_DAYS {
            return;
        }
        let mut pauses: Vec<(i64, MonthDay)> = days.windows(2).map(|pair| (pair[1].0 - pair[0].0, pair[0].1)).collect();
        pauses.sort_unstable();
        let usual = pauses[pauses.len() / 2].0;
        let cure = "look whether rows are lost, and what the season's tonnes should add up to";
        if let Some((pause, since)) = pauses.last().copied()
            && pause >= LONG_PAUSE_DAYS
            && pause >= LONG_PAUSE_TIMES * usual
            && pause as f64 > LONG_PAUSE_SHARE * (last - first) as f64
        {
            let else_come = if usual <= 1 { "daily".to_owned() } else { format!("every {usual} days or so") };
            let what = format!("no nuts come for {pause} days after {since}; else they come {else_come}");
            self.note("intake.pause", "crop.intake", what, cure);
        }
        let ends = days_into(season, season.ends);
        if ends - last > LATE_DAYS && (ends - last) as f64 > LATE_SHARE * (ends - first) as f64 {
            let what = format!("no nuts come after {last_day}, and the season goes on for {} days", ends - last);
            self.note("intake.ends", "crop.intake", what, cure);
        }
    }
}

/// Days from the first day of a season to this one; years count for nothing, as in an intake file.
pub(super) fn days_into(season: SeasonWindow, day: MonthDay) -> i64 {
    // A leap year has every day that there is.
    let of_year =
        |day: MonthDay| NaiveDate::from_ymd_opt(2024, day.month(), day.day()).map_or(0, |date| date.ordinal());
    i64::from((of_year(day) + 366 - of_year(season.starts)) % 366)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_across_new_year() {
        let season = SeasonWindow { starts: "12-20".parse().unwrap(), ends: "02-10".parse().unwrap() };
        let into = |day: &str| days_into(season, day.parse().unwrap());
        assert_eq!((into("12-20"), into("12-31"), into("01-01"), into("02-10")), (0, 11, 12, 52));
    }
}
