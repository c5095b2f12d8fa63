//! What it takes to move air: the resistance of beds and ducts, and the fan.

mod curve;
mod duct;
mod fan;
mod motor;
mod plenum;
mod resistance;

pub use curve::{CurvePoint, FanCurve, NotACurve, STANDARD_AIR_KG_PER_M3};
pub use duct::{NotAResistance, QuadraticResistance};
pub use fan::{
    Affinity, CONVERTER_EFFICIENCY, DIRECT_DRIVE_EFFICIENCY, FAN_EFFICIENCY, FanDuty, FanSpec, LEAST_SPEED, MotorPlace,
    SpeedControl, affinity,
};
pub use motor::{MOTOR_EFFICIENCY_RANGE_KW, MotorClass};
pub use plenum::{Branch, OperatingPoint, Plenum, Standing};
pub use resistance::{BedResistance, air_viscosity_pa_s};
