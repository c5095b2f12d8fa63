//! A computed vapour-compression cycle.

use super::cycle_grid::{
    CONDENSING_C, EVAPORATING_C, Grid, R32_COOLING, R32_INPUT, R290_COOLING, R290_INPUT, R410A_COOLING, R410A_INPUT,
};
use crate::interpolate::Place;

/// Condensing temperature above the air that enters the condenser, K (common practice for air-cooled
/// units, no published source).
pub const CONDENSING_ABOVE_AIR_K: f64 = 12.0;

/// Evaporating temperature below the wet bulb of the air that enters the evaporator, K: puts the rated
/// point (19 °C wet bulb) at 10 °C evaporating (assumption).
pub const EVAPORATING_BELOW_WET_BULB_K: f64 = 9.0;

/// Refrigerants whose cycle is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refrigerant {
    /// Difluoromethane.
    R32,
    /// A blend of R32 and R125.
    R410A,
    /// Propane.
    R290,
}

/// What a cycle does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cycle {
    /// Compressor work over cooling (1/COP); no fans.
    pub input: f64,
    /// Cooling per volume of suction gas, kJ/m³: the capacity of a compressor of fixed displacement
    /// follows it.
    pub cooling_kj_per_m3: f64,
}

impl Refrigerant {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::R32, Self::R410A, Self::R290];

    /// The designation (ISO 817).
    pub fn name(self) -> &'static str {
        match self {
            Self::R32 => "R32",
            Self::R410A => "R410A",
            Self::R290 => "R290",
        }
    }

    /// The cycle between these temperatures (°C), with 5 K superheat, 5 K subcooling and an isentropic
    /// efficiency of 0.65: interpolated in a table computed with CoolProp, within 1 % of it. Held at
    /// the table's ends, -10..20 °C evaporating and 20..65 °C condensing.
    pub fn cycle(self, evaporating_c: f64, condensing_c: f64) -> Cycle {
        let (input, cooling): (&Grid, &Grid) = match self {
            Self::R32 => (&R32_INPUT, &R32_COOLING),
            Self::R410A => (&R410A_INPUT, &R410A_COOLING),
            Self::R290 => (&R290_INPUT, &R290_COOLING),
        };
        let row = Place::held(&EVAPORATING_C, evaporating_c);
        let column = Place::held(&CONDENSING_C, condensing_c);
        let at = |grid: &Grid| row.between(|row| column.between(|column| grid[row][column]));
        Cycle { input: at(input), cooling_kj_per_m3: at(cooling) }
    }

    /// The cycle of an air-cooled unit with this air (°C) into its condenser and this wet bulb into its
    /// evaporator.
    pub fn cycle_at(self, condenser_air_c: f64, wet_bulb_c: f64) -> Cycle {
        self.cycle(wet_bulb_c - EVAPORATING_BELOW_WET_BULB_K, condenser_air_c + CONDENSING_ABOVE_AIR_K)
    }
}
