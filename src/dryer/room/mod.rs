//! A room of bins: where the air comes from, where it goes, and what heat that asks for.
//!
//! [`spec`] says how it is built and set, [`supply`] what it asks of the heat, [`hour`] what it did. [`state`] is
//! the room in a season, and [`step`] lets it live through a step: air that passes once, or air that comes back
//! ([`recirculating`], whose balance [`water_balance`], [`shortage`] and [`surplus`] close).

mod hour;
mod humidistat;
mod once_through;
mod recirculating;
mod search;
mod setback;
mod shortage;
mod spec;
mod state;
mod step;
mod supply;
mod surplus;
mod water_balance;
mod way_in;

pub use hour::RoomHour;
pub use spec::{AirPath, RoomSpec, Setback, Stage, StageBy};
pub use state::Room;
pub use supply::{Ask, Supply};
