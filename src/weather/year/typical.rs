//! A typical year out of many: each calendar month taken whole from the year in which it was most
//! like itself.
//!
//! Procedure of ISO 15927-4:2005 (steps read in the documentation of an open-source implementation, not in
//! the standard; the plotting positions of step 2 and the smoothing of step 6 from memory, not
//! verified):
//!
//! 1. Daily means of dry bulb, global irradiance and relative humidity.
//! 2. For each quantity and calendar month, the cumulative distribution of the daily means of one year
//!    against that of all years: the Finkelstein-Schafer statistic ([`finkelstein_schafer`]).
//! 3. For each quantity, the years are ranked by it.
//! 4. The ranks of the quantities are added.
//! 5. Of the three years with the lowest sum, the one whose mean wind lies nearest the mean of all years;
//!    without wind, the lowest sum.
//! 6. The months are put together, and the eight hours on each side of a join are drawn towards each other.
//!
//! Where the hours have no irradiance the choice rests on temperature and humidity alone, and
//! [`Typical::judged_by`] says so. 29 February is left out.

use crate::air::{AirError, MoistAir, saturation_humidity_ratio};
use crate::weather::hour::Hour;
use chrono::{Datelike, NaiveDate, NaiveTime, TimeDelta};

/// Fewest years a typical year may be made from: ten or more (ISO 15927-4).
pub const FEWEST_YEARS: usize = 10;
/// Calendar that the typical year is laid on: a year of 365 days whose 1 January is a Monday. The hours'
/// own years are in [`Typical::chosen`].
pub const CALENDAR_YEAR: i32 = 2001;

const CANDIDATES: usize = 3;
const SMOOTHED_HOURS: usize = 8;

/// What a month is judged by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Dry-bulb temperature.
    DryBulb,
    /// Relative humidity.
    RelativeHumidity,
    /// Global irradiance of the horizontal.
    GlobalHorizontal,
    /// Wind speed: decides between the three best.
    Wind,
}

/// A typical year and where its months come from.
#[derive(Clone, Debug, PartialEq)]
pub struct Typical {
    /// 8760 hours on the calendar of [`CALENDAR_YEAR`]; those changed at the joins are marked mended.
    pub hours: Vec<Hour>,
    /// Month (1..=12) and the year it was taken from, January first.
    pub chosen: [(u32, i32); 12],
    /// Quantities that every hour had and the choice rests on.
    pub judged_by: Vec<Quantity>,
}

/// Why no typical year can be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TypicalError {
    /// Too few complete months of one name.
    #[error(
        "month {month} is complete in {found} years, a typical year needs at least {FEWEST_YEARS}; add years of weather, or use the years as they are"
    )]
    TooFewYears {
        /// Month, 1..12.
        month: u32,
        /// Years in which every hour of it is there.
        found: usize,
    },
    /// Hours that do not follow each other.
    #[error("the hour that starts {0} does not come after the one before it; sort the hours and drop doubles")]
    OutOfOrder(chrono::NaiveDateTime),
    /// Air at a join that cannot be.
    #[error("smoothing the joins of the months led to air that cannot be: {0}")]
    Air(#[from] AirError),
}

/// Finkelstein-Schafer statistic of one month's daily means against those of all years: the sum over the
/// month's days of |F - Phi|, with F = j/(n+1) the day's place in its own month and Phi = k/(N+1) its place
/// among all years' days of that month (Finkelstein & Schafer 1971, Biometrika 58:641-645). 0 for a
/// month spread exactly as all of them.
pub fn finkelstein_schafer(month_days: &[f64], all_days: &[f64]) -> f64 {
    let place = |value: f64, among: &[f64]| {
        among.iter().filter(|other| **other <= value).count() as f64 / (among.len() + 1) as f64
    };
    month_days.iter().map(|day| (place(*day, month_days) - place(*day, all_days)).abs()).sum()
}

/// The typical year of these hours, which may hold gaps between years and incomplete months (those are
/// passed over) but must be in order.
pub fn stitch(hours: &[Hour]) -> Result<Typical, TypicalError> {
    if let Some(pair) = hours.windows(2).find(|pair| pair[1].starts <= pair[0].starts) {
        return Err(TypicalError::OutOfOrder(pair[1].starts));
    }
    let months = complete_months(hours);
    for month in 1..=12 {
        let found = months.iter().filter(|m| m.name == month).count();
        if found < FEWEST_YEARS {
            return Err(TypicalError::TooFewYears { month, found });
        }
    }
    let judged_by: Vec<Quantity> =
        [Quantity::DryBulb, Quantity::RelativeHumidity, Quantity::GlobalHorizontal, Quantity::Wind]
            .into_iter()
            .filter(|quantity| months.iter().all(|month| month.hours.iter().all(|hour| quantity.of(hour).is_some())))
            .collect();

    let mut chosen = [(0, 0); 12];
    let mut parts: Vec<Vec<Hour>> = Vec::with_capacity(12);
    for (month, choice) in (1..=12).zip(&mut chosen) {
        let of_name: Vec<&Month> = months.iter().filter(|m| m.name == month).collect();
        let best = most_typical(&of_name, &judged_by);
        *choice = (month, best.year);
        parts.push(best.without_leap_day());
    }
    Ok(Typical { hours: joined(&parts, &chosen)?, chosen, judged_by })
}

impl Quantity {
    fn of(self, hour: &Hour) -> Option<f64> {
        match self {
            Self::DryBulb => Some(hour.air.dry_bulb_c()),
            Self::RelativeHumidity => Some(hour.air.relative_humidity()),
            Self::GlobalHorizontal => hour.global_horizontal_w_per_m2,
            Self::Wind => hour.wind_m_per_s,
        }
    }
}

/// One month of one year with all its hours.
struct Month<'a> {
    year: i32,
    name: u32,
    hours: &'a [Hour],
}

impl Month<'_> {
    fn daily_means(&self, quantity: Quantity) -> Vec<f64> {
        self.hours
            .chunks_exact(24)
            .map(|day| day.iter().filter_map(|hour| quantity.of(hour)).sum::<f64>() / 24.0)
            .collect()
    }

    fn without_leap_day(&self) -> Vec<Hour> {
        self.hours.iter().filter(|hour| !(hour.starts.month() == 2 && hour.starts.day() == 29)).copied().collect()
    }
}

fn complete_months(hours: &[Hour]) -> Vec<Month<'_>> {
    hours
        .chunk_by(|a, b| (a.starts.year(), a.starts.month()) == (b.starts.year(), b.starts.month()))
        .filter_map(|run| {
            let (year, month) = (run[0].starts.year(), run[0].starts.month());
            let first = NaiveDate::from_ymd_opt(year, month, 1)?.and_time(NaiveTime::MIN);
            let whole = usize::from(run[0].starts.date().num_days_in_month()) * 24;
            // Every hour in order, none missing: as many as there should be, an hour apart.
            let unbroken = run[0].starts == first
                && run.len() == whole
                && run.windows(2).all(|pair| pair[1].starts - pair[0].starts == TimeDelta::hours(1));
            unbroken.then_some(Month { year, name: month, hours: run })
        })
        .collect()
}

/// Of the months of one name, the one the standard's steps 2 to 5 arrive at. `months` is not empty.
fn most_typical<'a, 'b>(months: &[&'a Month<'b>], judged_by: &[Quantity]) -> &'a Month<'b> {
    let mut rank_sums = vec![0_usize; months.len()];
    let mut statistic_sums = vec![0.0; months.len()];
    for quantity in judged_by.iter().filter(|q| **q != Quantity::Wind) {
        let daily: Vec<Vec<f64>> = months.iter().map(|m| m.daily_means(*quantity)).collect();
        let all: Vec<f64> = daily.concat();
        let statistics: Vec<f64> = daily.iter().map(|days| finkelstein_schafer(days, &all)).collect();
        for (at, statistic) in statistics.iter().enumerate() {
            rank_sums[at] += statistics.iter().filter(|other| *other < statistic).count();
            statistic_sums[at] += statistic;
        }
    }
    let mut order: Vec<usize> = (0..months.len()).collect();
    // Equal sums are told apart by the statistics themselves, then by the earlier year.
    order.sort_by(|a, b| rank_sums[*a].cmp(&rank_sums[*b]).then(statistic_sums[*a].total_cmp(&statistic_sums[*b])));
    if !judged_by.contains(&Quantity::Wind) {
        return months[order[0]];
    }
    let winds: Vec<f64> = months
        .iter()
        .map(|month| {
            let days = month.daily_means(Quantity::Wind);
            days.iter().sum::<f64>() / days.len() as f64
        })
        .collect();
    let mean = winds.iter().sum::<f64>() / winds.len() as f64;
    let nearest = order
        .iter()
        .take(CANDIDATES)
        .min_by(|a, b| (winds[**a] - mean).abs().total_cmp(&(winds[**b] - mean).abs()))
        .unwrap_or(&order[0]);
    months[*nearest]
}

/// The months one after another on one calendar, smoothed where neighbours are of different years.
fn joined(parts: &[Vec<Hour>], chosen: &[(u32, i32); 12]) -> Result<Vec<Hour>, TypicalError> {
    let mut joins = Vec::with_capacity(12);
    let mut at = 0;
    for (m, part) in parts.iter().enumerate() {
        at += part.len();
        // December meets January where the year is run in a circle.
        if m == 11 || chosen[m].1 != chosen[m + 1].1 {
            joins.push(at);
        }
    }
    let mut hours = parts.concat();
    for join in joins {
        smooth(&mut hours, join)?;
    }
    let first = NaiveDate::from_ymd_opt(CALENDAR_YEAR, 1, 1).unwrap_or_default();
    let mut starts = first.and_time(NaiveTime::MIN);
    for hour in &mut hours {
        hour.starts = starts;
        starts += TimeDelta::hours(1);
    }
    Ok(hours)
}

/// Draws the eight hours on each side of a join towards each other: the step between the two sides is
/// shared out along them, most at the join and none at the far ends, so that the daily course stays.
/// Irradiance is left alone (at midnight there is none).
fn smooth(hours: &mut [Hour], join: usize) -> Result<(), AirError> {
    let n = hours.len();
    let (before, after) = (hours[join - 1], hours[join % n]);
    let half_step = |of: &dyn Fn(&Hour) -> f64| 0.5 * (of(&after) - of(&before));
    let warmer = half_step(&|h| h.air.dry_bulb_c());
    let moister = half_step(&|h| h.air.humidity_ratio());
    let heavier = half_step(&|h| h.air.pressure_pa());
    let windier = half_step(&|h| h.wind_m_per_s.unwrap_or(0.0));
    for k in 0..SMOOTHED_HOURS {
        let share = (SMOOTHED_HOURS - k) as f64 / SMOOTHED_HOURS as f64;
        for (at, share) in [(join - 1 - k, share), ((join + k) % n, -share)] {
            let hour = &mut hours[at];
            let dry_bulb_c = hour.air.dry_bulb_c() + share * warmer;
            let pressure_pa = hour.air.pressure_pa() + share * heavier;
            let humidity_ratio = (hour.air.humidity_ratio() + share * moister)
                .clamp(0.0, saturation_humidity_ratio(dry_bulb_c, pressure_pa));
            hour.air = MoistAir::from_humidity_ratio(dry_bulb_c, humidity_ratio, pressure_pa)?;
            hour.wind_m_per_s = hour.wind_m_per_s.map(|wind| (wind + share * windier).max(0.0));
            hour.mended = true;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
