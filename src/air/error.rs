//! Air that cannot be.

/// Why a state of moist air cannot exist or is outside the range of the equations.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum AirError {
    /// Dry bulb outside the range of the equations, °C.
    #[error("dry-bulb temperature {0} °C is outside -60..100 °C, where the moist-air equations hold")]
    DryBulb(f64),
    /// Pressure outside the range of the equations, Pa.
    #[error("pressure {0} Pa is outside 50000..110000 Pa; give station pressure in pascal, or an altitude")]
    Pressure(f64),
    /// Relative humidity outside 0..1 (shown in percent).
    #[error("relative humidity {:.1} % is outside 0..100 %", .0 * 100.0)]
    RelativeHumidity(f64),
    /// Humidity ratio negative, not finite, or above saturation.
    #[error("humidity ratio {found} kg/kg is outside 0..{saturated} kg/kg (saturation at this temperature)")]
    HumidityRatio {
        /// What was given, kg/kg.
        found: f64,
        /// Humidity ratio at saturation, kg/kg.
        saturated: f64,
    },
    /// Dew point above the dry bulb, °C, or below the range of the saturation equations.
    #[error(
        "dew point {dew_point_c} °C cannot belong to air at {dry_bulb_c} °C: it must lie between -100 °C and the dry bulb"
    )]
    DewPoint {
        /// What was given, °C.
        dew_point_c: f64,
        /// The air's dry bulb, °C.
        dry_bulb_c: f64,
    },
    /// Wet bulb above the dry bulb, or so low that the humidity would be negative, °C.
    #[error(
        "wet bulb {wet_bulb_c} °C cannot belong to air at {dry_bulb_c} °C: the air would be wetter than saturated or drier than dry"
    )]
    WetBulb {
        /// What was given, °C.
        wet_bulb_c: f64,
        /// The air's dry bulb, °C.
        dry_bulb_c: f64,
    },
    /// The vapour pressure asked for reaches the total pressure: the air would be boiling water.
    #[error("water vapour at {vapour_pa:.0} Pa leaves no room for air at a total pressure of {pressure_pa:.0} Pa")]
    Boiling {
        /// Vapour pressure, Pa.
        vapour_pa: f64,
        /// Total pressure, Pa.
        pressure_pa: f64,
    },
}
