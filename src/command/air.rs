//! `dryledger air`: one state of moist air.

use super::Failure;
use super::answer::answer;
use crate::air::{AirError, MoistAir, saturation_pressure_pa, standard_pressure_pa};
use crate::number::Digits;
use clap::ArgGroup;
use serde_json::json;
use std::fmt::Write;

/// One state of moist air, from dry bulb and one measure of humidity.
#[derive(Debug, clap::Args)]
#[command(group(ArgGroup::new("humidity").required(true)))]
#[command(after_help = "Example: dryledger air --dry-bulb 38 --rh 21 --altitude 540\n\
    Relative humidity is over ice below 0 °C. Valid -60..100 °C, 50..110 kPa.")]
pub(super) struct Args {
    /// Dry-bulb temperature, °C
    #[arg(long, value_name = "C", allow_hyphen_values = true)]
    dry_bulb: f64,
    /// Relative humidity, %
    #[arg(long, value_name = "PCT", group = "humidity", allow_hyphen_values = true)]
    rh: Option<f64>,
    /// Dew point, °C
    #[arg(long, value_name = "C", group = "humidity", allow_hyphen_values = true)]
    dew_point: Option<f64>,
    /// Wet bulb, °C
    #[arg(long, value_name = "C", group = "humidity", allow_hyphen_values = true)]
    wet_bulb: Option<f64>,
    /// Humidity ratio, kg of water per kg of dry air
    #[arg(long, value_name = "KG_PER_KG", group = "humidity", allow_hyphen_values = true)]
    humidity_ratio: Option<f64>,
    /// Altitude, m (standard atmosphere); sea level if neither this nor --pressure is given
    #[arg(long, value_name = "M", allow_hyphen_values = true)]
    altitude: Option<f64>,
    /// Pressure, Pa
    #[arg(long, value_name = "PA", conflicts_with = "altitude", allow_hyphen_values = true)]
    pressure: Option<f64>,
    /// Print JSON alone
    #[arg(long)]
    pub(super) json: bool,
}

pub(super) fn run(args: &Args) -> Result<(), Failure> {
    let air = state(args)?;
    let properties = [
        ("dry_bulb_c", "dry bulb", Some(air.dry_bulb_c()), 2, "°C"),
        ("relative_humidity_pct", "relative humidity", Some(air.relative_humidity() * 100.0), 2, "%"),
        ("pressure_pa", "pressure", Some(air.pressure_pa()), 0, "Pa"),
        ("saturation_pressure_pa", "saturation pressure", Some(saturation_pressure_pa(air.dry_bulb_c())), 1, "Pa"),
        ("humidity_ratio", "humidity ratio", Some(air.humidity_ratio()), 6, "kg/kg dry air"),
        ("wet_bulb_c", "wet bulb", Some(air.wet_bulb_c()), 2, "°C"),
        ("dew_point_c", "dew point", air.dew_point_c(), 2, "°C"),
        ("enthalpy_kj_per_kg", "enthalpy", Some(air.enthalpy_kj_per_kg()), 3, "kJ/kg dry air"),
        ("specific_volume_m3_per_kg", "specific volume", Some(air.specific_volume_m3_per_kg()), 5, "m³/kg dry air"),
        ("density_kg_per_m3", "density of moist air", Some(air.density_kg_per_m3()), 5, "kg/m³"),
    ];
    if args.json {
        let mut object = serde_json::Map::new();
        for (key, _, value, _, _) in properties {
            object.insert(key.to_owned(), json!(value));
        }
        return answer(&format!("{}\n", serde_json::Value::Object(object)));
    }
    let mut text = String::new();
    for (_, name, value, decimals, unit) in properties {
        let _ = match value {
            Some(value) => {
                writeln!(text, "{name:<22} {:>12.decimals$} {unit}", Digits(value))
            }
            None => writeln!(text, "{name:<22} {:>12} {unit} (air too dry to have one)", "none"),
        };
    }
    answer(&text)
}

fn state(args: &Args) -> Result<MoistAir, AirError> {
    let pressure = args.pressure.unwrap_or_else(|| standard_pressure_pa(args.altitude.unwrap_or(0.0)));
    if let Some(rh) = args.rh {
        MoistAir::from_relative_humidity(args.dry_bulb, rh / 100.0, pressure)
    } else if let Some(dew_point) = args.dew_point {
        MoistAir::from_dew_point(args.dry_bulb, dew_point, pressure)
    } else if let Some(wet_bulb) = args.wet_bulb {
        MoistAir::from_wet_bulb(args.dry_bulb, wet_bulb, pressure)
    } else {
        // The group of arguments is required: the last is given when the others are not.
        MoistAir::from_humidity_ratio(args.dry_bulb, args.humidity_ratio.unwrap_or(f64::NAN), pressure)
    }
}
