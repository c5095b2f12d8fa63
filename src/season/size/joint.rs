//! One plant that keeps the limit with all its numbers together.
//!
//! Numbers that are each the least with all else as it stands must not be combined: each leans on what the
//! others have to spare. Here they are changed one after another, each on the plant that the ones before it
//! left:
//!
//! 1. A plant that keeps the limit is where it starts. Another is enlarged first: by the one number that
//!    helps alone and has to grow least; or, where none does, in all numbers alike until the limit is kept,
//!    after which extraction, airflow, bins and heat give back what of it is not needed.
//! 2. Then each is made smaller, step by step, while no nuts wait too long and the mould guard fires in no
//!    more batch-hours: heat first, then bins, airflow and extraction, each of the first room before the
//!    next's.
//!
//! Another order ends at another plant.

use super::least::least_above;
use super::lever::Lever;
use super::search::{Answer, Grid, Search};
use super::site::Site;
use super::trial::Trial;
use rayon::prelude::*;

/// All numbers of a plant that keeps the limit with them together.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// True if the plant as it stands keeps the limit; else it was enlarged first.
    pub began_as_it_stands: bool,
    /// Its numbers, in the order in which they were made smaller.
    pub numbers: Vec<JointNumber>,
    /// Its season in each weather year; `value` is the year's place.
    pub seasons: Vec<Trial>,
}

/// A number of such a plant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointNumber {
    /// Which number.
    pub lever: Lever,
    /// As the plant stands.
    pub as_it_stands: f64,
    /// Together with all others.
    pub value: f64,
}

/// A plant in all its numbers is enlarged by these, one after the other, until the limit is kept.
const LARGER: [f64; 6] = [1.25, 1.5, 2.0, 2.5, 3.0, 4.0];

/// A plant on the way, with the batch-hours in which the mould guard may fire in each year.
struct Way<'a> {
    search: &'a Search<'a>,
    site: Site,
    mould_hours: Vec<f64>,
}

/// The plant; `None` if not even one that is four times as large in every number keeps the limit.
pub(super) fn joint(search: &Search<'_>, answers: &[Answer], as_it_stands: &[Trial]) -> Option<Joint> {
    let levers = in_order(search.site);
    let began_as_it_stands = as_it_stands.iter().all(|trial| trial.meets);
    let mould_hours: Vec<f64> = as_it_stands.iter().map(Trial::mould_hours).collect();
    let mut way = Way { search, site: search.site.clone(), mould_hours };
    if !began_as_it_stands {
        way.enlarge(&levers, answers)?;
    }
    for &lever in &levers {
        // What keeps the limit with all else as it stands is the least there can be on a smaller plant.
        let alone = answers.iter().find(|answer| answer.lever == lever);
        let low = alone.and_then(|answer| answer.least_without_more_mould.or(answer.least));
        way.shrink(lever, low.filter(|_| began_as_it_stands));
    }
    let numbers = levers.iter().filter_map(|&lever| {
        Some(JointNumber { lever, as_it_stands: lever.value(search.site)?, value: lever.value(&way.site)? })
    });
    Some(Joint { began_as_it_stands, numbers: numbers.collect(), seasons: way.seasons() })
}

/// Heat, then the bins of all rooms, their airflow and their extraction.
fn in_order(site: &Site) -> Vec<Lever> {
    let mut levers = Lever::all(site);
    levers.sort_by_key(|lever| match lever {
        Lever::Heat => 0,
        Lever::Bins(_) => 1,
        Lever::Airflow(_) => 2,
        Lever::Extraction(_) => 3,
    });
    levers
}

impl Way<'_> {
    /// The season of every weather year on the plant as it is now.
    fn seasons(&self) -> Vec<Trial> {
        let Search { references, intake, years, limit, .. } = *self.search;
        (0..years.len())
            .into_par_iter()
            .map(|year| Trial::of(references, &self.site, year as f64, intake, &years[year], limit))
            .collect()
    }

    /// True if a plant keeps the limit in all years, with no more mould than it may have.
    fn keeps(&self, site: &Site) -> bool {
        let Search { references, intake, years, limit, .. } = *self.search;
        let bare = site.without_idle_store();
        (0..years.len()).into_par_iter().all(|year| {
            Trial::if_kept(references, &bare, 0.0, intake, &years[year], limit)
                .is_some_and(|trial| trial.mould_hours() <= self.mould_hours[year])
        })
    }

    /// Makes the plant one that keeps the limit; `None` if none tried does. From then on it may have as
    /// much mould as it had as it stood, or has now, whichever is more.
    fn enlarge(&mut self, levers: &[Lever], answers: &[Answer]) -> Option<()> {
        let helps = |answer: &&Answer| answer.least.is_some();
        let times = |answer: &Answer| answer.least.unwrap_or(f64::INFINITY) / answer.as_it_stands;
        let alone = answers.iter().filter(helps).min_by(|a, b| times(a).total_cmp(&times(b)));
        let as_it_stood = self.site.clone();
        let seasons = if let Some((answer, least)) = alone.and_then(|one| Some((one, one.least?))) {
            self.site = answer.lever.set(&self.site, least);
            self.seasons()
        } else {
            LARGER.into_iter().find_map(|factor| {
                self.site = as_it_stood.clone();
                for lever in levers {
                    let value = lever.value(&as_it_stood)?;
                    let larger = match lever {
                        Lever::Bins(_) => (value * factor).ceil(),
                        _ => value * factor,
                    };
                    self.site = lever.set(&self.site, larger);
                }
                let seasons = self.seasons();
                seasons.iter().all(|trial| trial.meets).then_some(seasons)
            })?
        };
        for (allowed, trial) in self.mould_hours.iter_mut().zip(&seasons) {
            *allowed = allowed.max(trial.mould_hours());
        }
        if alone.is_none() {
            for &lever in levers.iter().rev() {
                self.give_back(lever, &as_it_stood);
            }
        }
        Some(())
    }

    /// Takes back what a number grew by and need not have.
    fn give_back(&mut self, lever: Lever, as_it_stood: &Site) {
        let Some(value) = lever.value(as_it_stood) else {
            return;
        };
        let before = lever.set(&self.site, value);
        if self.keeps(&before) {
            self.site = before;
        } else {
            self.shrink(lever, Some(value));
        }
    }

    /// Makes one number as small as it can be, no smaller than `least` where one is given.
    fn shrink(&mut self, lever: Lever, least: Option<f64>) {
        let (Some(now), Some(grid)) = (lever.value(&self.site), Grid::of(lever, self.search.site)) else {
            return;
        };
        let low = least.map_or(grid.low, |least| grid.steps_from(least).max(grid.low));
        let high = grid.steps_below(now);
        if least.is_some() && low < high {
            // Of a plant that was not made smaller yet that is the answer.
            let at_least = lever.set(&self.site, grid.value(low));
            if self.keeps(&at_least) {
                self.site = at_least;
                return;
            }
        }
        let smaller = least_from(low, high, |steps| self.keeps(&lever.set(&self.site, grid.value(steps))));
        if let Some(steps) = smaller {
            self.site = lever.set(&self.site, grid.value(steps));
        }
    }
}

/// The least number of steps, from `high` down to `low`, that keeps, one step less failing or being below
/// `low`; `None` if `high` does not keep.
fn least_from(low: u32, high: u32, keeps: impl Fn(u32) -> bool) -> Option<u32> {
    if high < low || !keeps(high) {
        return None;
    }
    Some(least_above(low - 1, high, 1, keeps))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    #[test]
    fn the_least_that_keeps_is_found_from_any_side() {
        for low in [1, 3, 20] {
            for high in low..40 {
                for least in 1..45 {
                    let found = least_from(low, high, |steps| steps >= least);
                    let expected = (high >= least).then_some(least.max(low));
                    assert_eq!(found, expected, "{low} {high} {least}");
                }
            }
        }
        assert_eq!(least_from(5, 4, |_| true), None);
    }

    /// Where nothing can be spared that is found at the first try; much to spare takes a few.
    #[test]
    fn it_takes_few_tries() {
        let tries = Cell::new(0);
        let count = |least: u32| {
            tries.set(0);
            least_from(1, 99, |steps| {
                tries.set(tries.get() + 1);
                steps >= least
            });
            tries.get()
        };
        assert_eq!(count(100), 1);
        assert_eq!(count(99), 2);
        assert!(count(60) < 14);
    }
}
