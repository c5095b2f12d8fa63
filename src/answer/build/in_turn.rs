//! Draws that take the weather years in turn: each is run through one year, and what that says of all of them.
//!
//! What a draw changes in one weather year, it is taken to change in all: its answer over the years is the study's own,
//! moved as far as the draw's answer in its year lies from the study's own in that year (a difference estimator, as in
//! sampling with a known companion: Cochran, Sampling Techniques, 1977, ch. 7; from memory, not verified). A few draws
//! are run through a second year; how far apart its two answers then lie is the error, and is told.

use super::point_answer::Answer;
use crate::answer::figures::InTurnFigures;
use crate::answer::ranking::Judged;

/// The weather years in which a study is answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Within {
    /// Each of them.
    EveryYear,
    /// The one at this place.
    OneYear(usize),
}

/// So many draws are run through a second weather year.
pub(super) const HELD_AGAINST_ANOTHER: usize = 4;

/// The year in which a draw is run, of so many.
pub(super) fn turn_of(draw: usize, years: usize) -> Within {
    Within::OneYear(draw % years.max(1))
}

/// The year that lies nearest to the middle of all by this option's bill.
pub(super) fn middle_year(own: &Answer) -> Within {
    let off = |place: &usize| (own.seasons[*place].total_cost - own.total_cost).abs();
    let nearest = (0..own.seasons.len()).min_by(|one, other| off(one).total_cmp(&off(other)));
    Within::OneYear(nearest.unwrap_or(0))
}

/// The study's own answer: over all weather years, and in each by itself.
#[derive(Clone, Debug)]
pub(super) struct OwnAnswer {
    pub over_years: Answer,
    pub by_year: Vec<Answer>,
}

impl OwnAnswer {
    /// What an answer in the year at this place says of all years.
    pub(super) fn moved_by(&self, found: Answer, year: usize) -> Answer {
        let (all, there) = (&self.over_years, &self.by_year[year]);
        let over = all.judged.net_present_cost + found.judged.net_present_cost - there.judged.net_present_cost;
        Answer {
            total_cost: all.total_cost + found.total_cost - there.total_cost,
            judged: Judged {
                work: all.judged.work.moved(&there.judged.work, &found.judged.work),
                net_present_cost: over,
            },
            seasons: found.seasons,
        }
    }
}

/// How far apart the answers of draws lie that were run through two weather years, of the option at this place:
/// `once` in one year each, `again` in another.
pub(super) fn held(once: &[Vec<Answer>], again: &[Vec<Answer>], own: &Answer, place: usize) -> InTurnFigures {
    let furthest = |of: fn(&Answer) -> f64| {
        let pairs = once.iter().zip(again);
        let apart = pairs.map(|(one, other)| (of(&one[place]) - of(&other[place])).abs());
        100.0 * apart.fold(0.0, f64::max) / of(own).abs().max(f64::MIN_POSITIVE)
    };
    InTurnFigures {
        held_draws: again.len(),
        bill_apart_pct: furthest(|answer| answer.total_cost),
        net_present_cost_apart_pct: furthest(|answer| answer.judged.net_present_cost),
    }
}
