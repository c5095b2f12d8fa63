//! Balances that must close whatever the input: water and energy, in a layer and over a season.

mod convergence;
mod layer;
mod rooms;
mod season;
