//! A guard that fired.

use crate::number::Sentence;
use schemars::JsonSchema;
use serde::Serialize;

/// A guard that fired, over all weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct GuardFigures {
    /// Stable key, such as `waited-too-long`.
    pub key: String,
    /// The same as people call it, in a few words.
    pub name: String,
    /// One sentence: what happened, the worst of it, what to do.
    pub sentence: Sentence,
    /// Hours per season (batch-hours where it watches batches), mean over weather years.
    pub hours: f64,
    /// The worst, in `worst_unit`.
    pub worst: f64,
    /// Unit of `worst`.
    pub worst_unit: String,
    /// The limit that was broken then, in `limit_unit`: `worst` is above it where both have one unit, and
    /// otherwise measures what broke it.
    pub limit: f64,
    /// Unit of `limit`.
    pub limit_unit: String,
    /// The most nuts at once for which it was broken, t, of the guard that watches waiting nuts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_t: Option<f64>,
    /// True of a guard that watches nuts which wait or grow mouldy: where it fires, an option is no plan, whatever it costs.
    pub spoils_nuts: bool,
    /// Decimals with which `worst` and `limit` read apart.
    #[serde(skip)]
    pub decimals: usize,
    /// What `worst` is of the limit.
    #[serde(skip)]
    pub measures: Measures,
}

/// What the worst of a guard is: the value itself, or how far it stood above the limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Measures {
    /// The value itself.
    #[default]
    Value,
    /// How far above the limit.
    Excess,
}
