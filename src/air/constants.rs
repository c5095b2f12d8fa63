//! Constants of moist air.

/// Molar mass of water over that of dry air (ASHRAE Fundamentals 2017 ch. 1 eq. 20).
pub const RATIO_OF_MOLAR_MASSES: f64 = 0.621945;
/// Specific heat of dry air, kJ/(kg K) (ASHRAE Fundamentals 2017 ch. 1 eq. 30).
pub const CP_DRY_AIR: f64 = 1.006;
/// Specific heat of water vapour, kJ/(kg K) (same equation).
pub const CP_VAPOUR: f64 = 1.86;
/// Enthalpy of evaporation at 0 °C, kJ/kg (same equation).
pub const LATENT_AT_ZERO: f64 = 2501.0;
/// Specific heat of liquid water, kJ/(kg K) (same source, eq. 33).
pub const CP_LIQUID_WATER: f64 = 4.186;
