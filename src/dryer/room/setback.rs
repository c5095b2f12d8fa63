//! A room set back for some hours: cooler air, slower fans.

use super::spec::Setback;
use super::state::Room;
use crate::dryer::bin::Phase;

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

    /// Air of the bins while fans are set back, and once more when they no longer are: a share for those
    /// that dry, all of it for those that cool.
    pub(super) fn slow_fans(&mut self) {
        let share = self.setback.fan_share;
        if share >= 1.0 && !self.fans_were_slow {
            return;
        }
        let spec = &self.spec;
        let by_curve = spec.fan_bank.is_some();
        for bin in &mut self.bins {
            let Some(load) = bin.load.as_mut() else {
                continue;
            };
            let share = match load.phase {
                Phase::Drying => share,
                Phase::Cooling => 1.0,
            };
            if share <= 0.0 {
                (load.airflow_m3_per_s, load.fan_kw, load.fan_heat_kw) = (0.0, 0.0, 0.0);
            } else if !by_curve {
                let full = spec.airflow_m3_per_s_per_tonne * bin.spec.capacity_t;
                let fan = spec.bin_fan.before(load.in_the_way);
                let duty = fan.duty_of_load(full, &bin.spec, load.received_kg, share);
                load.airflow_m3_per_s = duty.airflow_m3_per_s;
                load.fan_kw = duty.duty.electric_kw;
                load.fan_heat_kw = duty.duty.heat_to_air_kw;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::MoistAir;
    use crate::airflow::{
        BedResistance, CONVERTER_EFFICIENCY, CurvePoint, FanCurve, FanSpec, QuadraticResistance, SpeedControl,
    };
    use crate::crop::Mould;
    use crate::dryer::{
        AirPath, Ask, Bed, BinFan, BinSpec, BrokenHours, Course, FanBank, FanLayout, FanRun, Finish, Load, Nuts,
        RoomSpec, Stage, StageBy, Supply,
    };
    use approx::assert_relative_eq;
    use std::sync::Arc;

    /// Heat without end.
    struct Plenty;

    impl Supply for Plenty {
        fn unasked_kw(&self, _: &Ask) -> f64 {
            0.0
        }
        fn most_kw(&self, _: &Ask) -> f64 {
            1e6
        }
        fn uses_exhaust(&self) -> bool {
            false
        }
        fn goes_by_need(&self) -> bool {
            false
        }
        fn moves_water(&self) -> bool {
            false
        }
        fn water_kg_per_s(&self, _: f64, _: &Ask) -> f64 {
            0.0
        }
    }

    fn room() -> Room {
        let bin = BinSpec { capacity_t: 6.0, floor_area_m2: 5.0 };
        let spec = RoomSpec {
            name: "room".into(),
            air: AirPath::OnceThrough,
            bins: vec![bin],
            layers: 4,
            airflow_m3_per_s_per_tonne: 0.08,
            stage_by: StageBy::Mean,
            stages: vec![Stage { above_moisture: 0.0, temperature_c: 38.0 }],
            relative_humidity_max: 0.5,
            relative_humidity_when_short: 0.7,
            fresh_air_min_m3_per_s: 0.1,
            fresh_air_max_m3_per_s: 10.0,
            envelope_ua_w_per_k: 0.0,
            gains_kw: 0.0,
            lights_kw: 0.0,
            steel_kj_per_k: 0.0,
            bin_fan: BinFan {
                bed: BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.5 },
                bulk_density_kg_per_m3: 600.0,
                ducts: QuadraticResistance::from_point(300.0, 0.48).unwrap(),
                fan: FanSpec {
                    speed: SpeedControl::Variable { converter_efficiency: CONVERTER_EFFICIENCY },
                    ..FanSpec::default()
                },
                air_density_kg_per_m3: 1.07,
                air_c: 38.0,
            },
            fan_bank: None,
            fans_off_above_rh: None,
            extraction_kw_per_m3_per_s: 0.0,
        };
        let full = spec.bin_fan.duty(FULL_M3_PER_S, 6000.0, 5.0).duty;
        let mut room = Room::new(spec);
        room.bins[0].load = Some(Load {
            batch: 0,
            crop: 0,
            nuts: Arc::new(Nuts::INVENTED),
            in_the_way: None,
            bed: Bed::new(4, 5000.0, 0.2, 20.0),
            phase: Phase::Drying,
            finish: Finish { moisture: 0.05, spread: 0.05, ..Finish::default() },
            course: Course::default(),
            drying_from_hour: 0.0,
            received_kg: 6000.0,
            hours_in_phase: 0.0,
            airflow_m3_per_s: FULL_M3_PER_S,
            fan_kw: full.electric_kw,
            fan_heat_kw: full.heat_to_air_kw,
            fan_run: FanRun::default(),
            mould: Mould::default(),
            broken: BrokenHours::default(),
        });
        room
    }

    /// 0.08 m³/s a tonne through 6 t.
    const FULL_M3_PER_S: f64 = 0.48;
    const HALF: Setback = Setback { fan_share: 0.5, ..Setback::NONE };

    fn live_an_hour(room: &mut Room, to: Setback) -> Load {
        let outside = MoistAir::from_relative_humidity(20.0, 0.5, 95_000.0).unwrap();
        room.set_back(to);
        room.step(&outside, &Plenty, 1.0);
        room.bins[0].load.clone().unwrap()
    }

    #[test]
    fn a_batch_that_gets_dry_while_fans_are_slow_cools_in_all_its_air() {
        let mut room = room();
        let full_kw = room.bins[0].load.as_ref().unwrap().fan_kw;
        let load = live_an_hour(&mut room, HALF);
        assert_relative_eq!(load.airflow_m3_per_s, 0.5 * FULL_M3_PER_S);
        if let Some(load) = room.bins[0].load.as_mut() {
            load.phase = Phase::Cooling;
            load.finish.cooling_hours = 9.0;
            load.hours_in_phase = 0.0;
        }
        for to in [HALF, Setback::NONE, Setback::NONE] {
            let load = live_an_hour(&mut room, to);
            assert_relative_eq!(load.airflow_m3_per_s, FULL_M3_PER_S);
            assert_relative_eq!(load.fan_kw, full_kw);
        }
    }

    /// The motor is the one of the full air, and loses more of what it takes the less it is loaded.
    #[test]
    fn a_slow_fan_has_the_motor_of_the_full_air() {
        let mut room = room();
        let fan = room.spec.bin_fan;
        let full = live_an_hour(&mut room, Setback::NONE);
        let slow = live_an_hour(&mut room, HALF);
        let air_kw = |flow: f64| flow * fan.pressure_drop_pa(flow, 6000.0, 5.0) / 1000.0;
        let half = 0.5 * FULL_M3_PER_S;
        let expected = fan.fan.duty(half, fan.pressure_drop_pa(half, 6000.0, 5.0), air_kw(FULL_M3_PER_S));
        assert_relative_eq!(slow.fan_kw, expected.electric_kw);
        assert!(slow.fan_kw / full.fan_kw > air_kw(half) / air_kw(FULL_M3_PER_S) * 1.1);
        let again = live_an_hour(&mut room, Setback::NONE);
        assert_relative_eq!(again.fan_kw, full.fan_kw);
    }

    /// A curve far too short for the bed's air: held back at its last point while it runs.
    #[test]
    fn fans_that_stand_are_not_off_their_curve() {
        let mut room = room();
        let points = [(0.0, 4000.0), (0.1, 3000.0)].map(|(flow_m3_per_s, pressure_pa)| CurvePoint {
            flow_m3_per_s,
            pressure_pa,
            efficiency: 0.5,
        });
        room.spec.fan_bank = Some(FanBank {
            curve: FanCurve::through(points.to_vec()).unwrap(),
            layout: FanLayout::PerBin,
            fans: 1.0,
            least_speed: 0.2,
        });
        let outside = MoistAir::from_relative_humidity(20.0, 0.5, 95_000.0).unwrap();
        let mut throttled = |to: Setback| {
            room.set_back(to);
            room.step(&outside, &Plenty, 1.0).off_curve.throttled
        };
        let off = Setback { fan_share: 0.0, ..Setback::NONE };
        assert_eq!([Setback::NONE, off, off, Setback::NONE].map(&mut throttled), [1, 0, 0, 1]);
    }
}
