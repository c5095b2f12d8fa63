//! How sure an answer is whose inputs are not: distributions of inputs, draws from them, and what a set
//! of draws says about an answer.
//!
//! Nothing here knows what is drawn or what is answered. A [`points`] plan says which inputs take which
//! values: draws of all of them together, and each of them alone at its low and at its high. Whoever
//! holds the model computes the answers; [`Quantiles`], [`partial_rank_correlations`] and [`DrawOdds`] read them.

mod distribution;
mod latin_hypercube;
mod matrix;
mod odds;
mod pairing;
mod partial;
mod points;
mod quantiles;
mod rank_correlation;

pub(crate) use distribution::{Distribution, Limits, Shape, short};
pub(crate) use odds::{DrawOdds, STEADY_RANGE, share_below, steady_from};
pub(crate) use partial::{noise_of_partial, partial_rank_correlations};
pub(crate) use points::{Point, Which, blocks, points};
pub(crate) use quantiles::{Cases, LEAST_CASES, Quantiles};
pub(crate) use rank_correlation::rank_correlation;
