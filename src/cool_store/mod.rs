//! The cool store: what it must be cooled by, the units that do it, and where their condensers stand.
//!
//! The store is stepped in two moves so that heat given off by condensers can enter the drying
//! room's own balance: [`Store::demand`] says what cooling the hour asks for, whatever the
//! condensers' air; [`Store::settle`] then runs the units at the condenser-air temperature that the
//! hour turned out to have.

mod placement;
mod store;
mod unit;

pub use placement::Placement;
pub use store::{Store, StoreDemand, StoreHour, StoreSpec};
pub use unit::{CONDENSER_AIR_RANGE_C, CoolingUnits, Running};
