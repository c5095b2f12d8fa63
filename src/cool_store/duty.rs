//! What a cooling unit does without a break.

/// What a unit does without a break.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Duty {
    /// Cooling, kW.
    pub capacity_kw: f64,
    /// Electricity of compressor and condenser fan, kW.
    pub power_kw: f64,
}
