//! Seasons that sizing by money took.

use schemars::JsonSchema;
use serde::Serialize;

/// How many seasons were run, and how many were not.
#[derive(Clone, Debug, Default, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct SeasonCounts {
    /// At most so many were to be run.
    pub most: usize,
    /// Run: one option in one weather year.
    pub run: usize,
    /// Plants that were tried.
    pub plants: usize,
    /// Times that a plant was asked for again and its seasons were known.
    pub asked_again: usize,
    /// Seasons not run since another weather year had broken a limit already.
    pub spared: usize,
}
