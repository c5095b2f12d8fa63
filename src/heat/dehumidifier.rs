//! A dehumidifying heat pump in a recirculating room.
//!
//! Part of the room's air passes a coil below its dew point. Some of it slips by untouched; the rest
//! leaves at the apparatus dew point, saturated, and its water as liquid. The condenser gives all that
//! heat and the compressor's back to the same air. The sensible heat goes round in a circle; what the
//! room gains is the latent heat of the condensate and the compressor's work.

use super::{Conditions, Draw, FreeHeat, HeatSource, Left, Origin};
use crate::air::{AirState, CP_VAPOUR, LATENT_AT_ZERO, liquid_water_enthalpy_kj_per_kg, saturation_humidity_ratio};

/// A dehumidifying heat pump. Its capacity is the heat of its condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dehumidifier {
    /// Air over the coil, kg of dry air per second.
    pub coil_air_kg_per_s: f64,
    /// Share of that air that slips by the coil untouched.
    pub bypass: f64,
    /// Apparatus dew point: the state of the air that the coil did touch, °C.
    pub apparatus_dew_point_c: f64,
    /// Evaporating temperature below the apparatus dew point, K.
    pub evaporator_approach_k: f64,
    /// Condensing temperature above the room's air, K.
    pub condenser_approach_k: f64,
    /// Fraction of Carnot reached, its fan counted.
    pub carnot_fraction: f64,
    /// Cooling over electricity is held at this where the lift is small.
    pub cooling_cop_max: f64,
    /// It stands still below this relative humidity of the room, fraction, and reaches its full power
    /// 5 percentage points above it.
    pub humidity_min: f64,
}

/// Humidity over which it comes to full power, fraction.
const BAND: f64 = 0.05;

/// It also needs this much water to drop, kg/kg, to work at full power: near its dew point the coil
/// cools and does not dry.
const LEAST_DROP: f64 = 5e-4;

/// What a kilowatt of cooling does.
struct PerCooling {
    /// Compressor, kW/kW.
    power: f64,
    /// Condensate, kg/kJ.
    condensate: f64,
    /// Gain of the room: latent heat and compressor, kW/kW.
    gain: f64,
    /// Water that the air touched by the coil drops, kg/kg.
    dropped: f64,
    /// Cooling of the air that the coil touches, kJ per kg of dry air.
    effect_kj_per_kg: f64,
}

impl Dehumidifier {
    fn per_cooling(&self, now: &Conditions) -> Option<PerCooling> {
        let room = now.air;
        let coil_c = self.apparatus_dew_point_c;
        let coil = AirState { dry_bulb_c: coil_c, humidity_ratio: saturation_humidity_ratio(coil_c, now.pressure_pa) };
        let dropped = room.humidity_ratio - coil.humidity_ratio;
        if dropped <= 0.0 || room.dry_bulb_c <= coil_c {
            return None;
        }
        let liquid = liquid_water_enthalpy_kj_per_kg(coil_c);
        let effect = room.enthalpy() - coil.enthalpy() - dropped * liquid;
        let evaporating_k = coil_c - self.evaporator_approach_k + 273.15;
        let condensing_k = room.dry_bulb_c + self.condenser_approach_k + 273.15;
        let carnot = evaporating_k / (condensing_k - evaporating_k).max(1.0);
        let power = 1.0 / (self.carnot_fraction * carnot).min(self.cooling_cop_max);
        let condensate = dropped / effect;
        let vapour = LATENT_AT_ZERO + CP_VAPOUR * room.dry_bulb_c;
        Some(PerCooling {
            power,
            condensate,
            gain: condensate * (vapour - liquid) + power,
            dropped,
            effect_kj_per_kg: effect,
        })
    }

    /// Water condensed per electricity in this room air, kg/kWh; `None` where there is nothing to
    /// condense.
    pub fn kg_per_kwh(&self, now: &Conditions) -> Option<f64> {
        self.per_cooling(now).map(|per| per.condensate / per.power * 3600.0)
    }
}

impl HeatSource for Dehumidifier {
    fn words(&self) -> &'static str {
        "dehumidifying heat pump"
    }

    fn most_kw(&self, capacity_kw: f64, now: &Conditions, _: Left) -> f64 {
        let Some(per) = self.per_cooling(now) else {
            return 0.0;
        };
        let humidity = now.air.relative_humidity(now.pressure_pa);
        let power = ((humidity - self.humidity_min) / BAND).clamp(0.0, 1.0) * (per.dropped / LEAST_DROP).min(1.0);
        let by_coil_kw = self.coil_air_kg_per_s * (1.0 - self.bypass) * per.effect_kj_per_kg;
        let cooling_kw = by_coil_kw.min(capacity_kw / (1.0 + per.power));
        power * cooling_kw * per.gain
    }

    fn draw(&self, heat_kw: f64, now: &Conditions) -> Draw {
        let Some(per) = self.per_cooling(now) else {
            return Draw::default();
        };
        let cooling_kw = heat_kw / per.gain;
        Draw {
            heat_kw,
            electricity_kw: cooling_kw * per.power,
            fuel_kw: 0.0,
            water_kg_per_h: -cooling_kw * per.condensate * 3600.0,
            charged_kw: 0.0,
        }
    }

    fn origin(&self) -> Origin<'_> {
        Origin::Of(FreeHeat::Vapour)
    }

    fn moves_water(&self) -> bool {
        true
    }

    fn dries_the_room(&self) -> bool {
        true
    }

    fn grow(&mut self, factor: f64) {
        self.coil_air_kg_per_s *= factor;
    }
}

#[cfg(test)]
impl Dehumidifier {
    /// One as they are built: assumptions, for tests.
    pub(crate) const USUAL: Self = Self {
        coil_air_kg_per_s: 1.5,
        bypass: 0.15,
        apparatus_dew_point_c: 12.0,
        evaporator_approach_k: 5.0,
        condenser_approach_k: 10.0,
        carnot_fraction: 0.45,
        cooling_cop_max: 6.0,
        humidity_min: 0.25,
    };
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn room(dry_bulb_c: f64, relative_humidity: f64) -> Conditions {
        let humidity_ratio = crate::air::humidity_ratio_of_vapour(
            relative_humidity * crate::air::saturation_pressure_pa(dry_bulb_c),
            101_325.0,
        );
        Conditions {
            pressure_pa: 101_325.0,
            recirculates: true,
            air: AirState { dry_bulb_c, humidity_ratio },
            ..Conditions::default()
        }
    }

    #[test]
    fn a_kilowatt_hour_condenses_one_to_four_kilograms_in_sane_rooms() {
        for (t, humidity) in [(28.0, 0.6), (32.0, 0.5), (38.0, 0.45), (43.0, 0.4)] {
            let kg = Dehumidifier::USUAL.kg_per_kwh(&room(t, humidity)).unwrap();
            assert!((1.0..4.0).contains(&kg), "{kg} at {t}");
        }
    }

    /// The same by an account of the air itself: it goes in as room air, comes out drier and warmer.
    #[test]
    fn the_air_that_passes_it_gains_the_latent_heat_and_the_compressors() {
        let now = room(38.0, 0.45);
        let heat_kw = Dehumidifier::USUAL.most_kw(60.0, &now, Left::NO_LIMIT);
        let draw = Dehumidifier::USUAL.draw(heat_kw, &now);
        let flow = Dehumidifier::USUAL.coil_air_kg_per_s;
        let dropped = -draw.water_kg_per_h / 3600.0 / flow;
        let coil_water = dropped * liquid_water_enthalpy_kj_per_kg(12.0);
        let out = now.air.enthalpy() - coil_water + draw.electricity_kw / flow;
        let humidity = now.air.humidity_ratio - dropped;
        let warmer = crate::air::dry_bulb_of_enthalpy_c(out, humidity) - 38.0;
        assert!(dropped > 0.0 && warmer > 0.0);
        // The gain is what warms the air, at the heat capacity it leaves with.
        let capacity = AirState { dry_bulb_c: 38.0, humidity_ratio: humidity }.heat_capacity();
        assert_relative_eq!(heat_kw, flow * capacity * warmer, max_relative = 1e-9);
    }

    #[test]
    fn dry_air_gives_it_nothing_to_do() {
        assert_eq!(Dehumidifier::USUAL.most_kw(60.0, &room(38.0, 0.2), Left::NO_LIMIT), 0.0);
        assert_eq!(Dehumidifier::USUAL.most_kw(60.0, &room(11.0, 0.9), Left::NO_LIMIT), 0.0);
        assert!(
            Dehumidifier::USUAL.most_kw(60.0, &room(38.0, 0.27), Left::NO_LIMIT)
                < Dehumidifier::USUAL.most_kw(60.0, &room(38.0, 0.31), Left::NO_LIMIT)
        );
    }
}
