//! The batches of one book in their bins.

use crate::answer::figures::{BinCourse, GuardDays, RoomBins, Stay};
use crate::answer::guards::guard_name;
use crate::crop::water::percent_of_dry_basis;
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

/// How moist a batch was from one hour to another, in days and % w.b.: as it was seen every few hours; straight between
/// these at the ends.
fn moisture(book: &Book, batch: &BatchRecord, from: f64, to: f64) -> Vec<(f64, f64)> {
    let out = batch.out_hour.map(|_| (book.left_bin_hour(batch), batch.out_moisture));
    let mut seen = vec![(batch.loaded_hour as f64, batch.received_moisture)];
    // Nuts that join a batch on its first hour are in it at the first look; what left is looked at no more.
    seen.extend(batch.looks().filter(|(hour, _)| *hour > batch.loaded_hour as f64));
    seen.extend(out.filter(|(hour, _)| seen.last().is_none_or(|last| last.0 < *hour)));
    let at = |hour: f64| {
        let next = seen.iter().position(|(seen, _)| *seen >= hour);
        match next {
            Some(0) => seen[0].1,
            Some(next) => {
                let ((a, low), (b, high)) = (seen[next - 1], seen[next]);
                low + (high - low) * (hour - a) / (b - a)
            }
            None => seen.last().map_or(batch.received_moisture, |last| last.1),
        }
    };
    let between = seen.iter().copied().filter(|(hour, _)| *hour > from && *hour < to);
    let all = std::iter::once((from, at(from))).chain(between).chain([(to, at(to))]);
    // To a hundredth: finer than anybody measures it, and short to write.
    all.map(|(hour, moisture)| (hour / 24.0, (percent_of_dry_basis(moisture) * 100.0).round() / 100.0)).collect()
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
                moisture: moisture(book, batch, loaded, left),
            })
        })
        .collect();
    let used: f64 = stays.iter().map(|stay| stay.out - stay.loaded).sum();
    let all = (end / 24.0 * bins as f64).max(f64::MIN_POSITIVE);
    BinCourse {
        bins,
        rooms: book.rooms.iter().map(|room| RoomBins { room: room.name.clone(), bins: room.bins }).collect(),
        batches: book.batches.len(),
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // days of a season
        days: (end / 24.0).ceil() as usize,
        in_use_pct: used / all * 100.0,
        stays,
        guards: book
            .guards
            .iter()
            .map(|guard| GuardDays {
                name: guard_name(guard.kind).to_owned(),
                hours: guard.hours,
                unit: if guard.kind.watches_batches() { "batch-hours" } else { "h" }.to_owned(),
                hours_by_day: guard.hours_by_day.clone(),
            })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Entry;
    use chrono::{Duration, NaiveDate};

    fn batch(bin: usize, loaded_hour: usize, dry: Option<f64>, out: Option<f64>) -> BatchRecord {
        BatchRecord {
            bin,
            loaded_hour,
            dry_hour: dry,
            out_hour: out,
            received_kg: 6000.0,
            received_moisture: 0.25,
            out_moisture: 0.1,
            ..BatchRecord::default()
        }
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
            batches: vec![
                BatchRecord {
                    moistures: vec![0.25, 0.24, 0.23, 0.22, 0.2].into(),
                    ..batch(0, 24, Some(116.0), Some(120.0))
                },
                batch(1, 48, None, None),
            ],
            ..Book::default()
        };
        let bins = bin_course(&book, 2);
        assert_eq!(bins.days, 10);
        assert_eq!((bins.stays[0].loaded, bins.stays[0].out), (1.0, 5.0));
        assert_eq!((bins.stays[1].dry, bins.stays[1].out), (6.0, 6.0));
        // 8 of 20 bin-days.
        assert_eq!(bins.in_use_pct, 40.0);
        let moisture = &bins.stays[0].moisture;
        assert_eq!((moisture[0], moisture[4], moisture[5]), ((1.0, 20.0), (2.0, 16.67), (5.0, 9.09)));
        assert_eq!(bins.stays[1].moisture, [(2.0, 20.0), (6.0, 20.0)]);
        // 8 of 20 000.
        assert_eq!(bin_course(&book, 2000).in_use_pct, 0.04);
    }
}
