//! Loads by the hour, from the hourly books: sorted, with the capacity that covers a share of the hours, and by
//! the week.

use crate::answer::figures::{CoverFigures, HourlyLoad, OptionLoads, PeakWeekFigures, SortedLoad};
use crate::answer::judgement::HEAT_SHORT_SHARE;
use crate::ledger::{Book, DurationCurve, Entry, SHARES, WEEK_HOURS, peak_week};

/// Hours that a sorted load is told by at most, beside its last.
const SORTED_HOURS: usize = 240;

/// Loads of an option.
pub(super) fn option_loads(books: &[Book]) -> OptionLoads {
    OptionLoads {
        heat_after_recovery: asked_of_sources(books),
        site_electricity: whenever_asked(books, Entry::site_electricity_kwh),
    }
}

/// What the sources must give, beside recovered heat: what was asked for, which is less than the need where a
/// source that takes water from the air spares fresh air. An option that is ever short asks for rewarming, too:
/// of it no more counts than the need.
fn asked_of_sources(books: &[Book]) -> HourlyLoad {
    let ever_short = books.iter().flat_map(|book| &book.hours).any(|hour| hour.is_short());
    in_need(books, |hour| {
        let most = if ever_short { hour.heat_need_kwh } else { f64::INFINITY };
        let asked = if hour.is_short() { most } else { hour.heat_asked_kwh.min(most) };
        asked - hour.recovered_kwh
    })
}

/// Heat need of a plant.
pub(super) fn heat_need(books: &[Book]) -> HourlyLoad {
    in_need(books, |hour| hour.heat_need_kwh)
}

/// Cooling given to the store; `None` where none is asked for.
pub(super) fn store_cooling(books: &[Book]) -> Option<HourlyLoad> {
    let cooling = whenever_asked(books, |hour| hour.store_cooling_kwh);
    (cooling.hours > 0.0).then_some(cooling)
}

/// A load through the hours with a heat need, those in which nothing of it is left as well.
fn in_need(books: &[Book], of: impl Fn(&Entry) -> f64) -> HourlyLoad {
    let in_need = books.iter().flat_map(|book| &book.hours).filter(|hour| hour.heat_need_kwh > 0.0);
    hourly_load(&DurationCurve::of_hours_to_cover(in_need.map(|hour| of(&hour))), books.len())
}

/// A load through the hours in which there is any.
fn whenever_asked(books: &[Book], of: impl Fn(&Entry) -> f64) -> HourlyLoad {
    let hours = books.iter().flat_map(|book| &book.hours);
    hourly_load(&DurationCurve::of(hours.map(|hour| of(&hour))), books.len())
}

fn hourly_load(curve: &DurationCurve, years: usize) -> HourlyLoad {
    let seasons = years.max(1) as f64;
    HourlyLoad {
        hours: curve.hours() as f64 / seasons,
        energy_kwh: curve.energy_kwh() / seasons,
        peak_kw: curve.peak_kw(),
        load_factor: curve.load_factor(),
        covers: covers(curve, years),
        least_kw_let_pass: curve.capacity_but_for_kw(HEAT_SHORT_SHARE),
        sorted: sorted(curve, seasons),
    }
}

fn sorted(curve: &DurationCurve, seasons: f64) -> SortedLoad {
    let Some(&last) = curve.kw().last() else {
        return SortedLoad::default();
    };
    let step = curve.hours().div_ceil(SORTED_HOURS);
    let told = curve.kw().iter().enumerate().step_by(step);
    let (mut hours, mut kw): (Vec<f64>, Vec<f64>) = told.map(|(hour, &kw)| (hour as f64 / seasons, kw)).unzip();
    hours.push(curve.hours() as f64 / seasons);
    kw.push(last);
    SortedLoad { hours, kw }
}

/// Capacity for each of the usual shares of the hours with a load, which were taken from so many weather years.
pub(in crate::answer) fn covers(curve: &DurationCurve, years: usize) -> Vec<CoverFigures> {
    let of_share = |&share: &f64| {
        let cover = curve.cover(share);
        CoverFigures {
            hours_pct: share * 100.0,
            capacity_kw: cover.capacity_kw,
            energy_above_kwh: cover.energy_above_kwh / years.max(1) as f64,
            energy_above_pct: cover.energy_above_share * 100.0,
        }
    };
    SHARES.iter().map(of_share).collect()
}

/// The week of most heat need among these hours; `None` if there are fewer than seven whole days.
pub(in crate::answer) fn peak_week_of_heat(hours: &[Entry]) -> Option<PeakWeekFigures> {
    week(hours, ("heat", "kWh"), |hour| hour.heat_need_kwh)
}

/// The week in which most water leaves the nuts among these hours.
pub(in crate::answer) fn peak_week_of_water(hours: &[Entry]) -> Option<PeakWeekFigures> {
    week(hours, ("water", "kg"), |hour| hour.evaporated_kg)
}

fn week(hours: &[Entry], (what, unit): (&str, &str), of: impl Fn(&Entry) -> f64) -> Option<PeakWeekFigures> {
    let week = peak_week(hours, of)?;
    let hours = &hours[week.first_hour..week.first_hour + WEEK_HOURS];
    let sum = |of: &dyn Fn(&Entry) -> f64| hours.iter().map(of).sum::<f64>();
    let mean = |of: &dyn Fn(&Entry) -> f64| sum(of) / hours.len() as f64;
    Some(PeakWeekFigures {
        what: what.to_owned(),
        unit: unit.to_owned(),
        starts: week.starts.date(),
        sum: week.sum,
        mean_heat_kw: mean(&|hour| hour.heat_need_kwh),
        water_kg: sum(&|hour| hour.evaporated_kg),
        bins_in_use: mean(&|hour| f64::from(hour.bins_drying + hour.bins_cooling)),
        waiting_t: hours.iter().map(|hour| hour.waiting_t).fold(0.0, f64::max),
        waiting_for_bin_t: hours.iter().map(|hour| hour.waiting_for_bin_t).fold(0.0, f64::max),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two weather years of four hours.
    fn books() -> [Book; 2] {
        let year = |need: [f64; 4], recovered_kwh: f64| {
            let hour = |heat_need_kwh: f64| Entry {
                heat_need_kwh,
                heat_asked_kwh: heat_need_kwh,
                heat_delivered_kwh: heat_need_kwh,
                recovered_kwh: recovered_kwh.min(heat_need_kwh),
                ..Entry::default()
            };
            Book { hours: need.map(hour).to_vec().into(), ..Book::default() }
        };
        [year([0.0, 10.0, 40.0, 20.0], 15.0), year([0.0, 0.0, 30.0, 20.0], 15.0)]
    }

    #[test]
    fn loads_are_of_a_mean_season_and_peaks_of_the_worst() {
        let need = heat_need(&books());
        assert_eq!((need.hours, need.energy_kwh, need.peak_kw), (2.5, 60.0, 40.0));
        assert_eq!(need.load_factor, Some(24.0 / 40.0));
        assert_eq!(need.cover(100.0).map(|all| all.energy_above_pct), Some(0.0));
        // Sorted from the highest to the end of the last hour.
        assert_eq!(need.sorted.kw, [40.0, 30.0, 20.0, 20.0, 10.0, 10.0]);
        assert_eq!(need.sorted.hours, [0.0, 0.5, 1.0, 1.5, 2.0, 2.5]);
    }

    /// An hour whose heat is all recovered is an hour covered, not one that was never asked for.
    #[test]
    fn what_recovered_heat_leaves_counts_the_hours_of_need() {
        let left = option_loads(&books()).heat_after_recovery;
        assert_eq!((left.hours, left.energy_kwh, left.peak_kw), (2.5, 25.0, 25.0));
    }

    /// What a dehumidifier spares need not be bought a second time.
    #[test]
    fn heat_that_is_spared_is_no_capacity() {
        let spared = books().map(|mut book| {
            for hour in book.hours.open_mut() {
                hour.heat_asked_kwh *= 0.5;
                hour.heat_delivered_kwh *= 0.5;
                hour.recovered_kwh = 0.0;
            }
            book
        });
        assert_eq!(option_loads(&spared).heat_after_recovery.peak_kw, 20.0);
        assert_eq!(heat_need(&spared).peak_kw, 40.0);
    }

    #[test]
    fn a_long_season_is_told_by_few_hours() {
        let hours = (0..4416u32).map(|hour| f64::from(4416 - hour));
        let load = hourly_load(&DurationCurve::of(hours), 1);
        assert!(load.sorted.kw.len() <= SORTED_HOURS + 1, "{}", load.sorted.kw.len());
        assert_eq!((load.sorted.kw[0], load.sorted.hours[0]), (4416.0, 0.0));
        assert_eq!(load.sorted.kw.last().zip(load.sorted.hours.last()), Some((&1.0, &4416.0)));
    }

    #[test]
    fn nothing_that_is_asked_for_has_no_curve() {
        let load = option_loads(&books()).site_electricity;
        assert_eq!((load.hours, load.load_factor), (0.0, None));
        assert!(load.sorted.kw.is_empty());
        assert_eq!(store_cooling(&books()), None);
        assert_eq!(peak_week_of_heat(&books()[0].hours.open()), None);
    }
}
