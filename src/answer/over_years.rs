//! What cash by year says, in sentences: which option costs least once growth, loan and tax are in it, and when it is
//! worth buying.

use super::figures::{CashFigures, Figures, OptionCashFigures, PhaseFigures};
use super::level::{DIFFERENCE_THAT_TELLS, level_in_cost};
use crate::number::Money;

/// What growth that is planned makes of the answer, in a sentence; nothing where none is planned.
pub(crate) fn growth_sentence(figures: &Figures) -> Option<String> {
    let cash = figures.cash.as_ref().filter(|cash| !cash.growth.is_empty())?;
    let planned: Vec<String> =
        cash.growth.iter().map(|growth| format!("“{}” from season {}", growth.name, growth.year)).collect();
    let with = format!("Over {} years with {}", figures.study.money_years, planned.join(" and "));
    let Some(best) = cash.best.as_ref().and_then(|name| cash.option(name)) else {
        return Some(format!("{with}, no option does the work of every season."));
    };
    let money = Money::of(&figures.study.currency);
    let least =
        format!("{with}, “{}” costs least: {} of net present cost", best.option, money.prose(best.net_present_cost));
    let level = level_with(cash, best, |option| option.net_present_cost);
    Some(match figures.study.recommended.as_deref().and_then(|name| cash.option(name)) {
        Some(now) if now.option != best.option => {
            format!("{least}, {}{level}.{}", why_not(now, best, &money), guards_of(best))
        }
        Some(_) | None => format!("{least}{level}.{}", guards_of(best)),
    })
}

/// What planned growth makes of the recommendation for the plant as it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum GrowthTurn {
    /// No option does the work of every season.
    OutgrowsAll,
    /// Another option costs least.
    AnotherOption,
    /// The option stays, and guards fire in it once it has grown.
    BreaksGuards,
    /// The option stays.
    Keeps,
}

/// The same of these figures; nothing where no growth is planned.
pub(crate) fn growth_turn(figures: &Figures) -> Option<GrowthTurn> {
    let cash = figures.cash.as_ref().filter(|cash| !cash.growth.is_empty())?;
    let Some(best) = cash.best.as_ref().and_then(|name| cash.option(name)) else {
        return Some(GrowthTurn::OutgrowsAll);
    };
    Some(if cash.best != figures.study.recommended {
        GrowthTurn::AnotherOption
    } else if best.guards_in_growth.is_empty() {
        GrowthTurn::Keeps
    } else {
        GrowthTurn::BreaksGuards
    })
}

/// Other options that do the work throughout and whose cost cannot be told from this one's.
fn level_with(cash: &CashFigures, best: &OptionCashFigures, cost: fn(&OptionCashFigures) -> f64) -> String {
    let others = cash.options.iter().filter(|other| other.does_the_work && other.option != best.option);
    let level: Vec<&str> =
        others.filter(|other| level_in_cost(cost(other), cost(best))).map(|other| other.option.as_str()).collect();
    if level.is_empty() {
        String::new()
    } else {
        format!("; “{}” cannot be told from it (within {:.0} %)", level.join("”, “"), DIFFERENCE_THAT_TELLS * 100.0)
    }
}

/// Guards that fire in planned growth, behind a sentence about the option.
fn guards_of(best: &OptionCashFigures) -> String {
    if best.guards_in_growth.is_empty() {
        String::new()
    } else {
        format!(" Grown, its guards fire ({}), so that it is no plan yet.", best.guards_in_growth.join(", "))
    }
}

fn why_not(now: &OptionCashFigures, best: &OptionCashFigures, money: &Money) -> String {
    let cost = money.prose(now.net_present_cost);
    if now.does_the_work {
        let more = money.prose(now.net_present_cost - best.net_present_cost);
        format!("and “{}”, the best as it stands, {cost}, {more} more", now.option)
    } else {
        format!(
            "for “{}”, the best as it stands, leaves work undone in “{}”",
            now.option,
            now.undone_in.join("” and “")
        )
    }
}

/// What loan and tax make of the answer, in a sentence; nothing where the study has neither.
pub(crate) fn paid_sentence(figures: &Figures) -> Option<String> {
    let cash = figures.cash.as_ref()?;
    let what = match (cash.loan.is_some(), cash.tax.is_some()) {
        (false, false) => return None,
        (true, true) => "loan and tax",
        (true, false) => "the loan",
        (false, true) => "tax",
    };
    let best = cash.best_paid.as_ref().and_then(|name| cash.option(name))?;
    let money = Money::of(&figures.study.currency);
    let paid = money.prose(best.net_present_cost_paid);
    let same = if cash.best_paid == cash.best { "still" } else { "then" };
    let level = level_with(cash, best, |option| option.net_present_cost_paid);
    Some(format!("With {what}, “{}” {same} costs its owner least: {paid} of present value{level}.", best.option))
}

/// When the recommended option is worth buying, where that is not the start; nothing otherwise.
pub(crate) fn purchase_sentence(figures: &Figures) -> Option<String> {
    let name = figures.study.recommended.as_deref()?;
    let when = figures.cash.as_ref()?.option(name)?.purchase?;
    let money = Money::of(&figures.study.currency);
    match (when.first_year, when.best_year) {
        (Some(first), Some(best)) if best > 1 => Some(format!(
            "“{name}” costs least where it is built for season {best} ({} of present value saved over staying with “{}”); season {first} is the first for which building it costs less than never building it. A grant is not counted.",
            money.prose(when.saved),
            figures.study.baseline
        )),
        (_, _) => None,
    }
}

/// Phases of growth as they are told beside each other: of the baseline, of the recommended option and of the best of
/// planned growth.
pub(crate) fn told_phases(figures: &Figures) -> Vec<PhaseFigures> {
    let study = &figures.study;
    let best = figures.cash.as_ref().and_then(|cash| cash.best.as_ref());
    let named = [Some(&study.baseline), study.recommended.as_ref(), best];
    let is_told = |phase: &&PhaseFigures| named.contains(&Some(&phase.option));
    figures.phases.iter().filter(is_told).cloned().collect()
}

/// All of it, where there is any.
pub(crate) fn over_years_sentences(figures: &Figures) -> Vec<String> {
    [growth_sentence(figures), paid_sentence(figures), purchase_sentence(figures)].into_iter().flatten().collect()
}

impl CashFigures {
    /// The cash of the option of this name.
    pub(crate) fn option(&self, name: &str) -> Option<&OptionCashFigures> {
        self.options.iter().find(|option| option.option == name)
    }
}
