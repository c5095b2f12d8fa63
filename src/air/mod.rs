//! Moist air: pure functions, each with its equation, source and range.
//!
//! Source throughout: ASHRAE Handbook - Fundamentals (2017, SI), chapter 1 "Psychrometrics", with the
//! saturation equations of Hyland and Wexler (1983). The equations were read in an open-source
//! implementation that names them by number (`PsychroLib`), not in the Handbook itself. All quantities
//! are per kilogram of *dry* air unless a name says otherwise.
//!
//! Valid from -60 to 100 °C and from 50 to 110 kPa; outside that a constructor returns an
//! [`AirError`], never NaN. Relative humidity is a fraction here (0..1) and is taken over ice below
//! the triple point, as the Handbook does; meteorological services report it over water.

mod at_place;
mod constants;
mod process;
mod saturation;
mod state;
mod wet_bulb;

pub use at_place::AirState;
pub use constants::{
    CP_DRY_AIR, CP_LIQUID_WATER, CP_VAPOUR, LATENT_AT_ZERO, RATIO_OF_MOLAR_MASSES,
};
pub use process::{Stream, heat_to, mix};
pub use saturation::{
    SATURATION_RANGE_C, dew_point_of_vapour_c, humidity_ratio_of_vapour, saturation_humidity_ratio,
    saturation_pressure_pa, slope_of_ln_saturation, standard_pressure_pa, vapour_pressure_pa,
};
pub use state::{
    DRY_BULB_RANGE_C, MoistAir, PRESSURE_RANGE_PA, dry_bulb_of_enthalpy_c, enthalpy_kj_per_kg,
    liquid_water_enthalpy_kj_per_kg,
};

/// Why a state of moist air cannot exist or is outside the range of the equations.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum AirError {
    /// Dry bulb outside the range of the equations, °C.
    #[error(
        "dry-bulb temperature {0} °C is outside -60..100 °C, where the moist-air equations hold"
    )]
    DryBulb(f64),
    /// Pressure outside the range of the equations, Pa.
    #[error(
        "pressure {0} Pa is outside 50000..110000 Pa; give station pressure in pascal, or an altitude"
    )]
    Pressure(f64),
    /// Relative humidity outside 0..1 (shown in percent).
    #[error("relative humidity {:.1} % is outside 0..100 %", .0 * 100.0)]
    RelativeHumidity(f64),
    /// Humidity ratio negative, not finite, or above saturation.
    #[error(
        "humidity ratio {found} kg/kg is outside 0..{saturated} kg/kg (saturation at this temperature)"
    )]
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
    #[error(
        "water vapour at {vapour_pa:.0} Pa leaves no room for air at a total pressure of {pressure_pa:.0} Pa"
    )]
    Boiling {
        /// Vapour pressure, Pa.
        vapour_pa: f64,
        /// Total pressure, Pa.
        pressure_pa: f64,
    },
}
