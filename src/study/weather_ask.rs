//! Which weather a study asks for.

use crate::weather::ColumnMap;

/// Which weather.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct WeatherAsk {
    /// Files or patterns, relative to the study.
    pub files: Vec<String>,
    /// Longest gap that is filled, h.
    pub max_gap_hours: u32,
    /// Fill longer ones too.
    pub fill_long_gaps: bool,
    /// How much warmer than in the files every hour is taken to be, K.
    pub warmer_by_k: f64,
    /// How to read tables that are of no known format; guessed where not given.
    pub columns: Option<ColumnMap>,
    /// Why weather of another place is used on purpose; without it, it is refused.
    pub elsewhere: Option<String>,
}
