//! The search: bisection on one number of the plant, the season run at each step.

use super::least::least_above;
use super::lever::Lever;
use super::site::{Limit, Site};
use super::trial::Trial;
use crate::season::plant::Intake;
use crate::season::reference::References;
use crate::weather::WeatherYear;
use rayon::prelude::*;

/// The least value of one number, all others as they stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Which number.
    pub lever: Lever,
    /// Its value as the plant stands.
    pub as_it_stands: f64,
    /// Steps in which it was sought.
    pub step: f64,
    /// The least value with which the limit is kept in every weather year; one step less fails. `None`
    /// if not even `most_tried` keeps it: it takes more, or something else is short.
    pub least: Option<f64>,
    /// The least value with which the mould guard fires in no more batch-hours either than in the plant as it
    /// stands, in every weather year; `None` if no value tried does.
    pub least_without_more_mould: Option<f64>,
    /// The largest value that was tried.
    pub most_tried: f64,
    /// Place of the weather year that decides.
    pub year: usize,
    /// The season in that year at the least value, or else at the largest that was tried.
    pub at: Trial,
}

/// A number of bins, with the heat there is and with the least that keeps the limit.
#[derive(Clone, Debug, PartialEq)]
pub struct BinsPoint {
    /// The season with the heat capacity there is.
    pub with_heat_there_is: Trial,
    /// The season with the least heat capacity (`value`, kW) that keeps the limit with so many bins;
    /// `None` if none tried does.
    pub with_least_heat: Option<Trial>,
}

/// A number is tried up to so many times its value.
const MOST_TIMES: f64 = 4.0;
/// Heat capacities that are shown, as multiples of the least.
const HEAT_SHOWN: [f64; 8] = [0.6, 0.7, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5];
/// Numbers of bins that are shown, from the least.
const BINS_SHOWN: [f64; 5] = [-1.0, 0.0, 1.0, 2.0, 4.0];

/// Hours of bins in use, all bins together; nuts that were left would have filled them to the end.
pub(super) fn bin_hours(trial: &Trial) -> f64 {
    let end = trial.book.hours.len();
    trial
        .book
        .batches
        .iter()
        .map(|batch| (batch.bin_empty_hour().unwrap_or(end) - batch.loaded_hour) as f64)
        .sum::<f64>()
        + trial.book.tonnage.left_kg
}

/// Place of the largest; the first of equals.
pub(super) fn place_of_most(trials: &[Trial], of: impl Fn(&Trial) -> f64) -> usize {
    let mut best = 0;
    for place in 1..trials.len() {
        if of(&trials[place]) > of(&trials[best]) {
            best = place;
        }
    }
    best
}

/// The values that are tried of one number: whole steps.
#[derive(Clone, Copy)]
pub(super) struct Grid {
    lever: Lever,
    pub(super) as_it_stands: f64,
    step: f64,
    /// Steps of the least value that makes sense.
    pub(super) low: u32,
    /// Steps of the largest value tried.
    pub(super) high: u32,
}

impl Grid {
    pub(super) fn of(lever: Lever, site: &Site) -> Option<Self> {
        let as_it_stands = lever.value(site)?;
        let step = lever.step(as_it_stands);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few hundred
        let steps = |value: f64| (value / step - 1e-9).ceil() as u32;
        Some(Self {
            lever,
            as_it_stands,
            step,
            low: steps(lever.floor(site)).max(1),
            high: steps(as_it_stands * MOST_TIMES),
        })
    }

    pub(super) fn value(&self, steps: u32) -> f64 {
        // Through whole numbers, so that 0.05 x 21 is 1.05.
        let per_unit = (1.0 / self.step).round();
        if per_unit > 1.0 { f64::from(steps) / per_unit } else { f64::from(steps) * self.step }
    }

    /// Steps of the largest value tried that is below `value`.
    pub(super) fn steps_below(&self, value: f64) -> u32 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few hundred
        let up_to = (value / self.step - 1e-6).floor().max(0.0) as u32;
        up_to.min(self.high)
    }

    /// Steps of the least value that is no less than `value`.
    pub(super) fn steps_from(&self, value: f64) -> u32 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few hundred
        let steps = (value / self.step - 1e-6).ceil().max(0.0) as u32;
        steps
    }

    pub(super) fn nearest(&self, value: f64) -> u32 {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a few hundred
        let steps = (value / self.step).round().max(0.0) as u32;
        steps.clamp(self.low, self.high)
    }
}

/// What a search over all years found.
struct Found {
    /// `None` if nothing tried is enough.
    steps: Option<u32>,
    /// The year that decides.
    year: usize,
    /// The season in that year with so many steps, or else with the most.
    at: Trial,
}

/// What sizing searches: a site, what comes to it, and what it must keep.
#[derive(Clone, Copy)]
pub(super) struct Search<'a> {
    pub(super) references: &'a References,
    pub(super) site: &'a Site,
    pub(super) intake: &'a Intake,
    pub(super) years: &'a [WeatherYear],
    pub(super) limit: Limit,
}

impl Search<'_> {
    fn try_on(&self, site: &Site, lever: Lever, value: f64, year: usize) -> Trial {
        let site = lever.set(site, value);
        Trial::of(self.references, &site, value, self.intake, &self.years[year], self.limit)
    }

    /// The least value by the limit alone, and the least that brings no more mould.
    pub(super) fn answer(&self, grid: &Grid, busiest_year: usize, as_it_stands: &[Trial]) -> Answer {
        let by_limit = self.in_all_years(grid, (grid.low, busiest_year), &|_, _| true);
        let mould_hours: Vec<f64> = as_it_stands.iter().map(Trial::mould_hours).collect();
        let without_more_mould = by_limit.steps.and_then(|steps| {
            let no_more = |trial: &Trial, year: usize| trial.mould_hours() <= mould_hours[year];
            self.in_all_years(grid, (steps, by_limit.year), &no_more).steps
        });
        Answer {
            lever: grid.lever,
            as_it_stands: grid.as_it_stands,
            step: grid.step,
            least: by_limit.steps.map(|steps| grid.value(steps)),
            least_without_more_mould: without_more_mould.map(|steps| grid.value(steps)),
            most_tried: grid.value(grid.high),
            year: by_limit.year,
            at: by_limit.at,
        }
    }

    /// The least number of steps that keeps the limit, and what else is asked, in all years: sought in
    /// one year, held against the others, and sought on in the worst of those that fail.
    fn in_all_years(
        &self,
        grid: &Grid,
        (mut low, mut year): (u32, usize),
        also: &(dyn Fn(&Trial, usize) -> bool + Sync),
    ) -> Found {
        loop {
            let found = self.least(self.site, grid, low, year, also);
            let value = grid.value(found.unwrap_or(grid.high));
            let mut trials: Vec<Trial> = (0..self.years.len())
                .into_par_iter()
                .map(|year| self.try_on(self.site, grid.lever, value, year))
                .collect();
            let fails = |place: usize| !(trials[place].meets && also(&trials[place], place));
            let worst = (0..trials.len())
                .filter(|&place| fails(place))
                .max_by(|&a, &b| trials[a].longest_wait_h.total_cmp(&trials[b].longest_wait_h));
            match (found, worst) {
                // Each round begins above the last one's answer, so this ends.
                (Some(steps), Some(worst)) if steps < grid.high => {
                    (low, year) = (steps + 1, worst);
                }
                _ => {
                    return Found { steps: found.filter(|_| worst.is_none()), year, at: trials.swap_remove(year) };
                }
            }
        }
    }

    /// The least number of steps from `low` on that keeps the limit, and what else is asked, in one
    /// year, one step less failing; `None` if not even the most does.
    fn least(
        &self,
        site: &Site,
        grid: &Grid,
        low: u32,
        year: usize,
        also: &(dyn Fn(&Trial, usize) -> bool + Sync),
    ) -> Option<u32> {
        let bare = site.without_idle_store();
        let keeps = |steps: u32| {
            let value = grid.value(steps);
            let site = grid.lever.set(&bare, value);
            Trial::if_kept(self.references, &site, value, self.intake, &self.years[year], self.limit)
                .is_some_and(|trial| also(&trial, year))
        };
        // Below every value that makes sense, or known to fail.
        let mut fails = low.saturating_sub(1);
        let now = grid.nearest(grid.as_it_stands).max(low);
        let least = if keeps(now) {
            now
        } else {
            fails = now;
            if now == grid.high || !keeps(grid.high) {
                return None;
            }
            grid.high
        };
        // From there down: a plant that starves takes long to run.
        Some(least_above(fails, least, (least / 16).max(1), keeps))
    }

    pub(super) fn heat_curve(&self, answers: &[Answer]) -> Vec<Trial> {
        let Some((answer, grid)) = self.of(answers, Lever::Heat) else {
            return Vec::new();
        };
        let centre = answer.least.unwrap_or(answer.as_it_stands);
        let mut shown: Vec<f64> = HEAT_SHOWN.iter().map(|times| grid.value(grid.nearest(centre * times))).collect();
        shown.push(answer.as_it_stands);
        in_order(&mut shown);
        shown.into_par_iter().map(|kw| self.try_on(self.site, Lever::Heat, kw, answer.year)).collect()
    }

    pub(super) fn bins_curve(&self, answers: &[Answer], room: usize) -> Vec<BinsPoint> {
        let lever = Lever::Bins(room);
        let (Some((answer, _)), Some((_, heat))) = (self.of(answers, lever), self.of(answers, Lever::Heat)) else {
            return Vec::new();
        };
        let centre = answer.least.unwrap_or(answer.as_it_stands);
        let mut shown: Vec<f64> = BINS_SHOWN.iter().map(|more| centre + more).filter(|bins| *bins >= 1.0).collect();
        shown.push(answer.as_it_stands);
        in_order(&mut shown);
        shown
            .into_par_iter()
            .map(|bins| {
                let site = lever.set(self.site, bins);
                BinsPoint {
                    with_heat_there_is: self.try_on(self.site, lever, bins, answer.year),
                    with_least_heat: self
                        .least(&site, &heat, heat.low, answer.year, &|_, _| true)
                        .map(|kw| self.try_on(&site, Lever::Heat, heat.value(kw), answer.year)),
                }
            })
            .collect()
    }

    fn of<'b>(&self, answers: &'b [Answer], lever: Lever) -> Option<(&'b Answer, Grid)> {
        let answer = answers.iter().find(|answer| answer.lever == lever)?;
        Some((answer, Grid::of(lever, self.site)?))
    }
}

/// Sorts and drops repeats.
fn in_order(values: &mut Vec<f64>) {
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
}
