//! The cool store: what it must be cooled by, the units that do it, and where their condensers stand.
//!
//! The store is stepped in two moves so that heat given off by condensers can enter the drying
//! room's own balance: [`Store::demand`] says what cooling the hour asks for, whatever the
//! condensers' air; [`Condensers::run`] runs the units at the condenser-air temperature that the hour
//! turned out to have, and [`Store::settle`] lets the store's temperature follow from what they gave.

mod compressor;
mod condenser_air;
mod cycle;
mod cycle_grid;
mod door;
mod drift;
mod duty;
mod load;
mod maker_table;
mod performance;
mod placement;
mod store;
mod unit;

pub use compressor::{Compressor, TenCoefficients};
pub use condenser_air::CondenserAirs;
pub use cycle::{CONDENSING_ABOVE_AIR_K, Cycle, EVAPORATING_BELOW_WET_BULB_K, Refrigerant};
pub use door::Doors;
pub use drift::Drift;
pub use duty::Duty;
pub use load::StoreLoad;
pub use maker_table::{BadTable, MakerTable, TablePoint};
pub use performance::{CONDENSER_AIR_RANGE_C, Performance, RATED_AT, Rating, StoreAir};
pub use placement::{Asked, Changeover, Condensers, Parted, Place, Placement, Stand, Tripped};
pub use store::{Arrival, Keeping, Store, StoreDemand, StoreHour, StoreSpec};
pub use unit::{CoolingUnits, Running, UnitAir};
