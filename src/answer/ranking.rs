//! How options rank: those that do the work, by net present cost.

use super::figures::{OptionFigures, RankedFigures};
use super::judgement::Work;

/// What an option is judged by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Judged {
    /// What it did of its work.
    pub work: Work,
    /// Net present cost.
    pub net_present_cost: f64,
}

/// The options that do the work, the least net present cost first; those that cost the same in the order of
/// the study. An option that leaves work undone has no place, however cheap it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Ranking {
    in_order: Vec<usize>,
}

impl Ranking {
    /// Of options in the order of the study.
    pub(super) fn of(judged: &[Judged]) -> Self {
        let mut in_order: Vec<usize> = (0..judged.len()).filter(|&option| judged[option].work.is_done()).collect();
        in_order.sort_by(|&a, &b| judged[a].net_present_cost.total_cmp(&judged[b].net_present_cost));
        Self { in_order }
    }

    /// The recommended option; `None` where none does the work.
    pub(super) fn best(&self) -> Option<usize> {
        self.in_order.first().copied()
    }

    /// The one after it.
    pub(super) fn runner_up(&self) -> Option<usize> {
        self.in_order.get(1).copied()
    }

    /// The best of the others: what an option is held against.
    pub(super) fn best_instead_of(&self, option: usize) -> Option<usize> {
        self.best_of(|other| other != option)
    }

    /// The best of those of which this is true.
    pub(super) fn best_of(&self, is_fit: impl Fn(usize) -> bool) -> Option<usize> {
        self.in_order.iter().copied().find(|&option| is_fit(option))
    }

    /// In figures, of the options in the order of the study.
    pub(super) fn figures(&self, options: &[OptionFigures]) -> Vec<RankedFigures> {
        let ranked = self.in_order.iter().enumerate();
        ranked
            .map(|(at, &option)| RankedFigures {
                place: at + 1,
                option: options[option].name.clone(),
                net_present_cost: options[option].life_cycle.net_present_cost,
                level_with: Vec::new(),
            })
            .collect()
    }

    /// An option's place, from 1; `None` where it leaves work undone.
    pub(super) fn place_of(&self, option: usize) -> Option<usize> {
        self.in_order.iter().position(|&ranked| ranked == option).map(|at| at + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn judged(does_the_work: bool, net_present_cost: f64) -> Judged {
        let wet_t = if does_the_work { 0.0 } else { 1.0 };
        Judged { work: Work { wet_t, ..Work::default() }, net_present_cost }
    }

    #[test]
    fn what_leaves_work_undone_is_never_ranked() {
        let ranking = Ranking::of(&[judged(true, 9.0), judged(false, 1.0), judged(true, 7.0)]);
        assert_eq!(ranking.in_order, [2, 0]);
        assert_eq!((ranking.best(), ranking.runner_up()), (Some(2), Some(0)));
        assert_eq!((ranking.place_of(2), ranking.place_of(1)), (Some(1), None));
        assert_eq!(ranking.best_instead_of(2), Some(0));
        assert_eq!(ranking.best_instead_of(1), Some(2));
        let none = Ranking::of(&[judged(false, 9.0), judged(false, 1.0)]);
        assert_eq!((none.best(), none.runner_up(), none.best_instead_of(0)), (None, None, None));
    }

    #[test]
    fn of_those_that_cost_the_same_the_first_of_the_study_goes_first() {
        let ranking = Ranking::of(&[judged(true, 3.0), judged(true, 3.0)]);
        assert_eq!(ranking.in_order, [0, 1]);
    }

    proptest! {
        #[test]
        fn the_ranking_holds_those_that_do_the_work_and_costs_rise_along_it(
            options in prop::collection::vec((any::<bool>(), -1e6..1e6_f64), 0..12),
        ) {
            let all: Vec<Judged> = options.iter().map(|&(able, cost)| judged(able, cost)).collect();
            let ranking = Ranking::of(&all);
            let able = options.iter().filter(|(able, _)| *able).count();
            prop_assert_eq!(ranking.in_order.len(), able);
            for &option in &ranking.in_order {
                prop_assert!(options[option].0);
            }
            for pair in ranking.in_order.windows(2) {
                prop_assert!(options[pair[0]].1 <= options[pair[1]].1);
            }
            for (option, (able, _)) in options.iter().enumerate() {
                prop_assert_eq!(ranking.place_of(option).is_some(), *able);
                prop_assert_ne!(ranking.best_instead_of(option), Some(option));
            }
        }

        /// A cheaper price tag never puts an option that leaves work undone anywhere.
        #[test]
        fn the_cost_of_what_leaves_work_undone_moves_nothing(
            cost in -1e9..1e9_f64,
            others in prop::collection::vec(-1e6..1e6_f64, 1..6),
        ) {
            let with = |cost: f64| {
                let mut all: Vec<Judged> = others.iter().map(|&cost| judged(true, cost)).collect();
                all.push(judged(false, cost));
                Ranking::of(&all)
            };
            prop_assert_eq!(with(cost), with(0.0));
        }
    }
}
