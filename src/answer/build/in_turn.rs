//! Draws that take the weather years in turn: each is run through one year, and what that says of all of them.
//!
//! What a draw changes in one weather year, it is taken to change in all, in proportion to what these cost: its bill
//! over the years is the study's own, times the draw's over the study's in that year (a ratio estimator, as in sampling
//! with a known companion: Cochran, Sampling Techniques, 1977, ch. 6; from memory, not verified), and its net present
//! cost is moved by as much. A few draws are run through a second year; how far apart its two answers then lie is the
//! error, and is told.

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
        // What moves a bill moves a dear year's more than a cheap one's.
        let dearer = if there.total_cost > 0.0 { all.total_cost / there.total_cost } else { 1.0 };
        let moved = |of: fn(&Answer) -> f64| of(all) + dearer * (of(&found) - of(there));
        Answer {
            total_cost: moved(|answer| answer.total_cost),
            judged: Judged {
                work: all.judged.work.moved(&there.judged.work, &found.judged.work),
                net_present_cost: moved(|answer| answer.judged.net_present_cost),
            },
            seasons: found.seasons,
            nuts_spoil: found.nuts_spoil,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::judgement::Work;

    fn answer(bill: f64, capital: f64) -> Answer {
        let judged = Judged { work: Work::default(), net_present_cost: capital + 10.0 * bill };
        Answer { seasons: Vec::new(), judged, total_cost: bill, nuts_spoil: false }
    }

    /// A draw that takes a tenth off every year's bill takes a tenth off their mean, whichever year it went through.
    #[test]
    fn what_is_in_proportion_in_one_year_is_so_in_all() {
        let own = OwnAnswer {
            over_years: answer(1500.0, 4000.0),
            by_year: vec![answer(1000.0, 4000.0), answer(2000.0, 4000.0)],
        };
        for (year, bill) in [(0, 900.0), (1, 1800.0)] {
            let found = own.moved_by(answer(bill, 4000.0), year);
            assert!((found.total_cost - 1350.0).abs() < 1e-9, "{found:?}");
            assert!((found.judged.net_present_cost - 17_500.0).abs() < 1e-9, "{found:?}");
        }
        for year in [0, 1] {
            assert_eq!(own.moved_by(own.by_year[year].clone(), year), own.over_years);
        }
    }

    #[test]
    fn turns_go_round_and_the_furthest_apart_is_told() {
        let turns: Vec<Within> = (0..4).map(|draw| turn_of(draw, 3)).collect();
        assert_eq!(turns, [0, 1, 2, 0].map(Within::OneYear));
        let held = held(
            &[vec![answer(900.0, 0.0)], vec![answer(1100.0, 0.0)]],
            &[vec![answer(930.0, 0.0)], vec![answer(1090.0, 0.0)]],
            &answer(1000.0, 0.0),
            0,
        );
        assert_eq!((held.held_draws, held.bill_apart_pct.round()), (2, 3.0));
    }
}
