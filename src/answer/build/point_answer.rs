//! What is kept of an option at a point at which uncertain inputs are answered: sums, no books.

use crate::answer::ranking::Judged;
use crate::money::EnergyUse;

/// One option at one point.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Answer {
    /// One a weather year in which it was run.
    pub seasons: Vec<SeasonSums>,
    /// With the mean of the weather years.
    pub judged: Judged,
    /// Mean bill over the weather years.
    pub total_cost: f64,
    /// True if nuts may spoil in any of the weather years in which it was run.
    pub nuts_spoil: bool,
}

/// A season in sums.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct SeasonSums {
    pub total_cost: f64,
    pub cost_per_dried_t: f64,
    pub heat_need_kwh: f64,
    pub energy: EnergyUse,
    pub electric_peak_kw: f64,
    pub carbon_kg: f64,
}
