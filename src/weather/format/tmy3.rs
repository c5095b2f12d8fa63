//! TMY3 CSV of the National Renewable Energy Laboratory.
//!
//! Source: Wilcox & Marion, "Users Manual for TMY3 Data Sets", NREL/TP-581-43156, 2008 (from memory, not verified; the
//! columns as found in the files): a station line (`723170,"NAME",NC,-5.0,36.100,-79.950,273`), a header, hours
//! 01:00..24:00 labelled by their end in local standard time, months of different years, missing -9900.

use crate::table::DateOrder;
use crate::table::{DecimalMark, parse, whole};
use crate::table::{Separator, split};
use crate::weather::columns::{
    Column, ColumnMap, IrradianceUnit, PressureUnit, SpeedUnit, TemperatureUnit, TimeColumns,
    TimeForm, TimeMark,
};
use crate::weather::draft::HumidityUnit;
use crate::weather::problem::WeatherError;
use crate::weather::reading::{Format, Reading, Station};
use crate::weather::table;

pub(super) fn recognises(text: &str) -> bool {
    text.lines().take(5).any(|line| {
        line.starts_with("Date (MM/DD/YYYY),Time (HH:MM)") && line.contains("Dry-bulb (C)")
    })
}

pub(super) fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let mut map = ColumnMap::new("", "Dry-bulb (C)");
    map.time = TimeColumns::DateAndClock {
        date: "Date (MM/DD/YYYY)".into(),
        clock: "Time (HH:MM)".into(),
    };
    map.time_form = TimeForm::Written(DateOrder::MonthFirst);
    map.time_marks = TimeMark::End;
    let has = |name: &str| text.lines().take(5).any(|line| line.contains(name));
    if has("RHum (%)") {
        map.relative_humidity = Some(Column::new("RHum (%)", HumidityUnit::Percent));
    }
    if has("Dew-point (C)") {
        map.dew_point = Some(Column::new("Dew-point (C)", TemperatureUnit::Celsius));
    }
    if has("Pressure (mbar)") {
        map.pressure = Some(Column::new("Pressure (mbar)", PressureUnit::Hectopascal));
    }
    if has("GHI (W/m^2)") {
        map.global_horizontal =
            Some(Column::new("GHI (W/m^2)", IrradianceUnit::WattPerSquareMetre));
    }
    if has("Wspd (m/s)") {
        map.wind = Some(Column::new("Wspd (m/s)", SpeedUnit::MetrePerSecond));
    }
    let mut draft = table::draft(file, text, &map, Format::Tmy3)?;
    draft.declared_typical = true;
    if let Some(line) = text.lines().next().filter(|line| !line.starts_with("Date")) {
        draft.station = station(line);
    }
    draft.clock_offset_minutes = draft.station.utc_offset_minutes;
    draft.finish()
}

fn station(line: &str) -> Station {
    let mut cells = Vec::new();
    split(line.as_bytes(), Separator::Byte(b','), &mut cells);
    let number = |at: usize| cells.get(at).and_then(|cell| parse(cell, DecimalMark::Point));
    let text = |at: usize| {
        cells.get(at).map(|cell| String::from_utf8_lossy(cell).into_owned()).unwrap_or_default()
    };
    Station {
        name: format!("{}, {} ({})", text(1), text(2), text(0)),
        utc_offset_minutes: number(3).and_then(|hours| i32::try_from(whole(hours * 60.0)).ok()),
        latitude: number(4),
        longitude: number(5),
        elevation_m: number(6),
    }
}
