//! The unit that a column's name, or a cell of a row of units, states.

use crate::weather::units::{IrradianceUnit, PressureUnit, SpeedUnit, TemperatureUnit};

/// The text in which units are looked for: lower case, degree signs made one.
fn unit_text(name: &str, unit: &str) -> String {
    format!("{name} {unit}").to_lowercase().replace(['º', '˚', '\u{fffd}'], "°").replace('²', "2").replace('³', "3")
}

/// Tokens of a unit text: letters, digits, `%`, `/` and `°` stay together.
fn tokens(text: &str) -> Vec<&str> {
    text.split(|c: char| !(c.is_alphanumeric() || "%/°^-".contains(c))).filter(|token| !token.is_empty()).collect()
}

/// The unit of temperature that a name or a cell of the unit row states.
pub(crate) fn temperature(name: &str, unit: &str) -> Option<TemperatureUnit> {
    let text = unit_text(name, unit);
    let tokens = tokens(&text);
    let states = |names: &[&str]| tokens.iter().any(|token| names.contains(token));
    if states(&["°f", "f", "degf", "fahrenheit", "tmpf", "dwpf"]) {
        Some(TemperatureUnit::Fahrenheit)
    } else if states(&["k", "kelvin", "degk"]) {
        Some(TemperatureUnit::Kelvin)
    } else if text.contains("0.1 °c") || text.contains("0,1 °c") || text.contains("tenths") {
        Some(TemperatureUnit::TenthCelsius)
    } else if states(&["°c", "c", "degc", "celsius", "centigrade", "grad", "tmpc", "dwpc"]) {
        Some(TemperatureUnit::Celsius)
    } else {
        None
    }
}

/// The unit of pressure that is stated.
pub(crate) fn pressure(name: &str, unit: &str) -> Option<PressureUnit> {
    let text = unit_text(name, unit);
    let tokens = tokens(&text);
    let states = |names: &[&str]| tokens.iter().any(|token| names.contains(token));
    if states(&["hpa", "mb", "mbar", "millibar", "millibars"]) {
        Some(PressureUnit::Hectopascal)
    } else if states(&["kpa"]) {
        Some(PressureUnit::Kilopascal)
    } else if states(&["inhg", "in", "hg", "inches"]) && !states(&["mm"]) {
        Some(PressureUnit::InchOfMercury)
    } else if states(&["mmhg", "torr"]) {
        Some(PressureUnit::MillimetreOfMercury)
    } else if states(&["pa", "pascal"]) {
        Some(PressureUnit::Pascal)
    } else {
        None
    }
}

/// The unit of irradiance that is stated.
pub(crate) fn irradiance(name: &str, unit: &str) -> Option<IrradianceUnit> {
    let text = unit_text(name, unit);
    let text = text.replace(' ', "");
    let states = |names: &[&str]| names.iter().any(|unit| text.contains(unit));
    if states(&["kj/m"]) {
        Some(IrradianceUnit::KilojoulePerSquareMetre)
    } else if states(&["mj/m", "mj/hr"]) {
        Some(IrradianceUnit::MegajoulePerSquareMetre)
    } else if states(&["j/cm"]) {
        Some(IrradianceUnit::JoulePerSquareCentimetre)
    } else if states(&["w/m", "wh/m", "wm-2", "w_per_m2", "w/sqm"]) {
        Some(IrradianceUnit::WattPerSquareMetre)
    } else {
        None
    }
}

/// The unit of wind speed that is stated.
pub(crate) fn speed(name: &str, unit: &str) -> Option<SpeedUnit> {
    let text = unit_text(name, unit);
    let tokens = tokens(&text);
    let states = |names: &[&str]| tokens.iter().any(|token| names.contains(token));
    if states(&["m/s", "ms", "m/sec", "mps", "ms-1"]) || text.contains("m_per_s") {
        Some(SpeedUnit::MetrePerSecond)
    } else if states(&["km/h", "kmh", "kph", "kmph"]) {
        Some(SpeedUnit::KilometrePerHour)
    } else if states(&["mph", "mi/h"]) {
        Some(SpeedUnit::MilePerHour)
    } else if states(&["kt", "kts", "kn", "knot", "knots", "sknt"]) {
        Some(SpeedUnit::Knot)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_are_read_from_names() {
        assert_eq!(temperature("Temp (F)", ""), Some(TemperatureUnit::Fahrenheit));
        assert_eq!(temperature("temp_c", ""), Some(TemperatureUnit::Celsius));
        assert_eq!(temperature("temp", "degF"), Some(TemperatureUnit::Fahrenheit));
        assert_eq!(temperature("temp", ""), None);
        assert_eq!(pressure("p (mB)", ""), Some(PressureUnit::Hectopascal));
        assert_eq!(pressure("pressure_pa", ""), Some(PressureUnit::Pascal));
        assert_eq!(irradiance("RADIACAO GLOBAL (KJ/m²)", ""), Some(IrradianceUnit::KilojoulePerSquareMetre));
        assert_eq!(speed("Wind (km/h)", ""), Some(SpeedUnit::KilometrePerHour));
    }
}
