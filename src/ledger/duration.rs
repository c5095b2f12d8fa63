//! Load-duration curves: how much capacity covers how many hours, and the peak week.

use super::entry::Entry;
use chrono::NaiveDateTime;

/// Loads sorted highest first, with the span they were taken from.
///
/// Only hours with a load count as hours to be covered: a capacity "for 95 % of the hours" covers 95 %
/// of the hours in which something is asked for, not of the calendar.
#[derive(Clone, Debug, PartialEq)]
pub struct DurationCurve {
    kw: Vec<f64>,
    span_hours: usize,
}

/// What a capacity covers and what it leaves out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// The least capacity that does it, kW.
    pub capacity_kw: f64,
    /// Hours in which the load is above it.
    pub hours_above: usize,
    /// Energy above it, kWh.
    pub energy_above_kwh: f64,
    /// The same as a share of all energy, fraction.
    pub energy_above_share: f64,
}

/// The shares of hours at which capacities are usually compared.
pub const SHARES: [f64; 4] = [0.90, 0.95, 0.99, 1.0];

impl DurationCurve {
    /// From hourly loads, kW (an hour's kWh). Loads of nothing, below nothing or without a number are
    /// hours of the span, not of the curve.
    pub fn of(loads: impl IntoIterator<Item = f64>) -> Self {
        let (mut kw, mut span_hours) = (Vec::new(), 0);
        for load in loads {
            span_hours += 1;
            if load > 0.0 && load.is_finite() {
                kw.push(load);
            }
        }
        kw.sort_by(|a, b| b.total_cmp(a));
        Self { kw, span_hours }
    }

    /// From hourly loads that are all to be covered, those of nothing too: what is left of a need that
    /// something else has met in part.
    pub fn of_hours_to_cover(loads: impl IntoIterator<Item = f64>) -> Self {
        let mut kw: Vec<f64> =
            loads.into_iter().map(|load| if load.is_finite() { load.max(0.0) } else { 0.0 }).collect();
        kw.sort_by(|a, b| b.total_cmp(a));
        Self { span_hours: kw.len(), kw }
    }

    /// The loads, kW, highest first.
    pub fn kw(&self) -> &[f64] {
        &self.kw
    }

    /// Hours with a load.
    pub fn hours(&self) -> usize {
        self.kw.len()
    }

    /// Hours of the span, with and without a load.
    pub fn span_hours(&self) -> usize {
        self.span_hours
    }

    /// The highest load, kW; zero if there is none.
    pub fn peak_kw(&self) -> f64 {
        self.kw.first().copied().unwrap_or(0.0)
    }

    /// All energy, kWh.
    pub fn energy_kwh(&self) -> f64 {
        self.kw.iter().sum()
    }

    /// Mean load over the whole span divided by the peak, fraction: the load factor as suppliers of
    /// electricity reckon it. `None` where nothing is asked for.
    pub fn load_factor(&self) -> Option<f64> {
        let most = self.peak_kw() * self.span_hours as f64;
        (most > 0.0).then(|| self.energy_kwh() / most)
    }

    /// The least capacity, kW, that covers this share (0 to 1) of the hours with a load; zero if there
    /// are none.
    pub fn capacity_for(&self, share: f64) -> f64 {
        let Some(last) = self.kw.len().checked_sub(1) else {
            return 0.0;
        };
        // As many hours as may stay above; the tolerance keeps 5 % of 100 hours at 5.
        let may_stay = (1.0 - share.clamp(0.0, 1.0)) * self.kw.len() as f64 + 1e-9;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to a length
        let above = may_stay.floor() as usize;
        self.kw[above.min(last)]
    }

    /// Energy above a capacity, kWh.
    pub fn energy_above_kwh(&self, capacity_kw: f64) -> f64 {
        self.kw.iter().map(|kw| (kw - capacity_kw).max(0.0)).sum()
    }

    /// The least capacity above which no more than this share of all energy lies, kW.
    pub fn capacity_but_for_kw(&self, energy_share: f64) -> f64 {
        let allowed_kwh = energy_share * self.energy_kwh();
        let mut above_kwh = 0.0;
        for (place, kw) in self.kw.iter().enumerate() {
            above_kwh += kw;
            let next = self.kw.get(place + 1).copied().unwrap_or(0.0);
            let hours = (place + 1) as f64;
            let capacity_kw = (above_kwh - allowed_kwh) / hours;
            if capacity_kw >= next {
                return capacity_kw.max(0.0);
            }
        }
        0.0
    }

    /// What the least capacity for this share of the hours covers and leaves out.
    pub fn cover(&self, share: f64) -> Cover {
        let capacity_kw = self.capacity_for(share);
        let energy_above_kwh = self.energy_above_kwh(capacity_kw);
        let all = self.energy_kwh();
        Cover {
            capacity_kw,
            hours_above: self.kw.iter().take_while(|kw| **kw > capacity_kw).count(),
            energy_above_kwh,
            energy_above_share: if all > 0.0 { energy_above_kwh / all } else { 0.0 },
        }
    }
}

/// Seven days in a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PeakWeek {
    /// Place of its first hour among the hours looked at.
    pub first_hour: usize,
    /// Its first hour.
    pub starts: NaiveDateTime,
    /// What it sums up to, in the unit of what was asked for.
    pub sum: f64,
}

const DAY: usize = 24;
/// Hours of a week.
pub const WEEK_HOURS: usize = 7 * DAY;

/// The seven whole days in a row with the most of something, such as heat need in kWh or water in kg;
/// days are counted from the first hour. `None` if there are fewer than seven whole days.
pub fn peak_week(hours: &[Entry], of: impl Fn(&Entry) -> f64) -> Option<PeakWeek> {
    let days: Vec<f64> = hours.chunks_exact(DAY).map(|day| day.iter().map(&of).sum()).collect();
    let (day, sum) = days
        .windows(7)
        .map(|week| week.iter().sum::<f64>())
        .enumerate()
        // The first of equal weeks.
        .fold(None, |best: Option<(usize, f64)>, week| match best {
            Some(best) if best.1 >= week.1 => Some(best),
            _ => Some(week),
        })?;
    Some(PeakWeek { first_hour: day * DAY, starts: hours[day * DAY].starts, sum })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_capacity_but_for_a_share_leaves_that_share_above_it() {
        let curve = DurationCurve::of([50.0, 40.0, 40.0, 20.0, 10.0]);
        for share in [0.0, 0.01, 0.1, 0.3, 0.9] {
            let above = curve.energy_above_kwh(curve.capacity_but_for_kw(share));
            assert!((above - share * 160.0).abs() < 1e-9, "{share}: {above}");
        }
        assert_eq!(curve.capacity_but_for_kw(0.0), 50.0);
        assert_eq!(DurationCurve::of([]).capacity_but_for_kw(0.01), 0.0);
    }

    #[test]
    fn hours_met_by_something_else_stay_hours_to_cover() {
        let left = DurationCurve::of_hours_to_cover([40.0, 0.0, -5.0, 20.0, f64::NAN]);
        assert_eq!(left.kw(), [40.0, 20.0, 0.0, 0.0, 0.0]);
        // Four of five hours: one may stay above.
        assert_eq!(left.capacity_for(0.8), 20.0);
        // Of the loads alone both are needed.
        assert_eq!(DurationCurve::of([40.0, 0.0, 20.0]).capacity_for(0.8), 40.0);
    }
}
