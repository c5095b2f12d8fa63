//! Ranks, phases of growth and warnings in figures.

use super::GuardFigures;
use crate::number::Sentence;
use schemars::JsonSchema;
use serde::Serialize;

/// An option that does the work, in figures.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct RankedFigures {
    /// Its place, from 1.
    pub place: usize,
    /// Its name.
    pub option: String,
    /// What it is ranked by.
    pub net_present_cost: f64,
    /// Other ranked options that cannot be told apart from it.
    pub level_with: Vec<String>,
}

/// An option in a phase of growth, the mean over the weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct PhaseFigures {
    /// Name of the phase; the study itself is `as it stands`.
    pub name: String,
    /// Name of the option.
    pub option: String,
    /// True of a phase of growth, false of the study as it stands.
    pub is_grown: bool,
    /// The first season with it, from 1; `null` of the study as it stands and of growth without a year.
    pub year: Option<u32>,
    /// Bought for it, at today's prices; `null` of growth without a year.
    pub capital: Option<f64>,
    /// True if the option does the work in it.
    pub does_the_work: bool,
    /// Nuts received, t.
    pub received_t: f64,
    /// Nuts dried, t.
    pub dried_t: f64,
    /// Bins there are.
    pub bins: usize,
    /// Heat capacity of the option's sources, kW.
    pub heat_kw: f64,
    /// The season's bill.
    pub total_cost: f64,
    /// The same per dried tonne.
    pub cost_per_dried_t: f64,
    /// The site's highest hour over the weather years, kW.
    pub electric_peak_kw: f64,
    /// Hours in which heat was short.
    pub hours_short: f64,
    /// Waiting nuts summed over time, tonne-days: the two that follow together.
    pub waiting_tonne_days: f64,
    /// Waiting for a bin to fall free, tonne-days.
    pub waiting_for_bin_tonne_days: f64,
    /// Waiting until a load has come together, tonne-days.
    pub waiting_for_load_tonne_days: f64,
    /// Guards that fired.
    pub guards: Vec<GuardFigures>,
}

/// What a warning is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum About {
    /// The study.
    Study,
    /// The weather, or whether it belongs to the study's site: figures made with it are in doubt.
    Weather,
}

/// A warning about the study or its weather.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct WarningFigures {
    /// What it is about.
    pub about: About,
    /// True of a note: something lies a little apart, and figures hardly suffer.
    pub is_note: bool,
    /// File in which it lies, without its folders.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// What was found and what to do.
    pub sentence: Sentence,
}
