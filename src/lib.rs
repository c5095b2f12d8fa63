//! What a season of drying in-shell nuts costs in energy, which way of heating is best, and what
//! the heat rejected by the cool store's condensers is really worth.
//!
//! Data flows one way; a room knows only rooms to its left or below:
//!
//! ```text
//! study file ─┐
//! weather ────┼─> season (hour by hour) ─> ledger ─> money ─> uncertainty ─> answer -> page / export
//! crop ───────┘        uses: dryer, cool_store, heat, airflow ─> air
//! ```
#![cfg_attr(not(test), deny(clippy::unwrap_used))]

pub mod air;
pub mod airflow;
mod answer;
pub mod calendar;
mod chance;
pub mod command;
pub mod cool_store;
pub mod crop;
mod doubt;
pub mod dryer;
mod export;
pub mod heat;
mod interpolate;
mod lanes;
pub mod ledger;
pub mod money;
mod number;
mod page;
mod palette;
mod printable;
mod problem;
pub mod season;
mod solve;
mod study;
mod table;
mod trial;
mod uncertainty;
mod unit;
pub mod weather;

/// Every key of a study, for whoever holds a text against the list.
pub mod keys {
    pub use crate::study::keys::{Need, Shape, Tables};
    pub use crate::study::{File, all_keys};
}
