//! Units as the page prints them, and by what a figure of a measure is multiplied to be printed in one.

use super::figure::Measure;
use super::number::Number;

/// Units that may follow a number; one that begins like another stands before it.
const UNITS: [&str; 40] = [
    "kWh per kg/s",
    "kg CO₂e/kWh",
    "kg CO₂e/t",
    "kWh/kWh",
    "kWh/t",
    "kWh/kg",
    "kg/kWh",
    "MJ/kg",
    "kg/t",
    "g/kg",
    "MWh/a",
    "t CO₂e/a",
    "kg CO₂e",
    "t CO₂e",
    "points w.b.",
    "points RH",
    "% w.b.",
    "% RH",
    "kelvin-hours",
    "tonne-days",
    "batch-hours",
    "kWh",
    "MWh",
    "GWh",
    "kW",
    "kPa",
    "Pa",
    "W/K",
    "m³/s",
    "m²",
    "m³",
    "mm",
    "kg",
    "°C",
    "%",
    "K",
    "h",
    "t",
    "m",
    "years",
];

/// The unit of a number: what follows it, else what its column or row says.
pub(super) fn unit_of<'a>(number: &Number<'a>, given: &'a str, money: &str) -> &'a str {
    const MONEY: &str = "money";
    if number.before.ends_with(money) {
        return MONEY;
    }
    let rest = number.after.trim_start();
    let follows = UNITS.iter().find(|unit| {
        rest.strip_prefix(**unit).is_some_and(|behind| !behind.starts_with(|c: char| c.is_alphanumeric() || c == '/'))
    });
    let code = given.split('/').next().unwrap_or_default();
    match follows {
        Some(unit) => unit,
        None if given.len() == 3 && given.bytes().all(|b| b.is_ascii_uppercase()) => MONEY,
        None if given.ends_with("/a") && code.len() == 3 && code.bytes().all(|b| b.is_ascii_uppercase()) => MONEY,
        None => given,
    }
}

/// Factors that carry a figure of this measure into this unit; none where it cannot be told in it.
pub(super) fn factors(unit: &str, measure: Measure) -> &'static [f64] {
    use Measure::{Bare, Celsius, Days, Energy, Hours, Kelvin, Mass, Per, Percent, Power, Told, Tonnes, Years};
    let bare = matches!(measure, Bare | Told);
    match unit {
        "" => match measure {
            Energy | Mass => &[1.0, 1e-3],
            Bare | Told | Days | Hours => &[1.0, 100.0],
            Power | Tonnes | Percent | Celsius | Kelvin | Years | Per => &[1.0],
        },
        "kWh" if measure == Energy || bare => &[1.0],
        "MWh" | "MWh/a" if measure == Energy || bare => &[1e-3],
        "GWh" if measure == Energy || bare => &[1e-6],
        "kW" if measure == Power || bare => &[1.0],
        "kg" | "kg CO₂e" if measure == Mass || bare => &[1.0],
        "kg" | "kg CO₂e" if measure == Tonnes => &[1e3],
        "t" | "t CO₂e" | "t CO₂e/a" if measure == Mass => &[1e-3],
        "t" | "t CO₂e" | "t CO₂e/a" if measure == Tonnes || bare => &[1.0],
        unit if unit.starts_with('%') && (measure == Percent || bare) => &[1.0, 100.0],
        "°C" if measure == Celsius || bare => &[1.0],
        "K" | "points RH" | "points w.b." if matches!(measure, Kelvin | Percent) || bare => &[1.0],
        "h" | "batch-hours" | "kelvin-hours" if measure == Hours || bare => &[1.0],
        "years" if measure == Years || bare => &[1.0],
        "tonne-days" if measure == Days || bare => &[1.0],
        "money" if bare || measure == Per => &[1.0],
        "kWh" | "MWh" | "MWh/a" | "GWh" | "kW" | "kg" | "kg CO₂e" | "t" | "t CO₂e" | "t CO₂e/a" | "°C" | "K" | "h"
        | "years" | "money" | "points RH" | "points w.b." | "batch-hours" | "kelvin-hours" | "tonne-days" => &[],
        unit if unit.starts_with('%') => &[],
        // So much for each of another, and units that few figures have.
        _ => &[1.0, 1e-3, 1e3],
    }
}
