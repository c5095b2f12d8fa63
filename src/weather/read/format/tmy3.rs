//! TMY3 CSV of the National Renewable Energy Laboratory.
//!
//! Source: Wilcox & Marion, "Users Manual for TMY3 Data Sets", NREL/TP-581-43156, 2008 (from memory, not verified; the
//! columns as found in the files): a station line (`723170,"NAME",NC,-5.0,36.100,-79.950,273`), a header, hours
//! 01:00..24:00 labelled by their end in local standard time, months of different years, missing -9900.

use super::known::Known;
use crate::table::{DateOrder, Header, parse_either, whole};
use crate::weather::columns::{Column, ColumnMap, TimeColumns, TimeForm, TimeMark};
use crate::weather::problem::WeatherError;
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading, Station};
use crate::weather::units::{HumidityUnit, IrradianceUnit, PressureUnit, SpeedUnit, TemperatureUnit};

const FORMAT: Format = Format::named("tmy3 csv");

pub(super) const KNOWN: Known = Known {
    recognises,
    read,
    #[cfg(test)]
    sample: "1,\"AM HANG\",XX,1.0,45.0,8.0,250\nDate (MM/DD/YYYY),Time (HH:MM),Dry-bulb (C),RHum (%)\n01/01/1988,01:00,5.6,80\n",
};

const DATE: &str = "Date (MM/DD/YYYY)";
const CLOCK: &str = "Time (HH:MM)";

fn header(text: &str) -> Option<Header<'_>> {
    Header::find(text, 5, |names| names.starts_with(&[DATE, CLOCK]) && names.contains(&"Dry-bulb (C)"))
}

fn recognises(text: &str) -> bool {
    header(text).is_some()
}

fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let header = header(text).ok_or_else(|| WeatherError::no_names(file))?;
    let mut map = ColumnMap::below(&header, "", "Dry-bulb (C)");
    map.time = TimeColumns::DateAndClock { date: DATE.into(), clock: CLOCK.into() };
    map.time_form = TimeForm::Written(DateOrder::MonthFirst);
    map.time_marks = TimeMark::End;
    map.relative_humidity = Column::among(&header, &["RHum (%)"], HumidityUnit::Percent);
    map.dew_point = Column::among(&header, &["Dew-point (C)"], TemperatureUnit::Celsius);
    map.pressure = Column::among(&header, &["Pressure (mbar)"], PressureUnit::Hectopascal);
    map.global_horizontal = Column::among(&header, &["GHI (W/m^2)"], IrradianceUnit::WattPerSquareMetre);
    map.wind = Column::among(&header, &["Wspd (m/s)"], SpeedUnit::MetrePerSecond);
    let mut draft = table::draft(file, text, &map, FORMAT)?;
    draft.declared_typical = true;
    if header.line > 1 {
        draft.station = station(&header, text.lines().next().unwrap_or_default());
    }
    draft.clock_offset_minutes = draft.station.utc_offset_minutes;
    draft.finish()
}

fn station<'t>(header: &Header<'t>, line: &'t str) -> Station {
    let cells = header.cells(line);
    let text = |at: usize| cells.get(at).copied().unwrap_or_default();
    let number = |at: usize| parse_either(text(at).as_bytes(), header.decimal);
    Station {
        name: format!("{}, {} ({})", text(1), text(2), text(0)),
        utc_offset_minutes: number(3).and_then(|hours| i32::try_from(whole(hours * 60.0)).ok()),
        latitude: number(4),
        longitude: number(5),
        elevation_m: number(6),
    }
}
