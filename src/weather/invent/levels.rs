//! What the days of each month vary around.

use super::climate::Monthly;

/// What the days of each month vary around.
#[derive(Clone, Debug)]
pub(crate) struct Levels {
    pub low_c: Monthly,
    pub high_c: Monthly,
    /// How far the dew point lies below the level of the minimum, K.
    pub dew_depression_k: Monthly,
    /// Rise of the dew point from forenoon to afternoon, half of it, K.
    pub dew_swing_k: Monthly,
    pub clearness: Option<Monthly>,
    pub wind_m_per_s: Option<Monthly>,
}
