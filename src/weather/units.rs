//! Units in which weather is written, and the level of its pressures.

use crate::unit::factor_of;

/// Units of temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// °C
    #[default]
    Celsius,
    /// °F
    Fahrenheit,
    /// K
    Kelvin,
    /// Tenths of °C, as in some synoptic archives.
    TenthCelsius,
}

impl TemperatureUnit {
    /// °C of a value in this unit.
    pub fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Kelvin => value - 273.15,
            Self::TenthCelsius => value / 10.0,
        }
    }
}

/// Units of pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PressureUnit {
    /// Pa
    Pascal,
    /// hPa, the same as mbar
    Hectopascal,
    /// kPa
    Kilopascal,
    /// Inches of mercury at 0 °C
    InchOfMercury,
    /// Millimetres of mercury at 0 °C
    MillimetreOfMercury,
}

impl PressureUnit {
    /// Pascals in one of this unit.
    pub fn pascals(self) -> f64 {
        match self {
            Self::Pascal => 1.0,
            Self::Hectopascal => 100.0,
            Self::Kilopascal => 1_000.0,
            Self::InchOfMercury => const { factor_of("inHg") },
            Self::MillimetreOfMercury => const { factor_of("mmHg") },
        }
    }
}

/// Units of hourly irradiance or irradiation on the horizontal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum IrradianceUnit {
    /// W/m², the same as Wh/m² in an hour
    WattPerSquareMetre,
    /// kJ/m² in an hour
    KilojoulePerSquareMetre,
    /// J/cm² in an hour
    JoulePerSquareCentimetre,
    /// MJ/m² in an hour
    MegajoulePerSquareMetre,
}

impl IrradianceUnit {
    /// W/m² in one of this unit.
    pub fn watts_per_m2(self) -> f64 {
        match self {
            Self::WattPerSquareMetre => 1.0,
            Self::KilojoulePerSquareMetre => 1.0 / 3.6,
            Self::JoulePerSquareCentimetre => 10.0 / 3.6,
            Self::MegajoulePerSquareMetre => 1_000.0 / 3.6,
        }
    }
}

/// Units of wind speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpeedUnit {
    /// m/s
    MetrePerSecond,
    /// km/h
    KilometrePerHour,
    /// mile/h
    MilePerHour,
    /// knot
    Knot,
}

impl SpeedUnit {
    /// m/s in one of this unit.
    pub fn m_per_s(self) -> f64 {
        match self {
            Self::MetrePerSecond => 1.0,
            Self::KilometrePerHour => const { factor_of("km/h") },
            Self::MilePerHour => const { factor_of("mph") },
            Self::Knot => const { factor_of("knot") },
        }
    }
}

/// How a file writes relative humidity.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HumidityUnit {
    /// 0..100, as stated by the format or the header.
    #[default]
    Percent,
    /// 0..1, as stated.
    Fraction,
}

/// Where the pressures of a file are measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PressureLevel {
    /// At the station.
    #[default]
    Station,
    /// Reduced to sea level.
    SeaLevel,
}
