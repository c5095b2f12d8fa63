//! Where to look, in figures: a standing list of measures, each tried alone on one option.

use crate::answer::set::SetFigures;
use crate::number::Sentence;
use schemars::JsonSchema;
use serde::Serialize;

/// What came of the standing list.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ScreeningFigures {
    /// The option that each was tried on.
    pub tried_on: String,
    /// The weather year that each was tried in.
    pub year: String,
    /// Bill without any of them in that year.
    pub bill: f64,
    /// Years over which capital must come back.
    pub money_years: u32,
    /// Share of that bill that a measure must save to be worth pricing, percent.
    pub worth_pricing_pct: f64,
    /// The measures: those that rank first, by the most that they may cost; then those that save nothing, break a
    /// guard or leave work undone, in the order of the list.
    pub measures: Vec<ScreenedFigures>,
    /// Measures of the list that this plant cannot have, and why.
    pub left_out: Vec<UntriedFigures>,
    /// Options to be written into the study and priced: those that rank and are worth it, and stand in no option yet.
    pub to_price: String,
}

/// One measure of the list, against the option without it in the same weather year; what is saved is positive.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct ScreenedFigures {
    /// Its name.
    pub name: String,
    /// What it does, in words.
    pub does: Sentence,
    /// What it sets of the study; empty of new sources and other places of condensers.
    pub set: Vec<SetFigures>,
    /// Whether it ranks, and if not, why.
    pub verdict: ScreeningVerdict,
    /// Its rank, from 1; nothing of one that does not rank.
    pub rank: Option<usize>,
    /// True if it saves enough to be worth pricing.
    pub worth_pricing: bool,
    /// Purchased energy saved, kWh a season.
    pub purchased_saved_kwh: f64,
    /// Peak demand saved, kW.
    pub electric_peak_saved_kw: f64,
    /// Carbon saved, kg CO2e a season.
    pub carbon_saved_kg: f64,
    /// Bill saved, a season.
    pub bill_saved: f64,
    /// The most that it may cost, all told, to come back within the period: what its bills save over it, discounted,
    /// with the growth of prices, without upkeep, replacement or grant. Below 0 where it costs more to run.
    pub most_capital: f64,
    /// Mean time to dry longer than without it, h; nothing where nothing became dry.
    pub drying_longer_h: Option<f64>,
    /// Waiting more than without it, t d.
    pub waiting_more_tonne_days: f64,
    /// Guards that are broken with it and not without, or a tenth further: their names.
    pub guards_broken: Vec<String>,
    /// Guards that both break, this one for a tenth longer and no further: their names.
    pub guards_longer: Vec<String>,
    /// Work that is left undone with it and not without, in words that follow its name.
    pub work_left: Vec<Sentence>,
    /// An option of the study that goes the same way; nothing where there is none.
    pub like_option: Option<String>,
}

/// Whether a measure ranks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum ScreeningVerdict {
    /// It saves, does the same work and breaks no guard that is kept without it.
    Ranked,
    /// Its bill is no lower than without it.
    SavesNothing,
    /// It breaks a guard that is kept without it.
    BreaksGuard,
    /// It leaves work undone that is done without it.
    LeavesWork,
}

/// A measure that was not tried.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct UntriedFigures {
    /// Its name.
    pub name: String,
    /// Why not.
    pub why: String,
}
