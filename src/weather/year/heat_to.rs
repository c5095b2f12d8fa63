//! Heat that brings outside air to a temperature, summed over the hours of a file.

use super::series::Series;
use crate::air::{MoistAir, heat_to};
use crate::weather::month_day::Dates;
use crate::weather::reading::Reading;
use chrono::{Datelike, NaiveDate};

/// Heat over some hours, for one kilogram of dry air a second: 1 kJ/kg during an hour is 1 kWh.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MonthOfHeat {
    /// Month, 1..12; of all years together.
    pub month: u32,
    /// Hours that count.
    pub hours: f64,
    /// Hours left out for want of temperature or humidity.
    pub hours_skipped: f64,
    /// Sum of max(0, `to_c` - dry bulb), K h.
    pub degree_hours_kh: f64,
    /// Sum of the heat, kWh for 1 kg of dry air a second.
    pub heat_kwh_per_kg_per_s: f64,
}

impl MonthOfHeat {
    fn add(&mut self, hours: f64, air: Option<&MoistAir>, to_c: f64) {
        match air {
            Some(air) => {
                self.hours += hours;
                self.degree_hours_kh += hours * (to_c - air.dry_bulb_c()).max(0.0);
                self.heat_kwh_per_kg_per_s += hours * heat_to(air, to_c);
            }
            None => self.hours_skipped += hours,
        }
    }
}

/// Heat to one temperature, in all and by month.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatSum {
    /// The temperature the air is brought to, °C.
    pub to_c: f64,
    /// Months that have hours, in order of the calendar.
    pub months: Vec<MonthOfHeat>,
}

impl HeatSum {
    fn gather(to_c: f64, hours: impl Iterator<Item = (NaiveDate, f64, Option<MoistAir>)>) -> Self {
        let mut months = [MonthOfHeat::default(); 12];
        for (date, share, air) in hours {
            months[date.month0() as usize].add(share, air.as_ref(), to_c);
        }
        for (month, number) in months.iter_mut().zip(1..) {
            month.month = number;
        }
        Self { to_c, months: months.into_iter().filter(|month| month.hours + month.hours_skipped > 0.0).collect() }
    }

    fn sum(&self, of: impl Fn(&MonthOfHeat) -> f64) -> f64 {
        self.months.iter().map(of).sum()
    }

    /// Hours that count.
    pub fn hours(&self) -> f64 {
        self.sum(|month| month.hours)
    }

    /// Hours left out.
    pub fn hours_skipped(&self) -> f64 {
        self.sum(|month| month.hours_skipped)
    }

    /// Degree-hours below the temperature, K h.
    pub fn degree_hours_kh(&self) -> f64 {
        self.sum(|month| month.degree_hours_kh)
    }

    /// Heat, kWh for 1 kg of dry air a second.
    pub fn heat_kwh_per_kg_per_s(&self) -> f64 {
        self.sum(|month| month.heat_kwh_per_kg_per_s)
    }
}

/// Heat from the rows of a file as they are: rows without temperature or humidity are skipped and
/// counted, pressure is the standard atmosphere's where it is missing. Days and months are those that
/// the file writes. `given_m` is the elevation for files that lack it.
pub fn heat_of_reading(reading: &Reading, to_c: f64, given_m: Option<f64>, dates: Option<Dates>) -> HeatSum {
    let rows = reading
        .air(given_m)
        .filter(|(row, _)| dates.is_none_or(|dates| dates.contains(row.label)))
        .map(|(row, air)| (row.label, row.hours, air));
    HeatSum::gather(to_c, rows)
}

/// Heat from mended hours; days and months are those of local standard time.
pub fn heat_of_hours(series: &Series, to_c: f64, dates: Option<Dates>) -> HeatSum {
    let hours = series
        .hours
        .iter()
        .filter(|hour| dates.is_none_or(|dates| dates.contains(hour.starts.date())))
        .map(|hour| (hour.starts.date(), 1.0, Some(hour.air)));
    HeatSum::gather(to_c, hours)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_may_run_across_new_year() {
        let dates = Dates { from: "09-15".parse().unwrap(), until: "01-20".parse().unwrap() };
        let on = |month, day| dates.contains(NaiveDate::from_ymd_opt(2024, month, day).unwrap());
        assert!(on(9, 15) && on(12, 31) && on(1, 20));
        assert!(!on(9, 14) && !on(1, 21));
    }
}
