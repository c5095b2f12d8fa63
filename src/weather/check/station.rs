//! Is the station's place possible?

use crate::problem::Said;
use crate::weather::problem::Problem;
use crate::weather::reading::Station;

/// Elevations that are believed, m: from the Dead Sea's shore to where the standard atmosphere's pressure
/// leaves the range of the moist-air equations.
const ELEVATIONS_M: std::ops::RangeInclusive<f64> = -450.0..=5_500.0;
/// Legal time lies between UTC-12 and UTC+14.
const WIDEST_OFFSET_MINUTES: i32 = 14 * 60;
/// The widest that legal time strays from the sun's anywhere on land, h (western China), rounded up.
const WIDEST_ZONE_H: f64 = 3.5;

/// Notes what is impossible in the station's data and forgets it, so that nothing is computed from it.
pub(crate) fn check(station: &mut Station, clock_offset_minutes: &mut Option<i32>, problems: &mut Vec<Problem>) {
    let impossible = |offset: Option<i32>| offset.filter(|m| m.abs() > WIDEST_OFFSET_MINUTES);
    let wrong = impossible(station.utc_offset_minutes).or(impossible(*clock_offset_minutes));
    if let Some(minutes) = wrong {
        for offset in [&mut station.utc_offset_minutes, clock_offset_minutes] {
            *offset = offset.filter(|m| m.abs() <= WIDEST_OFFSET_MINUTES);
        }
        problems.push(Problem::warning(
            "station.zone",
            format!(
                "an offset of {:.1} h from UTC is impossible and not used; correct the time zone",
                f64::from(minutes) / 60.0
            ),
        ));
    }
    if let Some(latitude) = station.latitude
        && !(-90.0..=90.0).contains(&latitude)
    {
        station.latitude = None;
        problems.push(Problem::warning(
            "station.latitude",
            format!("latitude {latitude} is outside -90..90; energy is unaffected, correct the header"),
        ));
    }
    if let Some(longitude) = station.longitude {
        let zone_h = station.utc_offset_minutes.or(clock_offset_minutes.filter(|minutes| *minutes != 0));
        if !(-180.0..=180.0).contains(&longitude) {
            station.longitude = None;
            problems.push(Problem::warning(
                "station.longitude",
                format!("longitude {longitude} is outside -180..180; energy is unaffected, correct the header"),
            ));
        } else if let Some(minutes) = zone_h {
            let zone_h = f64::from(minutes) / 60.0;
            // The zones wrap at the date line.
            let miss = (longitude / 15.0 - zone_h).abs();
            let miss = miss.min((24.0 - miss).abs());
            if miss > WIDEST_ZONE_H {
                let side = if longitude >= 0.0 { "E" } else { "W" };
                problems.push(Problem::warning(
                    "station.longitude",
                    format!(
                        "longitude {:.1} {side} does not fit time zone {zone_h:+}; energy is unaffected, but \
                         check the sign of the longitude and the time zone",
                        longitude.abs()
                    ),
                ));
            }
        }
    }
    if let Some(elevation_m) = station.elevation_m
        && !ELEVATIONS_M.contains(&elevation_m)
    {
        station.elevation_m = None;
        problems.push(Problem::warning(
            "station.elevation",
            Said::of(|q| {
                format!(
                    "elevation {} is impossible and not used (believed: {}..{}); give the true one as the altitude",
                    q.given(elevation_m, "m"),
                    q.bare(*ELEVATIONS_M.start(), "m"),
                    q.bare(*ELEVATIONS_M.end(), "m"),
                )
            }),
        ));
    }
}
