//! The column map as keys and texts: from a study's `[weather.columns]` block, and back to one.

use crate::printable::toml_text;
use crate::problem::nearest;
use crate::table::DecimalMark;
use crate::table::Separator;
use crate::table::{DateOrder, offset_minutes, offset_text};
use crate::weather::columns::{Column, ColumnMap, TimeColumns, TimeForm, TimeMark, Zone};
use crate::weather::units::{HumidityUnit, IrradianceUnit, PressureLevel, PressureUnit, SpeedUnit, TemperatureUnit};
use chrono_tz::Tz;
use std::fmt::Write as _;

/// What is wrong with a column map.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("[weather.columns] {key} {what}, expected {expected}")]
pub struct ColumnMapError {
    /// The key at fault.
    pub key: String,
    /// What is wrong with it: "is missing", "is \"R\"".
    pub what: String,
    /// What would do: "one of: C, F, K".
    pub expected: String,
}

impl ColumnMapError {
    fn at(key: &str, what: impl Into<String>, expected: impl Into<String>) -> Self {
        Self { key: key.to_owned(), what: what.into(), expected: expected.into() }
    }

    fn is_missing(key: &str, expected: &str) -> Self {
        Self::at(key, "is missing", expected)
    }
}

/// Keys of the block that hold a text; [`MISSING_KEY`] holds one or several.
pub const TEXT_KEYS: [&str; 29] = [
    "time",
    "date",
    "clock",
    "year",
    "month",
    "day",
    "hour",
    "minute",
    "time_form",
    "time_marks",
    "zone",
    "utc",
    "dry_bulb",
    "dry_bulb_unit",
    "dew_point",
    "dew_point_unit",
    "wet_bulb",
    "wet_bulb_unit",
    "relative_humidity",
    "relative_humidity_unit",
    "pressure",
    "pressure_unit",
    "pressure_level",
    "global_horizontal",
    "global_horizontal_unit",
    "wind",
    "wind_unit",
    "separator",
    "decimal",
];
/// Key of the texts that stand for a missing value, beside those of every table; `;` between them.
pub const MISSING_KEY: &str = "missing";

const TEMPERATURE_UNITS: [(&str, TemperatureUnit); 4] = [
    ("C", TemperatureUnit::Celsius),
    ("F", TemperatureUnit::Fahrenheit),
    ("K", TemperatureUnit::Kelvin),
    ("0.1 C", TemperatureUnit::TenthCelsius),
];
const HUMIDITY_UNITS: [(&str, HumidityUnit); 2] = [("%", HumidityUnit::Percent), ("fraction", HumidityUnit::Fraction)];
const PRESSURE_UNITS: [(&str, PressureUnit); 6] = [
    ("hPa", PressureUnit::Hectopascal),
    ("mbar", PressureUnit::Hectopascal),
    ("Pa", PressureUnit::Pascal),
    ("kPa", PressureUnit::Kilopascal),
    ("inHg", PressureUnit::InchOfMercury),
    ("mmHg", PressureUnit::MillimetreOfMercury),
];
const PRESSURE_LEVELS: [(&str, PressureLevel); 2] =
    [("station", PressureLevel::Station), ("sea", PressureLevel::SeaLevel)];
const IRRADIANCE_UNITS: [(&str, IrradianceUnit); 4] = [
    ("W/m2", IrradianceUnit::WattPerSquareMetre),
    ("kJ/m2", IrradianceUnit::KilojoulePerSquareMetre),
    ("J/cm2", IrradianceUnit::JoulePerSquareCentimetre),
    ("MJ/m2", IrradianceUnit::MegajoulePerSquareMetre),
];
const SPEED_UNITS: [(&str, SpeedUnit); 4] = [
    ("m/s", SpeedUnit::MetrePerSecond),
    ("km/h", SpeedUnit::KilometrePerHour),
    ("mph", SpeedUnit::MilePerHour),
    ("knot", SpeedUnit::Knot),
];
const SEPARATORS: [(&str, Separator); 5] = [
    (",", Separator::Byte(b',')),
    (";", Separator::Byte(b';')),
    ("tab", Separator::Byte(b'\t')),
    ("|", Separator::Byte(b'|')),
    ("blanks", Separator::Blanks),
];
const DECIMALS: [(&str, DecimalMark); 2] = [(".", DecimalMark::Point), (",", DecimalMark::Comma)];
const MARKS: [(&str, TimeMark); 2] = [("start", TimeMark::Start), ("end", TimeMark::End)];

fn by_name<U: Copy>(key: &str, text: Option<&str>, names: &[(&str, U)]) -> Result<U, ColumnMapError> {
    let Some(text) = text else {
        return Ok(names[0].1);
    };
    names.iter().find(|(name, _)| name.eq_ignore_ascii_case(text.trim())).map(|(_, value)| *value).ok_or_else(|| {
        let all: Vec<&str> = names.iter().map(|(name, _)| *name).collect();
        ColumnMapError::at(key, format!("is \"{text}\""), format!("one of: {}", all.join(", ")))
    })
}

fn name_of<U: PartialEq + Copy>(value: U, names: &[(&'static str, U)]) -> &'static str {
    names.iter().find(|(_, other)| *other == value).map_or("", |(name, _)| *name)
}

impl ColumnMap {
    /// From the keys and texts of a `[weather.columns]` block (see the table at [`ColumnMap`]).
    pub fn from_keys<'a>(pairs: impl IntoIterator<Item = (&'a str, &'a str)>) -> Result<Self, ColumnMapError> {
        let pairs: Vec<(&str, &str)> = pairs.into_iter().collect();
        for (key, _) in &pairs {
            if !TEXT_KEYS.contains(key) && *key != MISSING_KEY {
                let expected = match nearest(key, TEXT_KEYS) {
                    Some(near) => format!("perhaps '{near}'"),
                    None => format!("one of: {}", TEXT_KEYS.join(", ")),
                };
                return Err(ColumnMapError::at(key, "is not a key of this block", expected));
            }
        }
        let get = |key: &str| pairs.iter().find(|(name, _)| *name == key).map(|(_, text)| *text);
        let need = |key: &str| {
            get(key).map(str::to_owned).ok_or_else(|| ColumnMapError::is_missing(key, "the header of that column"))
        };
        let temperature = |key: &str| -> Result<Option<Column<TemperatureUnit>>, ColumnMapError> {
            let unit_key = format!("{key}_unit");
            let unit = by_name(&unit_key, get(&unit_key), &TEMPERATURE_UNITS)?;
            Ok(get(key).map(|name| Column::new(name, unit)))
        };
        let time = if let Some(stamp) = get("time") {
            TimeColumns::Stamp(stamp.to_owned())
        } else if get("date").is_some() || get("clock").is_some() {
            TimeColumns::DateAndClock { date: need("date")?, clock: need("clock")? }
        } else if get("year").is_some() {
            TimeColumns::Parts {
                year: need("year")?,
                month: get("month").map(str::to_owned),
                day: need("day")?,
                hour: need("hour")?,
                minute: get("minute").map(str::to_owned),
            }
        } else {
            return Err(ColumnMapError::is_missing(
                "time",
                "'time', or 'date' and 'clock', or 'year', 'month', 'day' and 'hour'",
            ));
        };
        let dry_bulb = temperature("dry_bulb")?
            .ok_or_else(|| ColumnMapError::is_missing("dry_bulb", "the header of the temperature column"))?;
        let humidity_unit = by_name("relative_humidity_unit", get("relative_humidity_unit"), &HUMIDITY_UNITS)?;
        let pressure_unit = by_name("pressure_unit", get("pressure_unit"), &PRESSURE_UNITS)?;
        let sun_unit = by_name("global_horizontal_unit", get("global_horizontal_unit"), &IRRADIANCE_UNITS)?;
        let wind_unit = by_name("wind_unit", get("wind_unit"), &SPEED_UNITS)?;
        let map = Self {
            separator: by_name("separator", get("separator"), &SEPARATORS)?,
            decimal: by_name("decimal", get("decimal"), &DECIMALS)?,
            time,
            time_form: time_form(get("time_form"))?,
            time_marks: by_name("time_marks", get("time_marks"), &MARKS)?,
            zone: zone(get("zone"))?,
            utc: get("utc").map(str::to_owned),
            dry_bulb,
            relative_humidity: get("relative_humidity").map(|name| Column::new(name, humidity_unit)),
            dew_point: temperature("dew_point")?,
            wet_bulb: temperature("wet_bulb")?,
            pressure: get("pressure").map(|name| Column::new(name, pressure_unit)),
            pressure_level: by_name("pressure_level", get("pressure_level"), &PRESSURE_LEVELS)?,
            global_horizontal: get("global_horizontal").map(|name| Column::new(name, sun_unit)),
            wind: get("wind").map(|name| Column::new(name, wind_unit)),
            missing: get(MISSING_KEY)
                .map(|text| text.split(';').map(|part| part.trim().to_owned()).collect())
                .unwrap_or_default(),
        };
        if map.relative_humidity.is_none() && map.dew_point.is_none() && map.wet_bulb.is_none() {
            return Err(ColumnMapError::is_missing(
                "relative_humidity",
                "the header of 'relative_humidity', 'dew_point' or 'wet_bulb'",
            ));
        }
        Ok(map)
    }

    /// The block to paste into a study.
    pub fn to_toml(&self) -> String {
        let mut block = String::from("[weather.columns]\n");
        for (key, value) in self.keys() {
            // Writing to a String cannot fail.
            let _ = writeln!(block, "{key} = {}", toml_text(&value));
        }
        block
    }

    /// Keys and texts that give this map back; defaults are left out.
    fn keys(&self) -> Vec<(&'static str, String)> {
        let mut keys = self.time_keys();
        keys.extend(self.value_keys());
        if self.separator != Separator::Byte(b',') {
            keys.push(("separator", name_of(self.separator, &SEPARATORS).to_owned()));
        }
        if self.decimal != DecimalMark::Point {
            keys.push(("decimal", name_of(self.decimal, &DECIMALS).to_owned()));
        }
        if !self.missing.is_empty() {
            keys.push((MISSING_KEY, self.missing.join("; ")));
        }
        keys
    }

    fn time_keys(&self) -> Vec<(&'static str, String)> {
        let mut keys: Vec<(&'static str, String)> = Vec::new();
        let mut add = |key: &'static str, text: &str| keys.push((key, text.to_owned()));
        match &self.time {
            TimeColumns::Stamp(name) => add("time", name),
            TimeColumns::DateAndClock { date, clock } => {
                add("date", date);
                add("clock", clock);
            }
            TimeColumns::Parts { year, month, day, hour, minute } => {
                add("year", year);
                if let Some(month) = month {
                    add("month", month);
                }
                add("day", day);
                add("hour", hour);
                if let Some(minute) = minute {
                    add("minute", minute);
                }
            }
        }
        match &self.time_form {
            TimeForm::Written(DateOrder::YearFirst) => {}
            TimeForm::Written(DateOrder::DayFirst) => add("time_form", "day-month-year"),
            TimeForm::Written(DateOrder::MonthFirst) => add("time_form", "month-day-year"),
            TimeForm::Serial => add("time_form", "serial"),
            TimeForm::Epoch => add("time_form", "epoch"),
            TimeForm::Pattern(pattern) => add("time_form", pattern),
        }
        if self.time_marks == TimeMark::End {
            add("time_marks", "end");
        }
        match self.zone {
            Zone::LocalStandard => {}
            Zone::Wall => add("zone", "wall clock"),
            Zone::Offset(0) => add("zone", "UTC"),
            Zone::Offset(minutes) => add("zone", &offset_text(minutes)),
            Zone::Named(zone) => add("zone", zone.name()),
        }
        if let Some(utc) = &self.utc {
            add("utc", utc);
        }
        keys
    }

    fn value_keys(&self) -> Vec<(&'static str, String)> {
        let mut keys: Vec<(&'static str, String)> = Vec::new();
        let mut add = |key: &'static str, name: &str, unit_key: &'static str, unit: &str| {
            keys.push((key, name.to_owned()));
            keys.push((unit_key, unit.to_owned()));
        };
        let temperature = |unit| name_of(unit, &TEMPERATURE_UNITS);
        let dry = &self.dry_bulb;
        add("dry_bulb", &dry.name, "dry_bulb_unit", temperature(dry.unit));
        if let Some(c) = &self.relative_humidity {
            let unit = name_of(c.unit, &HUMIDITY_UNITS);
            add("relative_humidity", &c.name, "relative_humidity_unit", unit);
        }
        if let Some(c) = &self.dew_point {
            add("dew_point", &c.name, "dew_point_unit", temperature(c.unit));
        }
        if let Some(c) = &self.wet_bulb {
            add("wet_bulb", &c.name, "wet_bulb_unit", temperature(c.unit));
        }
        if let Some(c) = &self.pressure {
            add("pressure", &c.name, "pressure_unit", name_of(c.unit, &PRESSURE_UNITS));
        }
        if let Some(c) = &self.global_horizontal {
            let unit = name_of(c.unit, &IRRADIANCE_UNITS);
            add("global_horizontal", &c.name, "global_horizontal_unit", unit);
        }
        if let Some(c) = &self.wind {
            add("wind", &c.name, "wind_unit", name_of(c.unit, &SPEED_UNITS));
        }
        if self.pressure.is_some() {
            let level = name_of(self.pressure_level, &PRESSURE_LEVELS);
            keys.push(("pressure_level", level.to_owned()));
        }
        keys
    }
}

fn time_form(text: Option<&str>) -> Result<TimeForm, ColumnMapError> {
    Ok(match text.unwrap_or("year-month-day") {
        "year-month-day" => TimeForm::Written(DateOrder::YearFirst),
        "day-month-year" => TimeForm::Written(DateOrder::DayFirst),
        "month-day-year" => TimeForm::Written(DateOrder::MonthFirst),
        "serial" => TimeForm::Serial,
        "epoch" => TimeForm::Epoch,
        pattern if pattern.contains('%') => TimeForm::Pattern(pattern.to_owned()),
        other => {
            return Err(ColumnMapError::at(
                "time_form",
                format!("is \"{other}\""),
                "one of: year-month-day, day-month-year, month-day-year, serial, epoch, or a pattern such as \
                 %d.%m.%Y %H:%M",
            ));
        }
    })
}

fn zone(text: Option<&str>) -> Result<Zone, ColumnMapError> {
    let text = text.unwrap_or("local standard").trim();
    if text.eq_ignore_ascii_case("local standard") {
        return Ok(Zone::LocalStandard);
    }
    if text.eq_ignore_ascii_case("wall clock") {
        return Ok(Zone::Wall);
    }
    if text.eq_ignore_ascii_case("utc") {
        return Ok(Zone::Offset(0));
    }
    if let Some(minutes) = offset_minutes(text.as_bytes()) {
        return Ok(Zone::Offset(minutes));
    }
    text.parse::<Tz>().map(Zone::Named).map_err(|_| {
        ColumnMapError::at(
            "zone",
            format!("is \"{text}\""),
            "one of: local standard, wall clock, UTC, an offset such as +10:00, or a zone of the IANA data \
             base such as Europe/Lisbon",
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_map_written_as_toml_comes_back() {
        let mut map = ColumnMap::new("#1", "Temperatur [°C]");
        map.time = TimeColumns::DateAndClock { date: "Datum".into(), clock: "Uhrzeit \"MEZ\"".into() };
        map.time_form = TimeForm::Written(DateOrder::DayFirst);
        map.time_marks = TimeMark::End;
        map.zone = Zone::Named(chrono_tz::Europe::Lisbon);
        map.separator = Separator::Byte(b';');
        map.decimal = DecimalMark::Comma;
        map.relative_humidity = Some(Column::new("Feuchte", HumidityUnit::Fraction));
        map.pressure = Some(Column::new("p", PressureUnit::InchOfMercury));
        map.pressure_level = PressureLevel::SeaLevel;
        map.wind = Some(Column::new("Wind", SpeedUnit::Knot));
        map.missing = vec!["err".into(), "-77".into()];
        let parsed: toml::Table = map.to_toml().parse().unwrap();
        let block = parsed["weather"]["columns"].as_table().unwrap();
        let pairs: Vec<(&str, &str)> =
            block.iter().map(|(key, value)| (key.as_str(), value.as_str().unwrap())).collect();
        assert_eq!(ColumnMap::from_keys(pairs).unwrap(), map);
    }

    #[test]
    fn wrong_keys_and_values_are_told_with_what_would_do() {
        let told = |pairs: &[(&str, &str)]| ColumnMap::from_keys(pairs.iter().copied()).unwrap_err().to_string();
        assert!(told(&[("drybulb", "T")]).contains("perhaps 'dry_bulb'"));
        assert!(told(&[("zzz", "T")]).contains("one of: time, date"));
        assert!(told(&[("time", "t")]).contains("dry_bulb"));
        assert!(told(&[("time", "t"), ("dry_bulb", "T")]).contains("relative_humidity"));
        assert!(told(&[("time", "t"), ("dry_bulb", "T"), ("dry_bulb_unit", "R")]).contains("C, F, K"));
        assert!(told(&[("time", "t"), ("dry_bulb", "T"), ("zone", "Mars")]).contains("IANA"));
    }
}
