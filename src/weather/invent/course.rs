//! The course of a day: temperature, dew point, irradiance, wind and pressure hour by hour.

use super::annual::Calendar;
use super::climate::Normals;
use super::draws::Day;
use super::levels::Levels;
use super::sky::Sky;
use crate::air::{AirError, MoistAir, saturation_pressure_pa, standard_pressure_pa};
use crate::weather::hour::Hour;
use crate::weather::year::solar::Daylight;
use std::f64::consts::PI;

/// Time of the maximum after solar noon, of the minimum after sunrise, hours, and decay of the night:
/// Parton & Logan (1981) for air at 1.5 m, Denver (values read in the documentation of an open-source
/// package, not in the paper).
const MAXIMUM_AFTER_NOON_H: f64 = 1.86;
const MINIMUM_AFTER_SUNRISE_H: f64 = -0.17;
const NIGHT_DECAY: f64 = 2.20;

/// Half the daily swing of the dew point, K, and the hour of its highest: dew and frost take water out
/// of the night's air and the morning gives it back. Assumption; five typical-year files swing by
/// 1.3..3.1 K from lowest (about dawn) to highest (between forenoon and evening).
const DEW_SWING_K: f64 = 0.8;
const DEW_HIGHEST_H: f64 = 13.0;

/// Relative humidity up to which the air takes all its water, as a fraction. Above it dew takes part, and
/// the air comes near to saturation without standing at it for hours (assumption).
const DEW_FORMS_ABOVE: f64 = 0.90;

/// No hour is clearer than this share of the light outside the atmosphere.
const CLEAREST_HOUR: f64 = 0.80;
/// No day is clearer, or duller, than this.
const DAY_CLEARNESS: (f64, f64) = (0.04, 0.77);

/// One hour before it is checked as air.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RawHour {
    pub dry_bulb_c: f64,
    pub relative_humidity: f64,
    pub pressure_pa: f64,
    pub global_w_per_m2: Option<f64>,
    pub wind_m_per_s: Option<f64>,
}

/// The year that these levels and days give, hour by hour.
pub(crate) fn of_year(
    normals: &Normals,
    levels: &Levels,
    sky: &Sky,
    days: &[Day],
    calendar: &Calendar,
) -> Vec<RawHour> {
    let extremes = Extremes::of(levels, days, calendar);
    let depression = calendar.daily(&levels.dew_depression_k);
    let swing = calendar.daily(&levels.dew_swing_k);
    let low_level = calendar.daily(&levels.low_c);
    let dew: Vec<f64> = (0..days.len())
        .map(|d| {
            let mean = 0.5 * (extremes.low[d] + extremes.high[d]);
            (low_level[d] - depression[d] + days[d].dew_k).min(mean)
        })
        .collect();
    let clearness = levels.clearness.map(|monthly| calendar.daily(&monthly));
    let wind = levels.wind_m_per_s.map(|monthly| calendar.daily(&monthly));
    let still_pa = standard_pressure_pa(normals.altitude_m);
    let tide_pa = 116.0 * normals.place.latitude.to_radians().cos().powi(3);

    let mut hours = Vec::with_capacity(calendar.year_days() * 24);
    for d in 1..=calendar.year_days() {
        for h in 0..24 {
            let clock_h = h as f64 + 0.5;
            let dry_bulb_c = extremes.temperature_c(&sky.daylight, d, clock_h);
            let dew_point_c = between_noons(&dew, d, clock_h)
                + DEW_SWING_K * (PI / 12.0 * (clock_h - DEW_HIGHEST_H)).cos()
                + swing[d] * (PI / 12.0 * (clock_h - 12.0)).sin();
            let humidity = saturation_pressure_pa(dew_point_c) / saturation_pressure_pa(dry_bulb_c);
            let synoptic_pa = between_noons_of(days, d, clock_h, |day| day.pressure_pa);
            // The atmosphere's tide: highest about 10 and 22 h, 1.16 hPa at the equator falling with
            // the cube of the cosine of latitude (Chapman & Lindzen 1970; from memory, not verified).
            let tide = tide_pa * (PI / 6.0 * (clock_h - 10.0)).cos();
            hours.push(RawHour {
                dry_bulb_c,
                relative_humidity: short_of_saturation(humidity),
                pressure_pa: still_pa + synoptic_pa + tide,
                global_w_per_m2: clearness.as_ref().map(|level| {
                    let day = (level[d] * days[d].clearness).clamp(DAY_CLEARNESS.0, DAY_CLEARNESS.1);
                    let hour = (day * sky.spread[d][h] * days[d].clouds[h]).min(CLEAREST_HOUR);
                    hour * sky.extraterrestrial[d][h]
                }),
                // Wind rises by day with the mixing of the air and falls at night (assumption).
                wind_m_per_s: wind.as_ref().map(|level| {
                    let by_day = 1.0 + 0.45 * (PI / 12.0 * (clock_h - 14.5)).cos();
                    level[d] * between_noons_of(days, d, clock_h, |day| day.wind) * by_day
                }),
            });
        }
    }
    hours
}

/// Relative humidity (fraction) of air that would have this much if no dew fell.
fn short_of_saturation(without_dew: f64) -> f64 {
    if without_dew <= DEW_FORMS_ABOVE {
        return without_dew;
    }
    let room = 1.0 - DEW_FORMS_ABOVE;
    1.0 - room * (-(without_dew - DEW_FORMS_ABOVE) / room).exp()
}

/// The year that these levels and days give, checked as air.
pub(crate) fn hours(
    normals: &Normals,
    levels: &Levels,
    sky: &Sky,
    days: &[Day],
    calendar: &Calendar,
) -> Result<Vec<Hour>, AirError> {
    let starts = (1..=calendar.year_days()).flat_map(|d| calendar.hours(d));
    of_year(normals, levels, sky, days, calendar)
        .into_iter()
        .zip(starts)
        .map(|(hour, starts)| {
            Ok(Hour {
                starts,
                air: MoistAir::from_relative_humidity(hour.dry_bulb_c, hour.relative_humidity, hour.pressure_pa)?,
                global_horizontal_w_per_m2: hour.global_w_per_m2,
                wind_m_per_s: hour.wind_m_per_s,
                mended: false,
            })
        })
        .collect()
}

/// Lowest and highest temperature of each day, °C.
struct Extremes {
    low: Vec<f64>,
    high: Vec<f64>,
}

impl Extremes {
    fn of(levels: &Levels, days: &[Day], calendar: &Calendar) -> Self {
        let (low, high) = (calendar.daily(&levels.low_c), calendar.daily(&levels.high_c));
        let mut extremes = Self { low, high };
        for (d, day) in days.iter().enumerate() {
            let normal_range = extremes.high[d] - extremes.low[d];
            let low = extremes.low[d] + day.low_k;
            let high = extremes.high[d] + day.high_k;
            // A day's range stays a day's range, however its two ends were drawn.
            let half = 0.5 * (high - low).clamp(0.2 * normal_range, 1.9 * normal_range);
            let middle = 0.5 * (high + low);
            extremes.low[d] = middle - half;
            extremes.high[d] = middle + half;
        }
        extremes
    }

    /// Dry bulb, °C, at a clock hour of a day: a sine from the minimum near sunrise to sunset, then an
    /// exponential that reaches the next day's minimum (Parton & Logan 1981, with the curve scaled to end
    /// exactly there, so that days join without a step).
    fn temperature_c(&self, daylight: &[Daylight], day: usize, clock_h: f64) -> f64 {
        let minimum = |d: usize| Clock::of(&daylight[d]).sunrise_h + MINIMUM_AFTER_SUNRISE_H;
        let (from, since_h) = if clock_h >= minimum(day) {
            (day, clock_h - minimum(day))
        } else {
            (day - 1, clock_h + 24.0 - minimum(day - 1))
        };
        let sun = Clock::of(&daylight[from]);
        let warming_h = sun.hours - MINIMUM_AFTER_SUNRISE_H;
        let by_day = |h: f64| {
            let whole = sun.hours + 2.0 * (MAXIMUM_AFTER_NOON_H - MINIMUM_AFTER_SUNRISE_H);
            self.low[from] + (self.high[from] - self.low[from]) * (PI * h / whole).sin()
        };
        if since_h <= warming_h {
            return by_day(since_h);
        }
        let next = (from + 1).min(self.low.len() - 1);
        let night_h = 24.0 + minimum(next) - minimum(from) - warming_h;
        let gone = ((since_h - warming_h) / night_h).clamp(0.0, 1.0);
        let fallen = (1.0 - (-NIGHT_DECAY * gone).exp()) / (1.0 - (-NIGHT_DECAY).exp());
        let sunset_c = by_day(warming_h);
        sunset_c + (self.low[next] - sunset_c) * fallen
    }
}

/// Daylight as the temperature curve can use it: near the poles the day is kept between 4 and 20 hours.
struct Clock {
    sunrise_h: f64,
    hours: f64,
}

impl Clock {
    fn of(daylight: &Daylight) -> Self {
        let hours = daylight.hours().clamp(4.0, 20.0);
        let noon = 0.5 * (daylight.sunrise_h + daylight.sunset_h);
        Self { sunrise_h: noon - 0.5 * hours, hours }
    }
}

/// A daily value on a straight line between the noons of neighbouring days.
fn between_noons(daily: &[f64], day: usize, clock_h: f64) -> f64 {
    let past_noon = (clock_h - 12.0) / 24.0;
    let neighbour = if past_noon < 0.0 { day - 1 } else { day + 1 };
    daily[day] + past_noon.abs() * (daily[neighbour] - daily[day])
}

fn between_noons_of(days: &[Day], day: usize, clock_h: f64, value: impl Fn(&Day) -> f64) -> f64 {
    let three = [&days[day - 1], &days[day], &days[day + 1]].map(value);
    between_noons(&three, 1, clock_h)
}
