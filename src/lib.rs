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
pub mod chance;
pub mod command;
pub mod cool_store;
pub mod crop;
pub mod doubt;
pub mod dryer;
mod export;
pub mod heat;
pub mod interpolate;
mod lanes;
pub mod ledger;
pub mod money;
mod number;
mod page;
mod palette;
mod printable;
pub mod problem;
pub mod season;
pub mod solve;
pub mod study;
pub mod table;
pub mod trial;
pub mod uncertainty;
mod unit;
pub mod weather;
