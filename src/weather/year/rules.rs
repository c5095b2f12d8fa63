//! What may be filled.

/// What may be filled, and what the files do not say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MendRules {
    /// Gaps up to this long are filled, h; longer ones stay open.
    pub max_gap_hours: usize,
    /// Fill the longer ones too (up to fifteen days).
    pub fill_long_gaps: bool,
    /// Altitude of the site, m; goes before the files' elevation where pressure must be computed.
    pub altitude_m: Option<f64>,
    /// Local standard time minus UTC, minutes; goes before the files' own zone.
    pub utc_offset_minutes: Option<i32>,
}

impl Default for MendRules {
    /// Six hours, no longer gaps, nothing known beside the files.
    fn default() -> Self {
        Self { max_gap_hours: 6, fill_long_gaps: false, altitude_m: None, utc_offset_minutes: None }
    }
}
