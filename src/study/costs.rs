//! What options and their sources cost to own.

use super::cursor::Cursor;
use super::money::MOST_MONEY;
use crate::season::Heating;

/// Nothing of a plant is taken to live longer, years.
const MOST_LIFE_YEARS: f64 = 60.0;

/// What a source costs to build and keep.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SourceCost {
    /// Name of the source, or what else it is for.
    pub name: String,
    /// Capital, all of it.
    pub capital: f64,
    /// What of it goes with its capacity, money a kW; nothing where it is told as one sum.
    pub capital_per_kw: Option<f64>,
    /// Upkeep a year.
    pub upkeep_per_year: f64,
    /// Life, years; replaced at its end.
    pub life_years: f64,
}

/// What an option costs to build and keep.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OptionCost {
    /// Its sources, and its own extra as the last item if it has any.
    pub items: Vec<SourceCost>,
    /// True if a grant may pay a share of the capital.
    pub grant: bool,
}

/// What it costs to keep what is bought, a year.
pub(super) fn read_upkeep(bought: &Cursor<'_>) -> f64 {
    bought.number("upkeep_per_year").unit("money/a").within(0.0, MOST_MONEY).default(0.0, "none given")
}

/// How long what is bought lives, years; `why_15` says why fifteen where nothing is said.
pub(super) fn read_life(bought: &Cursor<'_>, why_15: &str) -> f64 {
    bought.number("life_years").unit("a").within(1.0, MOST_LIFE_YEARS).default(15.0, why_15)
}

/// Why small plant is taken to live fifteen years.
pub(super) const USUAL_LIFE: &str = "assumption: usual life of small plant (common practice, no published source)";

/// By how much every price of a carrier is to be dearer than the study or its tariff says: 1 where nothing is said.
pub(super) fn price_factor(carrier: &Cursor<'_>) -> f64 {
    let factor = carrier
        .number("price_factor")
        .unit("times its prices")
        .within(0.0, 100.0)
        .hint("1.3 for all its prices a third dearer: energy, demand and fixed charges; 1 if left out");
    factor.optional().unwrap_or(1.0)
}

/// Options with their costs, in the order of the file.
pub(super) type Options = (Vec<Heating>, Vec<OptionCost>);
