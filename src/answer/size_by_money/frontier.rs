//! Investment against bill: of the plants that were tried and keep the limits, those that no other beats in both.

use super::figures::{SizedPlant, plant_figures};
use super::tries::Tried;
use crate::trial::MaySize;

/// Bills that differ by less are equal.
const CENT: f64 = 0.01;

/// The least bill for each investment, the least investment first.
pub(super) fn frontier<'a>(plant: &MaySize, tried: impl Iterator<Item = &'a Tried>) -> Vec<SizedPlant> {
    let keeping = tried.filter(|tried| tried.keeps());
    let mut all: Vec<SizedPlant> = keeping.filter_map(|tried| plant_figures(plant, Some(tried))).collect();
    all.sort_by(|a, b| a.investment.total_cmp(&b.investment).then(a.bill.total_cmp(&b.bill)));
    let mut least = f64::INFINITY;
    all.retain(|plant| {
        let is_least = plant.bill < least - CENT;
        if is_least {
            least = plant.bill;
        }
        is_least
    });
    all
}
