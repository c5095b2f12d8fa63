//! How many inputs there are, and what they rest on.

use super::figures::{Assumption, InputCounts};
use crate::crop::{Quantity, Status};
use crate::study::Study;
use std::collections::BTreeSet;

/// Each input once, and the crop library's values in use by their standing.
pub(super) fn input_counts(study: &Study, assumptions: &[Assumption]) -> InputCounts {
    let paths = |given: bool| {
        let all = assumptions.iter().filter(|input| input.is_given() == given);
        all.map(|input| input.path.as_str()).collect::<BTreeSet<_>>()
    };
    let given = paths(true);
    let mut counts =
        InputCounts { given: given.len(), taken: paths(false).difference(&given).count(), ..InputCounts::default() };
    let crops = study.crops.iter().map(|crop| &crop.crop);
    for value in crops.flat_map(|crop| Quantity::all().filter_map(|quantity| crop.value(quantity))) {
        match value.status {
            Status::Placeholder => counts.placeholders += 1,
            Status::Memory => counts.from_memory += 1,
            Status::CommonPractice => counts.common_practice += 1,
            Status::Derived => counts.derived += 1,
            Status::Read => counts.read += 1,
            Status::Given => {}
        }
    }
    counts
}
