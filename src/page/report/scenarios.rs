//! Options in scenarios: net present cost and bill, which is best in each, and what each choice may be regretted by.

use super::view::View;
use crate::answer::figures::{InScenarioFigures, RegretFigures, ScenarioFigures, ScenariosFigures};
use crate::answer::set_words;
use crate::page::kit::cell::{Cell, column_decimals};
use crate::page::parts::{Head, Row, Table, in_words, one_behind_the_other, quoted};
use serde::Serialize;

/// A part of the section on sensitivity; only where the study has scenarios.
#[derive(Debug, Serialize)]
pub(super) struct Scenarios {
    lead: String,
    /// Each scenario with what it sets.
    set: Vec<(String, String)>,
    table: Table,
    /// The bills: stands in the appendix, as what they set does.
    bills: Table,
}

/// Builds it.
pub(super) fn scenarios(view: &View<'_>) -> Option<Scenarios> {
    let all = view.figures.scenarios.as_ref()?;
    let set = all
        .scenarios
        .iter()
        .filter(|scenario| !scenario.set.is_empty())
        .map(|scenario| (scenario.name.clone(), scenario.set.iter().map(set_words).collect::<Vec<_>>().join("; ")));
    let code = view.money.code();
    Some(Scenarios {
        lead: lead(view, all),
        set: set.collect(),
        table: table(
                view,
                all,
                &format!("Net present cost in each scenario, {code}, and the greatest regret of each choice"),
                |option| option.net_present_cost,
                Some(&all.regrets),
            )
            .note("Regret: the net present cost above that of the best option there. Grants are paid as by the study’s own values. What leaves work undone is in brackets and ranks nowhere; † nuts may spoil: they wait too long, or mould is seen. Other guards, heat short among them, are not marked."),
        bills: table(view, all, &format!("Bill of a season in each scenario, {code}"), |option| option.total_cost, None)
            .note("In brackets: work is left undone. † nuts may spoil; other guards are not marked."),
    })
}

fn lead(view: &View<'_>, all: &ScenariosFigures) -> String {
    let least = all.least_regret.as_ref().and_then(|least| all.regrets.iter().find(|regret| regret.option == *least));
    let regret = match least.and_then(|regret| Some((regret, regret.greatest?))) {
        Some((regret, most)) if most > 0.0 => format!(
            "Whoever chooses {} regrets it by {} at most, if {} comes true; every other choice may be regretted by more.",
            quoted(&regret.option),
            view.money.prose(most),
            quoted(regret.in_scenario.as_deref().unwrap_or_default())
        ),
        Some((regret, _)) => format!("{} is best in all of them.", quoted(&regret.option)),
        None => "No option does the work in all of them.".to_owned(),
    };
    let spoils = least.and_then(|regret| spoils(all, &regret.option));
    one_behind_the_other(&["Every option meets each scenario.", &regret, spoils.as_deref().unwrap_or_default()])
}

/// In how many scenarios nuts may spoil with an option; nothing where they do in none.
fn spoils(all: &ScenariosFigures, option: &str) -> Option<String> {
    let of_it = |scenario: &&ScenarioFigures| scenario.options.iter().any(|one| one.option == option && one.nuts_spoil);
    let names: Vec<String> = all.scenarios.iter().filter(of_it).map(|scenario| quoted(&scenario.name)).collect();
    let there = match names.as_slice() {
        [] => return None,
        all_of_them if all_of_them.len() == all.scenarios.len() => "in each".to_owned(),
        [one] => format!("in {one}"),
        some => format!("in {} of {}", in_words(some.len()), in_words(all.scenarios.len())),
    };
    Some(format!("Yet nuts may spoil with it {there}: there it is no plan."))
}

fn table(
    view: &View<'_>,
    all: &ScenariosFigures,
    caption: &str,
    of: fn(&InScenarioFigures) -> f64,
    regrets: Option<&[RegretFigures]>,
) -> Table {
    let values = all.scenarios.iter().flat_map(|scenario| scenario.options.iter().map(of));
    let decimals = column_decimals(values);
    let mut heads: Vec<Head> = all.scenarios.iter().map(|scenario| Head::number(scenario.name.clone(), "")).collect();
    if regrets.is_some() {
        heads.push(Head::number("greatest regret", ""));
    }
    let options = all.scenarios.first().map_or(0, |scenario| scenario.options.len());
    let mut rows: Vec<Row> = (0..options)
        .map(|place| {
            let mut cells: Vec<Cell> = all
                .scenarios
                .iter()
                .map(|scenario| {
                    let option = &scenario.options[place];
                    let number = crate::number::fixed(of(option), decimals);
                    match (option.does_the_work, option.nuts_spoil) {
                        (true, false) => Cell::number(of(option), decimals),
                        (true, true) => Cell::digits(format!("{number}\u{a0}†")),
                        (false, false) => Cell::words(format!("({number})")),
                        (false, true) => Cell::words(format!("({number})\u{a0}†")),
                    }
                })
                .collect();
            if let Some(regrets) = regrets {
                cells.push(Cell::number_or(regrets[place].greatest, decimals, "work undone"));
            }
            let name = &all.scenarios[0].options[place].option;
            let known = view.figures.options.iter().position(|option| option.name == *name);
            Row::new(name.clone(), cells).class(known.map_or("", |place| view.class_of(place)))
        })
        .collect();
    let mut best: Vec<Cell> = all
        .scenarios
        .iter()
        .map(|scenario| Cell::words(scenario.best.clone().unwrap_or_else(|| "none".to_owned())))
        .collect();
    if regrets.is_some() {
        best.push(Cell::words(all.least_regret.clone().unwrap_or_else(|| "none".to_owned())));
        rows.push(Row::new("best", best));
    }
    Table::new(caption, "option", heads, rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(spoil: &[bool]) -> ScenariosFigures {
        let scenario = |(at, nuts_spoil): (usize, &bool)| ScenarioFigures {
            name: format!("number {at}"),
            set: Vec::new(),
            best: Some("gas".to_owned()),
            options: vec![InScenarioFigures {
                option: "gas".to_owned(),
                total_cost: 1.0,
                net_present_cost: 1.0,
                does_the_work: true,
                nuts_spoil: *nuts_spoil,
                regret: Some(0.0),
            }],
        };
        ScenariosFigures {
            scenarios: spoil.iter().enumerate().map(scenario).collect(),
            regrets: Vec::new(),
            least_regret: None,
        }
    }

    #[test]
    fn the_best_in_all_is_told_as_no_plan_where_nuts_spoil_with_it() {
        let said = |spoil: &[bool]| spoils(&all(spoil), "gas");
        assert_eq!(said(&[false, false]), None);
        for (spoil, there) in [
            (&[false, true, false][..], "in “number 1”"),
            (&[true, true, false], "in two of three"),
            (&[true, true], "in each"),
        ] {
            let sentence = said(spoil).expect("a sentence");
            assert_eq!(sentence, format!("Yet nuts may spoil with it {there}: there it is no plan."));
        }
        assert_eq!(spoils(&all(&[true]), "another"), None);
    }
}
