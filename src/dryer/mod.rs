//! The dryer: layer -> bed -> bin -> room, and the intake that fills it.
//!
//! A [`Layer`] is a slice of nuts that the air crosses; a [`Bed`] is layers in the direction of flow;
//! a [`Bin`] holds one batch as a bed; a [`Room`] holds bins and decides where their air comes from
//! and goes to.

mod bed;
mod bed_filling;
mod bin;
mod bin_fan;
mod bin_spec;
mod course;
mod fan_bank;
mod finish;
mod intake;
mod layer;
pub mod log;
mod nuts;
mod passed;
mod room;
mod streams;

pub use bed::{Bed, NutsAt, Passage};
pub use bin::{Bin, BrokenHours, FanRun, Load, Phase};
pub use bin_fan::{BinFan, BinFanDuty, NutBed};
pub use bin_spec::BinSpec;
pub use course::{Course, Finish};
pub use fan_bank::{BinShare, FanBank, FanLayout, LoadedBin, OffCurve};
pub use intake::{Delivery, Grade, IntakeShape, Parcel, Sort, TooLong, WaitingNuts, daily_tonnes};
pub use layer::Layer;
pub use nuts::{LAWS_RANGE_C, Nuts};
pub use passed::Passed;
pub use room::{AirPath, Ask, Room, RoomHour, RoomSpec, Setback, Stage, StageBy, Supply};
