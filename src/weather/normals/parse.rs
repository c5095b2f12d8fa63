//! Reading a table of normals.
//!
//! ```text
//! # latitude: -16.9
//! # longitude: 145.6
//! # altitude_m: 540
//! # utc_offset: +10:00
//! month,min_c,max_c,relative_humidity_pct
//! 1,19.8,28.9,80
//! ```
//!
//! Head lines start with `#`; those that are not `key: value` are remarks. Columns come in any order:
//! `month,min_c,max_c`, then `relative_humidity_pct` (mean of all hours) or
//! `morning_relative_humidity_pct,afternoon_relative_humidity_pct` (at 9 and 15 h, or at the hours of
//! `# morning_hour:` and `# afternoon_hour:`), and, if known, `global_horizontal_kwh_per_m2_day` (or
//! `global_horizontal_w_per_m2`, the mean of day and night) and `wind_m_per_s`.

use super::{Humidity, Monthly, Normals, NormalsError};
use crate::weather::solar::{Place, extraterrestrial_horizontal_w_per_m2};
use chrono::{NaiveDate, TimeDelta};

/// A column and the values it can hold.
struct Column {
    name: &'static str,
    range: (f64, f64),
    range_text: &'static str,
}

const fn column(name: &'static str, range: (f64, f64), range_text: &'static str) -> Column {
    Column {
        name,
        range,
        range_text,
    }
}

const MONTH: &str = "month";
const MIN: Column = column("min_c", (-55.0, 45.0), "a temperature in °C, -55..45");
const MAX: Column = column("max_c", (-50.0, 55.0), "a temperature in °C, -50..55");
const MEAN_RH: Column = column(
    "relative_humidity_pct",
    (5.0, 99.0),
    "a relative humidity in percent, 5..99",
);
const MORNING_RH: Column = column(
    "morning_relative_humidity_pct",
    (5.0, 99.0),
    "a relative humidity in percent, 5..99",
);
const AFTERNOON_RH: Column = column(
    "afternoon_relative_humidity_pct",
    (5.0, 99.0),
    "a relative humidity in percent, 5..99",
);
const DAILY_SUN: Column = column(
    "global_horizontal_kwh_per_m2_day",
    (0.0, 13.0),
    "kWh/m² a day, 0..13",
);
const MEAN_SUN: Column = column(
    "global_horizontal_w_per_m2",
    (0.0, 540.0),
    "the mean of day and night in W/m², 0..540",
);
const WIND: Column = column("wind_m_per_s", (0.1, 30.0), "a wind speed in m/s, 0.1..30");

/// No month is clearer than this share of the sunlight outside the atmosphere.
const CLEAREST_MONTH: f64 = 0.80;
/// Clock and sun may be this far apart, hours (western China lies near 3).
const CLOCK_FROM_SUN_H: f64 = 3.5;

/// Reads and checks a table of monthly normals (form above).
pub fn parse(text: &str) -> Result<Normals, NormalsError> {
    let text = text.trim_start_matches('\u{feff}');
    let mut head = Head::default();
    let mut table: Option<Table> = None;
    for (index, line) in text.lines().enumerate() {
        let (number, line) = (index + 1, line.trim());
        if line.is_empty() {
            continue;
        }
        if let Some(remark) = line.strip_prefix('#') {
            head.read(number, remark);
        } else if let Some(table) = &mut table {
            table.read(number, line)?;
        } else {
            table = Some(Table::named(number, line)?);
        }
    }
    let table = table.ok_or(NormalsError::NoTable)?;
    let place = head.place()?;
    let altitude_m = head.number(
        "altitude_m",
        "540",
        (-450.0, 5000.0),
        "metres above the sea, -450..5000",
    )?;
    let normals = Normals {
        site: head.text("site"),
        place,
        altitude_m,
        min_c: table.needed(&MIN, "add the mean daily minimum in °C")?,
        max_c: table.needed(&MAX, "add the mean daily maximum in °C")?,
        humidity: table.humidity(&head)?,
        global_horizontal_kwh_per_m2_day: table.sun()?,
        wind_m_per_s: table.values(&WIND)?,
    };
    table.check_ranges(&normals)?;
    Ok(normals)
}

/// The lines above the table.
#[derive(Default)]
struct Head {
    entries: Vec<(usize, String, String)>,
}

impl Head {
    fn read(&mut self, line: usize, remark: &str) {
        if let Some((key, value)) = remark.split_once(':') {
            let key = key.trim().to_ascii_lowercase();
            self.entries.push((line, key, value.trim().to_owned()));
        }
    }

    fn find(&self, key: &str) -> Option<(usize, &str)> {
        let entry = self.entries.iter().find(|(_, found, _)| found == key)?;
        Some((entry.0, &entry.2))
    }

    fn text(&self, key: &str) -> Option<String> {
        self.find(key).map(|(_, value)| value.to_owned())
    }

    fn number(
        &self,
        key: &'static str,
        example: &'static str,
        range: (f64, f64),
        expected: &'static str,
    ) -> Result<f64, NormalsError> {
        let (line, found) = self
            .find(key)
            .ok_or(NormalsError::NoHead { key, example })?;
        number_in(found, range).ok_or_else(|| NormalsError::Head {
            line,
            key,
            found: found.to_owned(),
            expected,
        })
    }

    fn place(&self) -> Result<Place, NormalsError> {
        let latitude = self.number(
            "latitude",
            "-16.9",
            (-90.0, 90.0),
            "degrees, -90..90, north positive",
        )?;
        let longitude = self.number(
            "longitude",
            "145.6",
            (-180.0, 180.0),
            "degrees, -180..180, east positive",
        )?;
        let (line, text) = self.find("utc_offset").ok_or(NormalsError::NoHead {
            key: "utc_offset",
            example: "+10:00",
        })?;
        let utc_offset_h = offset_h(text).ok_or_else(|| NormalsError::Head {
            line,
            key: "utc_offset",
            found: text.to_owned(),
            expected: "hours ahead of universal time, such as +10:00, -08:00 or 5.5 (-12..14)",
        })?;
        // Noon by the sun against noon by the clock, across the date line too.
        let apart_h = (longitude / 15.0 - utc_offset_h + 12.0).rem_euclid(24.0) - 12.0;
        if apart_h.abs() > CLOCK_FROM_SUN_H {
            return Err(NormalsError::Clock {
                longitude,
                utc_offset_h,
                apart_h: apart_h.abs(),
            });
        }
        Ok(Place {
            latitude,
            longitude,
            utc_offset_h,
        })
    }

    /// A clock hour, or its default where the head is silent.
    fn hour(&self, key: &'static str, default: u32) -> Result<u32, NormalsError> {
        let Some((line, found)) = self.find(key) else {
            return Ok(default);
        };
        match found.parse::<u32>() {
            Ok(hour) if hour < 24 => Ok(hour),
            _ => Err(NormalsError::Head {
                line,
                key,
                found: found.to_owned(),
                expected: "a whole clock hour, 0..23",
            }),
        }
    }
}

fn number_in(text: &str, range: (f64, f64)) -> Option<f64> {
    let value: f64 = text.parse().ok()?;
    (range.0..=range.1).contains(&value).then_some(value)
}

/// Hours from `+10:00`, `-08:30`, `10` or `5.5`.
fn offset_h(text: &str) -> Option<f64> {
    let hours = match text.split_once(':') {
        None => text.parse().ok()?,
        Some((whole, minutes)) => {
            let whole_h: f64 = whole.parse().ok()?;
            let minutes: u32 = minutes.parse().ok().filter(|m| *m < 60)?;
            let part_h = f64::from(minutes) / 60.0;
            if whole.starts_with('-') {
                whole_h - part_h
            } else {
                whole_h + part_h
            }
        }
    };
    (-12.0..=14.0).contains(&hours).then_some(hours)
}

/// The rows, still as text, by month.
struct Table {
    line: usize,
    columns: Vec<String>,
    rows: [Option<(usize, Vec<String>)>; 12],
}

impl Table {
    fn named(line: usize, text: &str) -> Result<Self, NormalsError> {
        const KNOWN: [&str; 9] = [
            MONTH,
            MIN.name,
            MAX.name,
            MEAN_RH.name,
            MORNING_RH.name,
            AFTERNOON_RH.name,
            DAILY_SUN.name,
            MEAN_SUN.name,
            WIND.name,
        ];
        let columns: Vec<String> = text.split(',').map(|name| name.trim().to_owned()).collect();
        if !columns.iter().any(|name| name == MONTH) {
            return Err(NormalsError::NoColumn {
                line,
                column: MONTH,
                cure: "the first line below the head names the columns, separated by commas: month,min_c,max_c,relative_humidity_pct",
            });
        }
        for (at, name) in columns.iter().enumerate() {
            if columns[..at].contains(name) {
                return Err(NormalsError::Column {
                    line,
                    column: name.clone(),
                    reason: "is there twice; keep one".to_owned(),
                });
            }
            if !KNOWN.contains(&name.as_str()) {
                let near = KNOWN
                    .iter()
                    .max_by(|a, b| {
                        strsim::jaro_winkler(a, name).total_cmp(&strsim::jaro_winkler(b, name))
                    })
                    .unwrap_or(&MONTH);
                return Err(NormalsError::Column {
                    line,
                    column: name.clone(),
                    reason: format!("is not known; did you mean '{near}'?"),
                });
            }
        }
        Ok(Self {
            line,
            columns,
            rows: Default::default(),
        })
    }

    fn read(&mut self, line: usize, text: &str) -> Result<(), NormalsError> {
        let cells: Vec<String> = text.split(',').map(|cell| cell.trim().to_owned()).collect();
        if cells.len() != self.columns.len() {
            return Err(NormalsError::Cells {
                line,
                found: cells.len(),
                expected: self.columns.len(),
            });
        }
        let at = self.place_of(MONTH).unwrap_or(0);
        let month = match cells[at].parse::<usize>() {
            Ok(month) if (1..=12).contains(&month) => month,
            _ => {
                return Err(NormalsError::Cell {
                    line,
                    column: MONTH,
                    found: cells[at].clone(),
                    expected: "a whole number, 1..12".to_owned(),
                });
            }
        };
        if let Some((earlier, _)) = &self.rows[month - 1] {
            return Err(NormalsError::MonthTwice {
                line,
                month,
                earlier: *earlier,
            });
        }
        self.rows[month - 1] = Some((line, cells));
        Ok(())
    }

    fn place_of(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column == name)
    }

    fn row(&self, month0: usize) -> Result<&(usize, Vec<String>), NormalsError> {
        self.rows[month0]
            .as_ref()
            .ok_or(NormalsError::NoMonth(month0 + 1))
    }

    /// The twelve values of a column, `None` where the table does not have it.
    fn values(&self, column: &Column) -> Result<Option<Monthly>, NormalsError> {
        let Some(at) = self.place_of(column.name) else {
            return Ok(None);
        };
        let mut values = [0.0; 12];
        for (month0, value) in values.iter_mut().enumerate() {
            let (line, cells) = self.row(month0)?;
            *value = number_in(&cells[at], column.range).ok_or_else(|| NormalsError::Cell {
                line: *line,
                column: column.name,
                found: cells[at].clone(),
                expected: column.range_text.to_owned(),
            })?;
        }
        Ok(Some(values))
    }

    fn needed(&self, column: &Column, cure: &'static str) -> Result<Monthly, NormalsError> {
        self.values(column)?.ok_or(NormalsError::NoColumn {
            line: self.line,
            column: column.name,
            cure,
        })
    }

    fn humidity(&self, head: &Head) -> Result<Humidity, NormalsError> {
        let fractions = |monthly: Monthly| monthly.map(|percent| percent / 100.0);
        let mean = self.values(&MEAN_RH)?;
        let morning = self.values(&MORNING_RH)?;
        let afternoon = self.values(&AFTERNOON_RH)?;
        match (mean, morning, afternoon) {
            (Some(mean), None, None) => Ok(Humidity::Mean(fractions(mean))),
            (None, Some(morning), Some(afternoon)) => Ok(Humidity::TwiceDaily {
                morning_hour: head.hour("morning_hour", 9)?,
                morning: fractions(morning),
                afternoon_hour: head.hour("afternoon_hour", 15)?,
                afternoon: fractions(afternoon),
            }),
            (None, None, None) => Err(NormalsError::NoColumn {
                line: self.line,
                column: MEAN_RH.name,
                cure: "add the mean relative humidity in percent, or the two columns morning_relative_humidity_pct and afternoon_relative_humidity_pct",
            }),
            (None, None, Some(_)) => Err(NormalsError::NoColumn {
                line: self.line,
                column: MORNING_RH.name,
                cure: "morning and afternoon humidity go together",
            }),
            (None, Some(_), None) => Err(NormalsError::NoColumn {
                line: self.line,
                column: AFTERNOON_RH.name,
                cure: "morning and afternoon humidity go together",
            }),
            (Some(_), _, _) => Err(NormalsError::Column {
                line: self.line,
                column: MEAN_RH.name.to_owned(),
                reason: "stands beside morning or afternoon humidity; give the mean or the pair, not both".to_owned(),
            }),
        }
    }

    fn sun(&self) -> Result<Option<Monthly>, NormalsError> {
        match (self.values(&DAILY_SUN)?, self.values(&MEAN_SUN)?) {
            (Some(_), Some(_)) => Err(NormalsError::Column {
                line: self.line,
                column: MEAN_SUN.name.to_owned(),
                reason: format!("says the same as '{}'; keep one of them", DAILY_SUN.name),
            }),
            (daily, mean) => Ok(daily.or(mean.map(|w| w.map(|w| 0.024 * w)))),
        }
    }

    /// What a row's values must be to each other and to the sky.
    fn check_ranges(&self, normals: &Normals) -> Result<(), NormalsError> {
        for month0 in 0..12 {
            let (line, cells) = self.row(month0)?;
            let cell = |name: &str| {
                self.place_of(name)
                    .map_or_else(String::new, |at| cells[at].clone())
            };
            if normals.max_c[month0] < normals.min_c[month0] + 0.5 {
                return Err(NormalsError::Cell {
                    line: *line,
                    column: MAX.name,
                    found: cell(MAX.name),
                    expected: format!(
                        "at least half a kelvin above the month's min_c of {}",
                        cell(MIN.name)
                    ),
                });
            }
            let Some(sun) = &normals.global_horizontal_kwh_per_m2_day else {
                continue;
            };
            let most = CLEAREST_MONTH * outside_atmosphere_kwh(normals.place, month0);
            if sun[month0] > most + 0.05 {
                let column = if self.place_of(DAILY_SUN.name).is_some() {
                    DAILY_SUN.name
                } else {
                    MEAN_SUN.name
                };
                return Err(NormalsError::Cell {
                    line: *line,
                    column,
                    found: cell(column),
                    expected: format!(
                        "at most {most:.2} kWh/m² a day, the clearest that month can be at latitude {}",
                        normals.place.latitude
                    ),
                });
            }
        }
        Ok(())
    }
}

/// Irradiation outside the atmosphere on the middle day of a month, kWh/m².
fn outside_atmosphere_kwh(place: Place, month0: usize) -> f64 {
    let month = u32::try_from(month0 + 1).unwrap_or(1);
    let day = NaiveDate::from_ymd_opt(2031, month, 15);
    day.and_then(|day| day.and_hms_opt(0, 0, 0))
        .map_or(0.0, |midnight| {
            (0..24)
                .map(|h| {
                    extraterrestrial_horizontal_w_per_m2(place, midnight + TimeDelta::hours(h))
                })
                .sum::<f64>()
                / 1000.0
        })
}
