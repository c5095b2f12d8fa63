//! Nuts: how much water they hold, how fast they give it up, and what is known of each kind.
//!
//! All nuts here are *in shell*, shell and kernel together; kernels alone hold far less water in the
//! same air, as [`IsothermPair`] says. Moisture is a dry-basis fraction everywhere except in [`water`], which converts, and in
//! the values that people read and override ([`Quantity`]), which are in % wet basis.

mod beside_library;
mod checked;
mod form;
mod isotherm;
mod kernel;
mod kind;
mod library;
mod mould;
mod properties;
mod sourced;
mod sphere;
mod thin_layer;
pub mod water;

pub use beside_library::{TooWet, far_rate, too_wet};
pub use checked::CropError;
pub use form::IsothermError;
#[cfg(test)]
pub(crate) use isotherm::tests::FORMS;
pub use isotherm::{Isotherm, RH_CEILING};
pub use kernel::{IsothermPair, KernelIsotherm, PAIR_ACTIVITY, PairError, RestedNut};
pub use kind::Crop;
pub use library::{UnknownCrop, all, find};
pub use mould::{FIRST_GROWTH, HOURS_ON_WOOD, Mould, MouldLaw};
pub use properties::{Bed, DryingLaw, IsothermOrigin, Practice, TemperatureLimit};
pub use sourced::{ProvenanceLine, Quantity, Sourced, Status};
pub use sphere::{fourier_of_sphere, moisture_ratio_of_sphere};
pub use thin_layer::{ThinLayer, rate_of_log_per_h};
