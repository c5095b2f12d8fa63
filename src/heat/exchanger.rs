//! Heat from the air that leaves to the fresh air that comes: an exchanger without mixing.

use super::effectiveness::{Arrangement, effectiveness};
use super::{Conditions, Draw, FreeHeat, HeatSource, Left, Origin};
use crate::air::{AirState, enthalpy_kj_per_kg, liquid_water_enthalpy_kj_per_kg, saturation_humidity_ratio};

/// How well it exchanges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Effectiveness {
    /// The same at every flow.
    Stated(f64),
    /// From its surface: falls as the flow rises.
    OfSurface {
        /// Transmittance times area, kW/K.
        ua_kw_per_k: f64,
        /// How the streams run.
        arrangement: Arrangement,
    },
}

/// An exhaust-to-intake exchanger with a bypass: it gives no more than is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exchanger {
    /// How well it exchanges.
    pub effectiveness: Effectiveness,
    /// Share of either stream that leaks past it.
    pub leak: f64,
    /// Electricity that its resistance costs the fans while it is in use, kW per kg/s of fresh air.
    pub fan_kw_per_kg_per_s: f64,
    /// Fresh air is led past it so that its plates are no colder than this, °C: on colder ones what condenses
    /// would freeze. At their coldest they lie midway between the leaving air and the coming, as they do where
    /// both sides exchange alike.
    pub frost_limit_c: f64,
}

/// What an exchanger does.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Exchange {
    /// Heat given to the fresh air, kW.
    pub heat_kw: f64,
    /// The air that left it to the outside, °C; saturated if water fell out.
    pub exhaust_c: f64,
    /// Water that fell out of the leaving air, kg/s.
    pub condensate_kg_per_s: f64,
}

impl Exchanger {
    /// What it does at its fullest under these conditions. None where the leaving air is no warmer than
    /// the coming.
    pub fn exchange(&self, now: &Conditions) -> Exchange {
        let exhaust = now.exhaust;
        let idle = Exchange { exhaust_c: exhaust.dry_bulb_c, ..Exchange::default() };
        let difference_k = exhaust.dry_bulb_c - now.intake_c;
        let flow = now.fresh_kg_per_s * (1.0 - self.leak);
        if difference_k <= 0.0 || flow <= 0.0 {
            return idle;
        }
        let intake = flow * now.outside.heat_capacity();
        let dry = flow * exhaust.heat_capacity();
        let heat_with = |leaving: f64| {
            let least = intake.min(leaving);
            let share = match self.effectiveness {
                Effectiveness::Stated(share) => share,
                Effectiveness::OfSurface { ua_kw_per_k, arrangement } => {
                    effectiveness(arrangement, ua_kw_per_k / least, least / intake.max(leaving))
                }
            };
            share * least * difference_k
        };
        // Condensing water makes the leaving air harder to cool: its heat capacity flow, as the heat it
        // gives over its fall in temperature, is found by repetition. It only grows, and is bounded.
        let mut leaving = dry;
        let mut heat_kw = heat_with(leaving);
        let mut left = outlet(exhaust, heat_kw / flow, now.pressure_pa);
        for _ in 0..40 {
            let fell = exhaust.dry_bulb_c - left.dry_bulb_c;
            if left.humidity_ratio >= exhaust.humidity_ratio || fell <= 0.0 {
                break;
            }
            let next = heat_kw / fell;
            let settled = (next / leaving - 1.0).abs() < 1e-10;
            leaving = next.max(dry);
            heat_kw = heat_with(leaving);
            left = outlet(exhaust, heat_kw / flow, now.pressure_pa);
            if settled {
                break;
            }
        }
        let coldest_c = 2.0 * self.frost_limit_c - now.intake_c;
        if left.dry_bulb_c < coldest_c {
            left = no_colder(exhaust, coldest_c, now.pressure_pa);
            let liquid =
                (exhaust.humidity_ratio - left.humidity_ratio) * liquid_water_enthalpy_kj_per_kg(left.dry_bulb_c);
            heat_kw = flow * (exhaust.enthalpy() - left.enthalpy() - liquid).max(0.0);
        }
        Exchange {
            heat_kw,
            exhaust_c: left.dry_bulb_c,
            condensate_kg_per_s: flow * (exhaust.humidity_ratio - left.humidity_ratio),
        }
    }
}

impl HeatSource for Exchanger {
    fn words(&self) -> &'static str {
        "exhaust-to-intake exchanger"
    }

    fn most_kw(&self, capacity_kw: f64, now: &Conditions, _: Left) -> f64 {
        self.exchange(now).heat_kw.min(capacity_kw)
    }

    fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw {
        Draw { heat_kw, electricity_kw: self.fan_kw_per_kg_per_s * now.fresh_kg_per_s, ..Draw::default() }
    }

    fn origin(&self) -> Origin<'_> {
        Origin::Of(FreeHeat::LeavingAir)
    }

    fn is_passive(&self) -> bool {
        true
    }

    fn uses_exhaust(&self) -> bool {
        true
    }

    fn grow(&mut self, factor: f64) {
        if let Effectiveness::OfSurface { ua_kw_per_k, .. } = &mut self.effectiveness {
            *ua_kw_per_k *= factor;
        }
    }
}

/// Air cooled to this temperature, or left as it is where it is colder; what is above saturation fell out.
fn no_colder(air: AirState, limit_c: f64, pressure_pa: f64) -> AirState {
    if air.dry_bulb_c <= limit_c {
        return air;
    }
    AirState {
        dry_bulb_c: limit_c,
        humidity_ratio: saturation_humidity_ratio(limit_c, pressure_pa).min(air.humidity_ratio),
    }
}

/// Air after it has given this much heat, kJ per kg of dry air; what is above saturation fell out, at
/// the temperature it leaves with.
fn outlet(air: AirState, heat_kj_per_kg: f64, pressure_pa: f64) -> AirState {
    let dry_c = air.dry_bulb_c - heat_kj_per_kg / air.heat_capacity();
    if saturation_humidity_ratio(dry_c, pressure_pa) >= air.humidity_ratio {
        return AirState { dry_bulb_c: dry_c, ..air };
    }
    let target = air.enthalpy() - heat_kj_per_kg;
    let (mut low, mut high) = (dry_c, air.dry_bulb_c);
    for _ in 0..60 {
        let t = 0.5 * (low + high);
        let held = saturation_humidity_ratio(t, pressure_pa).min(air.humidity_ratio);
        let fallen = (air.humidity_ratio - held) * liquid_water_enthalpy_kj_per_kg(t);
        if enthalpy_kj_per_kg(t, held) + fallen > target {
            high = t;
        } else {
            low = t;
        }
    }
    AirState { dry_bulb_c: high, humidity_ratio: saturation_humidity_ratio(high, pressure_pa).min(air.humidity_ratio) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn exchanger(effectiveness: Effectiveness) -> Exchanger {
        Exchanger { effectiveness, leak: 0.0, fan_kw_per_kg_per_s: 0.5, frost_limit_c: 0.0 }
    }

    fn now(exhaust_ratio: f64, outside_c: f64) -> Conditions {
        Conditions {
            outside: AirState { dry_bulb_c: outside_c, humidity_ratio: 0.006 },
            intake_c: outside_c,
            pressure_pa: 101_325.0,
            exhaust: AirState { dry_bulb_c: 38.0, humidity_ratio: exhaust_ratio },
            fresh_kg_per_s: 2.0,
            ..Conditions::default()
        }
    }

    #[test]
    fn what_one_stream_gains_the_other_gave() {
        for (ratio, outside_c) in [(0.012, 20.0), (0.019, 5.0), (0.025, -5.0)] {
            let now = now(ratio, outside_c);
            let done = exchanger(Effectiveness::Stated(0.7)).exchange(&now);
            let left = AirState { dry_bulb_c: done.exhaust_c, humidity_ratio: ratio - done.condensate_kg_per_s / 2.0 };
            let liquid = done.condensate_kg_per_s * liquid_water_enthalpy_kj_per_kg(left.dry_bulb_c);
            let gave = 2.0 * (now.exhaust.enthalpy() - left.enthalpy()) - liquid;
            assert_relative_eq!(gave, done.heat_kw, max_relative = 1e-6);
        }
    }

    #[test]
    fn condensing_air_gives_more_from_the_same_surface() {
        let of_surface = exchanger(Effectiveness::OfSurface { ua_kw_per_k: 4.0, arrangement: Arrangement::Crossflow });
        let dry = of_surface.exchange(&now(0.008, 5.0));
        let wet = of_surface.exchange(&now(0.022, 5.0));
        assert_eq!(dry.condensate_kg_per_s, 0.0);
        assert!(wet.condensate_kg_per_s > 0.0);
        assert!(wet.heat_kw > 1.03 * dry.heat_kw);
    }

    /// At -15 °C plates at 0 °C mean leaving air at 15 °C, and the balance still closes; where it stays warmer
    /// anyway, or the coming air is above 0 °C, nothing is held.
    #[test]
    fn in_frost_the_plates_are_held_above_it() {
        let cold = |exhaust_c: f64, outside_c: f64| {
            let mut now = now(0.004, outside_c);
            now.exhaust.dry_bulb_c = exhaust_c;
            now
        };
        let held = exchanger(Effectiveness::Stated(0.8));
        let free = Exchanger { frost_limit_c: -40.0, ..held };
        let here = cold(20.0, -15.0);
        assert!(free.exchange(&here).exhaust_c < 0.0);
        let done = held.exchange(&here);
        assert_relative_eq!(done.exhaust_c, 15.0);
        assert!(done.heat_kw < free.exchange(&here).heat_kw);
        let left = AirState { dry_bulb_c: 15.0, humidity_ratio: 0.004 - done.condensate_kg_per_s / 2.0 };
        let liquid = done.condensate_kg_per_s * liquid_water_enthalpy_kj_per_kg(15.0);
        let gave = 2.0 * (here.exhaust.enthalpy() - left.enthalpy()) - liquid;
        assert_relative_eq!(gave, done.heat_kw, max_relative = 1e-9);
        for other in [cold(60.0, -2.0), cold(8.0, 0.5)] {
            assert_eq!(held.exchange(&other), free.exchange(&other));
        }
        // Air that leaves the plant colder than that gives nothing.
        assert_eq!(held.exchange(&cold(5.0, -10.0)).heat_kw, 0.0);
    }

    #[test]
    fn it_stands_idle_in_air_as_warm_as_what_leaves_and_leaks_lose() {
        let plain = exchanger(Effectiveness::Stated(0.7));
        assert_eq!(plain.exchange(&now(0.012, 38.0)).heat_kw, 0.0);
        let leaky = Exchanger { leak: 0.1, ..plain };
        assert_relative_eq!(leaky.exchange(&now(0.012, 20.0)).heat_kw, 0.9 * plain.exchange(&now(0.012, 20.0)).heat_kw);
    }
}
