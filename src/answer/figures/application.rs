//! Figures for an application: baseline against proposal, each with the formula that gives it.

use super::formula::{BothKey, Formula, ProposalKey};
use super::scheme::{CostItemFigures, MeterFigures, OfferFigures, SchemeTestFigures, SpecificationFigures};
use crate::number::Sentence;
use crate::uncertainty::Quantiles;
use schemars::JsonSchema;
use serde::Serialize;

/// What an application rests on. A formula is made of the symbols of other figures, of numbers and of
/// `+ − × / ^ ( ) min max`, and gives its figure from theirs; or it says in words where the figure comes from.
/// `E0` is the baseline's `E`, `E1` the proposal's, `ΔE` what is saved: `E0 − E1`.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ApplicationFigures {
    /// Name of the baseline.
    pub baseline: String,
    /// Name of the proposal.
    pub proposal: String,
    /// True if the study names it; else it is the best option that saves.
    pub named_by_study: bool,
    /// True if it is the recommended option.
    pub is_recommended: bool,
    /// True if it saves purchased energy or carbon against the baseline.
    pub saves_something: bool,
    /// What must be said of it by the judgement of the options, in sentences; empty of one that is recommended, does
    /// the work and is not named, against a baseline that does the work.
    pub remarks: Vec<String>,
    /// What the proposal brings beyond energy, in the applicant's own words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub benefits: Option<String>,
    /// The scheme's tests of the proposal, passed or not.
    pub tests: Vec<SchemeTestFigures>,
    /// Every option but the baseline as a measure, in the order of the study.
    pub measures: Vec<OfferFigures>,
    /// The proposal's capital by item.
    pub costs: Vec<CostItemFigures>,
    /// The proposal's sizes, each with the hour that decides it.
    pub specifications: Vec<SpecificationFigures>,
    /// What is to be measured before and after.
    pub meters: Vec<MeterFigures>,
    /// Figures that either option has.
    pub of_both: Vec<ComparedFigure>,
    /// Figures of the proposal against the baseline.
    pub of_the_proposal: Vec<ProposalFigure>,
}

/// A figure that either option has.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ComparedFigure {
    /// Which figure it is.
    pub key: BothKey,
    /// Its sign in formulas; empty if none needs it.
    pub symbol: String,
    /// What it is.
    pub name: Sentence,
    /// Unit.
    pub unit: String,
    /// Of the baseline.
    pub baseline: f64,
    /// Of the proposal.
    pub proposal: f64,
    /// Baseline less proposal.
    pub saved: f64,
    /// The same over the draws, each of both options in one weather year; nothing where nothing was drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub saved_in_draws: Option<Quantiles>,
    /// How either is made.
    pub formula: Formula,
}

/// A figure of the proposal against the baseline.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ProposalFigure {
    /// Which figure it is.
    pub key: ProposalKey,
    /// Its sign in formulas; empty if none needs it.
    pub symbol: String,
    /// What it is.
    pub name: String,
    /// Unit.
    pub unit: String,
    /// Its value; nothing where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Why there is no value; empty where there is one.
    pub why: String,
    /// How it is made.
    pub formula: Formula,
}
