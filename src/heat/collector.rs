//! A roof or collector that preheats the fresh air with the sun.

use super::{Conditions, Draw, FreeHeat, HeatSource, Left, Origin, TiltedPlane};
use crate::air::CP_DRY_AIR;

/// An air collector whose air warms on its way along it, towards the temperature of a plate from which no
/// air carries heat off.
///
/// With what the plate takes up, eta0 G, and what it loses, U, both on the area A, air of heat capacity
/// flow C that comes in at `T_in` is warmed by
///
/// `dT = (eta0 G / U - (T_in - T_out)) (1 - exp(-U A / C))`
///
/// the exchange law of a stream beside one that keeps its temperature. Much air takes up
/// A (eta0 G - U (T_in - T_out)), little air comes out as hot as the plate. It is the
/// Hottel-Whillier-Bliss line with its heat removal factor at the air that flows, where plate and air are
/// taken as one (Hottel & Whillier 1958, Bliss 1959, as in any solar-engineering text; from memory, not
/// verified).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collector {
    /// Area, m².
    pub area_m2: f64,
    /// eta0: share of the light on it that its air would take up if nothing were lost (cover and
    /// absorber together), whatever the air; 0..1.
    pub effective_absorptance: f64,
    /// U: loss from the air in it to the outside, W/(m² K).
    pub loss_w_per_m2_k: f64,
    /// Tilt of its plane from the horizontal, degrees.
    pub tilt_deg: f64,
    /// Where it faces, degrees from north through east.
    pub azimuth_deg: f64,
    /// Electricity that its resistance costs the fans while it is in use, kW.
    pub fan_kw: f64,
}

/// The line of a collector test: efficiency = eta0 - U (T_in - T_out) / G at one air flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatedLine {
    /// Efficiency of the test where the air comes in as warm as the outside.
    pub efficiency: f64,
    /// Slope of the test's line, W/(m² K).
    pub slope_w_per_m2_k: f64,
    /// Air of the test, kg/s per m².
    pub air_kg_per_s_m2: f64,
}

impl RatedLine {
    /// eta0 and U of the collector itself: the heat removal factor of the test's air taken out again.
    /// `None` for a line that no collector has: no more can be lost to the outside than the air's own heat
    /// capacity flow, and no more taken up than the light.
    pub fn unrated(&self) -> Option<(f64, f64)> {
        let capacity_w_per_m2_k = 1000.0 * CP_DRY_AIR * self.air_kg_per_s_m2;
        let lost = self.slope_w_per_m2_k / capacity_w_per_m2_k;
        if lost >= 1.0 {
            return None;
        }
        if self.slope_w_per_m2_k <= 0.0 {
            return Some((self.efficiency, 0.0));
        }
        let loss = -capacity_w_per_m2_k * (-lost).ln_1p();
        let absorptance = self.efficiency * loss / self.slope_w_per_m2_k;
        (absorptance <= 1.0).then_some((absorptance, loss))
    }
}

impl Collector {
    /// What the sun gives the air that passes, kW, were it ever so small.
    fn sunned_kw(&self, now: &Conditions) -> f64 {
        let capacity_kw_per_k = now.fresh_capacity_kw_per_k();
        if now.sun_w_per_m2 <= 0.0 || capacity_kw_per_k <= 0.0 {
            return 0.0;
        }
        let warmer_k = now.intake_c - now.outside.dry_bulb_c;
        // What much air would take up.
        let taken_w_per_m2 = self.effective_absorptance * now.sun_w_per_m2 - self.loss_w_per_m2_k * warmer_k;
        let units = self.loss_w_per_m2_k * self.area_m2 / (1000.0 * capacity_kw_per_k);
        // (1 - exp(-n)) / n, which is 1 where nothing is lost.
        let removal = if units > 0.0 { -(-units).exp_m1() / units } else { 1.0 };
        (taken_w_per_m2 * self.area_m2 / 1000.0 * removal).max(0.0)
    }
}

impl HeatSource for Collector {
    fn words(&self) -> &'static str {
        "solar air collector"
    }

    fn most_kw(&self, capacity_kw: f64, now: &Conditions, _: Left) -> f64 {
        self.sunned_kw(now).min(capacity_kw)
    }

    fn draw(&self, heat_kw: f64, _: &Conditions) -> Draw {
        Draw { heat_kw, electricity_kw: self.fan_kw, ..Draw::default() }
    }

    fn origin(&self) -> Origin<'_> {
        Origin::Of(FreeHeat::Sun)
    }

    fn is_passive(&self) -> bool {
        true
    }

    fn plane(&self) -> Option<TiltedPlane> {
        Some(TiltedPlane { tilt_deg: self.tilt_deg, azimuth_deg: self.azimuth_deg })
    }

    fn grow(&mut self, factor: f64) {
        self.area_m2 *= factor;
        self.fan_kw *= factor;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::AirState;
    use approx::assert_relative_eq;

    fn collector() -> Collector {
        Collector {
            area_m2: 100.0,
            effective_absorptance: 0.6,
            loss_w_per_m2_k: 6.0,
            tilt_deg: 15.0,
            azimuth_deg: 0.0,
            fan_kw: 0.4,
        }
    }

    fn now(sun_w_per_m2: f64, fresh_kg_per_s: f64) -> Conditions {
        Conditions {
            outside: AirState { dry_bulb_c: 20.0, humidity_ratio: 0.008 },
            intake_c: 20.0,
            sun_w_per_m2,
            fresh_kg_per_s,
            ..Conditions::default()
        }
    }

    #[test]
    fn much_air_takes_up_all_that_reaches_the_plate() {
        assert_relative_eq!(collector().sunned_kw(&now(500.0, 1e6)), 30.0, max_relative = 1e-5);
        let warm = Conditions { intake_c: 40.0, ..now(500.0, 1e6) };
        assert_relative_eq!(collector().sunned_kw(&warm), 18.0, max_relative = 1e-5);
        let lossless = Collector { loss_w_per_m2_k: 0.0, ..collector() };
        assert_relative_eq!(lossless.sunned_kw(&now(500.0, 0.1)), 30.0);
    }

    #[test]
    fn little_air_comes_out_as_hot_as_the_plate() {
        let little = now(500.0, 0.01);
        let rise_k = collector().sunned_kw(&little) / little.fresh_capacity_kw_per_k();
        assert_relative_eq!(rise_k, 0.6 * 500.0 / 6.0, max_relative = 1e-9);
        assert_eq!(collector().sunned_kw(&now(500.0, 0.0)), 0.0);
        assert_eq!(collector().sunned_kw(&now(0.0, 5.0)), 0.0);
        // Air that comes in hotter than the plate is no reason to cool it.
        let hot = Conditions { intake_c: 75.0, ..now(500.0, 5.0) };
        assert_eq!(collector().sunned_kw(&hot), 0.0);
    }

    /// U A = C: 1 - 1/e of the way to the plate's temperature, where the lesser of the two limits would be
    /// the whole way.
    #[test]
    fn between_the_limits_the_air_goes_the_exchange_law() {
        let air_kg_per_s = 0.6 / now(500.0, 1.0).fresh_capacity_kw_per_k();
        let law = 30.0 * (1.0 - (-1.0_f64).exp());
        assert_relative_eq!(collector().sunned_kw(&now(500.0, air_kg_per_s)), law);
        // What a march along the collector in small steps gives.
        let (steps, capacity_kw_per_k) = (20_000, 0.6);
        let mut rise_k = 0.0;
        for _ in 0..steps {
            rise_k += (300.0 - 6.0 * rise_k) * 0.1 / f64::from(steps) / capacity_kw_per_k;
        }
        assert_relative_eq!(law, rise_k * capacity_kw_per_k, max_relative = 1e-4);
    }

    #[test]
    fn twice_the_area_adds_but_not_twice() {
        let twice = Collector { area_m2: 200.0, ..collector() };
        for air_kg_per_s in [0.1, 0.3, 0.6, 2.0] {
            let conditions = now(500.0, air_kg_per_s);
            let (one, two) = (collector().sunned_kw(&conditions), twice.sunned_kw(&conditions));
            assert!(two > one && two < 2.0 * one, "{air_kg_per_s}: {one} {two}");
        }
    }

    #[test]
    fn a_rated_line_gives_itself_back_at_the_air_of_its_test() {
        let line = RatedLine { efficiency: 0.5, slope_w_per_m2_k: 5.0, air_kg_per_s_m2: 0.02 };
        let (effective_absorptance, loss_w_per_m2_k) = line.unrated().unwrap();
        assert!(effective_absorptance > 0.5 && loss_w_per_m2_k > 5.0);
        let again = Collector { effective_absorptance, loss_w_per_m2_k, ..collector() };
        let dry = AirState { dry_bulb_c: 20.0, humidity_ratio: 0.0 };
        for (warmer_k, efficiency) in [(0.0, 0.5), (20.0, 0.5 - 5.0 * 20.0 / 800.0)] {
            let at = Conditions { outside: dry, intake_c: 20.0 + warmer_k, ..now(800.0, 2.0) };
            assert_relative_eq!(again.sunned_kw(&at), efficiency * 80.0, max_relative = 1e-9);
        }
        let impossible = RatedLine { slope_w_per_m2_k: 21.0, ..line };
        assert_eq!(impossible.unrated(), None);
        let more_than_the_light = RatedLine { efficiency: 0.8, slope_w_per_m2_k: 12.0, ..line };
        assert_eq!(more_than_the_light.unrated(), None);
        let lossless = RatedLine { slope_w_per_m2_k: 0.0, ..line };
        assert_eq!(lossless.unrated(), Some((0.5, 0.0)));
    }
}
