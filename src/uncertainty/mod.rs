//! How sure an answer is whose inputs are not: distributions of inputs, draws from them, and what a set
//! of draws says about an answer.
//!
//! Nothing here knows what is drawn or what is answered. A [`points`] plan says which inputs take which
//! values: draws of all of them together, and each of them alone at its low and at its high. Whoever
//! holds the model computes the answers; [`Quantiles`], [`rank_correlation`] and [`share_below`] read them.

mod distribution;
mod latin_hypercube;
mod odds;
mod points;
mod quantiles;
mod rank_correlation;

pub use distribution::{BadDistribution, Distribution, Limits, Shape};
pub use latin_hypercube::latin_hypercube;
pub use odds::share_below;
pub use points::{Point, Which, points};
pub use quantiles::{HIGH, LOW, Quantiles};
pub use rank_correlation::rank_correlation;
