//! What a proposal saves against the baseline draw by draw: both options meet the same draw and the same weather year.

use super::point_answer::{Answer, SeasonSums};
use crate::answer::figures::{BothKey, ComparedFigure};
use crate::uncertainty::{Cases, Quantiles};

/// The ranges of what is saved, for the figures that draws answer.
pub(super) fn saved_in_draws(
    figures: &mut [ComparedFigure],
    (base, proposal): (usize, usize),
    draws: &[Vec<Answer>],
    cases: Cases,
) {
    for figure in figures {
        figure.saved_in_draws = of_a_season(&figure.key).map(|of| {
            let pairs = draws.iter().flat_map(|answers| answers[base].seasons.iter().zip(&answers[proposal].seasons));
            Quantiles::of(pairs.map(|(base, proposal)| of(base) - of(proposal)), cases)
        });
    }
}

/// A figure as the sums of a season hold it; nothing for one that is kept of no draw, or saved by all alike.
fn of_a_season(key: &BothKey) -> Option<fn(&SeasonSums) -> f64> {
    match key {
        BothKey::Used => Some(|sums| sums.energy.used_kwh),
        BothKey::Own => Some(|sums| sums.energy.own_kwh),
        BothKey::Purchased => Some(|sums| sums.energy.purchased_kwh()),
        BothKey::PeakDemand => Some(|sums| sums.electric_peak_kw),
        BothKey::Carbon => Some(|sums| sums.carbon_kg),
        BothKey::Bill => Some(|sums| sums.total_cost),
        BothKey::DriedNuts
        | BothKey::CarrierUsed(_)
        | BothKey::CarrierOwn(_)
        | BothKey::CarrierPurchased(_)
        | BothKey::PurchasedPerTonne
        | BothKey::CarbonScope1
        | BothKey::CarbonScope2
        | BothKey::CarbonPerTonne
        | BothKey::BiogenicCo2
        | BothKey::CarrierBill(_)
        | BothKey::Upkeep
        | BothKey::Capital
        | BothKey::Heat
        | BothKey::HeatYearly
        | BothKey::HeatLevelised => None,
    }
}
