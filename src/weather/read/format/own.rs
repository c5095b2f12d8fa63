//! The tool's own CSV.
//!
//! `time,dry_bulb_c,relative_humidity_pct,pressure_pa,global_horizontal_w_per_m2,wind_m_per_s`; the last three
//! may be left out, and `dew_point_c` or `wet_bulb_c` may stand for humidity. Times are ISO 8601 at the
//! hour's start, local standard time or with an offset. Lines of `#` before the header may name the station:
//! `# latitude: -16.9`.

use super::known::Known;
use crate::table::{DateOrder, DecimalMark, Header, fact, offset_minutes, parse_either, parse_stamp};
use crate::weather::columns::{Column, ColumnMap};
use crate::weather::problem::WeatherError;
use crate::weather::read::draft::Draft;
use crate::weather::read::guess;
use crate::weather::read::table;
use crate::weather::reading::{Format, Reading};
use crate::weather::units::{HumidityUnit, IrradianceUnit, PressureUnit, SpeedUnit, TemperatureUnit};

const FORMAT: Format = Format::named("dryledger csv");

pub(super) const KNOWN: Known = Known {
    recognises,
    read,
    #[cfg(test)]
    sample: "# station: Am Hang\ntime,dry_bulb_c,relative_humidity_pct\n2024-01-01T00:00,5.6,80\n",
};

fn header(text: &str) -> Option<Header<'_>> {
    let humidity = ["relative_humidity_pct", "dew_point_c", "wet_bulb_c"];
    Header::below_remarks(text, |names| {
        names.first() == Some(&"time")
            && names.contains(&"dry_bulb_c")
            && names.iter().any(|name| humidity.contains(name))
    })
}

fn recognises(text: &str) -> bool {
    header(text).is_some()
}

fn read(file: &str, text: &str) -> Result<Reading, WeatherError> {
    let header = header(text).ok_or_else(|| WeatherError::no_names(file))?;
    let mut map = ColumnMap::below(&header, "time", "dry_bulb_c");
    map.relative_humidity = Column::among(&header, &["relative_humidity_pct"], HumidityUnit::Percent);
    map.dew_point = Column::among(&header, &["dew_point_c"], TemperatureUnit::Celsius);
    map.wet_bulb = Column::among(&header, &["wet_bulb_c"], TemperatureUnit::Celsius);
    map.pressure = Column::among(&header, &["pressure_pa"], PressureUnit::Pascal);
    let sun = ["global_horizontal_w_per_m2"];
    map.global_horizontal = Column::among(&header, &sun, IrradianceUnit::WattPerSquareMetre);
    map.wind = Column::among(&header, &["wind_m_per_s"], SpeedUnit::MetrePerSecond);
    // Saved anew by a spreadsheet, dates stand in the order of its country.
    let first = text.lines().skip(header.line).find(|line| !line.trim().is_empty());
    let stamped = first.is_some_and(|line| {
        let cells = header.cells(line);
        cells.first().is_some_and(|cell| parse_stamp(cell.as_bytes(), DateOrder::YearFirst).is_some())
    });
    let mut problems = Vec::new();
    if !stamped && let Ok(guess) = guess::guess(text) {
        map.time_form = guess.map.time_form;
        problems.extend(guess.problems.into_iter().filter(|found| found.code == "time.date_order"));
    }
    let mut draft = table::draft(file, text, &map, FORMAT)?;
    draft.problems.splice(0..0, problems);
    station(text, &mut draft);
    draft.finish()
}

/// What the `#` lines say of the station.
fn station(text: &str, draft: &mut Draft) {
    let remarks = text.lines().take(40).map_while(|line| line.trim().strip_prefix('#'));
    for (key, value) in remarks.filter_map(fact) {
        let number = || parse_either(value.as_bytes(), DecimalMark::Point);
        match key {
            "station" => value.clone_into(&mut draft.station.name),
            "latitude" => draft.station.latitude = number(),
            "longitude" => draft.station.longitude = number(),
            "elevation_m" | "altitude_m" => draft.station.elevation_m = number(),
            "utc_offset" => {
                let offset = offset_minutes(value.as_bytes());
                draft.station.utc_offset_minutes = offset;
                if draft.clock_offset_minutes.is_none() {
                    draft.clock_offset_minutes = offset;
                }
            }
            "typical year" => draft.declared_typical = true,
            _ => {}
        }
    }
}
