//! A roof or collector that preheats the fresh air with the sun.

use super::{Conditions, Draw};

/// An air collector by the Hottel-Whillier-Bliss line: efficiency = eta0 - U (T_in - T_out) / G.
///
/// Hottel & Whillier (1958), Bliss (1959), as in any solar-engineering text (from memory, not verified).
/// eta0 and U hold at the airflow they were found at; `T_in` is the fresh air as it comes to the
/// collector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collector {
    /// Area, m².
    pub area_m2: f64,
    /// Efficiency where the air comes in as warm as the outside.
    pub zero_loss_efficiency: f64,
    /// Loss coefficient, W/(m² K).
    pub loss_w_per_m2_k: f64,
    /// Tilt of its plane from the horizontal, degrees.
    pub tilt_deg: f64,
    /// Where it faces, degrees from north through east.
    pub azimuth_deg: f64,
    /// Electricity that its resistance costs the fans while it is in use, kW.
    pub fan_kw: f64,
}

impl Collector {
    /// Efficiency with air coming in this much warmer than the outside, K, under this sun, W/m²; never
    /// below zero.
    pub fn efficiency(&self, warmer_k: f64, sun_w_per_m2: f64) -> f64 {
        if sun_w_per_m2 <= 0.0 {
            return 0.0;
        }
        (self.zero_loss_efficiency - self.loss_w_per_m2_k * warmer_k / sun_w_per_m2).max(0.0)
    }

    pub(super) fn most_kw(&self, now: &Conditions) -> f64 {
        let sun = now.sun_w_per_m2;
        let warmer_k = now.intake_c - now.outside.dry_bulb_c;
        let heat_kw = self.efficiency(warmer_k, sun) * sun * self.area_m2 / 1000.0;
        // Little air cannot carry it all off: it gets no hotter than the plate does without any.
        let stagnation_k = if self.loss_w_per_m2_k > 0.0 {
            self.zero_loss_efficiency * sun / self.loss_w_per_m2_k
        } else {
            f64::INFINITY
        };
        heat_kw.min(now.fresh_capacity_kw_per_k() * (stagnation_k - warmer_k).max(0.0))
    }

    pub(super) fn draw(&self, heat_kw: f64) -> Draw {
        Draw { heat_kw, electricity_kw: self.fan_kw, ..Draw::default() }
    }
}

#[cfg(test)]
mod tests {
    use super::super::AirState;
    use super::*;
    use approx::assert_relative_eq;

    fn collector() -> Collector {
        Collector {
            area_m2: 100.0,
            zero_loss_efficiency: 0.6,
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
    fn the_line_runs_from_eta0_to_stagnation() {
        assert_relative_eq!(collector().efficiency(0.0, 800.0), 0.6);
        assert_relative_eq!(collector().efficiency(40.0, 800.0), 0.3);
        assert_eq!(collector().efficiency(80.0, 800.0), 0.0);
        assert_eq!(collector().efficiency(0.0, 0.0), 0.0);
    }

    #[test]
    fn heat_follows_the_sun_and_no_air_carries_none() {
        assert_relative_eq!(collector().most_kw(&now(500.0, 5.0)), 30.0);
        assert_eq!(collector().most_kw(&now(0.0, 5.0)), 0.0);
        assert_eq!(collector().most_kw(&now(500.0, 0.0)), 0.0);
        let warm = Conditions { intake_c: 40.0, ..now(500.0, 5.0) };
        assert_relative_eq!(collector().most_kw(&warm), 0.36 * 50.0);
    }
}
