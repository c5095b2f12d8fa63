//! What was fitted, to what: what all that is said of a fit is said from.

use super::settled::Settled;
use crate::crop::Crop;
use crate::dryer::log::Fit;

/// What was fitted, to what.
pub(super) struct Fitted {
    pub crop: Crop,
    pub logs: Vec<Settled>,
    pub fit: Fit,
}
