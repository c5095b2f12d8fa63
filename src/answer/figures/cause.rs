//! What a year of an option costs, by what it is for, and how that differs between options.

use schemars::JsonSchema;
use serde::Serialize;

/// The net present cost as an equal yearly sum, by what it is for. The parts add up to `total`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub(crate) struct YearByCause {
    /// Fuel and electricity of the sources, and the recovery's penalty, at the hour's prices.
    pub heat: f64,
    /// Drying fans and lights.
    pub fans: f64,
    /// Cool store, as if its condensers were outdoors.
    pub cool_store: f64,
    /// Demand and fixed charges and tax: the rest of the bill.
    pub charges: f64,
    /// Capital after grant, upkeep, replacements less what is left at the end.
    pub owning: f64,
    /// What the growth of energy prices adds; less than zero where prices fall.
    pub price_growth: f64,
    /// All of it.
    pub total: f64,
}

impl YearByCause {
    /// What this one costs above another, part by part.
    pub(crate) fn above(self, other: Self) -> Self {
        Self {
            heat: self.heat - other.heat,
            fans: self.fans - other.fans,
            cool_store: self.cool_store - other.cool_store,
            charges: self.charges - other.charges,
            owning: self.owning - other.owning,
            price_growth: self.price_growth - other.price_growth,
            total: self.total - other.total,
        }
    }
}

/// Why one option costs more or less than another in a year.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct DifferenceFigures {
    /// The option.
    pub option: String,
    /// Held against this one.
    pub against: String,
    /// What it costs above the other, by cause; less than zero where it costs less.
    pub above: YearByCause,
}

/// A price at which another option becomes the best, all other prices as they are.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct BreakEvenFigures {
    /// The carrier.
    pub carrier: String,
    /// Unit in which it is sold.
    pub unit: String,
    /// What a unit costs the recommended option, its whole bill over what it uses; the other option where the
    /// recommended one uses none.
    pub price: f64,
    /// How many times that price.
    pub times: f64,
    /// The price there.
    pub price_there: f64,
    /// The option that costs as little there.
    pub becomes: String,
}
