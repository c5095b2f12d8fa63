//! Cooling units: staged, cycling, tripping.

use super::duty::Duty;
use super::performance::{Performance, StoreAir};

/// Alike units that serve the store, staged one after the other.
#[derive(Clone, Debug, PartialEq)]
pub struct CoolingUnits {
    /// How many.
    pub count: u32,
    /// What one of them does.
    pub performance: Performance,
    /// Condenser-air temperature above which a unit trips, °C.
    pub condenser_air_max_c: f64,
    /// A unit that tripped starts again when its condenser air is this far below the limit, K.
    pub restart_below_k: f64,
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
    /// True if the condenser air kept them from running: it was above the trip limit, or they had
    /// tripped and it was not yet cool enough to start again.
    pub tripped: bool,
}

/// The air that units work between, and whether they stand tripped.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct UnitAir {
    /// Air into the condensers, °C.
    pub condenser_c: f64,
    /// Air into the evaporators.
    pub store: StoreAir,
    /// True if they tripped and have not run since.
    pub tripped: bool,
}

impl CoolingUnits {
    /// Runs `count` of the units to give `wanted_kw` of cooling: as many as it takes without a break,
    /// one more that cycles.
    pub fn run(&self, count: u32, wanted_kw: f64, air: UnitAir) -> Running {
        let limit_c =
            if air.tripped { self.condenser_air_max_c - self.restart_below_k } else { self.condenser_air_max_c };
        // Units that nobody calls on stay as they are.
        let tripped =
            if wanted_kw > 0.0 { air.condenser_c > limit_c } else { air.tripped && air.condenser_c > limit_c };
        if wanted_kw <= 0.0 || count == 0 || tripped {
            return Running { unmet_kw: wanted_kw.max(0.0), tripped: tripped && count > 0, ..Running::default() };
        }
        let one = self.performance.duty(air.condenser_c, air.store);
        let cooling_kw = wanted_kw.min(one.capacity_kw * f64::from(count));
        if cooling_kw <= 0.0 {
            return Running { unmet_kw: wanted_kw, ..Running::default() };
        }
        let electricity_kw = self.electricity_of(cooling_kw, &one);
        Running {
            cooling_kw,
            electricity_kw,
            rejected_kw: cooling_kw + electricity_kw,
            unmet_kw: wanted_kw - cooling_kw,
            tripped: false,
        }
    }

    /// Electricity for this much cooling at this air, kW, by as many units as it takes: neither how many there
    /// are nor their limit is asked. What cooling costs in one place is so compared with what the same cooling
    /// would cost in another.
    pub fn electricity_kw(&self, cooling_kw: f64, condenser_c: f64, store: StoreAir) -> f64 {
        let one = self.performance.duty(condenser_c, store);
        if cooling_kw <= 0.0 || one.capacity_kw <= 0.0 {
            return 0.0;
        }
        self.electricity_of(cooling_kw, &one)
    }

    /// Units of this duty: as many as it takes without a break, and one more that cycles.
    fn electricity_of(&self, cooling_kw: f64, one: &Duty) -> f64 {
        let run_fraction = (cooling_kw / one.capacity_kw).fract();
        let cycling_kw = run_fraction * one.capacity_kw;
        let steady_kw = cooling_kw - cycling_kw;
        let part_load = 1.0 - self.cycling_loss * (1.0 - run_fraction);
        (steady_kw + cycling_kw / part_load) / one.cop()
    }
}

#[cfg(test)]
mod tests {
    use super::super::performance::Rating;
    use super::*;
    use approx::assert_relative_eq;

    const STORE: StoreAir = StoreAir { dry_bulb_c: 21.0, wet_bulb_c: 15.3 };

    fn units() -> CoolingUnits {
        CoolingUnits {
            count: 3,
            performance: Performance::Curve(Rating { capacity_kw: 16.0, cop: 3.3 }),
            condenser_air_max_c: 46.0,
            restart_below_k: 3.0,
            cycling_loss: 0.25,
        }
    }

    fn run(wanted_kw: f64, condenser_c: f64, tripped: bool) -> Running {
        let air = UnitAir { condenser_c, store: STORE, tripped };
        units().run(3, wanted_kw, air)
    }

    #[test]
    fn rejected_heat_is_cooling_and_electricity() {
        for wanted in [0.0, 3.0, 16.0, 30.0, 90.0] {
            let run = run(wanted, 33.0, false);
            assert_relative_eq!(run.rejected_kw, run.cooling_kw + run.electricity_kw);
            assert_relative_eq!(run.cooling_kw + run.unmet_kw, wanted);
        }
    }

    /// What cooling takes is the same whether it is run or only asked about, and is known where units trip.
    #[test]
    fn electricity_for_a_cooling_is_that_of_units_that_give_it() {
        for wanted in [3.0, 16.0, 30.0] {
            let ran = run(wanted, 33.0, false);
            assert_relative_eq!(ran.electricity_kw, units().electricity_kw(wanted, 33.0, STORE));
        }
        assert!(units().electricity_kw(10.0, 47.0, STORE) > units().electricity_kw(10.0, 33.0, STORE));
        assert_eq!(units().electricity_kw(0.0, 33.0, STORE), 0.0);
    }

    #[test]
    fn warmer_condenser_air_costs_more_and_trips_in_the_end() {
        let cool = run(10.0, 25.0, false);
        let warm = run(10.0, 40.0, false);
        assert!(warm.electricity_kw > 1.3 * cool.electricity_kw);
        let hot = run(10.0, 46.1, false);
        assert!(hot.tripped && hot.cooling_kw == 0.0 && hot.unmet_kw == 10.0);
    }

    #[test]
    fn a_tripped_unit_waits_until_its_air_has_cooled() {
        assert!(run(10.0, 44.0, true).tripped);
        assert!(!run(10.0, 44.0, false).tripped);
        assert!(!run(10.0, 42.9, true).tripped);
        assert!(run(0.0, 44.0, true).tripped && !run(0.0, 50.0, false).tripped);
    }

    #[test]
    fn cycling_costs_and_full_steps_do_not() {
        let one = units().performance.duty(30.0, STORE);
        let cop = |wanted: f64| {
            let run = run(wanted, 30.0, false);
            run.cooling_kw / run.electricity_kw
        };
        assert!(cop(0.2 * one.capacity_kw) < 0.85 * cop(0.9999 * one.capacity_kw));
        assert_relative_eq!(cop(0.999_999 * one.capacity_kw), one.cop(), max_relative = 1e-5);
    }
}
