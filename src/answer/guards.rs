//! Guards that fired, in sentences.

use super::figures::{GuardFigures, Measures, OptionFigures};
use crate::ledger::{Book, Guard, GuardKind, WeatherEnd};
use crate::number::{Digits, Measure, Sentence};
use chrono::NaiveDateTime;

/// One sentence for each kind of guard that fired in any of an option's weather years: hours are means
/// over the years, the worst and the most at once are those of all.
pub(super) fn sentences(books: &[Book]) -> Vec<GuardFigures> {
    let mut kinds: Vec<GuardKind> = books.iter().flat_map(|book| &book.guards).map(|guard| guard.kind).collect();
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
            let hours = fired.iter().map(|(_, guard)| guard.hours).sum::<f64>() / books.len() as f64;
            let (book, worst) = fired.iter().max_by(|(_, a), (_, b)| a.worst.total_cmp(&b.worst)).copied()?;
            let most_t = fired.iter().filter_map(|(_, guard)| guard.most_t).reduce(f64::max);
            let guard = Guard { hours, most_t, ..worst.clone() };
            let when = when_and_which(book, worst);
            let told = Told { weather_ended: book.weather_ended, when: &when, books };
            Some(say(&guard, &told))
        })
        .collect()
}

/// Names of the guards of an option by which nuts may spoil: with any of them it is no plan, whatever it costs.
pub(crate) fn spoiling(option: &OptionFigures) -> Vec<&str> {
    option.guards.iter().filter(|guard| guard.spoils_nuts).map(|guard| guard.name.as_str()).collect()
}

/// A guard that fired in some of the options, said once.
#[derive(Clone, Debug)]
pub(crate) struct GuardOfOptions<'a> {
    /// Names of the options in which it fired.
    pub options: Vec<&'a str>,
    /// True if that is all of them, and there are several.
    pub in_all: bool,
    /// Where it was worst; `None` where it was the same in all of these options.
    pub worst_in: Option<&'a str>,
    /// As it fired there.
    pub guard: &'a GuardFigures,
    /// The worst of it in the option in which it was mildest, in the guard's own unit.
    pub mildest: f64,
}

impl GuardOfOptions<'_> {
    /// How far it was broken, from the mildest option to the worst: `4.4 to 33.3 kW`. `None` where that reads the
    /// same in all of them.
    pub(crate) fn range(&self) -> Option<String> {
        let GuardFigures { worst, worst_unit, decimals, .. } = self.guard;
        let measure = Measure::heat(worst_unit);
        let [mildest, worst] = [self.mildest, *worst].map(|value| shown(&measure, value, *decimals));
        (mildest != worst).then(|| format!("{mildest} to {worst} {}", measure.sign()))
    }

    /// How far it was broken and the limit: `4.4 to 33.3 kW; at most 0.0 kW`, `0.7 K above 40.0 °C`.
    pub(crate) fn against_limit(&self) -> String {
        let GuardFigures { worst, worst_unit, limit, limit_unit, decimals, measures, .. } = self.guard;
        let (of_worst, of_limit) = (Measure::heat(worst_unit), Measure::heat(limit_unit));
        let (worst, limit) = (shown(&of_worst, *worst, *decimals), shown(&of_limit, *limit, *decimals));
        let (worst_unit, limit_unit) = (of_worst.sign(), of_limit.sign());
        let broken = self.range().unwrap_or_else(|| format!("{worst} {worst_unit}"));
        match measures {
            Measures::Value => format!("{broken}; at most {limit} {limit_unit}"),
            Measures::Excess => format!("{broken} above {limit} {limit_unit}"),
        }
    }
}

fn shown(measure: &Measure, value: f64, decimals: usize) -> String {
    format!("{:.*}", measure.decimals(decimals), Digits(measure.value(value)))
}

/// A figure in SI with its unit, in digits alone as the sentences of guards have them.
fn said(measure: &Measure, value: f64, decimals: usize) -> String {
    format!("{} {}", shown(measure, value, decimals), measure.sign())
}

fn measures(kind: GuardKind) -> Measures {
    match kind {
        GuardKind::HotWhenWet | GuardKind::RoomTooHumid => Measures::Excess,
        GuardKind::WaitedTooLong
        | GuardKind::MouldInBin
        | GuardKind::HeatShort
        | GuardKind::FanStalled
        | GuardKind::FanThrottled
        | GuardKind::CoolingUnmet
        | GuardKind::UnitsTripped
        | GuardKind::Unfinished => Measures::Value,
    }
}

/// Decimals with which the worst of a guard and its limit read apart.
fn decimals(kind: GuardKind) -> usize {
    match kind {
        GuardKind::MouldInBin => 2,
        GuardKind::WaitedTooLong
        | GuardKind::HotWhenWet
        | GuardKind::HeatShort
        | GuardKind::RoomTooHumid
        | GuardKind::FanStalled
        | GuardKind::FanThrottled
        | GuardKind::CoolingUnmet
        | GuardKind::UnitsTripped
        | GuardKind::Unfinished => 1,
    }
}

/// Every guard that fired in any option, each kind once, in the order in which they first appear.
pub(crate) fn guards_of_options(options: &[OptionFigures]) -> Vec<GuardOfOptions<'_>> {
    let mut all: Vec<GuardOfOptions<'_>> = Vec::new();
    for option in options {
        for guard in &option.guards {
            let name = option.name.as_str();
            let Some(known) = all.iter_mut().find(|known| known.guard.key == guard.key) else {
                let options = vec![name];
                let mildest = guard.worst;
                all.push(GuardOfOptions { options, in_all: false, worst_in: None, guard, mildest });
                continue;
            };
            if guard.sentence != known.guard.sentence {
                let first = known.options[0];
                known.worst_in.get_or_insert(first);
                if guard.worst > known.guard.worst {
                    (known.guard, known.worst_in) = (guard, Some(name));
                }
            }
            known.mildest = known.mildest.min(guard.worst);
            known.options.push(name);
        }
    }
    for guard in &mut all {
        guard.in_all = guard.options.len() == options.len() && options.len() > 1;
    }
    all
}

/// ` (batch 12 in bin 3, 14 April 2031, 05:00)`: the batch as `batches.csv` numbers it, of guards that watch
/// batches, and the hour.
fn when_and_which(book: &Book, guard: &Guard) -> String {
    let which = guard.worst_batch.and_then(|at| {
        let batch = book.batches.get(at)?;
        Some(format!("batch {} in bin {}", at + 1, batch.bin + 1))
    });
    let when = book.hours.get(guard.worst_hour).map(|hour| hour.starts.format("%-d %B %Y, %H:%M").to_string());
    let said: Vec<String> = which.into_iter().chain(when).collect();
    if said.is_empty() { String::new() } else { format!(" ({})", said.join(", ")) }
}

/// A guard in words.
struct Words {
    key: &'static str,
    /// Unit of the worst.
    unit: &'static str,
    /// Unit of the limit.
    limit_unit: &'static str,
    sentence: Sentence,
}

/// What is told beside a guard.
struct Told<'a> {
    /// Where the weather of the worst year ended before the nuts were dry.
    weather_ended: Option<WeatherEnd>,
    /// When it was worst.
    when: &'a str,
    /// All weather years.
    books: &'a [Book],
}

/// `up to 4.2 K warmer than set, 310 kelvin-hours a season`.
fn store_warmth(books: &[Book]) -> String {
    let above = |book: &Book| -> Vec<f64> { book.hours.iter().map(|hour| hour.store_above_set_kh).collect() };
    let years: Vec<Vec<f64>> = books.iter().map(above).collect();
    let most_k = years.iter().flatten().copied().fold(0.0, f64::max);
    let sum_kh = years.iter().flatten().sum::<f64>() / years.len().max(1) as f64;
    let (warmer, sum) = (said(&Measure::of("K"), most_k, 1), said(&Measure::of("kelvin-hours"), sum_kh, 0));
    format!("it grew up to {warmer} warmer than set, {sum} a season")
}

fn say(guard: &Guard, told: &Told<'_>) -> GuardFigures {
    let Words { key, unit, limit_unit, sentence } = words(guard, told);
    GuardFigures {
        key: key.to_owned(),
        name: guard_name(guard.kind).to_owned(),
        sentence,
        hours: guard.hours,
        worst: guard.worst,
        worst_unit: unit.to_owned(),
        limit: guard.limit,
        limit_unit: limit_unit.to_owned(),
        most_t: guard.most_t,
        spoils_nuts: guard.kind.spoils_nuts(),
        decimals: decimals(guard.kind),
        measures: measures(guard.kind),
    }
}

/// What people call a guard, in a table.
pub(super) fn guard_name(kind: GuardKind) -> &'static str {
    match kind {
        GuardKind::WaitedTooLong => "waited too long",
        GuardKind::MouldInBin => "mould on the wettest nuts",
        GuardKind::HotWhenWet => "air too hot for wet nuts",
        GuardKind::HeatShort => "heat short",
        GuardKind::RoomTooHumid => "room too damp",
        GuardKind::FanStalled => "fans stalled",
        GuardKind::FanThrottled => "fans past the end of their curve",
        GuardKind::CoolingUnmet => "cooling short",
        GuardKind::UnitsTripped => "cooling units tripped",
        GuardKind::Unfinished => "nuts left wet",
    }
}

/// `1 May 2031, 06:00`.
fn moment(when: NaiveDateTime) -> String {
    when.format("%-d %B %Y, %H:%M").to_string()
}

fn words(guard: &Guard, told: &Told<'_>) -> Words {
    let (key, unit, limit_unit) = match guard.kind {
        GuardKind::WaitedTooLong => ("waited-too-long", "h", "h"),
        GuardKind::MouldInBin => ("mould-in-bin", "index", "index"),
        GuardKind::HotWhenWet => ("hot-when-wet", "K", "°C"),
        GuardKind::HeatShort => ("heat-short", "kW", "kW"),
        GuardKind::RoomTooHumid => ("room-too-humid", "points RH", "% RH"),
        GuardKind::FanStalled => ("fan-stalled", "bins", "bins"),
        GuardKind::FanThrottled => ("fan-throttled", "bins", "bins"),
        GuardKind::CoolingUnmet => ("cooling-unmet", "kW", "kW"),
        GuardKind::UnitsTripped => ("units-tripped", "°C", "°C"),
        GuardKind::Unfinished => ("unfinished", "t", "t"),
    };
    Words { key, unit, limit_unit, sentence: Sentence::of(|| sentence(guard, told)) }
}

/// What a guard saw, and what cures it.
fn sentence(guard: &Guard, told: &Told<'_>) -> String {
    let &Told { weather_ended, when, books } = told;
    let &Guard { hours, worst, limit, .. } = guard;
    match guard.kind {
        GuardKind::WaitedTooLong => {
            format!(
                "Wet nuts waited to be loaded longer than the {limit:.0} h that are safe, in {hours:.0} h of the season, the longest {worst:.0} h{when}{}: a mould risk. More bins, warmer air or a slower intake cure it.",
                guard
                    .most_t
                    .map_or_else(String::new, |t| format!(", at most {} at once", said(&Measure::of("t"), t, 1))),
            )
        }
        GuardKind::MouldInBin => {
            format!(
                "By the growth law of mould on wood, to which shells are likened, mould is to be expected on the wettest nuts of batches: its index reached {:.2}{when}; the limit is {limit:.0}, the first growth seen under the microscope ({hours:.0} batch-hours past it a season). More air, a shallower bed or a shorter wait dries the top sooner.",
                Digits(worst)
            )
        }
        GuardKind::HotWhenWet => {
            format!(
                "Air was hotter than the crop allows at that moisture for {hours:.0} batch-hours, at worst by {} above {}{when}. Begin cooler and raise the temperature as the nuts dry.",
                said(&Measure::of("K"), worst, 1),
                said(&Measure::of("°C"), limit, 0)
            )
        }
        GuardKind::HeatShort => {
            format!(
                "The sources could not hold the set temperature in {hours:.0} h, at worst by {}{when}; the air was damper or cooler, and drying took longer.",
                said(&Measure::heat("kW"), worst, 1)
            )
        }
        GuardKind::RoomTooHumid => {
            format!(
                "The room's humidity stood above its limit of {limit:.0} % in {hours:.0} h, at worst by {:.1} points{when}: all the fresh air the room can draw was not enough, heat was short and fresh air was throttled to hold the temperature, or the room was set back and cooler air carried less.",
                Digits(worst)
            )
        }
        GuardKind::FanStalled => {
            format!(
                "Fans of bins stalled in {hours:.0} h: the bins took less air than the first point of the fans' curve, at worst {worst:.0} bins at once{when}. Fewer fans at work, slower ones or wider ducts cure it; the season was run with the pressure of that point."
            )
        }
        GuardKind::FanThrottled => {
            format!(
                "The bins would have taken more air than the last point of the fans' curve in {hours:.0} h, at most {worst:.0} bins at once{when}; the season was run as if a damper held the fans there. Give the curve to a larger flow."
            )
        }
        GuardKind::CoolingUnmet => {
            format!(
                "The cool store asked for more cooling than its cooling units could give in {hours:.0} h, at worst {}{when}; {}.",
                said(&Measure::heat("kW"), worst, 1),
                store_warmth(books)
            )
        }
        GuardKind::UnitsTripped => {
            format!(
                "Cooling units tripped in {hours:.0} h because the air at their condensers was above their limit of {}, at most {}{when}.",
                said(&Measure::of("°C"), limit, 1),
                said(&Measure::of("°C"), worst, 1)
            )
        }
        GuardKind::Unfinished => match weather_ended {
            Some(end) => format!(
                "{} were not dry when the weather ended on {}, {:.0} days before the time to dry them was over: whether the plant dries them is not known. Give weather until {}.",
                said(&Measure::of("t"), worst, 1),
                moment(end.at),
                (end.wanted_until - end.at).num_hours() as f64 / 24.0,
                moment(end.wanted_until),
            ),
            None => format!(
                "{} were not dry when the time to dry them was over{when}. The plant is too small or too cool for this season.",
                said(&Measure::of("t"), worst, 1)
            ),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn option(name: &str, guards: &[(&str, f64)]) -> OptionFigures {
        let guard = |&(key, worst): &(&str, f64)| GuardFigures {
            key: key.to_owned(),
            name: key.to_owned(),
            sentence: format!("{worst} of {key}").as_str().into(),
            hours: 1.0,
            worst,
            worst_unit: "h".to_owned(),
            limit: 120.0,
            limit_unit: "h".to_owned(),
            most_t: None,
            spoils_nuts: false,
            decimals: 1,
            measures: Measures::Value,
        };
        OptionFigures { name: name.to_owned(), guards: guards.iter().map(guard).collect(), ..OptionFigures::default() }
    }

    #[test]
    fn a_guard_of_several_options_is_said_once_as_it_was_worst() {
        let options = [
            option("electric", &[("mould-in-bin", 123.0)]),
            option("gas", &[("mould-in-bin", 125.0), ("heat-short", 9.0)]),
            option("pump", &[("mould-in-bin", 124.0), ("heat-short", 9.0)]),
        ];
        let said = guards_of_options(&options);
        assert_eq!(said.len(), 2);
        assert!(said[0].in_all && !said[1].in_all);
        assert_eq!((said[0].worst_in, said[0].guard.worst), (Some("gas"), 125.0));
        assert_eq!((said[1].worst_in, &said[1].options), (None, &vec!["gas", "pump"]));
        assert!(!guards_of_options(&options[..1])[0].in_all);
        assert_eq!(said[0].against_limit(), "123.0 to 125.0 h; at most 120.0 h");
        assert_eq!(said[1].against_limit(), "9.0 h; at most 120.0 h");
    }

    /// An index a little past its limit does not read as the limit.
    #[test]
    fn what_is_broken_reads_above_its_limit() {
        let guard = Guard {
            kind: GuardKind::MouldInBin,
            hours: 3.0,
            hours_by_day: vec![3.0],
            worst: 1.02,
            limit: 1.0,
            most_t: None,
            worst_hour: 0,
            worst_batch: None,
        };
        let option = OptionFigures {
            name: "gas".to_owned(),
            guards: vec![say(&guard, &Told { weather_ended: None, when: "", books: &[] })],
            ..OptionFigures::default()
        };
        let said = guards_of_options(std::slice::from_ref(&option))[0].against_limit();
        assert_eq!(said, "1.02 index; at most 1.00 index");
    }

    /// Whichever comes first.
    #[test]
    fn the_range_over_options_runs_from_the_mildest_to_the_worst() {
        let mut options = [
            option("wood", &[("heat-short", 4.4)]),
            option("gas", &[("heat-short", 33.3)]),
            option("pump", &[("heat-short", 9.0)]),
        ];
        for _ in 0..options.len() {
            options.rotate_left(1);
            let said = guards_of_options(&options);
            assert_eq!(said[0].range().as_deref(), Some("4.4 to 33.3 h"));
            assert_eq!(said[0].worst_in, Some("gas"));
        }
        assert_eq!(guards_of_options(&options[..1])[0].range(), None);
    }
}
