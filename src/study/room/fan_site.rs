//! What the fan of a bin works on.

use crate::dryer::{AirPath, BinSpec};

/// What the fan of a bin works on.
pub(super) struct FanSite<'a> {
    /// Where the room's air goes.
    pub air: Option<AirPath>,
    /// The warmest stage, °C.
    pub stage_c: f64,
    /// Air through a bin, m³/s per received tonne.
    pub airflow_m3_per_s_per_tonne: f64,
    /// The bins, if they could be read.
    pub bins: Option<&'a [BinSpec]>,
    /// Above sea level, m.
    pub altitude_m: f64,
}
