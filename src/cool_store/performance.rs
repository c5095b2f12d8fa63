//! What one cooling unit does in given air: its capacity and its power.

use super::compressor::Compressor;
use super::cycle::Refrigerant;
use super::duty::Duty;
use super::maker_table::MakerTable;

/// Air temperatures at which units are rated: 27/19 °C (dry/wet bulb) inside, 35 °C outside (ISO 5151
/// T1).
pub const RATED_AT: (StoreAir, f64) = (StoreAir { dry_bulb_c: 27.0, wet_bulb_c: 19.0 }, 35.0);

/// Range of condenser-air temperature over which the default curve was made, °C. Below it the
/// units hold their head pressure, so the figures at its lower end apply; above it the curve is
/// extended as it stands, up to the trip limit.
pub const CONDENSER_AIR_RANGE_C: (f64, f64) = (18.0, 46.11);

/// Range of evaporator entering wet bulb over which the default curve was made, °C; beyond it the
/// figures of its end apply.
const WET_BULB_RANGE_C: (f64, f64) = (12.78, 23.89);

/// Capacity over rated capacity: coefficients of 1, x, x², y, y², xy with x the evaporator's entering
/// wet bulb and y the condenser's entering dry bulb, °C. Generic air-cooled direct-expansion curve,
/// reprinted with the same digits in many public building-energy libraries; rated at 27/19 °C and
/// 35 °C (ISO 5151 T1). An empirical curve of no maker.
const CAPACITY: [f64; 6] = [0.942587793, 0.009543347, 0.00068377, -0.011042676, 0.000005249, -0.00000972];

/// Energy input ratio (1/COP) over the rated one: same form and source.
const ENERGY_INPUT: [f64; 6] = [0.342414409, 0.034885008, -0.0006237, 0.004977216, 0.000437951, -0.000728028];

/// The store's air as it enters the evaporators.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct StoreAir {
    /// Dry bulb, °C.
    pub dry_bulb_c: f64,
    /// Wet bulb, °C.
    pub wet_bulb_c: f64,
}

/// A unit's rating at ISO 5151 T1: 27/19 °C inside, 35 °C outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Cooling, kW.
    pub capacity_kw: f64,
    /// Cooling over electricity of compressor and condenser fan.
    pub cop: f64,
}

/// Where a unit's capacity and power come from.
#[derive(Clone, Debug, PartialEq)]
pub enum Performance {
    /// The rating, carried to other air by a generic empirical curve.
    Curve(Rating),
    /// The rating, carried to other air by a computed cycle of this refrigerant. Steeper than the
    /// empirical curve: the computed cycle knows no fan of constant power.
    Cycle(Rating, Refrigerant),
    /// A table of the unit's own.
    Table(MakerTable),
    /// The compressor's own ten-coefficient polynomials.
    Compressor(Compressor),
}

impl Performance {
    /// Capacity and power of a unit that runs without a break, with `condenser_air_c` entering its
    /// condenser.
    pub fn duty(&self, condenser_air_c: f64, store: StoreAir) -> Duty {
        match self {
            Self::Curve(rating) => {
                let x = store.wet_bulb_c.clamp(WET_BULB_RANGE_C.0, WET_BULB_RANGE_C.1);
                let y = condenser_air_c.max(CONDENSER_AIR_RANGE_C.0);
                let capacity_kw = rating.capacity_kw * biquadratic(&CAPACITY, x, y).max(0.0);
                Duty { capacity_kw, power_kw: capacity_kw / rating.cop * biquadratic(&ENERGY_INPUT, x, y) }
            }
            Self::Cycle(rating, refrigerant) => {
                let air_c = condenser_air_c.max(CONDENSER_AIR_RANGE_C.0);
                let now = refrigerant.cycle_at(air_c, store.wet_bulb_c);
                let rated = refrigerant.cycle_at(RATED_AT.1, RATED_AT.0.wet_bulb_c);
                let capacity_kw = rating.capacity_kw * now.cooling_kj_per_m3 / rated.cooling_kj_per_m3;
                Duty { capacity_kw, power_kw: capacity_kw / rating.cop * now.input / rated.input }
            }
            Self::Table(table) => table.duty(condenser_air_c, store.dry_bulb_c),
            Self::Compressor(compressor) => compressor.duty(condenser_air_c, store.dry_bulb_c),
        }
    }

    /// The same unit, so many times as large.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        let grown = |rating: &Rating| Rating { capacity_kw: rating.capacity_kw * factor, ..*rating };
        match self {
            Self::Curve(rating) => Self::Curve(grown(rating)),
            Self::Cycle(rating, refrigerant) => Self::Cycle(grown(rating), *refrigerant),
            Self::Table(table) => Self::Table(table.times(factor)),
            Self::Compressor(compressor) => Self::Compressor(compressor.times(factor)),
        }
    }

    /// The rating: as given, or what table and polynomials say at ISO 5151 T1.
    pub fn rating(&self) -> Rating {
        match self {
            Self::Curve(rating) | Self::Cycle(rating, _) => *rating,
            Self::Table(_) | Self::Compressor(_) => {
                let duty = self.duty(RATED_AT.1, RATED_AT.0);
                Rating { capacity_kw: duty.capacity_kw, cop: duty.cop() }
            }
        }
    }
}

impl Duty {
    /// Cooling over electricity.
    pub fn cop(&self) -> f64 {
        self.capacity_kw / self.power_kw
    }
}

fn biquadratic(c: &[f64; 6], x: f64, y: f64) -> f64 {
    c[0] + c[1] * x + c[2] * x * x + c[3] * y + c[4] * y * y + c[5] * x * y
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_rating_is_met_where_it_was_taken() {
        let rating = Rating { capacity_kw: 16.0, cop: 3.3 };
        for performance in [
            Performance::Curve(rating),
            Performance::Cycle(rating, Refrigerant::R32),
            Performance::Cycle(rating, Refrigerant::R410A),
            Performance::Cycle(rating, Refrigerant::R290),
        ] {
            let duty = performance.duty(RATED_AT.1, RATED_AT.0);
            // The empirical curve meets 1 at a wet bulb of 19.4 °C, to the thousandth at 19 °C.
            assert_relative_eq!(duty.capacity_kw, 16.0, max_relative = 0.02);
            assert_relative_eq!(duty.cop(), 3.3, max_relative = 0.02);
            assert_eq!(performance.rating(), rating);
        }
    }

    #[test]
    fn the_computed_cycle_is_steeper_than_the_empirical_curve() {
        let rating = Rating { capacity_kw: 16.0, cop: 3.3 };
        let store = StoreAir { dry_bulb_c: 21.0, wet_bulb_c: 15.3 };
        let growth = |performance: Performance| {
            let input = |air_c: f64| 1.0 / performance.duty(air_c, store).cop();
            input(45.0) / input(35.0)
        };
        let curve = growth(Performance::Curve(rating));
        for refrigerant in Refrigerant::ALL {
            assert!(growth(Performance::Cycle(rating, refrigerant)) > 1.05 * curve);
        }
    }
}
