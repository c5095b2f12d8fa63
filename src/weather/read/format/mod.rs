//! Readers, one file for each format, and how a file is recognised: by what it holds, never by its
//! name.

mod asos;
mod epw;
mod isd_lite;
mod known;
mod nsrdb;
mod open_meteo;
mod own;
mod power;
mod pvgis;
mod table;
mod tmy3;

use super::ColumnMap;
use crate::table::{Decoded, NulBytes, decode, no_table};
use crate::weather::problem::{Problem, Severity, WeatherError};
use crate::weather::reading::{Format, Reading};
use known::{Known, Read};

/// Reads weather from bytes; `file` is what messages call them.
pub fn read_bytes(file: &str, bytes: &[u8]) -> Result<Reading, WeatherError> {
    read_by(file, bytes, |text| known_reader(text).unwrap_or(table::read)(file, text))
}

/// Reads a table from bytes by a given column map.
pub fn read_bytes_with(file: &str, bytes: &[u8], map: &ColumnMap) -> Result<Reading, WeatherError> {
    read_by(file, bytes, |text| crate::weather::read::table::read(file, text, map, Format::TABLE))
}

/// Reads weather from bytes: a known format as what it is, any other table by this column map.
pub fn read_bytes_known_or_with(file: &str, bytes: &[u8], map: &ColumnMap) -> Result<Reading, WeatherError> {
    read_by(file, bytes, |text| match known_reader(text) {
        Some(read) => read(file, text),
        None => crate::weather::read::table::read(file, text, map, Format::TABLE),
    })
}

fn read_by(
    file: &str,
    bytes: &[u8],
    read: impl FnOnce(&str) -> Result<Reading, WeatherError>,
) -> Result<Reading, WeatherError> {
    refuse_no_weather(file, bytes)?;
    let decoded = decode(bytes);
    let mut reading = read(&decoded.text)?;
    reading.invented = says_invented(&decoded.text);
    reading.problems.splice(0..0, damage(&decoded));
    Ok(reading)
}

/// The named formats. No two claim one file, so their order decides nothing.
const FORMATS: &[Known] = &[
    asos::KNOWN,
    epw::KNOWN,
    isd_lite::KNOWN,
    nsrdb::KNOWN,
    open_meteo::KNOWN,
    own::KNOWN,
    power::KNOWN,
    pvgis::KNOWN,
    tmy3::KNOWN,
];

fn known_reader(text: &str) -> Option<Read> {
    FORMATS.iter().find(|known| (known.recognises)(text)).map(|known| known.read)
}

/// Invented weather says so in the `#` lines of its head.
fn says_invented(text: &str) -> bool {
    text.lines()
        .take_while(|line| line.starts_with('#'))
        .map(str::to_lowercase)
        .any(|line| line.contains("invented") || line.contains("synthetic"))
}

fn refuse_no_weather(file: &str, bytes: &[u8]) -> Result<(), WeatherError> {
    if let Some(what) = no_table(bytes) {
        return Err(WeatherError::refused(file, format!("not a weather file but {what}")));
    }
    if bytes.trim_ascii().is_empty() {
        return Err(WeatherError::refused(file, "empty file: it holds no weather at all; get it again"));
    }
    Ok(())
}

/// What was found in making text of the file.
fn damage(decoded: &Decoded<'_>) -> Vec<Problem> {
    let mut problems = Vec::new();
    if let Some(encoding) = decoded.broken {
        problems.push(Problem::warning(
            "file.encoding",
            format!("the file says it is {encoding} but holds broken characters"),
        ));
    }
    if let Some(NulBytes { count, line }) = decoded.nul {
        problems.push(Problem::new(
            Severity::Warning,
            "file.nul",
            u32::try_from(line).ok(),
            format!(
                "{count} NUL bytes in the file, the first on line {line}: it was damaged; the rows they touch are \
                 left out, get the file again"
            ),
        ));
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::writings::{Cell, Meant, march};
    use chrono::{NaiveDateTime, TimeDelta};

    type Air = Vec<(NaiveDateTime, Option<f64>, Option<f64>, Option<f64>)>;

    fn air(name: &str, bytes: &[u8]) -> Air {
        let reading = read_bytes(name, bytes).unwrap_or_else(|refusal| panic!("{name}: {refusal}"));
        let row = |row: &crate::weather::Row| (row.starts, row.dry_bulb_c, row.relative_humidity, row.pressure_pa);
        reading.rows.iter().map(row).collect()
    }

    /// Four days of hours under these names.
    fn hours(remarks: Vec<&'static str>, names: Vec<&'static str>) -> Meant {
        let row = |hour: i32| {
            let numbers = [14.5 + f64::from(hour % 24) / 4.0, 60.5 + f64::from(hour % 7), 99870.5];
            let time = march(11) + TimeDelta::hours(i64::from(hour));
            [Cell::Time(time)].into_iter().chain(numbers.map(Cell::Number)).collect()
        };
        let units = vec!["", "°C", "%", "Pa"];
        Meant { remarks, names, units, rows: (0..96).map(row).collect() }
    }

    #[test]
    fn hours_in_every_writing_are_the_same_hours() {
        let names = vec!["time", "air temperature", "relative humidity", "pressure"];
        let mut first: Option<Air> = None;
        for (what, bytes) in hours(vec!["Messstelle am Hang, 21 °C"], names).in_every_writing() {
            let air = air(what, &bytes);
            assert_eq!(air.len(), 96, "{what}");
            assert_eq!(*first.get_or_insert_with(|| air.clone()), air, "{what}");
        }
    }

    #[test]
    fn a_named_format_saved_anew_by_a_spreadsheet_is_still_that_format() {
        let names = vec!["time", "dry_bulb_c", "relative_humidity_pct", "pressure_pa"];
        let meant = hours(vec!["# station: Am Hang", "# elevation_m: 540"], names);
        for (what, bytes) in meant.in_every_writing() {
            let reading = read_bytes(what, &bytes).unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
            assert_eq!(reading.format.name(), "dryledger csv", "{what}");
            assert_eq!(reading.station.elevation_m, Some(540.0), "{what}");
            assert_eq!(reading.rows.len(), 96, "{what}");
        }
    }

    fn claims(text: &str) -> Vec<usize> {
        let claim = |(at, known): (usize, &Known)| (known.recognises)(text).then_some(at);
        FORMATS.iter().enumerate().filter_map(claim).collect()
    }

    /// Cut off, with a byte lost or another in its place: an answer or a refusal, whatever the format.
    #[test]
    fn no_harm_to_a_sample_stops_its_reader() {
        for known in FORMATS {
            let sample = known.sample.as_bytes();
            for at in 0..sample.len() {
                let (before, after) = (&sample[..at], &sample[at + 1..]);
                let others = [&b"\0"[..], b";", b",", b".", b"-", b"9", b"\n", b"\xff", b""];
                let harmed = others.map(|other| [before, other, after].concat());
                for bytes in harmed.iter().map(Vec::as_slice).chain([before]) {
                    let text = String::from_utf8_lossy(bytes);
                    let _ = (known.read)("harmed", &text);
                    let _ = read_bytes("harmed", bytes);
                }
            }
        }
    }

    #[test]
    fn no_two_readers_claim_one_file() {
        for (at, known) in FORMATS.iter().enumerate() {
            assert_eq!(claims(known.sample), [at], "{}", known.sample);
        }
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/weather");
        for entry in std::fs::read_dir(folder).expect("the files of the tests") {
            let path = entry.expect("an entry").path();
            let text = String::from_utf8(std::fs::read(&path).expect("a file")).expect("UTF-8");
            assert!(claims(&text).len() < 2, "{}: {:?}", path.display(), claims(&text));
        }
    }
}
