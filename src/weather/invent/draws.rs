//! Chance: what the days of a year are like beside their normals.
//!
//! Every figure here that has no author beside it is an assumption of this generator, set by eye so that
//! spread, persistence and correlations resemble five typical-year files (Fresno twice, Albany GA and
//! Hilo from US public-domain files; one grid point at 45° N): standard deviations of daily extremes 0.8 K
//! in a trade-wind climate to 5 K in a continental winter, persistence 0.4..0.85 from one day to the
//! next, dew point and minimum correlated 0.4..0.95, dew point and irradiation -0.2..-0.7.

use super::annual::{Calendar, coldness};
use super::climate::{Humidity, Normals};
use super::sky::Sky;
use crate::chance::Chance;

/// One day beside its normals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Day {
    /// True in a spell of covered sky: rain, drizzle or fog.
    pub dull: bool,
    /// Departure of the maximum, K.
    pub high_k: f64,
    /// Departure of the minimum, K.
    pub low_k: f64,
    /// Departure of the dew point, K.
    pub dew_k: f64,
    /// Clearness as a multiple of the month's level.
    pub clearness: f64,
    /// Wind as a multiple of the month's level.
    pub wind: f64,
    /// Departure of the pressure, Pa.
    pub pressure_pa: f64,
    /// Clouds that pass within the day, as a multiple of each hour's irradiance.
    pub clouds: [f64; 24],
}

/// Lag-one and driving matrices of the residuals of daily maximum, minimum and radiation, the same for
/// all places and seasons (Richardson & Wright 1984, ARS-8, after Matalas 1967; digits read alike in
/// five open-source implementations, not in the report itself).
const LAG: [[f64; 3]; 3] = [[0.567, 0.086, -0.002], [0.253, 0.504, -0.050], [-0.006, -0.039, 0.244]];
const DRIVE: [[f64; 3]; 3] = [[0.781, 0.0, 0.0], [0.328, 0.637, 0.0], [0.238, -0.341, 0.873]];

/// Days drawn before the year begins, so that its first day is as far from the normals as any.
const SPIN_UP_DAYS: usize = 40;

/// The days of one year, with its two neighbours, in the order of `calendar.days`.
pub(crate) fn of_year(normals: &Normals, sky: &Sky, calendar: &Calendar, seed: u64) -> Vec<Day> {
    let first = calendar.days[1];
    let mut chance = stream(seed, first);
    let (cold, range_k) = coldness(&normals.min_c, &normals.max_c);
    let cold = calendar.daily(&cold);
    let dull_share = calendar.daily(&dull_share(normals, sky));
    let normal_range = calendar.daily(&std::array::from_fn(|m| normals.max_c[m] - normals.min_c[m]));

    let mut state = State::default();
    for _ in 0..SPIN_UP_DAYS {
        state.step(&mut chance, dull_share[0]);
    }
    (0..calendar.days.len())
        .map(|d| {
            state.step(&mut chance, dull_share[d]);
            // Temperate and continental winters are the most changeable, the tropics the least.
            let spread_k = (0.8 + 0.13 * range_k) * (1.0 + 0.35 * cold[d]);
            let spread_pa = (40.0 + 9.0 * normals.place.latitude.abs()) * (1.0 + 0.4 * cold[d]);
            let [high, low, radiation] = state.residuals;
            let dull = if state.dull { 1.0 } else { 0.0 };
            let mut day = Day {
                dull: state.dull,
                high_k: spread_k * high - 0.15 * dull * normal_range[d],
                low_k: spread_k * low + 0.10 * dull * normal_range[d],
                dew_k: spread_k * (0.7 * low + 0.7 * state.dew + 0.8 * dull),
                clearness: if state.dull { 0.6 * (1.0 + 0.30 * radiation) } else { 1.0 + 0.10 * radiation },
                wind: (1.0 + 0.35 * state.wind).max(0.2),
                pressure_pa: spread_pa * (0.9 * state.pressure - 0.5 * dull),
                clouds: [1.0; 24],
            };
            // A bright day has few clouds in it, a dull one breaks now and then.
            let broken = if state.dull { 0.35 } else { 0.10 };
            let mut cloud = 0.0;
            for hour in &mut day.clouds {
                cloud = 0.5 * cloud + 0.866 * deviate(&mut chance);
                *hour = (1.0 + broken * cloud).clamp(0.2, 1.6);
            }
            day
        })
        .collect()
}

/// Share of dull days by month: from the clearness of the sky where irradiation is known, else from
/// humidity.
fn dull_share(normals: &Normals, sky: &Sky) -> [f64; 12] {
    std::array::from_fn(|m| {
        let share = if let Some(global) = &normals.global_horizontal_kwh_per_m2_day {
            (0.70 - sky.clearness(m, global[m])) / 0.5
        } else {
            let humidity = match &normals.humidity {
                Humidity::Mean(mean) => mean[m],
                Humidity::TwiceDaily { morning, afternoon, .. } => 0.5 * (morning[m] + afternoon[m]),
            };
            (humidity - 0.40) / 0.70
        };
        share.clamp(0.03, 0.85)
    })
}

/// What one day hands on to the next.
#[derive(Default)]
struct State {
    dull: bool,
    residuals: [f64; 3],
    dew: f64,
    wind: f64,
    pressure: f64,
}

impl State {
    fn step(&mut self, chance: &mut Chance, dull_share: f64) {
        // Geng, Penning de Vries & Supit (1986), Agric. Forest Meteorol. 36:363-376, for wet days:
        // P(wet after dry) = 0.75 f, P(wet after wet) = 0.25 + 0.75 f; here for dull days. From
        // memory, not verified.
        let to_dull = 0.75 * dull_share + if self.dull { 0.25 } else { 0.0 };
        self.dull = chance.uniform() < to_dull;
        let drive: [f64; 3] = std::array::from_fn(|_| deviate(chance));
        let before = self.residuals;
        self.residuals = std::array::from_fn(|i| (0..3).map(|j| LAG[i][j] * before[j] + DRIVE[i][j] * drive[j]).sum());
        let mut follow = |value: f64, persistence: f64| {
            persistence * value + (1.0 - persistence * persistence).sqrt() * deviate(chance)
        };
        self.dew = follow(self.dew, 0.65);
        self.wind = follow(self.wind, 0.45);
        self.pressure = follow(self.pressure, 0.75);
    }
}

/// The stream of one year: neighbouring seeds and years must not run side by side.
fn stream(seed: u64, first_day: chrono::NaiveDate) -> Chance {
    let day = first_day.signed_duration_since(chrono::NaiveDate::MIN).num_days().unsigned_abs();
    let mixed = Chance::new(seed).next() ^ day.wrapping_mul(0xd1b5_4a32_d192_ed03);
    Chance::new(mixed)
}

/// Nearly normal, mean 0, variance 1: the sum of twelve uniforms less six. Never beyond ±6, and no
/// logarithm that could differ between machines.
fn deviate(chance: &mut Chance) -> f64 {
    (0..12).map(|_| chance.uniform()).sum::<f64>() - 6.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    fn chance(seed: u64, year: i32) -> Chance {
        stream(seed, NaiveDate::from_ymd_opt(year, 1, 1).unwrap())
    }

    #[test]
    fn deviates_have_mean_zero_and_variance_one() {
        let mut chance = chance(5, 2031);
        let drawn: Vec<f64> = (0..50_000).map(|_| deviate(&mut chance)).collect();
        let mean = drawn.iter().sum::<f64>() / 50_000.0;
        let variance = drawn.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 50_000.0;
        assert!(mean.abs() < 0.02, "{mean}");
        assert!((variance - 1.0).abs() < 0.03, "{variance}");
    }

    #[test]
    fn years_and_seeds_draw_apart() {
        let firsts = [chance(1, 2031), chance(1, 2032), chance(2, 2031)].map(|mut c| c.next());
        assert!(firsts[0] != firsts[1] && firsts[0] != firsts[2] && firsts[1] != firsts[2]);
    }

    /// The residuals are standardised and persist from day to day as Richardson's do: lag-one
    /// correlations of maximum and minimum about 0.6 (his station averages lie at 0.5..0.7).
    #[test]
    fn residuals_are_standardised_and_persist() {
        let mut chance = chance(11, 2031);
        let mut state = State::default();
        let series: Vec<[f64; 3]> = (0..40_000)
            .map(|_| {
                state.step(&mut chance, 0.4);
                state.residuals
            })
            .collect();
        for which in 0..2 {
            let n = series.len() as f64;
            let variance = series.iter().map(|x| x[which].powi(2)).sum::<f64>() / n;
            let lagged = series.windows(2).map(|x| x[0][which] * x[1][which]).sum::<f64>() / n;
            assert!((variance - 1.0).abs() < 0.1, "variance {variance}");
            assert!((0.55..0.72).contains(&(lagged / variance)), "{}", lagged / variance);
        }
    }

    #[test]
    fn dull_days_come_in_spells_and_in_their_share() {
        let mut chance = chance(3, 2031);
        let mut state = State::default();
        let dull: Vec<bool> = (0..40_000)
            .map(|_| {
                state.step(&mut chance, 0.3);
                state.dull
            })
            .collect();
        let share = dull.iter().filter(|d| **d).count() as f64 / 40_000.0;
        let after =
            dull.windows(2).filter(|d| d[0] && d[1]).count() as f64 / dull.iter().filter(|d| **d).count() as f64;
        assert!((share - 0.3).abs() < 0.02, "{share}");
        assert!((after - 0.475).abs() < 0.03, "{after}");
    }
}
