//! The owner's sheet: what decides, on one page.

use super::Quantiles;
use schemars::JsonSchema;
use serde::Serialize;

/// What the first page says.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SheetFigures {
    /// Which heating, what it costs and saves, and how sure: a sentence of at most 35 words beside names.
    pub headline: String,
    /// What else decides, in a few sentences.
    pub support: Vec<String>,
    /// What each option costs in a year, the least first; options that leave work undone stand last.
    pub yearly: Vec<YearlyFigures>,
    /// What could go wrong, the gravest first.
    pub could_go_wrong: Vec<PointFigures>,
    /// What to do next, by the state of the study.
    pub next: Vec<String>,
}

/// What an option costs in a year: the net present cost as an equal yearly sum, and what it is made of.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct YearlyFigures {
    /// The option.
    pub option: String,
    /// Cost of energy by carrier in a season, the plant's own supply at what it would have fetched.
    pub energy: Vec<(String, f64)>,
    /// Demand and fixed charges and tax in a season.
    pub charges: f64,
    /// Capital after grant, upkeep and replacements, as an equal yearly sum.
    pub owning: f64,
    /// What the growth of energy prices adds, as an equal yearly sum; less than zero where prices fall.
    pub price_growth: f64,
    /// All of it.
    pub total: f64,
    /// How far it ranges over the draws; null where nothing was drawn.
    pub range: Option<Quantiles>,
    /// True if it does the work.
    pub does_the_work: bool,
    /// True if it cannot be told apart from the option that costs least.
    pub level_with_best: bool,
}

/// A point of a list: its head and what is to be said.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct PointFigures {
    /// A few words.
    pub head: String,
    /// A sentence or two.
    pub text: String,
}
