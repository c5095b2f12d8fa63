//! Every option in every scenario: what it costs there, which is best, and what each choice may be regretted by.

use super::drawn::{Posed, answers, ranking};
use super::in_turn::Within;
use super::made_of::{Season, Unreckoned};
use super::point_answer::Answer;
use crate::answer::figures::{InScenarioFigures, RegretFigures, ScenarioFigures, ScenariosFigures};
use crate::answer::set::set_figures;
use crate::study::Study;

/// Name under which the study itself stands among its scenarios.
const AS_IT_STANDS: &str = "as the study has it";

/// Answers every option in every scenario, and as the study has it before them; nothing where there are no scenarios.
/// `done` is called as each option of a scenario ends.
pub(crate) fn scenarios(season: &Season<'_>, done: impl Fn() + Sync) -> Result<Option<ScenariosFigures>, Unreckoned> {
    let named =
        || season.study.scenarios.iter().filter_map(|scenario| Some((scenario, &scenario.study.as_ref()?.study)));
    if named().next().is_none() {
        return Ok(None);
    }
    let studies: Vec<&Study> = std::iter::once(season.study).chain(named().map(|(_, study)| study)).collect();
    let posed: Vec<Posed<'_>> = studies.iter().map(|&study| Posed { study, within: Within::EveryYear }).collect();
    let all = answers(season, &posed, done)?;
    let names: Vec<&str> = season.study.heatings.iter().map(|heating| heating.name.as_str()).collect();
    let scenarios: Vec<ScenarioFigures> = std::iter::once((AS_IT_STANDS, Vec::new()))
        .chain(named().map(|(scenario, _)| {
            let set = scenario.set.iter().map(|change| set_figures(change, season.inputs));
            (scenario.name.as_str(), set.collect())
        }))
        .zip(&all)
        .map(|((name, set), answers)| {
            let ranking = ranking(answers);
            let best = ranking.best();
            ScenarioFigures {
                name: name.to_owned(),
                set,
                best: best.map(|best| names[best].to_owned()),
                options: names
                    .iter()
                    .zip(answers)
                    .map(|(name, answer)| in_scenario(name, answer, best.map(|b| &answers[b])))
                    .collect(),
            }
        })
        .collect();
    let regrets: Vec<RegretFigures> = (0..names.len()).map(|place| regret(names[place], place, &scenarios)).collect();
    let able = regrets.iter().filter_map(|regret| Some((regret.greatest?, &regret.option)));
    let least = able.min_by(|(a, _), (b, _)| a.total_cmp(b)).map(|(_, option)| option.clone());
    Ok(Some(ScenariosFigures { scenarios, regrets, least_regret: least }))
}

fn in_scenario(name: &str, answer: &Answer, best: Option<&Answer>) -> InScenarioFigures {
    let does_the_work = answer.judged.work.is_done();
    let above = |best: &Answer| answer.judged.net_present_cost - best.judged.net_present_cost;
    InScenarioFigures {
        option: name.to_owned(),
        total_cost: answer.total_cost,
        net_present_cost: answer.judged.net_present_cost,
        does_the_work,
        nuts_spoil: answer.nuts_spoil,
        regret: best.filter(|_| does_the_work).map(above),
    }
}

/// The greatest regret of an option over the scenarios; nothing where it leaves work undone in one of them, whether or
/// not another option does it.
fn regret(name: &str, place: usize, scenarios: &[ScenarioFigures]) -> RegretFigures {
    let undone: Vec<String> = scenarios
        .iter()
        .filter(|scenario| !scenario.options[place].does_the_work)
        .map(|scenario| scenario.name.clone())
        .collect();
    let regrets = scenarios.iter().filter_map(|scenario| Some((scenario.options[place].regret?, &scenario.name)));
    let most = regrets.fold(None, |most: Option<(f64, &String)>, one| match most {
        Some(most) if most.0 >= one.0 => Some(most),
        Some(_) | None => Some(one),
    });
    let most = most.filter(|_| undone.is_empty());
    RegretFigures {
        option: name.to_owned(),
        greatest: most.map(|(regret, _)| regret),
        in_scenario: most.map(|(_, name)| name.clone()),
        undone_in: undone,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scenario(name: &str, costs: &[(f64, bool)]) -> ScenarioFigures {
        let able = || costs.iter().filter(|(_, able)| *able);
        let best = able().map(|(cost, _)| *cost).reduce(f64::min);
        ScenarioFigures {
            name: name.to_owned(),
            set: Vec::new(),
            best: best.map(|_| "some".to_owned()),
            options: costs
                .iter()
                .map(|&(cost, able)| InScenarioFigures {
                    option: String::new(),
                    total_cost: cost,
                    net_present_cost: cost,
                    does_the_work: able,
                    nuts_spoil: false,
                    regret: best.filter(|_| able).map(|best| cost - best),
                })
                .collect(),
        }
    }

    /// By hand: 10 and 12, then 30 and 20: regrets 0 and 10 of the first, 2 and 0 of the second.
    #[test]
    fn the_greatest_regret_is_of_the_worst_scenario() {
        let all = [scenario("now", &[(10.0, true), (12.0, true)]), scenario("dear", &[(30.0, true), (20.0, true)])];
        let first = regret("a", 0, &all);
        assert_eq!((first.greatest, first.in_scenario.as_deref()), (Some(10.0), Some("dear")));
        let second = regret("b", 1, &all);
        assert_eq!((second.greatest, second.in_scenario.as_deref()), (Some(2.0), Some("now")));
    }

    #[test]
    fn what_leaves_work_undone_somewhere_has_no_regret_in_money() {
        let all = [scenario("now", &[(10.0, true), (12.0, true)]), scenario("wet", &[(5.0, false), (20.0, true)])];
        let first = regret("a", 0, &all);
        assert_eq!((first.greatest, first.undone_in), (None, vec!["wet".to_owned()]));
        // Where no option does the work, that is no less a failure of each.
        let all = [scenario("now", &[(10.0, true)]), scenario("flood", &[(5.0, false)])];
        let only = regret("a", 0, &all);
        assert_eq!((only.greatest, only.undone_in), (None, vec!["flood".to_owned()]));
    }
}
