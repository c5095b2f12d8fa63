//! What energy costs: amounts to the cent, energy carriers, tariffs and bills, and money over the life
//! of a plant.

mod amount;
mod carrier;
mod currency;
pub mod fuel;

pub use amount::{Amount, NoAmount};
pub use carrier::{BadCarrier, Carrier};
pub use currency::{Currency, UnknownCurrency};
pub use fuel::{Fuel, HeatingBasis, Unit};
