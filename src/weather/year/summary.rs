//! What a file holds, in few figures.

use super::heat_to::HeatSum;
use crate::air::heat_to;
use crate::weather::reading::{Reading, Row};
use chrono::{Datelike, NaiveDateTime};
use std::collections::BTreeMap;

/// Means over the rows that have temperature and humidity; `None` where no row has.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Means {
    /// Dry bulb, °C.
    pub dry_bulb_c: Option<f64>,
    /// Relative humidity, %.
    pub relative_humidity_pct: Option<f64>,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: Option<f64>,
    /// Station pressure, Pa, the standard atmosphere's where missing.
    pub pressure_pa: Option<f64>,
}

/// One month (or one year) of a file.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MonthOfRows {
    /// Month 1..12, or the year.
    pub number: i32,
    /// Hours that have rows.
    pub hours: f64,
    /// Hours of which temperature and humidity are known.
    pub usable_hours: f64,
    /// Sum of the dry bulb over the usable hours; see [`MonthOfRows::mean_dry_bulb_c`].
    dry_bulb_sum: f64,
    /// Heat to 50 °C, kWh for 1 kg of dry air a second.
    pub heat_to_50_kwh: f64,
}

impl MonthOfRows {
    /// Mean dry bulb of the usable hours, °C.
    pub fn mean_dry_bulb_c(&self) -> Option<f64> {
        (self.usable_hours > 0.0).then(|| self.dry_bulb_sum / self.usable_hours)
    }
}

/// The figures of one file.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Start of its first row.
    pub first: NaiveDateTime,
    /// Start of its last row.
    pub last: NaiveDateTime,
    /// Hours that have rows.
    pub hours: f64,
    /// Hours whose rows lack the dry bulb.
    pub missing_dry_bulb: f64,
    /// Hours whose rows lack every measure of humidity.
    pub missing_humidity: f64,
    /// Hours whose rows lack the pressure.
    pub missing_pressure: f64,
    /// Means over usable rows.
    pub means: Means,
    /// Lowest and highest dry bulb, °C.
    pub dry_bulb_range_c: Option<(f64, f64)>,
    /// Lowest and highest relative humidity, %.
    pub humidity_range_pct: Option<(f64, f64)>,
    /// Hours above 70 % relative humidity, where nuts take up water instead of drying well.
    pub hours_above_70_pct: f64,
    /// Coverage by month of the calendar.
    pub months: Vec<MonthOfRows>,
    /// Coverage by year; empty for a typical year.
    pub years: Vec<MonthOfRows>,
    /// Heat to 40, 50 and 60 °C.
    pub heat: Vec<HeatSum>,
}

/// Temperatures, °C, to which a summary tells the heat.
const HEAT_TO_C: [f64; 3] = [40.0, 50.0, 60.0];

/// Sums a file up. `given_m` is the elevation for files that lack it.
pub fn summarise(reading: &Reading, given_m: Option<f64>) -> Summary {
    let elevation_m = reading.elevation_m(given_m);
    let mut tally = Tally::default();
    for (row, air) in reading.air(given_m) {
        tally.missing(row);
        let month = tally.months.entry(i32::try_from(row.label.month()).unwrap_or(0)).or_default();
        let year = tally.years.entry(row.label.year()).or_default();
        month.hours += row.hours;
        year.hours += row.hours;
        let Some(air) = air else { continue };
        let to_50 = row.hours * heat_to(&air, 50.0);
        for part in [month, year] {
            part.usable_hours += row.hours;
            part.dry_bulb_sum += row.hours * air.dry_bulb_c();
            part.heat_to_50_kwh += to_50;
        }
        let pct = row.relative_humidity.unwrap_or_else(|| air.relative_humidity()) * 100.0;
        tally.add(
            row.hours,
            air.dry_bulb_c(),
            pct,
            air.humidity_ratio(),
            reading.station_pressure_pa(row, elevation_m),
        );
    }
    let mean = |sum: f64| (tally.usable > 0.0).then(|| sum / tally.usable);
    let numbered = |parts: &BTreeMap<i32, MonthOfRows>| -> Vec<MonthOfRows> {
        parts.iter().map(|(number, part)| MonthOfRows { number: *number, ..*part }).collect()
    };
    let time = |row: Option<&Row>| {
        row.map(|row| if reading.typical { row.written_start() } else { row.starts }).unwrap_or_default()
    };
    Summary {
        first: time(reading.rows.first()),
        last: time(reading.rows.last()),
        hours: tally.hours,
        missing_dry_bulb: tally.missing_dry_bulb,
        missing_humidity: tally.missing_humidity,
        missing_pressure: tally.missing_pressure,
        means: Means {
            dry_bulb_c: mean(tally.dry_bulb)
                .or((tally.dry_bulb_hours > 0.0).then(|| tally.all_dry_bulb / tally.dry_bulb_hours)),
            relative_humidity_pct: mean(tally.humidity_pct),
            humidity_ratio: mean(tally.humidity_ratio),
            pressure_pa: mean(tally.pressure),
        },
        dry_bulb_range_c: tally.dry_bulb_range.finished(),
        humidity_range_pct: tally.humidity_range.finished(),
        hours_above_70_pct: tally.above_70,
        months: numbered(&tally.months),
        years: if reading.typical { Vec::new() } else { numbered(&tally.years) },
        heat: HEAT_TO_C.iter().map(|to_c| super::heat_of_reading(reading, *to_c, given_m, None)).collect(),
    }
}

/// Lowest and highest so far.
struct Range(f64, f64);

impl Default for Range {
    fn default() -> Self {
        Self(f64::INFINITY, f64::NEG_INFINITY)
    }
}

impl Range {
    fn add(&mut self, value: f64) {
        self.0 = self.0.min(value);
        self.1 = self.1.max(value);
    }

    fn finished(&self) -> Option<(f64, f64)> {
        (self.0 <= self.1).then_some((self.0, self.1))
    }
}

#[derive(Default)]
struct Tally {
    hours: f64,
    usable: f64,
    missing_dry_bulb: f64,
    missing_humidity: f64,
    missing_pressure: f64,
    dry_bulb: f64,
    all_dry_bulb: f64,
    dry_bulb_hours: f64,
    humidity_pct: f64,
    humidity_ratio: f64,
    pressure: f64,
    above_70: f64,
    dry_bulb_range: Range,
    humidity_range: Range,
    months: BTreeMap<i32, MonthOfRows>,
    years: BTreeMap<i32, MonthOfRows>,
}

impl Tally {
    fn missing(&mut self, row: &Row) {
        self.hours += row.hours;
        match row.dry_bulb_c {
            Some(dry_bulb) => {
                self.all_dry_bulb += row.hours * dry_bulb;
                self.dry_bulb_hours += row.hours;
                self.dry_bulb_range.add(dry_bulb);
            }
            None => self.missing_dry_bulb += row.hours,
        }
        if !row.has_humidity() {
            self.missing_humidity += row.hours;
        }
        if row.pressure_pa.is_none() {
            self.missing_pressure += row.hours;
        }
    }

    fn add(&mut self, hours: f64, dry_bulb: f64, pct: f64, humidity_ratio: f64, pressure: f64) {
        self.usable += hours;
        self.dry_bulb += hours * dry_bulb;
        self.humidity_pct += hours * pct;
        self.humidity_ratio += hours * humidity_ratio;
        self.pressure += hours * pressure;
        self.humidity_range.add(pct);
        if pct > 70.0 {
            self.above_70 += hours;
        }
    }
}
