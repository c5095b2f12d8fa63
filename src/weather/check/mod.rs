//! Can it be? Times in order, values within limits, quantities that agree; a reading beside the site it shall stand for.

mod against_site;
pub(crate) mod agreement;
pub(crate) mod clock;
mod coverage;
mod daylight;
mod pressure;
pub(crate) mod station;
pub(crate) mod sun;
pub(crate) mod unlikely;
pub(crate) mod values;

pub use against_site::{SiteDatum, SiteDoubt, Spot, doubts_of_place, doubts_of_site};
