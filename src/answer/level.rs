//! Options that cannot be told apart are level: the order of their costs is no reason to choose.

use super::figures::{Figures, OddsFigures};

/// Where inputs were drawn, two options are level if neither costs less in more than this share of the draws. An
/// assumption: nine draws of ten are what the report calls likely elsewhere, too (P10 to P90).
const SHARE_THAT_TELLS: f64 = 0.9;

/// Without draws, two options are level if their net present costs differ by less than this share of the larger.
/// An assumption: crop values that nobody measured, moved within their own ranges, change the order of options
/// that lie nearer to each other.
pub(super) const DIFFERENCE_THAT_TELLS: f64 = 0.03;

/// Says of every ranked option which others it is level with, and of the figures by which rule.
pub(crate) fn tell_levels(figures: &mut Figures) {
    let costs: Vec<(String, f64)> =
        figures.ranking.iter().map(|one| (one.option.clone(), one.net_present_cost)).collect();
    let odds = figures.uncertainty.as_ref().map(|sampled| sampled.odds.as_slice());
    let levels: Vec<Vec<String>> = costs
        .iter()
        .map(|(own, cost)| {
            let others = costs.iter().filter(|(other, _)| other != own);
            let level = others.filter(|(other, others_cost)| match odds {
                Some(odds) => level_in_draws(odds, own, other),
                None => level_in_cost(*cost, *others_cost),
            });
            level.map(|(other, _)| other.clone()).collect()
        })
        .collect();
    for (ranked, level_with) in figures.ranking.iter_mut().zip(levels) {
        ranked.level_with = level_with;
    }
}

fn level_in_draws(odds: &[OddsFigures], own: &str, other: &str) -> bool {
    let share = |one: &str, against: &str| {
        let pair = odds.iter().find(|odds| odds.option == one && odds.against == against);
        pair.map_or(0.0, |odds| odds.share_of_draws_cheaper)
    };
    share(own, other) <= SHARE_THAT_TELLS && share(other, own) <= SHARE_THAT_TELLS
}

/// Without draws: as far as costs alone tell.
pub(super) fn level_in_cost(one: f64, other: f64) -> bool {
    (one - other).abs() <= DIFFERENCE_THAT_TELLS * one.abs().max(other.abs())
}

/// Which options are level with the recommended one and by which rule, in a sentence; nothing where none is.
pub(crate) fn level_sentence(figures: &Figures) -> Option<String> {
    let best = figures.ranking.first()?;
    if mostly_undone(figures, &best.option) {
        return None;
    }
    let names = match best.level_with.as_slice() {
        [] => return None,
        [one] => format!("“{one}” is"),
        [all @ .., last] => format!("“{}” and “{last}” are", all.join("”, “")),
    };
    let why = match &figures.uncertainty {
        Some(sampled) => {
            format!("neither costs less in more than {:.0} % of {} draws", SHARE_THAT_TELLS * 100.0, sampled.samples)
        }
        None => format!(
            "the net present costs differ by at most {:.0} %, less than unmeasured inputs can move them (an assumption: no input was drawn)",
            DIFFERENCE_THAT_TELLS * 100.0
        ),
    };
    Some(format!("{names} level with “{}”: {why}. Other reasons than cost may decide.", best.option))
}

/// True where an option leaves work undone in most of the draws: how its cost compares says nothing then.
pub(crate) fn mostly_undone(figures: &Figures, option: &str) -> bool {
    let own = figures.options.iter().find(|known| known.name == option);
    let done_pct = own.and_then(|option| option.uncertainty.does_the_work_in_draws_pct);
    done_pct.is_some_and(|done_pct| done_pct < 50.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn costs_within_three_percent_are_level_and_others_are_not() {
        assert!(level_in_cost(100_000.0, 102_900.0) && level_in_cost(102_900.0, 100_000.0));
        assert!(!level_in_cost(100_000.0, 104_000.0));
        assert!(level_in_cost(0.0, 0.0));
        assert!(!level_in_cost(-1000.0, 1000.0));
    }
}
