//! Hourly weather from monthly normals, for a site that has no hourly record.
//!
//! Twelve rows of mean daily minimum, mean daily maximum and humidity become a year of hours that
//! looks like weather and returns those twelve rows. The hours are **invented**: good for planning,
//! never evidence of what happened. Method:
//!
//! 1. *Day to day.* Daily maximum, minimum and clearness depart from their normals by a first-order
//!    autoregression of three coupled residuals (Richardson 1981, Water Resources Research 17:182-190,
//!    with the constant matrices of Richardson & Wright 1984, USDA ARS-8), around dull and bright
//!    spells from a two-state Markov chain. Humidity, wind and pressure follow (`draws`).
//! 2. *Hour by hour.* Temperature runs on a sine by day and an exponential by night (Parton & Logan
//!    1981, Agricultural Meteorology 23:205-216). The dew point moves slowly from day to day with a
//!    small daily swing, so that the humidity ratio stays coherent; irradiance follows Collares-Pereira
//!    & Rabl (1979, Solar Energy 22:155-164) within the day (`course`).
//! 3. *Returning the normals.* The twelve monthly levels are corrected until the year's own monthly
//!    means are the normals again, and a month that cannot be matched is an error (`fit`).
//!
//! Because each year of [`hourly`] returns its normals, those years differ in their days but not in their
//! monthly means: the spread between them is smaller than between real ones. [`hourly_varying`] lets the
//! months vary around the normals.
//!
//! The same normals, year and seed give the same hours everywhere.

mod annual;
mod climate;
mod course;
mod draws;
mod error;
mod fit;
mod levels;
mod parse;
mod sky;
mod write;

use crate::weather::hour::Hour;
use annual::Calendar;
use sky::Sky;

pub use climate::{Humidity, Monthly, Normals};
pub use error::NormalsError;
pub use parse::parse;
pub use write::write_csv;

/// One calendar year of invented hours that returns the normals: each month's mean daily minimum and
/// maximum within 0.2 K, its humidity within 2 % RH, irradiation and wind within 2 %.
///
/// `year` (1..=9999) sets the calendar (a leap year has 8784 hours) and, with `seed`, the draws: every
/// year of one seed is a different year.
pub fn hourly(normals: &Normals, year: i32, seed: u64) -> Result<Vec<Hour>, NormalsError> {
    let calendar = Calendar::of(year).ok_or(NormalsError::Year(year))?;
    let sky = Sky::over(normals.place, &calendar);
    let days = draws::of_year(normals, &sky, &calendar, seed);
    let levels = fit::levels(normals, &sky, std::slice::from_ref(&days), &calendar)?;
    course::hours(normals, &levels, &sky, &days, &calendar).map_err(NormalsError::Air)
}

/// One calendar year of invented hours that returns the normals on average over many years only: its own
/// months may be warmer or cooler, damper or drier, by what the persistence of the days alone brings
/// about (standard deviation of a monthly mean about a third of that of a day). For a spread between
/// years; slower changes of climate from year to year are not in it.
pub fn hourly_varying(normals: &Normals, year: i32, seed: u64) -> Result<Vec<Hour>, NormalsError> {
    let calendar = Calendar::of(year).ok_or(NormalsError::Year(year))?;
    let sky = Sky::over(normals.place, &calendar);
    // The same years for every seed, so that all years of a site vary around one climate.
    let many: Vec<_> = (0..YEARS_OF_AVERAGE).map(|seed| draws::of_year(normals, &sky, &calendar, seed)).collect();
    let levels = fit::levels(normals, &sky, &many, &calendar)?;
    let days = draws::of_year(normals, &sky, &calendar, seed.wrapping_add(YEARS_OF_AVERAGE));
    course::hours(normals, &levels, &sky, &days, &calendar).map_err(NormalsError::Air)
}

/// Generated years over which varying years return their normals.
const YEARS_OF_AVERAGE: u64 = 20;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::weather::year::solar::Place;

    fn site(min_c: Monthly, max_c: Monthly, humidity: f64) -> Normals {
        Normals {
            site: None,
            place: Place { latitude: -16.9, longitude: 145.6, utc_offset_h: 10.0 },
            altitude_m: 540.0,
            min_c,
            max_c,
            humidity: Humidity::Mean([humidity; 12]),
            global_horizontal_kwh_per_m2_day: None,
            wind_m_per_s: None,
        }
    }

    #[test]
    fn same_normals_year_and_seed_are_the_same_hours_and_others_are_not() {
        let normals = site([10.0; 12], [25.0; 12], 0.7);
        let first = hourly(&normals, 2031, 7).unwrap();
        assert_eq!(first, hourly(&normals, 2031, 7).unwrap());
        assert_ne!(first, hourly(&normals, 2031, 8).unwrap());
        assert_eq!(first.len(), 8760);
        assert_eq!(hourly(&normals, 2032, 7).unwrap().len(), 8784);
        assert!(first.iter().all(|h| h.global_horizontal_w_per_m2.is_none()));
    }

    /// The water in the air belongs to the air mass: over a day the humidity ratio changes far less than
    /// the relative humidity does.
    #[test]
    fn humidity_ratio_stays_coherent_through_the_day() {
        let hours = hourly(&site([10.0; 12], [25.0; 12], 0.6), 2031, 3).unwrap();
        let spread = |of: &dyn Fn(&Hour) -> f64| {
            let swings = hours.chunks_exact(24).map(|day| {
                let low = day.iter().map(of).fold(f64::INFINITY, f64::min);
                let high = day.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
                high / low - 1.0
            });
            swings.sum::<f64>() / 365.0
        };
        let ratio = spread(&|h| h.air.humidity_ratio());
        let relative = spread(&|h| h.air.relative_humidity());
        assert!(ratio < 0.3 && relative > 1.0, "{ratio} {relative}");
    }

    /// Twelve varying years: together near the normals, apart from each other by what persistence brings.
    #[test]
    fn varying_years_differ_around_the_normals() {
        let normals = site([10.0; 12], [25.0; 12], 0.7);
        let july = |hours: &[Hour]| {
            let days = hours[181 * 24..212 * 24].chunks_exact(24);
            let high = |day: &[Hour]| day.iter().map(|h| h.air.dry_bulb_c()).fold(-99.0, f64::max);
            days.map(high).sum::<f64>() / 31.0
        };
        let varying: Vec<f64> = (0..12).map(|seed| july(&hourly_varying(&normals, 2031, seed).unwrap())).collect();
        let mean = varying.iter().sum::<f64>() / 12.0;
        let spread = (varying.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 11.0).sqrt();
        assert!((mean - 25.0).abs() < 0.4 && (0.15..0.8).contains(&spread), "{mean} {spread}");
        let alike = july(&hourly(&normals, 2031, 1).unwrap());
        assert!((alike - 25.0).abs() < 0.05, "{alike}");
    }

    #[test]
    fn temperature_has_no_step_between_hours_days_or_months() {
        let hours = hourly(&site([10.0; 12], [25.0; 12], 0.6), 2031, 3).unwrap();
        for pair in hours.windows(2) {
            let step = (pair[1].air.dry_bulb_c() - pair[0].air.dry_bulb_c()).abs();
            assert!(step < 4.5, "{step} K at {}", pair[1].starts);
        }
    }

    /// Extremes of the tables that can be read: polar night, equatorial damp, desert, far winter.
    #[test]
    fn odd_climates_give_a_year_or_a_reason_never_nonsense() {
        for (latitude, low, high, humidity) in [
            (78.0, -20.0, -14.0, 0.75),
            (0.0, 23.0, 31.0, 0.88),
            (24.0, 22.0, 40.0, 0.18),
            (62.0, -45.0, -35.0, 0.70),
            (45.0, 5.0, 25.0, 0.97),
            (10.0, 20.0, 21.0, 0.06),
        ] {
            let mut normals = site([low; 12], [high; 12], humidity);
            normals.place.latitude = latitude;
            match hourly(&normals, 2032, 1) {
                Ok(hours) => {
                    assert_eq!(hours.len(), 8784);
                    let mean = hours.iter().map(|h| h.air.relative_humidity()).sum::<f64>() / 8784.0;
                    assert!((mean - humidity).abs() < 0.02, "{latitude}: {mean}");
                }
                Err(reason) => {
                    assert!(matches!(reason, NormalsError::NotReached { .. }), "{reason}");
                }
            }
        }
        assert_eq!(hourly(&site([10.0; 12], [25.0; 12], 0.7), 0, 1), Err(NormalsError::Year(0)));
    }
}
