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
mod error;
mod process;
mod saturation;
mod state;
mod wet_bulb;

pub use at_place::AirState;
pub use constants::{CP_DRY_AIR, CP_LIQUID_WATER, CP_VAPOUR, LATENT_AT_ZERO, RATIO_OF_MOLAR_MASSES};
pub use error::AirError;
pub use process::{Stream, heat_to, mix};
pub use saturation::{
    SATURATION_RANGE_C, dew_point_of_vapour_c, humidity_ratio_of_vapour, saturation_humidity_ratio,
    saturation_pressure_pa, slope_of_ln_saturation, standard_pressure_pa, vapour_pressure_pa,
};
pub(crate) use saturation::{saturation_humidity_ratios, saturation_pressures_pa};
pub use state::{
    DRY_BULB_RANGE_C, MoistAir, PRESSURE_RANGE_PA, dry_bulb_of_enthalpy_c, enthalpy_kj_per_kg,
    liquid_water_enthalpy_kj_per_kg,
};
