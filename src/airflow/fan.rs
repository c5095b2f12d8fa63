//! A fan: its electricity, and the heat it leaves in the air.

/// Total efficiency of a tube-axial fan in a drying plant, taken where the user names none
/// (0.55..0.70 at its best point, from memory, not verified).
pub const FAN_EFFICIENCY: f64 = 0.60;
/// Efficiency of a fan on the motor's own shaft.
pub const DIRECT_DRIVE_EFFICIENCY: f64 = 1.0;
/// Efficiency of a frequency converter (0.95..0.97, from memory, not verified).
pub const CONVERTER_EFFICIENCY: f64 = 0.96;
/// Slowest speed of a fan on a converter, as a share of full speed: motors cool themselves poorly
/// below it (common practice, no published source).
pub const LEAST_SPEED: f64 = 0.2;
/// Share of a motor's loss at full load that stays when the load goes (iron and friction); the rest
/// falls with the square of the load. An assumption: no published source was read.
const CONSTANT_SHARE_OF_LOSS: f64 = 0.5;

/// Where the motor sits: what it loses warms the air or does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MotorPlace {
    /// In the airstream, with its drive: every kilowatt of electricity but the converter's loss ends
    /// as heat in the air.
    InStream,
    /// Outside: the air gets the shaft's power alone.
    Outside,
}

/// How the fan follows a demand below its design flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SpeedControl {
    /// One speed: whatever is asked, the design flow comes.
    Fixed,
    /// A frequency converter: any flow down to [`LEAST_SPEED`].
    Variable {
        /// Efficiency of the converter, a fraction.
        converter_efficiency: f64,
    },
}

/// A fan as specified, all efficiencies as fractions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FanSpec {
    /// Total efficiency of the impeller: air power over shaft power.
    pub fan_efficiency: f64,
    /// Efficiency of the drive between motor and fan.
    pub drive_efficiency: f64,
    /// Efficiency of the motor at full load.
    pub motor_efficiency: f64,
    /// Where the motor sits.
    pub motor_place: MotorPlace,
    /// How the fan follows demand.
    pub speed: SpeedControl,
}

impl Default for FanSpec {
    /// A direct-driven tube-axial fan of one speed with its IE3 motor of 7.5 kW in the airstream.
    fn default() -> Self {
        Self {
            fan_efficiency: FAN_EFFICIENCY,
            drive_efficiency: DIRECT_DRIVE_EFFICIENCY,
            motor_efficiency: super::MotorClass::Ie3.efficiency(7.5),
            motor_place: MotorPlace::InStream,
            speed: SpeedControl::Fixed,
        }
    }
}

/// What a fan does at one flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FanDuty {
    /// Electric power drawn, kW.
    pub electric_kw: f64,
    /// Heat left in the air, kW, friction in the bed and ducts included. Credit it exactly once.
    pub heat_to_air_kw: f64,
}

impl FanDuty {
    /// A fan that stands.
    pub const STILL: Self = Self { electric_kw: 0.0, heat_to_air_kw: 0.0 };

    /// By how much this heat warms a flow of moist air, K, from its heat capacity rate, kW/K.
    pub fn temperature_rise_k(&self, heat_capacity_rate_kw_per_k: f64) -> f64 {
        if heat_capacity_rate_kw_per_k > 0.0 { self.heat_to_air_kw / heat_capacity_rate_kw_per_k } else { 0.0 }
    }
}

impl FanSpec {
    /// Flow, m³/s, that comes when `asked` is asked of a fan designed for `design` (both m³/s, 0 or
    /// more): nothing when nothing is asked, never more than the design flow.
    pub fn flow_m3_per_s(&self, asked: f64, design: f64) -> f64 {
        if asked <= 0.0 || design <= 0.0 {
            return 0.0;
        }
        let share = (asked / design).min(1.0);
        design
            * match self.speed {
                SpeedControl::Fixed => 1.0,
                SpeedControl::Variable { .. } => share.max(LEAST_SPEED),
            }
    }

    /// Electricity and heat at this flow (m³/s) against this total pressure (Pa), of a fan whose motor
    /// is sized for `design_air_kw` of air power (flow times total pressure at design, kW).
    ///
    /// P = V Δp/(fan x drive x motor x converter). The pressure is the system's at that flow, so the
    /// operating point is found on the system's curve and not by scaling the design power: beds of
    /// nuts resist with less than the square of the flow. On a converter the impeller keeps its
    /// efficiency (affinity) while the motor's falls at part load; fans that are staged work at their
    /// design load or stand.
    pub fn duty(&self, flow_m3_per_s: f64, total_pressure_pa: f64, design_air_kw: f64) -> FanDuty {
        let air_kw = flow_m3_per_s * total_pressure_pa / 1000.0;
        if air_kw <= 0.0 {
            return FanDuty::STILL;
        }
        let rated_shaft_kw = design_air_kw / self.fan_efficiency;
        self.duty_of_shaft(air_kw / self.fan_efficiency, rated_shaft_kw)
    }

    /// Electricity and heat at this shaft power, kW, of a fan whose motor is sized for `rated_shaft_kw`: what
    /// [`FanSpec::duty`] says where the impeller's efficiency comes from a curve.
    pub fn duty_of_shaft(&self, shaft_kw: f64, rated_shaft_kw: f64) -> FanDuty {
        let motor_out_kw = shaft_kw / self.drive_efficiency;
        let (motor, converter) = match self.speed {
            SpeedControl::Variable { converter_efficiency } => {
                (part_load_motor_efficiency(self.motor_efficiency, shaft_kw / rated_shaft_kw), converter_efficiency)
            }
            SpeedControl::Fixed => (self.motor_efficiency, 1.0),
        };
        let motor_in_kw = motor_out_kw / motor;
        FanDuty {
            electric_kw: motor_in_kw / converter,
            heat_to_air_kw: match self.motor_place {
                MotorPlace::InStream => motor_in_kw,
                MotorPlace::Outside => shaft_kw,
            },
        }
    }
}

/// Efficiency of a motor at a share of its full load, from its efficiency at full load: half of the
/// loss stays, half falls with the square of the load (see [`CONSTANT_SHARE_OF_LOSS`]).
fn part_load_motor_efficiency(full_load: f64, load: f64) -> f64 {
    // A design point that says nothing (0 or NaN) leaves the motor at full load.
    if !(load.is_finite() && load > 0.0) {
        return full_load;
    }
    let loss = (1.0 / full_load - 1.0) * (CONSTANT_SHARE_OF_LOSS + (1.0 - CONSTANT_SHARE_OF_LOSS) * load * load);
    load / (load + loss)
}

/// Shares of full flow, pressure and power at a share of full speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Affinity {
    /// Share of full flow: n.
    pub flow: f64,
    /// Share of full pressure: n².
    pub pressure: f64,
    /// Share of full shaft power: n³.
    pub power: f64,
}

/// The affinity laws of fans at a share n of full speed. They describe a whole system only where its
/// pressure goes with the square of the flow, as in ducts; through nut beds it does not.
pub fn affinity(speed: f64) -> Affinity {
    Affinity { flow: speed, pressure: speed * speed, power: speed * speed * speed }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn variable() -> FanSpec {
        FanSpec { speed: SpeedControl::Variable { converter_efficiency: CONVERTER_EFFICIENCY }, ..FanSpec::default() }
    }

    #[test]
    fn a_motor_outside_keeps_its_losses_to_itself() {
        let inside = FanSpec::default();
        let outside = FanSpec { motor_place: MotorPlace::Outside, ..inside };
        let (a, b) = (inside.duty(3.0, 400.0, 1.2), outside.duty(3.0, 400.0, 1.2));
        assert_eq!(a.electric_kw, b.electric_kw);
        assert_relative_eq!(a.heat_to_air_kw, a.electric_kw);
        assert_relative_eq!(b.heat_to_air_kw, 1.2 / FAN_EFFICIENCY);
    }

    #[test]
    fn a_slower_fan_on_ducts_saves_less_than_the_cube() {
        let fan = variable();
        let full = fan.duty(4.0, 500.0, 2.0);
        let slow = affinity(0.5);
        let half = fan.duty(4.0 * slow.flow, 500.0 * slow.pressure, 2.0);
        assert!(half.electric_kw > slow.power * full.electric_kw);
        assert!(half.electric_kw < 1.6 * slow.power * full.electric_kw);
    }

    #[test]
    fn the_flow_that_comes_follows_the_control() {
        let fixed = FanSpec::default();
        assert_eq!(fixed.flow_m3_per_s(1.0, 8.0), 8.0);
        assert_eq!(variable().flow_m3_per_s(5.0, 8.0), 5.0);
        assert_eq!(variable().flow_m3_per_s(0.1, 8.0), 8.0 * LEAST_SPEED);
        for fan in [fixed, variable()] {
            assert_eq!(fan.flow_m3_per_s(0.0, 8.0), 0.0);
            assert_eq!(fan.flow_m3_per_s(99.0, 8.0), 8.0);
        }
    }

    #[test]
    fn full_load_is_full_load_efficiency() {
        assert_relative_eq!(part_load_motor_efficiency(0.904, 1.0), 0.904);
        assert!(part_load_motor_efficiency(0.904, 0.1) < 0.75);
        assert_eq!(part_load_motor_efficiency(0.904, f64::NAN), 0.904);
    }

    #[test]
    fn impossible_fans_are_refused() {
        assert_eq!(FanSpec::default().duty(0.0, 300.0, 1.0), FanDuty::STILL);
    }
}
