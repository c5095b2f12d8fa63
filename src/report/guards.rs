//! Guards that fired, in sentences.

use super::figures::GuardFigures;
use crate::ledger::{Book, Guard, GuardKind};

/// One sentence for each kind of guard that fired in any of an option's weather years: hours are means
/// over the years, the worst is the worst of all.
pub(super) fn sentences(books: &[Book]) -> Vec<GuardFigures> {
    let mut kinds: Vec<GuardKind> =
        books.iter().flat_map(|book| &book.guards).map(|guard| guard.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds
        .into_iter()
        .filter_map(|kind| {
            let fired: Vec<(&Book, &Guard)> = books
                .iter()
                .flat_map(|book| book.guards.iter().map(move |guard| (book, guard)))
                .filter(|(_, guard)| guard.kind == kind)
                .collect();
            let hours =
                fired.iter().map(|(_, guard)| guard.hours).sum::<f64>() / books.len() as f64;
            let (book, guard) =
                fired.iter().max_by(|(_, a), (_, b)| a.worst.total_cmp(&b.worst)).copied()?;
            Some(say(kind, hours, guard.worst, &when_and_which(book, guard)))
        })
        .collect()
}

/// ` (batch 12 in bin 3, 14 April, 05:00)`: the batch as `batches.csv` numbers it, of guards that watch
/// batches, and the hour.
fn when_and_which(book: &Book, guard: &Guard) -> String {
    let which = guard.worst_batch.and_then(|at| {
        let batch = book.batches.get(at)?;
        Some(format!("batch {} in bin {}", at + 1, batch.bin + 1))
    });
    let when = book
        .hours
        .get(guard.worst_hour)
        .map(|hour| hour.starts.format("%-d %B, %H:%M").to_string());
    let said: Vec<String> = which.into_iter().chain(when).collect();
    if said.is_empty() { String::new() } else { format!(" ({})", said.join(", ")) }
}

fn say(kind: GuardKind, hours: f64, worst: f64, when: &str) -> GuardFigures {
    let (key, unit, sentence) = match kind {
        GuardKind::WaitedTooLong => (
            "waited-too-long",
            "t",
            format!(
                "Wet nuts waited for a bin longer than is safe in {hours:.0} h of the season, at worst {worst:.1} t at once{when}: a mould risk. More bins, warmer air or a slower intake cure it."
            ),
        ),
        GuardKind::MouldInBin => (
            "mould-in-bin",
            "h",
            format!(
                "The wettest nuts of a batch stood above the mould threshold for longer than allowed, {hours:.0} batch-hours in all, the longest {worst:.0} h{when}. More air or a shallower bed dries the top sooner."
            ),
        ),
        GuardKind::HotWhenWet => (
            "hot-when-wet",
            "K",
            format!(
                "Air was hotter than the crop allows at that moisture for {hours:.0} batch-hours, at worst by {worst:.1} K{when}. Begin cooler and raise the temperature as the nuts dry."
            ),
        ),
        GuardKind::HeatShort => (
            "heat-short",
            "kW",
            format!(
                "The sources could not hold the set temperature in {hours:.0} h, at worst by {worst:.1} kW{when}; the air was damper or cooler, and drying took longer."
            ),
        ),
        GuardKind::RoomTooHumid => (
            "room-too-humid",
            "points RH",
            format!(
                "The room's humidity stood above its limit in {hours:.0} h, at worst by {worst:.1} points{when}: all the fresh air the room can draw was not enough, or heat was short and fresh air was throttled to hold the temperature."
            ),
        ),
        GuardKind::FanStalled => (
            "fan-stalled",
            "bins",
            format!(
                "Fans of bins stalled in {hours:.0} h: the bins took less air than the first point of the fans' curve, at worst {worst:.0} bins at once{when}. Fewer fans at work, slower ones or wider ducts cure it; the season was run with the pressure of that point."
            ),
        ),
        GuardKind::FanThrottled => (
            "fan-throttled",
            "bins",
            format!(
                "The bins would have taken more air than the last point of the fans' curve in {hours:.0} h, at most {worst:.0} bins at once{when}; the season was run as if a damper held the fans there. Give the curve to a larger flow."
            ),
        ),
        GuardKind::CoolingUnmet => (
            "cooling-unmet",
            "kW",
            format!(
                "The cool store asked for more cooling than its units could give in {hours:.0} h, at worst {worst:.1} kW{when}; it grew warmer than set."
            ),
        ),
        GuardKind::UnitsTripped => (
            "units-tripped",
            "°C",
            format!(
                "Cooling units tripped in {hours:.0} h because the air at their condensers was above their limit, at most {worst:.1} °C{when}."
            ),
        ),
        GuardKind::Unfinished => (
            "unfinished",
            "t",
            format!(
                "{worst:.1} t were not dry when the time to dry them was over{when}. The plant is too small or too cool for this season."
            ),
        ),
    };
    GuardFigures { key: key.to_owned(), sentence, hours, worst, worst_unit: unit.to_owned() }
}
