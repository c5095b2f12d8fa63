//! What energy costs: amounts to the cent, energy carriers, tariffs and bills, and money over the life
//! of a plant.

mod amount;
mod bill;
pub mod calendar;
mod carrier;
mod currency;
pub mod fuel;
mod tariff;

pub use amount::{Amount, NoAmount};
pub use bill::{Bill, DemandLine, EnergyLine, MonthBill};
pub use carrier::{BadCarrier, Carrier};
pub use currency::{Currency, UnknownCurrency};
pub use fuel::{Fuel, HeatingBasis, Unit};
pub use tariff::{BadTariff, DemandCharge, DemandMeasure, EnergyPrice, Period, Tariff};
