//! Balances that must close whatever the input: water and energy, in a layer and over a season.

mod convergence;
mod crops;
mod layer;
mod paths;
mod rooms;
mod season;
