//! The mean day of the drying season: what takes electricity, hour by hour.

use crate::answer::figures::{MeanDayFigures, MeanHour};
use crate::ledger::{Book, Entry};
use chrono::Timelike;

/// Over the drying seasons of all these books.
pub(super) fn mean_day(books: &[Book]) -> MeanDayFigures {
    let hours = || books.iter().flat_map(|book| &book.hours).filter(|hour| hour.in_season);
    let mut days = [0.0_f64; 24];
    for hour in hours() {
        days[hour.starts.hour() as usize] += 1.0;
    }
    let mean = |of: fn(&Entry) -> f64| -> Vec<f64> {
        let mut sums = [0.0; 24];
        for hour in hours() {
            sums[hour.starts.hour() as usize] += of(&hour);
        }
        sums.iter().zip(days).map(|(sum, days)| sum / days.max(1.0)).collect()
    };
    let sources_kw = mean(|hour| hour.source_electricity_kwh);
    let [fans_kw, lights_kw, cool_store_kw] =
        [mean(Entry::fan_kwh), mean(|hour| hour.lights_kwh), mean(Entry::store_kwh)];
    let kw = |hour: usize| [&sources_kw, &fans_kw, &lights_kw, &cool_store_kw].iter().map(|kw| kw[hour]).sum::<f64>();
    let first_of = |better: fn(f64, f64) -> bool| {
        let hour = (1..24).fold(0, |best, hour| if better(kw(hour), kw(best)) { hour } else { best });
        MeanHour { hour, kw: kw(hour) }
    };
    let (most, least) = (first_of(|a, b| a > b), first_of(|a, b| a < b));
    MeanDayFigures { sources_kw, fans_kw, lights_kw, cool_store_kw, most, least }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{NaiveDate, TimeDelta};

    #[test]
    fn each_hour_of_the_day_is_the_mean_of_its_own() {
        let start = NaiveDate::from_ymd_opt(2031, 3, 1).and_then(|day| day.and_hms_opt(0, 0, 0)).expect("a moment");
        let hour = |at: u32| Entry {
            starts: start + TimeDelta::hours(i64::from(at)),
            in_season: at < 48,
            source_electricity_kwh: if at % 24 == 3 { f64::from(at) } else { 1.0 },
            ..Entry::default()
        };
        let book = Book { hours: (0..72).map(hour).collect(), ..Book::default() };
        let day = mean_day(&[book]);
        // 3 and 27, of the third day nothing.
        assert_eq!((day.sources_kw[3], day.sources_kw[4]), (15.0, 1.0));
        assert_eq!(day.sources_kw.len(), 24);
        assert_eq!((day.most, day.least), (MeanHour { hour: 3, kw: 15.0 }, MeanHour { hour: 0, kw: 1.0 }));
        assert_eq!(mean_day(&[]).fans_kw, vec![0.0; 24]);
    }
}
