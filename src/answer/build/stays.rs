//! The batches of one book in their bins.

use crate::answer::figures::{BinCourse, Stay};
use crate::ledger::{BatchRecord, Book};

/// The bins that a batch was in, with the hours at which it came and left. Bins are counted through all
/// rooms; while it is moved it stands in none.
fn bins_of<'a>(book: &'a Book, batch: &'a BatchRecord, out: f64) -> impl Iterator<Item = (usize, f64, f64)> + 'a {
    let before = |room: usize| book.rooms[..room].iter().map(|room| room.bins).sum::<usize>();
    let came = batch.moves.iter().map(move |way| (before(way.room) + way.bin, way.arrived_hour as f64));
    let left = batch.moves.iter().map(|way| way.left_hour as f64).chain([out]);
    std::iter::once((batch.bin, batch.loaded_hour as f64))
        .chain(came)
        .zip(left)
        .filter(|((_, came), left)| left > came)
        .map(|((bin, came), left)| (bin, came, left))
}

/// The bins of a book, from its first hour to the hour in which the last batch was out. `bins` is how many there
/// are.
pub(super) fn bin_course(book: &Book, bins: usize) -> BinCourse {
    let out_of = |batch: &BatchRecord| book.left_bin_hour(batch);
    let in_season = book.hours.iter().filter(|hour| hour.in_season).count();
    let end = book.batches.iter().map(out_of).fold(in_season as f64, f64::max);
    let day = |hour: f64| hour / 24.0;
    let stays: Vec<Stay> = book
        .batches
        .iter()
        .flat_map(|batch| {
            let (dry, out) = (batch.dry_hour.unwrap_or_else(|| out_of(batch)), out_of(batch));
            bins_of(book, batch, out).map(move |(bin, loaded, left)| Stay {
                bin,
                loaded: day(loaded),
                dry: day(dry.min(left)),
                out: day(left),
            })
        })
        .collect();
    let used: f64 = stays.iter().map(|stay| stay.out - stay.loaded).sum();
    let all = (end / 24.0 * bins as f64).max(f64::MIN_POSITIVE);
    BinCourse {
        bins,
        batches: book.batches.len(),
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // days of a season
        days: (end / 24.0).ceil() as usize,
        in_use_pct: used / all * 100.0,
        stays,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Entry;
    use chrono::{Duration, NaiveDate};

    fn batch(bin: usize, loaded_hour: usize, dry: Option<f64>, out: Option<f64>) -> BatchRecord {
        BatchRecord { bin, loaded_hour, dry_hour: dry, out_hour: out, received_kg: 6000.0, ..BatchRecord::default() }
    }

    /// Ten days, two bins: one batch of four days, one that is given up on the sixth day.
    #[test]
    fn a_batch_that_was_given_up_stands_to_the_last_hour_in_use() {
        let first = NaiveDate::from_ymd_opt(2031, 3, 1).and_then(|day| day.and_hms_opt(0, 0, 0)).unwrap();
        let book = Book {
            room_hours: Vec::new(),
            option: "electric".into(),
            year: "2031".into(),
            hours: (0..240)
                .map(|hour| Entry {
                    starts: first + Duration::hours(hour),
                    in_season: true,
                    bins_drying: u32::from(hour < 144),
                    ..Entry::default()
                })
                .collect(),
            batches: vec![batch(0, 24, Some(116.0), Some(120.0)), batch(1, 48, None, None)],
            ..Book::default()
        };
        let bins = bin_course(&book, 2);
        assert_eq!(bins.days, 10);
        assert_eq!((bins.stays[0].loaded, bins.stays[0].out), (1.0, 5.0));
        assert_eq!((bins.stays[1].dry, bins.stays[1].out), (6.0, 6.0));
        // 8 of 20 bin-days.
        assert_eq!(bins.in_use_pct, 40.0);
        // 8 of 20 000.
        assert_eq!(bin_course(&book, 2000).in_use_pct, 0.04);
    }
}
