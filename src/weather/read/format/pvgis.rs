//! PVGIS CSV: the typical year and the hourly series.
//!
//! Source: the legends in the files themselves ((c) European Union, 2001-2025): station lines, then
//! `time(UTC),T2m,RH,...,SP` (typical year) or `time,...,T2m,WS10m,Int` (series, no humidity), times `YYYYMMDD:HHMM` in
//! UTC; the typical year lists which year each month comes from.

use super::known::Known;
use crate::table::Header;
use crate::weather::columns::{Column, ColumnMap, Zone};
use crate::weather::problem::{Problem, Severity, WeatherError};
use crate::weather::read::guess::station::station_in;
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading};
use crate::weather::units::{HumidityUnit, IrradianceUnit, PressureUnit, SpeedUnit};

const TYPICAL_YEAR: Format = Format::named("pvgis tmy csv");
const SERIES: Format = Format::named("pvgis series csv");

pub(super) const KNOWN: Known = Known {
    recognises,
    read,
    #[cfg(test)]
    sample: "Latitude (decimal degrees): 45.0\nLongitude (decimal degrees): 8.0\ntime(UTC),T2m,RH\n20180101:0000,5.6,80.0\n",
};

/// How far down the header may stand.
const PREAMBLE: usize = 40;

/// The line of names: the first is the time, and there is a `T2m`.
fn header(text: &str) -> Option<Header<'_>> {
    Header::find(text, PREAMBLE, |names| {
        matches!(names.first(), Some(&("time(UTC)" | "time"))) && names.contains(&"T2m")
    })
}

fn recognises(text: &str) -> bool {
    header(text).is_some() && text.lines().next().is_some_and(|line| line.starts_with("Latitude (decimal degrees)"))
}

fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let header = header(text).ok_or_else(|| WeatherError::no_names(file))?;
    let mut map = ColumnMap::below(&header, header.names[0], "T2m");
    map.zone = Zone::Offset(0);
    map.relative_humidity = Column::among(&header, &["RH"], HumidityUnit::Percent);
    map.pressure = Column::among(&header, &["SP"], PressureUnit::Pascal);
    map.global_horizontal = Column::among(&header, &["G(h)"], IrradianceUnit::WattPerSquareMetre);
    map.wind = Column::among(&header, &["WS10m"], SpeedUnit::MetrePerSecond);
    let format = if map.relative_humidity.is_some() { TYPICAL_YEAR } else { SERIES };
    let mut draft = table::draft(file, text, &map, format)?;
    draft.declared_typical = Header::find(text, PREAMBLE, |names| names == ["month", "year"]).is_some();
    draft.station = station_in(text.lines().take(10), header.decimal);
    if format == SERIES {
        draft.needs_humidity = false;
        draft.problems.push(Problem::new(
            Severity::Error,
            "humidity.absent",
            None,
            "a PVGIS hourly series holds temperature but no humidity: no heat or season can be computed from it; take the \
             PVGIS typical year, or another source with humidity",
        ));
    }
    draft.finish()
}
