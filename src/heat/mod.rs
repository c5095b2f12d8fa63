//! Heat sources: one file per kind, and the stack that calls on them.
//!
//! A source is asked for heat and says what it takes to give it. Passive ones (an exchanger, a
//! collector) give what the hour offers; the others give what is asked, between a least and a most.
//! Some bring water into the air with their heat, or take it out: an open flame, a dehumidifying heat
//! pump.

mod biomass;
mod burner;
mod collector;
mod conditions;
mod dehumidifier;
mod effectiveness;
mod exchanger;
mod free_heat;
mod heat_pump;
mod heat_source;
mod heat_store;
mod hot_water;
mod kind;
mod open_flame;
mod pump_table;
mod resistance;
mod source;
mod stack;
mod water_heat_pump;

pub use biomass::Biomass;
pub use burner::Burner;
pub use collector::{Collector, RatedLine};
pub use conditions::Conditions;
pub use dehumidifier::Dehumidifier;
pub use effectiveness::{Arrangement, effectiveness};
pub use exchanger::{Effectiveness, Exchange, Exchanger};
pub use free_heat::Conversion;
pub use heat_pump::HeatPump;
pub use heat_source::{Draw, Drawn, FreeHeat, HeatSource, Left, Origin, TiltedPlane};
pub use heat_store::{HeatStore, Shifted};
pub use hot_water::HotWater;
pub use kind::Kind;
pub use open_flame::OpenFlame;
pub use pump_table::{BadPumpTable, PumpPoint, PumpTable};
pub use resistance::Resistance;
pub use source::Source;
pub use stack::{Dispatch, Given, Prices, Stack};
pub use water_heat_pump::WaterHeatPump;
