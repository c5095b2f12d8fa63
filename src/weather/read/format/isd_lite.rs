//! Integrated Surface Database, lite: twelve columns of whole numbers, no header.
//!
//! Source: NOAA NCEI, "ISD-Lite format" (from memory, not verified; widths and units as found in the files): year,
//! month, day, hour (UTC), air temperature and dew point (0.1 °C), sea-level pressure (0.1 hPa), wind direction, wind
//! speed (0.1 m/s), sky cover, precipitation 1 h and 6 h; missing -9999. The file does not say where it is.

use super::known::Known;
use crate::table::lines;
use crate::table::{DecimalMark, parse};
use crate::weather::problem::{Problem, Severity, WeatherError};
use crate::weather::read::draft::Draft;
use crate::weather::reading::{Format, Reading, Row};
use crate::weather::units::PressureLevel;
use chrono::NaiveDate;

const FORMAT: Format = Format::named("isd-lite");

pub(super) const KNOWN: Known = Known {
    recognises: |text| recognises(text.as_bytes()),
    read: |file, text| read(file, text.as_bytes()),
    #[cfg(test)]
    sample: "2024 01 01 00    56    -6 10120   150    36 -9999     0 -9999\n",
};

const COLUMNS: usize = 12;

fn fields(line: &[u8]) -> Option<[i32; COLUMNS]> {
    let mut fields = [0; COLUMNS];
    let mut cells = line.split(u8::is_ascii_whitespace).filter(|cell| !cell.is_empty());
    for field in &mut fields {
        let value = parse(cells.next()?, DecimalMark::Point)?;
        *field = i32::try_from(crate::table::whole(value)).ok()?;
    }
    cells.next().is_none().then_some(fields)
}

/// True if most of the first lines are twelve numbers that begin with a date and an hour.
fn recognises(text: &[u8]) -> bool {
    let (mut good, mut all) = (0, 0);
    for (_, line) in lines(text).take(20).filter(|(_, line)| !line.trim_ascii().is_empty()) {
        all += 1;
        let dated = |f: [i32; COLUMNS]| {
            (1900..2100).contains(&f[0])
                && (1..=12).contains(&f[1])
                && (1..=31).contains(&f[2])
                && (0..24).contains(&f[3])
        };
        good += usize::from(fields(line).is_some_and(dated));
    }
    good > 0 && good * 2 > all
}

fn read(file: &str, text: &[u8]) -> Result<Reading, WeatherError> {
    let mut draft = Draft::new(file, FORMAT);
    draft.clock_offset_minutes = Some(0);
    draft.pressure_level = PressureLevel::SeaLevel;
    for (number, line) in lines(text) {
        if line.trim_ascii().is_empty() {
            continue;
        }
        match fields(line).and_then(|fields| row(number, &fields)) {
            Some(row) => draft.rows.push(row),
            None => draft.unreadable.push(number),
        }
    }
    draft.problems.push(Problem::new(
        Severity::Note,
        "time.utc",
        None,
        "ISD-lite does not say where the station is: times are in UTC, pressure is at sea level; give the altitude, and in \
         a study the site's utc_offset",
    ));
    draft.finish()
}

fn row(line: u32, fields: &[i32; COLUMNS]) -> Option<Row> {
    let unsigned = |at: usize| u32::try_from(fields[at]).ok();
    let date = NaiveDate::from_ymd_opt(fields[0], unsigned(1)?, unsigned(2)?)?;
    let starts = date.and_hms_opt(unsigned(3)?, 0, 0)?;
    let tenths = |at: usize| (fields[at] != -9_999).then(|| f64::from(fields[at]) / 10.0);
    let mut row = Row::at(line, date, starts);
    row.dry_bulb_c = tenths(4);
    row.dew_point_c = tenths(5);
    row.pressure_pa = tenths(6).map(|hectopascal| hectopascal * 100.0);
    row.wind_m_per_s = tenths(8);
    Some(row)
}
