//! What schemes ask of an application beside savings: all measures, tests, costs apart, sizes and meters.

use chrono::NaiveDateTime;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// An option as a measure against the baseline; what is saved is positive.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct OfferFigures {
    /// The option.
    pub option: String,
    /// True if it does the work; what does not ranks nowhere.
    pub does_the_work: bool,
    /// Capital above the baseline's, after grant.
    pub extra_investment: f64,
    /// Upkeep above the baseline's, a year.
    pub extra_upkeep_per_year: f64,
    /// Owning above the baseline's, as an equal yearly sum: capital after grant, upkeep, replacements less residuals.
    pub extra_owning_per_year: f64,
    /// Purchased energy saved, by carrier, kWh a season.
    pub purchased_saved_kwh: BTreeMap<String, f64>,
    /// The sum of it.
    pub energy_saved_kwh: f64,
    /// Carbon saved, kg CO2e a season.
    pub carbon_saved_kg: f64,
    /// Bill saved, a season, the mean of the weather years.
    pub bill_saved: f64,
    /// Net present saving over the period.
    pub net_saving: f64,
    /// Simple payback, years.
    pub simple_payback_years: Option<f64>,
    /// Owning for each purchased kWh saved, before what the bill saves; nothing where no energy is saved.
    pub owning_per_kwh_saved: Option<f64>,
    /// Owning for each tonne of carbon saved, before what the bill saves; nothing where no carbon is saved.
    pub owning_per_t_saved: Option<f64>,
    /// The same less what the bill saves, with the growth of prices: below 0 where carbon is saved at a gain.
    pub net_cost_per_t_saved: Option<f64>,
    /// Rank by `owning_per_kwh_saved`, from 1, of those that do the work and save energy.
    pub rank_by_kwh: Option<usize>,
    /// Rank by `owning_per_t_saved`, from 1, of those that do the work and save carbon.
    pub rank_by_t: Option<usize>,
}

/// A test that the scheme sets, or that no scheme is without.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct SchemeTestFigures {
    /// What is tested.
    pub name: String,
    /// Unit of the next two; empty of a test that is passed or not.
    pub unit: String,
    /// What is asked for.
    pub asked: Option<f64>,
    /// What was found; nothing where there is none.
    pub found: Option<f64>,
    /// By how much it fails, above 0; nothing of one that is passed.
    pub short_by: Option<f64>,
    /// Unit of that: of two percents it is points.
    pub short_by_unit: String,
    /// True if it is passed.
    pub passed: bool,
}

/// A part of the proposal's capital.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct CostItemFigures {
    /// What it is for.
    pub name: String,
    /// Its capital.
    pub capital: f64,
    /// Its upkeep a year.
    pub upkeep_per_year: f64,
    /// Years until it is replaced.
    pub life_years: f64,
    /// True if a grant may pay a share of it: the baseline does not have it.
    pub eligible: bool,
}

/// A size of the proposal, and what decides it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct SpecificationFigures {
    /// What is sized.
    pub name: String,
    /// Its size in the study; nothing where the study gives none.
    pub size: Option<f64>,
    /// The most that was asked of it in any weather year.
    pub most: f64,
    /// Unit of both.
    pub unit: String,
    /// The hour that decides it, local standard time.
    pub at: Option<NaiveDateTime>,
}

/// A quantity to be measured before and after.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct MeterFigures {
    /// What is measured.
    pub what: String,
    /// Where and how.
    pub by: String,
    /// How often.
    pub every: String,
    /// What it serves.
    pub serves: String,
}
