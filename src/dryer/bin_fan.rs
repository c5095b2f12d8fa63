//! The fan of a bin: pressure of its bed and of everything else in the air's way.

use super::bin_spec::BinSpec;
use crate::airflow::{
    BedResistance, FanCurve, FanDuty, FanSpec, QuadraticResistance, SpeedControl, air_viscosity_pa_s,
};
use crate::solve::rising_root;

/// What a bin's fan works against, and the fan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BinFan {
    /// Resistance of the nuts.
    pub bed: BedResistance,
    /// Bulk density of the nuts as received, kg/m³; gives the depth.
    pub bulk_density_kg_per_m3: f64,
    /// Floor, ducts and heater of one bin at full load.
    pub ducts: QuadraticResistance,
    /// The fan.
    pub fan: FanSpec,
    /// Density of the air that the fan moves, kg/m³.
    pub air_density_kg_per_m3: f64,
    /// Temperature of the air in the bed, °C, for its viscosity.
    pub air_c: f64,
}

/// Nuts in a bin, in the way of the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NutBed {
    /// Resistance of the nuts.
    pub resistance: BedResistance,
    /// Bulk density as received, kg/m³.
    pub bulk_density_kg_per_m3: f64,
}

/// What a fan takes for one load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BinFanDuty {
    /// Air, m³/s.
    pub airflow_m3_per_s: f64,
    /// Depth of the bed, m.
    pub depth_m: f64,
    /// Superficial velocity in the bed, m/s.
    pub velocity_m_per_s: f64,
    /// Drop through the nuts, Pa.
    pub bed_pa: f64,
    /// Drop through floor, ducts and heater, Pa.
    pub ducts_pa: f64,
    /// Electricity and heat.
    pub duty: FanDuty,
}

impl BinFan {
    /// The same fan before other nuts; before its own where none are given.
    #[must_use]
    pub fn before(&self, nuts: Option<NutBed>) -> Self {
        nuts.map_or(*self, |nuts| Self {
            bed: nuts.resistance,
            bulk_density_kg_per_m3: nuts.bulk_density_kg_per_m3,
            ..*self
        })
    }

    /// The duty of the fan of a bin that was set to give the full bin `full_airflow_m3_per_s`, when the bin
    /// holds `received_kg` and the fan is slowed to `share` (0 to 1) of the air that it then gives.
    ///
    /// A fan of variable speed follows the load, tonne by tonne. One of fixed speed gives what the lesser bed
    /// lets through, which is more than the full bin's air: see [`BinFan::air_at_fixed_speed`].
    pub fn duty_of_load(&self, full_airflow_m3_per_s: f64, bin: &BinSpec, received_kg: f64, share: f64) -> BinFanDuty {
        let air = match self.fan.speed {
            SpeedControl::Variable { .. } => {
                self.fan.flow_m3_per_s(full_airflow_m3_per_s * received_kg / bin.full_kg(), full_airflow_m3_per_s)
            }
            SpeedControl::Fixed => self.air_at_fixed_speed(full_airflow_m3_per_s, bin, received_kg),
        };
        let floor_area_m2 = bin.floor_area_m2;
        let full_pa = self.pressure_drop_pa(full_airflow_m3_per_s, bin.full_kg(), floor_area_m2);
        let design_air_kw = full_airflow_m3_per_s * full_pa / 1000.0;
        self.duty_at(share * air, design_air_kw, received_kg, floor_area_m2)
    }

    /// Air, m³/s, of a fan of fixed speed that was set for the full bin and blows on one that holds
    /// `received_kg`: where what the bin resists meets the fan's curve. No curve is given, so one is assumed:
    /// the parabola of falling pressure that has its most air power at the full bin's duty, as of a fan chosen
    /// for that duty. It then gives 1.5 times the duty's pressure without air and √3 times its air without
    /// resistance.
    pub fn air_at_fixed_speed(&self, full_airflow_m3_per_s: f64, bin: &BinSpec, received_kg: f64) -> f64 {
        let floor_area_m2 = bin.floor_area_m2;
        let full_pa = self.pressure_drop_pa(full_airflow_m3_per_s, bin.full_kg(), floor_area_m2);
        let most_m3_per_s = 3f64.sqrt() * full_airflow_m3_per_s;
        let Ok(curve) = FanCurve::parabola(1.5 * full_pa, most_m3_per_s, self.fan.fan_efficiency) else {
            // Nothing resists: there is nothing for the load to change.
            return full_airflow_m3_per_s;
        };
        let slope = 3.0 * full_pa / full_airflow_m3_per_s;
        let lacking_pa = |flow: f64| self.pressure_drop_pa(flow, received_kg, floor_area_m2) - curve.pressure_pa(flow);
        let bounds = (0.0, most_m3_per_s);
        rising_root(full_airflow_m3_per_s, slope, bounds, 1e-10 * full_pa, lacking_pa).x
    }

    /// The duty of a bin with this floor that holds `received_kg` and gets `airflow_m3_per_s`, of a fan whose
    /// motor is sized for just that.
    pub fn duty(&self, airflow_m3_per_s: f64, received_kg: f64, floor_area_m2: f64) -> BinFanDuty {
        self.duty_at_share(1.0, airflow_m3_per_s, received_kg, floor_area_m2)
    }

    /// The same at a share (0 to 1) of the air, m³/s, that the motor is sized for.
    pub fn duty_at_share(
        &self,
        share: f64,
        full_airflow_m3_per_s: f64,
        received_kg: f64,
        floor_area_m2: f64,
    ) -> BinFanDuty {
        let full_pa = self.pressure_drop_pa(full_airflow_m3_per_s, received_kg, floor_area_m2);
        let design_air_kw = full_airflow_m3_per_s * full_pa / 1000.0;
        self.duty_at(share * full_airflow_m3_per_s, design_air_kw, received_kg, floor_area_m2)
    }

    /// The duty at this airflow of a fan whose motor is sized for `design_air_kw`.
    fn duty_at(&self, airflow_m3_per_s: f64, design_air_kw: f64, received_kg: f64, floor_area_m2: f64) -> BinFanDuty {
        let depth_m = received_kg / self.bulk_density_kg_per_m3 / floor_area_m2;
        let velocity = airflow_m3_per_s / floor_area_m2;
        let bed_pa = self.bed_pa(velocity, depth_m);
        let ducts_pa = self.ducts.pressure_drop_pa(airflow_m3_per_s);
        BinFanDuty {
            airflow_m3_per_s,
            depth_m,
            velocity_m_per_s: velocity,
            bed_pa,
            ducts_pa,
            duty: self.fan.duty(airflow_m3_per_s, bed_pa + ducts_pa, design_air_kw),
        }
    }

    /// Drop, Pa, through nuts, floor, ducts and heater of a bin with this floor that holds `received_kg`,
    /// at an airflow in m³/s.
    pub fn pressure_drop_pa(&self, airflow_m3_per_s: f64, received_kg: f64, floor_area_m2: f64) -> f64 {
        let depth_m = received_kg / self.bulk_density_kg_per_m3 / floor_area_m2;
        self.bed_pa(airflow_m3_per_s / floor_area_m2, depth_m) + self.ducts.pressure_drop_pa(airflow_m3_per_s)
    }

    fn bed_pa(&self, velocity_m_per_s: f64, depth_m: f64) -> f64 {
        self.bed.pressure_drop_pa(velocity_m_per_s, depth_m, self.air_density_kg_per_m3, air_viscosity_pa_s(self.air_c))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::airflow::CONVERTER_EFFICIENCY;
    use approx::assert_relative_eq;

    const BIN: BinSpec = BinSpec { capacity_t: 6.0, floor_area_m2: 5.0 };
    const FULL_M3_PER_S: f64 = 0.6;

    fn fan() -> BinFan {
        BinFan {
            bed: BedResistance::Ergun { diameter_m: 0.0237, porosity: 0.42, shape_factor: 1.5 },
            bulk_density_kg_per_m3: 600.0,
            ducts: QuadraticResistance::from_point(350.0, FULL_M3_PER_S).unwrap(),
            fan: FanSpec::default(),
            air_density_kg_per_m3: 1.07,
            air_c: 38.0,
        }
    }

    #[test]
    fn a_fixed_fan_blows_more_on_a_lesser_load_and_the_named_air_on_the_full_bin() {
        let duty = |kg: f64| fan().duty_of_load(FULL_M3_PER_S, &BIN, kg, 1.0);
        let full = duty(6000.0);
        assert_relative_eq!(full.airflow_m3_per_s, FULL_M3_PER_S, max_relative = 1e-9);
        let mut before = full;
        for kg in [4500.0, 3000.0, 1000.0, 5.0] {
            let less = duty(kg);
            assert!(less.airflow_m3_per_s > before.airflow_m3_per_s, "{kg}");
            // On the curve 1.5 p (1 - q²/3q²): what resists is what the fan gives.
            let share = less.airflow_m3_per_s / FULL_M3_PER_S;
            let gives = 1.5 * (full.bed_pa + full.ducts_pa) * (1.0 - share * share / 3.0);
            assert_relative_eq!(less.bed_pa + less.ducts_pa, gives, max_relative = 1e-6);
            assert!(less.duty.electric_kw > 0.8 * full.duty.electric_kw, "{kg}");
            before = less;
        }
        assert!(before.airflow_m3_per_s < 1.2 * FULL_M3_PER_S);
    }

    #[test]
    fn a_fan_of_variable_speed_follows_the_load() {
        let mut fan = fan();
        fan.fan.speed = SpeedControl::Variable { converter_efficiency: CONVERTER_EFFICIENCY };
        let half = fan.duty_of_load(FULL_M3_PER_S, &BIN, 3000.0, 1.0);
        assert_relative_eq!(half.airflow_m3_per_s, 0.5 * FULL_M3_PER_S);
        let full = fan.duty_of_load(FULL_M3_PER_S, &BIN, 6000.0, 1.0);
        assert!(half.duty.electric_kw < 0.3 * full.duty.electric_kw);
    }
}
