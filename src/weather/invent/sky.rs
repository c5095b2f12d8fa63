//! The sun over a place for one year.

use super::annual::Calendar;
use crate::weather::year::solar::{Daylight, Place, extraterrestrial_horizontal_w_per_m2, position};
use chrono::TimeDelta;
use std::f64::consts::PI;

/// The sun over a place for one year.
pub(crate) struct Sky {
    pub daylight: Vec<Daylight>,
    /// Outside the atmosphere on the horizontal, W/m², by day and hour.
    pub extraterrestrial: Vec<[f64; 24]>,
    /// How the light of a day is spread: multiple of the day's clearness, by day and hour.
    pub spread: Vec<[f64; 24]>,
    /// Mean day outside the atmosphere, kWh/m², by month.
    monthly_kwh: [f64; 12],
}

impl Sky {
    pub(super) fn over(place: Place, calendar: &Calendar) -> Self {
        let daylight: Vec<Daylight> = calendar.days.iter().map(|day| Daylight::of(place, *day)).collect();
        let extraterrestrial: Vec<[f64; 24]> = (0..calendar.days.len())
            .map(|d| calendar.hours(d).map(|starts| extraterrestrial_horizontal_w_per_m2(place, starts)))
            .collect();
        let spread = (0..calendar.days.len())
            .map(|d| {
                let sunset = (daylight[d].hours() * 7.5).to_radians();
                calendar.hours(d).map(|starts| {
                    let sun = position(place, starts + TimeDelta::minutes(30));
                    clearness_within_day(sun.hour_angle_deg.to_radians(), sunset)
                })
            })
            .collect();
        let mut sums = [(0.0, 0.0); 12];
        for d in 1..=calendar.year_days() {
            let month = &mut sums[calendar.month0(d)];
            month.0 += extraterrestrial[d].iter().sum::<f64>() / 1000.0;
            month.1 += 1.0;
        }
        Self { daylight, extraterrestrial, spread, monthly_kwh: sums.map(|(kwh, days)| kwh / days) }
    }

    /// Share of a month's extraterrestrial irradiation that reaches the ground; 0 in the polar night.
    pub(super) fn clearness(&self, month: usize, global_kwh_per_m2_day: f64) -> f64 {
        if self.monthly_kwh[month] > 0.01 { global_kwh_per_m2_day / self.monthly_kwh[month] } else { 0.0 }
    }
}

/// Ratio of the hour's clearness to the day's: a + b cos(hour angle) of Collares-Pereira & Rabl (1979),
/// with the sunset hour angle in radians (from memory, not verified). Never negative.
fn clearness_within_day(hour_angle: f64, sunset: f64) -> f64 {
    let shifted = (sunset - PI / 3.0).sin();
    let (a, b) = (0.409 + 0.5016 * shifted, 0.6609 - 0.4767 * shifted);
    (a + b * hour_angle.cos()).max(0.0)
}
