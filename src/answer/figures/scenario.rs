//! Options in scenarios, in figures.

use crate::answer::set::SetFigures;
use schemars::JsonSchema;
use serde::Serialize;

/// Every option in every scenario.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ScenariosFigures {
    /// The study as it stands, then its scenarios.
    pub scenarios: Vec<ScenarioFigures>,
    /// The options in the order of the study, each with what it may be regretted by.
    pub regrets: Vec<RegretFigures>,
    /// The option whose greatest regret is the least, of those that do the work in every scenario in which any does.
    pub least_regret: Option<String>,
}

/// One scenario.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ScenarioFigures {
    /// Name; `as the study has it` is the study itself.
    pub name: String,
    /// What it sets; empty of the study itself.
    pub set: Vec<SetFigures>,
    /// The option of least net present cost there, of those that do the work; nothing where none does.
    pub best: Option<String>,
    /// The options in the order of the study.
    pub options: Vec<InScenarioFigures>,
}

/// One option in one scenario, the mean over the weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct InScenarioFigures {
    /// Its name.
    pub option: String,
    /// The season's bill.
    pub total_cost: f64,
    /// Net present cost; a grant is paid where it is paid by the study's own values.
    pub net_present_cost: f64,
    /// True if it does the work there.
    pub does_the_work: bool,
    /// True if nuts may spoil there: they wait longer than is safe, or mould is to be seen on the wettest.
    pub nuts_spoil: bool,
    /// Net present cost above that of the best option there; nothing where it leaves work undone.
    pub regret: Option<f64>,
}

/// What a choice may be regretted by.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct RegretFigures {
    /// The option.
    pub option: String,
    /// The most that its net present cost lies above the best option's in any scenario; nothing where it leaves work
    /// undone in one of them.
    pub greatest: Option<f64>,
    /// In which scenario that is.
    pub in_scenario: Option<String>,
    /// Scenarios in which it leaves work undone though another option does it.
    pub undone_in: Vec<String>,
}
