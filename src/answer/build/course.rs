//! The course of the season that the charts show.

use super::loads::peak_week_of_water;
use super::stays::bin_course;
use crate::answer::figures::{CourseFigures, DailyCourse, DayFigures, HeaviestHours, HourFigures, SourceByDay};
use crate::answer::hours::{band_by_day, day_at, drying_hours, most_by_day, peak, sum_by_day};
use crate::ledger::{Book, Entry};
use chrono::Timelike;

/// All bins count as in use on a day on which they are for this share of their hours.
const ALL_BINS: f64 = 0.95;

/// Of this book, in a plant with so many bins.
pub(super) fn course(book: &Book, bins: usize) -> CourseFigures {
    let hours = drying_hours(book);
    let hours = hours.as_ref();
    let mean = |of: &dyn Fn(&Entry) -> f64| hours.iter().map(of).sum::<f64>() / hours.len().max(1) as f64;
    let by_day = by_day(book, hours);
    let is_full = |used: &&f64| **used >= ALL_BINS * bins as f64;
    CourseFigures {
        option: book.option.clone(),
        weather_year: book.year.clone(),
        outside_mean_c: mean(&|hour| hour.outside_c),
        outside_mean_relative_humidity_pct: mean(&|hour| hour.outside_relative_humidity * 100.0),
        coldest_hour: coldest(hours),
        most_heat_day: most_heat_day(hours),
        most_heat_hour: most(hours, "kW", |hour| hour.heat_need_kwh),
        heaviest_hours: heaviest_hours(hours),
        peak_week_of_water: peak_week_of_water(hours),
        days: by_day.bins_in_use.len(),
        days_of_full_bins: by_day.bins_in_use.iter().filter(is_full).count(),
        most_waiting_for_bin: most(hours, "t", |hour| hour.waiting_for_bin_t),
        most_waiting_for_load: most(hours, "t", Entry::waiting_for_load_t),
        by_day,
        heat_need_kw: hours.iter().map(|hour| hour.heat_need_kwh).collect(),
        bins: bin_course(book, bins),
    }
}

fn by_day(book: &Book, hours: &[Entry]) -> DailyCourse {
    let sources = book.sources.iter().map(|source| SourceByDay {
        name: source.name.clone(),
        heat_kwh: source.given.open()[..hours.len().min(source.given.len())]
            .chunks(24)
            .map(|day| day.iter().map(|drawn| drawn.heat_kwh).sum())
            .collect(),
    });
    DailyCourse {
        starts: day_at(hours, 0),
        outside_c: band_by_day(hours, |h| h.outside_c),
        outside_relative_humidity_pct: band_by_day(hours, |h| h.outside_relative_humidity * 100.0),
        recovered_kwh: sum_by_day(hours, |h| h.recovered_kwh),
        sources: sources.collect(),
        heat_short_kwh: sum_by_day(hours, |h| h.heat_short_kwh),
        bins_in_use: sum_by_day(hours, |h| f64::from(h.bins_drying + h.bins_cooling) / 24.0),
        waiting_t: most_by_day(hours, |h| h.waiting_t),
        waiting_for_bin_t: most_by_day(hours, |h| h.waiting_for_bin_t),
        water_kg: sum_by_day(hours, |h| h.evaporated_kg),
    }
}

fn coldest(hours: &[Entry]) -> Option<HourFigures> {
    let coldest = hours.iter().min_by(|a, b| a.outside_c.total_cmp(&b.outside_c))?;
    Some(HourFigures { value: coldest.outside_c, unit: "°C".to_owned(), starts: coldest.starts })
}

/// The hour with the most of something; `None` where none has any.
fn most(hours: &[Entry], unit: &str, of: impl Fn(&Entry) -> f64) -> Option<HourFigures> {
    let (value, starts) = peak(hours, of).filter(|(value, _)| *value > 0.0)?;
    Some(HourFigures { value, unit: unit.to_owned(), starts })
}

fn most_heat_day(hours: &[Entry]) -> Option<DayFigures> {
    let need = sum_by_day(hours, |hour| hour.heat_need_kwh);
    let (day, value) = need.into_iter().enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(DayFigures { value, unit: "kWh".to_owned(), day: day_at(hours, day) })
}

/// Which six hours of the day take most heat, and how much of it.
fn heaviest_hours(hours: &[Entry]) -> HeaviestHours {
    let mut by_hour = [0.0; 24];
    for hour in hours {
        by_hour[hour.starts.hour() as usize] += hour.heat_need_kwh;
    }
    let all: f64 = by_hour.iter().sum();
    let of = |start: u32| -> f64 { (start..start + 6).map(|hour| by_hour[(hour % 24) as usize]).sum() };
    let from_hour = (0..24).max_by(|&a, &b| of(a).total_cmp(&of(b))).unwrap_or(0);
    HeaviestHours { from_hour, to_hour: (from_hour + 6) % 24, share_pct: of(from_hour) / all.max(1e-9) * 100.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{NaiveDate, TimeDelta};

    /// Two days of which the second takes more heat, by night.
    fn book() -> Book {
        let start = NaiveDate::from_ymd_opt(2031, 3, 2).and_then(|day| day.and_hms_opt(0, 0, 0));
        let start = start.unwrap();
        let hour = |at: u32| {
            let starts = start + TimeDelta::hours(i64::from(at));
            let is_night = starts.hour() >= 22 || starts.hour() < 4;
            Entry {
                starts,
                in_season: true,
                outside_c: if at == 29 { 3.0 } else { 20.0 },
                heat_need_kwh: if is_night { 10.0 + f64::from(at) } else { 1.0 },
                bins_drying: if at < 24 { 2 } else { 1 },
                waiting_for_bin_t: if at == 7 { 4.0 } else { 0.0 },
                ..Entry::default()
            }
        };
        Book { option: "gas".to_owned(), hours: (0..48).map(hour).collect(), ..Book::default() }
    }

    #[test]
    fn what_stands_out_of_a_season_is_found() {
        let course = course(&book(), 2);
        assert_eq!((course.days, course.days_of_full_bins), (2, 1));
        let most = course.most_heat_hour.as_ref().map(|hour| (hour.value, hour.starts.hour()));
        assert_eq!(most, Some((57.0, 23)));
        assert_eq!(course.coldest_hour.map(|hour| (hour.value, hour.starts.hour())), Some((3.0, 5)));
        let day = course.most_heat_day.map(|day| day.day.to_string());
        assert_eq!(day.as_deref(), Some("2031-03-03"));
        assert_eq!((course.heaviest_hours.from_hour, course.heaviest_hours.to_hour), (22, 4));
        assert_eq!(course.most_waiting_for_bin.map(|hour| hour.value), Some(4.0));
        assert_eq!(course.most_waiting_for_load, None);
        assert_eq!(course.peak_week_of_water, None);
        assert_eq!(course.by_day.starts.to_string(), "2031-03-02");
        assert_eq!(course.by_day.outside_c[1][0], 3.0);
        for (mean, bins) in course.by_day.bins_in_use.iter().zip([2.0, 1.0]) {
            assert!((mean - bins).abs() < 1e-12, "{mean}");
        }
        assert_eq!(course.by_day.waiting_for_bin_t, [4.0, 0.0]);
        assert_eq!(course.heat_need_kw.len(), 48);
    }
}
