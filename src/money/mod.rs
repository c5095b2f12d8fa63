//! What energy costs: amounts to the cent, energy carriers, tariffs and bills, and money over the life
//! of a plant.

mod amount;
mod currency;

pub use amount::{Amount, NoAmount};
pub use currency::{Currency, UnknownCurrency};
