//! Monthly levels, corrected until the generated year returns the normals.

use super::annual::Calendar;
use super::climate::{Humidity, Monthly, Normals};
use super::course::{self, RawHour};
use super::draws::Day;
use super::error::NormalsError;
use super::levels::Levels;
use super::sky::Sky;

/// How near is near enough to stop: temperature K, humidity (fraction), the others relative.
const ENOUGH: Miss = Miss { temperature_k: 0.01, humidity: 0.0005, relative: 0.002 };
/// What a generated year may miss its normals by.
const ALLOWED: Miss = Miss { temperature_k: 0.2, humidity: 0.02, relative: 0.02 };
const ROUNDS: usize = 120;

#[derive(Clone, Copy)]
struct Miss {
    temperature_k: f64,
    humidity: f64,
    relative: f64,
}

/// Levels around which these years of days, taken together, return the normals; an error naming the month
/// and value that cannot be matched. All years are of this calendar.
pub(crate) fn levels(
    normals: &Normals,
    sky: &Sky,
    years: &[Vec<Day>],
    calendar: &Calendar,
) -> Result<Levels, NormalsError> {
    let mut levels = first_guess(normals, sky);
    for round in 0.. {
        let raw: Vec<RawHour> =
            years.iter().flat_map(|days| course::of_year(normals, &levels, sky, days, calendar)).collect();
        let found = Found::in_years(&raw, normals, calendar);
        let limit = if round < ROUNDS { ENOUGH } else { ALLOWED };
        match found.first_beyond(normals, limit) {
            None => break,
            Some(miss) if round == ROUNDS => return Err(miss),
            Some(_) => correct(&mut levels, &found, normals),
        }
    }
    Ok(levels)
}

fn first_guess(normals: &Normals, sky: &Sky) -> Levels {
    Levels {
        low_c: normals.min_c,
        high_c: normals.max_c,
        dew_depression_k: [2.0; 12],
        dew_swing_k: [0.0; 12],
        clearness: normals
            .global_horizontal_kwh_per_m2_day
            .map(|global| std::array::from_fn(|m| sky.clearness(m, global[m]))),
        wind_m_per_s: normals.wind_m_per_s,
    }
}

/// What the months of the generated years come to.
struct Found {
    low_c: Monthly,
    high_c: Monthly,
    /// Mean of all hours, or of the morning hour.
    humidity: Monthly,
    /// Mean of the afternoon hour, where the normals have one.
    afternoon: Option<Monthly>,
    global: Option<Monthly>,
    wind: Option<Monthly>,
}

impl Found {
    fn in_years(raw: &[RawHour], normals: &Normals, calendar: &Calendar) -> Self {
        let by_month = |of_day: &dyn Fn(&[RawHour]) -> f64| -> Monthly {
            let mut sums = [(0.0, 0.0); 12];
            for (d, day) in raw.chunks_exact(24).enumerate() {
                let month = &mut sums[calendar.month0(1 + d % calendar.year_days())];
                month.0 += of_day(day);
                month.1 += 1.0;
            }
            sums.map(|(sum, count)| sum / count)
        };
        let mean_of =
            |value: &dyn Fn(&RawHour) -> f64| -> Monthly { by_month(&|day| day.iter().map(value).sum::<f64>() / 24.0) };
        // A reading at the clock hour lies between the hour that ends and the one that starts there.
        let at = |hour: u32| -> Monthly {
            let (before, after) = ((hour as usize + 23) % 24, hour as usize % 24);
            by_month(&|day| 0.5 * (day[before].relative_humidity + day[after].relative_humidity))
        };
        let (humidity, afternoon) = match &normals.humidity {
            Humidity::Mean(_) => (mean_of(&|hour| hour.relative_humidity), None),
            Humidity::TwiceDaily { morning_hour, afternoon_hour, .. } => (at(*morning_hour), Some(at(*afternoon_hour))),
        };
        Self {
            low_c: by_month(&|day| day.iter().map(|h| h.dry_bulb_c).fold(f64::INFINITY, f64::min)),
            high_c: by_month(&|day| day.iter().map(|h| h.dry_bulb_c).fold(f64::NEG_INFINITY, f64::max)),
            humidity,
            afternoon,
            global: normals
                .global_horizontal_kwh_per_m2_day
                .map(|_| mean_of(&|hour| 0.024 * hour.global_w_per_m2.unwrap_or(0.0))),
            wind: normals.wind_m_per_s.map(|_| mean_of(&|hour| hour.wind_m_per_s.unwrap_or(0.0))),
        }
    }

    /// The first month and value that misses its normal by more than this.
    fn first_beyond(&self, normals: &Normals, limit: Miss) -> Option<NormalsError> {
        let (morning, afternoon) = wanted(&normals.humidity);
        let mut pairs = vec![
            ("mean daily minimum, °C", normals.min_c, self.low_c, limit.temperature_k),
            ("mean daily maximum, °C", normals.max_c, self.high_c, limit.temperature_k),
            ("relative humidity, %", morning.map(percent), self.humidity.map(percent), percent(limit.humidity)),
        ];
        if let (Some(wanted), Some(found)) = (afternoon, self.afternoon) {
            pairs.push((
                "afternoon relative humidity, %",
                wanted.map(percent),
                found.map(percent),
                percent(limit.humidity),
            ));
        }
        let relative = [
            ("global irradiation, kWh/m² day", normals.global_horizontal_kwh_per_m2_day, self.global),
            ("wind, m/s", normals.wind_m_per_s, self.wind),
        ];
        for (what, wanted, found) in relative {
            if let (Some(wanted), Some(found)) = (wanted, found) {
                let most = wanted.iter().copied().fold(0.0, f64::max);
                pairs.push((what, wanted, found, limit.relative * most));
            }
        }
        for (what, wanted, found, limit) in pairs {
            for month in 0..12 {
                let near = (found[month] - wanted[month]).abs() <= limit;
                if !near {
                    return Some(NormalsError::NotReached {
                        month: month + 1,
                        what,
                        wanted: wanted[month],
                        reached: found[month],
                    });
                }
            }
        }
        None
    }
}

fn percent(fraction: f64) -> f64 {
    fraction * 100.0
}

fn wanted(humidity: &Humidity) -> (Monthly, Option<Monthly>) {
    match humidity {
        Humidity::Mean(mean) => (*mean, None),
        Humidity::TwiceDaily { morning, afternoon, .. } => (*morning, Some(*afternoon)),
    }
}

/// Moves every level by what its month missed.
fn correct(levels: &mut Levels, found: &Found, normals: &Normals) {
    let (morning, afternoon) = wanted(&normals.humidity);
    for m in 0..12 {
        levels.low_c[m] += normals.min_c[m] - found.low_c[m];
        levels.high_c[m] += normals.max_c[m] - found.high_c[m];
        let short_k = dew_point_short_k(morning[m], found.humidity[m]);
        match (&afternoon, &found.afternoon) {
            (Some(wanted), Some(found)) => {
                let later_k = dew_point_short_k(wanted[m], found[m]);
                levels.dew_depression_k[m] -= 0.5 * (short_k + later_k);
                levels.dew_swing_k[m] = (levels.dew_swing_k[m] + 0.5 * (later_k - short_k)).clamp(-8.0, 8.0);
            }
            _ => levels.dew_depression_k[m] -= short_k,
        }
        if let (Some(level), Some(wanted), Some(found)) =
            (&mut levels.clearness, &normals.global_horizontal_kwh_per_m2_day, &found.global)
        {
            level[m] = scaled(level[m], wanted[m], found[m]).min(1.5);
        }
        if let (Some(level), Some(wanted), Some(found)) = (&mut levels.wind_m_per_s, &normals.wind_m_per_s, &found.wind)
        {
            level[m] = scaled(level[m], wanted[m], found[m]);
        }
    }
}

/// How much the dew point must rise, K, for humidity to come from `found` to `wanted`: vapour pressure
/// grows by about 6.5 % a kelvin. At most 4 K at once.
fn dew_point_short_k(wanted: f64, found: f64) -> f64 {
    ((wanted - found) / (0.065 * found.max(0.05))).clamp(-4.0, 4.0)
}

fn scaled(level: f64, wanted: f64, found: f64) -> f64 {
    if found > 0.0 { level * (wanted / found).clamp(0.5, 2.0) } else { level }
}
