//! The dryer: layer -> bed -> bin -> room, and the intake that fills it.
//!
//! A [`Layer`] is a slice of nuts that the air crosses; a [`Bed`] is layers in the direction of flow;
//! a [`Bin`] holds one batch as a bed; a [`Room`] holds bins and decides where their air comes from
//! and goes to.

mod bed;
mod bed_filling;
mod bin;
mod bin_fan;
mod fan_bank;
mod finish;
mod humidistat;
mod intake;
mod layer;
pub mod log;
mod nuts;
mod once_through;
mod passed;
mod recirculating;
mod room;
mod setback;
mod unbalanced;
mod water_balance;
mod way_in;

pub use bed::{Bed, NutsAt, Passage};
pub use bin::{Bin, BinSpec, BrokenHours, FanRun, Load, Phase};
pub use bin_fan::{BinFan, BinFanDuty, NutBed};
pub use fan_bank::{BinShare, FanBank, FanLayout, LoadedBin, OffCurve};
pub use finish::{Course, Finish};
pub use intake::{Delivery, Grade, IntakeShape, Parcel, Sort, TooLong, WaitingNuts, daily_tonnes};
pub use layer::{AirAt, Layer};
pub use nuts::{LAWS_RANGE_C, Nuts};
pub use passed::Passed;
pub use room::{AirPath, Ask, Room, RoomHour, RoomSpec, Stage, StageBy, Supply};
pub use setback::Setback;
