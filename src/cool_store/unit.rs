//! Cooling units against condenser-air temperature.

/// Range of condenser-air temperature over which the default curve was made, °C. Below it the
/// units hold their head pressure, so the figures at its lower end apply; above it the curve is
/// extended as it stands, up to the trip limit.
pub const CONDENSER_AIR_RANGE_C: (f64, f64) = (18.0, 46.11);

/// Range of evaporator entering wet bulb over which the default curve was made, °C.
const WET_BULB_RANGE_C: (f64, f64) = (12.78, 23.89);

/// Capacity over rated capacity: coefficients of 1, x, x², y, y², xy with x the evaporator's entering
/// wet bulb and y the condenser's entering dry bulb, °C. Generic air-cooled direct-expansion curve,
/// reprinted with the same digits in many public building-energy libraries; rated at 27/19 °C and
/// 35 °C (ISO 5151 T1). An empirical curve of no maker.
const CAPACITY: [f64; 6] = [
    0.942587793,
    0.009543347,
    0.00068377,
    -0.011042676,
    0.000005249,
    -0.00000972,
];

/// Energy input ratio (1/COP) over the rated one: same form and source.
const ENERGY_INPUT: [f64; 6] = [
    0.342414409,
    0.034885008,
    -0.0006237,
    0.004977216,
    0.000437951,
    -0.000728028,
];

/// Alike units that serve the store, staged one after the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoolingUnits {
    /// How many.
    pub count: u32,
    /// Cooling of one unit at rated conditions (ISO 5151 T1: 27/19 °C inside, 35 °C outside), kW.
    pub rated_capacity_kw: f64,
    /// COP at the same conditions: cooling over electricity of compressor and condenser fan.
    pub rated_cop: f64,
    /// Condenser-air temperature above which a unit trips, °C.
    pub condenser_air_max_c: f64,
    /// Loss of a cycling unit: its efficiency is multiplied by 1 - c (1 - run fraction).
    pub cycling_loss: f64,
}

/// What the units did. Powers are means over the step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Running {
    /// Cooling given, kW.
    pub cooling_kw: f64,
    /// Electricity of compressors and condenser fans, kW.
    pub electricity_kw: f64,
    /// Heat given off at the condensers, kW: cooling and electricity together.
    pub rejected_kw: f64,
    /// Cooling asked for and not given, kW.
    pub unmet_kw: f64,
    /// True if the condenser air was above the trip limit while cooling was asked for.
    pub tripped: bool,
}

fn biquadratic(c: &[f64; 6], x: f64, y: f64) -> f64 {
    c[0] + c[1] * x + c[2] * x * x + c[3] * y + c[4] * y * y + c[5] * x * y
}

impl CoolingUnits {
    /// Cooling of one unit, kW, at this condenser air and store wet bulb (both °C).
    pub fn capacity_kw(&self, condenser_air_c: f64, wet_bulb_c: f64) -> f64 {
        let (x, y) = in_range(condenser_air_c, wet_bulb_c);
        self.rated_capacity_kw * biquadratic(&CAPACITY, x, y).max(0.0)
    }

    /// COP of a unit that runs without a break, at this condenser air and store wet bulb.
    pub fn cop(&self, condenser_air_c: f64, wet_bulb_c: f64) -> f64 {
        let (x, y) = in_range(condenser_air_c, wet_bulb_c);
        self.rated_cop / biquadratic(&ENERGY_INPUT, x, y)
    }

    /// Runs the units to give `wanted_kw` of cooling: as many as it takes without a break, one more
    /// that cycles.
    pub fn run(&self, wanted_kw: f64, condenser_air_c: f64, wet_bulb_c: f64) -> Running {
        if wanted_kw <= 0.0 || self.count == 0 {
            return Running {
                unmet_kw: wanted_kw.max(0.0),
                ..Running::default()
            };
        }
        if condenser_air_c > self.condenser_air_max_c {
            return Running {
                unmet_kw: wanted_kw,
                tripped: true,
                ..Running::default()
            };
        }
        let one_kw = self.capacity_kw(condenser_air_c, wet_bulb_c);
        let cooling_kw = wanted_kw.min(one_kw * f64::from(self.count));
        let cop = self.cop(condenser_air_c, wet_bulb_c);
        let units = if one_kw > 0.0 {
            cooling_kw / one_kw
        } else {
            0.0
        };
        let run_fraction = units.fract();
        let cycling_kw = run_fraction * one_kw;
        let steady_kw = cooling_kw - cycling_kw;
        let part_load = 1.0 - self.cycling_loss * (1.0 - run_fraction);
        let electricity_kw = steady_kw / cop + cycling_kw / (cop * part_load);
        Running {
            cooling_kw,
            electricity_kw,
            rejected_kw: cooling_kw + electricity_kw,
            unmet_kw: wanted_kw - cooling_kw,
            tripped: false,
        }
    }
}

fn in_range(condenser_air_c: f64, wet_bulb_c: f64) -> (f64, f64) {
    (
        wet_bulb_c.clamp(WET_BULB_RANGE_C.0, WET_BULB_RANGE_C.1),
        condenser_air_c.max(CONDENSER_AIR_RANGE_C.0),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn units() -> CoolingUnits {
        CoolingUnits {
            count: 3,
            rated_capacity_kw: 16.0,
            rated_cop: 3.3,
            condenser_air_max_c: 46.0,
            cycling_loss: 0.25,
        }
    }

    #[test]
    fn rejected_heat_is_cooling_and_electricity() {
        for wanted in [0.0, 3.0, 16.0, 30.0, 90.0] {
            let run = units().run(wanted, 33.0, 15.3);
            assert_relative_eq!(run.rejected_kw, run.cooling_kw + run.electricity_kw);
            assert_relative_eq!(run.cooling_kw + run.unmet_kw, wanted);
        }
    }

    #[test]
    fn warmer_condenser_air_costs_more_and_trips_in_the_end() {
        let cool = units().run(10.0, 25.0, 15.3);
        let warm = units().run(10.0, 40.0, 15.3);
        assert!(warm.electricity_kw > 1.3 * cool.electricity_kw);
        let hot = units().run(10.0, 46.1, 15.3);
        assert!(hot.tripped && hot.cooling_kw == 0.0 && hot.unmet_kw == 10.0);
    }

    #[test]
    fn cycling_costs_and_full_steps_do_not() {
        let one = units().capacity_kw(30.0, 15.3);
        let cop = |wanted: f64| {
            let run = units().run(wanted, 30.0, 15.3);
            run.cooling_kw / run.electricity_kw
        };
        assert!(cop(0.2 * one) < 0.85 * cop(0.9999 * one));
        assert_relative_eq!(
            cop(0.999_999 * one),
            units().cop(30.0, 15.3),
            max_relative = 1e-5
        );
    }
}
