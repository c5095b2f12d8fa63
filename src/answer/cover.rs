//! What covered the heat asked for: through the hours sorted by their need, and through the day month by month.

use crate::ledger::{Book, Entry, month_of};
use chrono::Timelike;
use schemars::JsonSchema;
use serde::Serialize;

/// Steps in which the sorted hours are told.
const STEPS: usize = 60;

/// The hours that asked for heat, sorted by it, highest first, in steps of equally many hours: means of each.
/// What is asked for is what was given and what was short, so that the layers add up to it.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct SortedCover {
    /// Hours of a mean season in each step but the last.
    pub hours_per_step: f64,
    /// Hours of a mean season in the last step, which holds what is left.
    pub hours_in_last_step: f64,
    /// Heat asked for, kW.
    pub need_kw: Vec<f64>,
    /// Recovered from condensers, kW.
    pub recovered_kw: Vec<f64>,
    /// Each source in the order of the stack, kW.
    pub sources_kw: Vec<Vec<f64>>,
    /// Not met, kW.
    pub short_kw: Vec<f64>,
}

impl SortedCover {
    /// Energy of the first steps, kWh a season, of means that stand for them.
    pub(crate) fn sum_kwh(&self, kw: &[f64]) -> f64 {
        let steps = self.need_kw.len();
        let hours = |step: usize| {
            if step + 1 == steps { self.hours_in_last_step } else { self.hours_per_step }
        };
        kw.iter().enumerate().map(|(step, kw)| kw * hours(step)).sum()
    }
}

/// Means a day in one calendar month by hour of day, kWh.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct MonthHours {
    /// Calendar month, 1..12.
    pub month: u32,
    /// Heat need in each hour of the mean day.
    pub need_kwh: Vec<f64>,
    /// Of which recovered heat met.
    pub useful_kwh: Vec<f64>,
}

/// Heat given and short, kWh.
fn asked(hour: &Entry) -> f64 {
    hour.heat_delivered_kwh + hour.heat_short_kwh
}

/// An hour that asked for heat: of which book, at which place in it, and what covered it, kW.
struct Asked {
    book: usize,
    at: usize,
    all_kw: f64,
    recovered_kw: f64,
    short_kw: f64,
}

fn hours_asked((book, of): (usize, &Book)) -> impl Iterator<Item = Asked> {
    let hours = of.hours.iter().enumerate();
    hours.filter(|(_, hour)| asked(hour) > 0.0).map(move |(at, hour)| Asked {
        book,
        at,
        all_kw: asked(&hour),
        recovered_kw: hour.recovered_kwh,
        short_kw: hour.heat_short_kwh,
    })
}

/// Sorts the hours of all books of an option.
pub(super) fn cover(books: &[Book]) -> SortedCover {
    let mut hours: Vec<Asked> = books.iter().enumerate().flat_map(hours_asked).collect();
    hours.sort_by(|a, b| b.all_kw.total_cmp(&a.all_kw));
    if hours.is_empty() {
        return SortedCover::default();
    }
    let in_step = hours.len().div_ceil(STEPS);
    let mean_of_steps = |of: &dyn Fn(&[Asked]) -> f64| -> Vec<f64> {
        hours.chunks(in_step).map(|step| of(step) / step.len() as f64).collect()
    };
    let mean = |of: fn(&Asked) -> f64| mean_of_steps(&|step| step.iter().map(of).sum());
    let of_source = |place: usize| -> Vec<f64> {
        let given: Vec<Vec<f64>> =
            books.iter().map(|book| book.sources[place].given.iter().map(|drawn| drawn.heat_kwh).collect()).collect();
        mean_of_steps(&|step| step.iter().map(|hour| given[hour.book][hour.at]).sum())
    };
    let sources = books.first().map_or(0, |book| book.sources.len());
    SortedCover {
        hours_per_step: in_step as f64 / books.len() as f64,
        hours_in_last_step: hours.chunks(in_step).last().map_or(0, <[_]>::len) as f64 / books.len() as f64,
        need_kw: mean(|hour| hour.all_kw),
        recovered_kw: mean(|hour| hour.recovered_kw),
        sources_kw: (0..sources).map(of_source).collect(),
        short_kw: mean(|hour| hour.short_kw),
    }
}

/// The mean day of each month of the drying season, from the season's first.
pub(super) fn by_month_and_hour(books: &[Book]) -> Vec<MonthHours> {
    let mut months: Vec<MonthHours> = Vec::new();
    let mut days: Vec<f64> = Vec::new();
    for hour in books.iter().flat_map(|book| &book.hours).filter(|hour| hour.in_season) {
        let place = place_of(&mut months, &mut days, &hour);
        let clock = hour.starts.hour() as usize;
        months[place].need_kwh[clock] += hour.heat_need_kwh;
        months[place].useful_kwh[clock] += hour.recovered_kwh;
        days[place] += 1.0 / 24.0;
    }
    for (month, days) in months.iter_mut().zip(days) {
        for kwh in month.need_kwh.iter_mut().chain(&mut month.useful_kwh) {
            *kwh /= days;
        }
    }
    months
}

fn place_of(months: &mut Vec<MonthHours>, days: &mut Vec<f64>, hour: &Entry) -> usize {
    let month = month_of(hour).1;
    months.iter().position(|known| known.month == month).unwrap_or_else(|| {
        months.push(MonthHours { month, need_kwh: vec![0.0; 24], useful_kwh: vec![0.0; 24] });
        days.push(0.0);
        months.len() - 1
    })
}
