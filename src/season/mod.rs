//! The season: the hour loop of one option in one weather year, and all of them in parallel.

mod branch;
mod course;
mod dispatch;
mod drying;
mod entry;
mod hour_sum;
mod impatient;
mod moves;
mod path;
mod paths;
mod phase;
mod plant;
mod reach;
mod reference;
mod room_entry;
mod room_sum;
mod run;
mod setback;
pub mod size;
mod step;
mod sun;
mod supply;
mod watch;

pub use drying::tail_hours;
pub use phase::{CapacityFactors, Grown, GrowthPhase};
pub use plant::{
    Calling, HandOver, HeatPrices, Heating, HotLimit, HourPrices, Intake, IntakeRow, Plant, PlantCrop, StayRules,
};
pub use reach::{NeverDry, NeverDryUnheated, Unreachable, check_reach};
pub use reference::{References, run_all, run_option};
pub use setback::{RoomSetback, SetbackHours};

#[cfg(test)]
mod tests;
