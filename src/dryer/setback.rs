//! A room set back for some hours: cooler air, slower fans.

use super::bin::Phase;
use super::room::Room;

/// What a room is set back to. Drying goes on in what air there is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setback {
    /// Air is held no warmer than this, °C; infinite where the temperature stays as it is.
    pub temperature_c: f64,
    /// Air through drying bins as a share of what they get otherwise, 0 (fans off) to 1.
    pub fan_share: f64,
}

impl Setback {
    /// Everything as it is without.
    pub const NONE: Self = Self {
        temperature_c: f64::INFINITY,
        fan_share: 1.0,
    };
}

impl Room {
    /// Sets the room back for the steps to come, or back to itself with [`Setback::NONE`].
    pub fn set_back(&mut self, to: Setback) {
        if to.fan_share != self.setback.fan_share {
            // Fans known by their curve are found anew.
            self.fans_set_for.clear();
        }
        self.fans_were_slow = self.setback.fan_share < 1.0;
        self.setback = to;
    }

    /// Says that a batch was filled on: fans known by their curve are found anew.
    pub fn loads_changed(&mut self) {
        self.fans_set_for.clear();
    }

    /// Air of the bins that dry while fans are set back, and once more when they no longer are.
    pub(super) fn slow_fans(&mut self) {
        let share = self.setback.fan_share;
        if share >= 1.0 && !self.fans_were_slow {
            return;
        }
        let spec = &self.spec;
        let by_curve = spec.fan_bank.is_some();
        for bin in &mut self.bins {
            let floor_area_m2 = bin.spec.floor_area_m2;
            let Some(load) = bin.load_in_mut(Phase::Drying) else {
                continue;
            };
            if share <= 0.0 {
                (load.airflow_m3_per_s, load.fan_kw, load.fan_heat_kw) = (0.0, 0.0, 0.0);
            } else if !by_curve {
                let full = spec.airflow_m3_per_s_per_tonne * load.received_kg / 1000.0;
                let airflow = share * full;
                let duty = spec
                    .bin_fan
                    .before(load.in_the_way)
                    .duty(airflow, load.received_kg, floor_area_m2)
                    .duty;
                load.airflow_m3_per_s = airflow;
                load.fan_kw = duty.electric_kw;
                load.fan_heat_kw = duty.heat_to_air_kw;
            }
        }
    }
}
