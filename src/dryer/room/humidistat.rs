//! Fans that stand while the air is too damp: a humidistat before the nuts.

use super::state::Room;
use crate::air::{MoistAir, saturation_pressure_pa, vapour_pressure_pa};
use crate::dryer::bin::Phase;
use crate::dryer::streams::{after_fan, outside_at};

/// The fan of a bin that was stopped for a step: the bin's place, and its air, power and heat when it runs.
pub(super) struct StoppedFan {
    bin: usize,
    airflow_m3_per_s: f64,
    fan_kw: f64,
    fan_heat_kw: f64,
}

impl Room {
    /// Stops the fans of drying bins whose nuts would get air damper than the room's limit: outside air, as
    /// warm as the fan or the stage makes it. Dampers close with them: the air of other bins stays.
    pub(super) fn stop_fans_in_damp_air(&mut self, outside: &MoistAir, hours: f64) -> Vec<StoppedFan> {
        let Some(limit) = self.spec.fans_off_above_rh else {
            return Vec::new();
        };
        let air = outside_at(outside);
        let vapour_pa = vapour_pressure_pa(air.humidity_ratio, outside.pressure_pa());
        let mut stopped = Vec::new();
        for (place, bin) in self.bins.iter_mut().enumerate() {
            let Some(load) = bin.load_in_mut(Phase::Drying) else {
                continue;
            };
            let flow = load.airflow_m3_per_s / outside.specific_volume_m3_per_kg();
            let set_c = self.spec.temperature_for_bed(&load.bed).min(self.setback.temperature_c);
            let before_nuts_c = after_fan(air, load.fan_heat_kw, flow).dry_bulb_c.max(set_c);
            if flow <= 0.0 || vapour_pa <= limit * saturation_pressure_pa(before_nuts_c) {
                continue;
            }
            stopped.push(StoppedFan {
                bin: place,
                airflow_m3_per_s: load.airflow_m3_per_s,
                fan_kw: load.fan_kw,
                fan_heat_kw: load.fan_heat_kw,
            });
            (load.airflow_m3_per_s, load.fan_kw, load.fan_heat_kw) = (0.0, 0.0, 0.0);
            load.fan_run.damp_hours += hours;
        }
        stopped
    }

    /// Gives stopped fans their air back, for the next step to judge.
    pub(super) fn start_fans_again(&mut self, stopped: Vec<StoppedFan>) {
        for fan in stopped {
            if let Some(load) = self.bins[fan.bin].load.as_mut() {
                load.airflow_m3_per_s = fan.airflow_m3_per_s;
                load.fan_kw = fan.fan_kw;
                load.fan_heat_kw = fan.fan_heat_kw;
            }
        }
    }
}
