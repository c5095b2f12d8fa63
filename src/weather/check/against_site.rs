//! Does a file's weather belong to the site it is used for? A coordinate with a wrong sign, an altitude with
//! a digit too many and another continent's file all read well by themselves; side by side they show.
//!
//! | what is compared | a note beyond | a warning beyond | an error beyond |
//! | --- | --- | --- | --- |
//! | distance | 60 km | | 250 km |
//! | altitude: given, or told by the pressures | 200 m | 600 m | 1200 m |
//! | longitude against the clock | 2 h | | 3.5 h |
//! | the file's clock against the site's | | 3 h | |
//! | middle of the sun against noon | | 1.5 h | |
//! | seasons against latitude | 15° | 30° | |
//!
//! Reasons: grid points of reanalyses lie up to 45 km from a place (a cell of 0.5° by 0.625°), and the next
//! station of a rural site tens of kilometres; several hundred are another climate (assumption). 200 m are
//! 1.3 K and 2 % of the pressure, 1200 m are 8 K (6.5 K/km, the standard atmosphere). Legal time lies up to
//! 3.2 h from the sun's (western China); 2 h and more are rare.

use super::sun;
use crate::air::standard_pressure_pa;
use crate::problem::Said;
use crate::weather::problem::{Problem, Severity};
use crate::weather::reading::Reading;
use crate::weather::units::PressureLevel;
use chrono::Datelike;

const NEAR_KM: f64 = 60.0;
const FAR_KM: f64 = 250.0;
const LITTLE_HIGHER_M: f64 = 200.0;
const HIGHER_M: f64 = 600.0;
const FAR_HIGHER_M: f64 = 1_200.0;
const ODD_ZONE_H: f64 = 2.0;
const IMPOSSIBLE_ZONE_H: f64 = 3.5;
const OTHER_CLOCK_H: f64 = 3.0;
/// Mean radius, IUGG.
const EARTH_RADIUS_KM: f64 = 6_371.0;
/// Nearer the equator seasons may come with rain as well as with the sun.
const SEASONS_BEGIN_DEG: f64 = 15.0;
/// Beyond, no place on land has its warm half-year in the other hemisphere's summer.
const SEASONS_ARE_SURE_DEG: f64 = 30.0;
/// A difference between mean temperatures of the two halves that is no chance, K.
const SEASONS_K: f64 = 4.0;
/// Fewer hours than this of three months judge no season.
const FEWEST_HOURS: f64 = 700.0;

/// Where something is, as far as it is said.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spot {
    /// Degrees north.
    pub latitude: Option<f64>,
    /// Degrees east.
    pub longitude: Option<f64>,
    /// Above sea level, m.
    pub altitude_m: Option<f64>,
    /// Local standard time ahead of UTC, h.
    pub utc_offset_h: Option<f64>,
}

impl Reading {
    /// Where the file says it is of. Without an offset of its own, rows in UTC take the whole hour nearest
    /// to the sun's time.
    pub fn spot(&self) -> Spot {
        let station = &self.station;
        let says_where = station.utc_offset_minutes.is_some() || station.longitude.is_some();
        let offset_minutes = self.standard_offset_minutes(None).filter(|_| says_where);
        Spot {
            latitude: station.latitude,
            longitude: station.longitude,
            altitude_m: station.elevation_m,
            utc_offset_h: offset_minutes.map(|minutes| f64::from(minutes) / 60.0),
        }
    }
}

/// Which of the site's data a doubt is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SiteDatum {
    /// Degrees north.
    Latitude,
    /// Degrees east.
    Longitude,
    /// Above sea level.
    Altitude,
    /// Local standard time.
    UtcOffset,
}

/// One reason to doubt that site and weather belong together.
#[derive(Clone, Debug, PartialEq)]
pub struct SiteDoubt {
    /// Which datum of the site to look at.
    pub about: SiteDatum,
    /// What was found, with its severity.
    pub problem: Problem,
    /// What to do.
    pub cure: String,
    /// True if weather of elsewhere, used on purpose, explains it.
    pub is_of_place: bool,
}

impl SiteDoubt {
    fn new(
        severity: Severity,
        code: &'static str,
        about: SiteDatum,
        what: impl Into<Said>,
        cure: impl Into<String>,
    ) -> Self {
        let is_of_place = code != LONGITUDE;
        let problem = Problem::new(severity, code, None, what);
        Self { about, problem, cure: cure.into(), is_of_place }
    }
}

const LONGITUDE: &str = "site.longitude";

/// What is doubtful in a site by itself: a longitude that its clock does not fit.
pub fn doubts_of_site(site: &Spot) -> Vec<SiteDoubt> {
    let (Some(longitude), Some(offset_h)) = (site.longitude, site.utc_offset_h) else {
        return Vec::new();
    };
    let apart_h = hours_apart(longitude / 15.0, offset_h);
    let severity = match apart_h {
        apart_h if apart_h > IMPOSSIBLE_ZONE_H => Severity::Error,
        apart_h if apart_h > ODD_ZONE_H => Severity::Note,
        _ => return Vec::new(),
    };
    let cure = if hours_apart(-longitude / 15.0, offset_h) <= ODD_ZONE_H {
        "look at the sign of the longitude (east is positive) or of the offset (ahead of UTC is positive)"
    } else {
        "look at the longitude (east is positive) and the offset of local standard time from UTC"
    };
    vec![SiteDoubt::new(
        severity,
        LONGITUDE,
        SiteDatum::Longitude,
        format!("longitude {longitude} has its sun {apart_h:.1} h from a clock of UTC{}", signed_offset(offset_h)),
        cure,
    )]
}

/// What is doubtful in using this reading for the site.
pub fn doubts_of_place(site: &Spot, reading: &Reading) -> Vec<SiteDoubt> {
    let mut found = Vec::new();
    found.extend(distance(site, reading));
    found.extend(altitude(site, reading));
    let has_place = reading.station.latitude.is_some() && reading.station.longitude.is_some();
    if !has_place {
        found.extend(clock(site, reading));
        found.extend(sun(site, reading));
        found.extend(seasons(site, reading));
    }
    found
}

fn distance(site: &Spot, reading: &Reading) -> Option<SiteDoubt> {
    let here = (site.latitude?, site.longitude?);
    let there = (reading.station.latitude?, reading.station.longitude?);
    let km = great_circle_km(here, there);
    if km <= NEAR_KM {
        return None;
    }
    let (severity, cure) = if km > FAR_KM {
        (Severity::Error, cure_of_distance(here, there))
    } else {
        (Severity::Note, "look whether its air is the site's".to_owned())
    };
    let turned = here.0 * there.0 < 0.0 && here.0.abs().min(there.0.abs()) > 10.0;
    let code = if turned { "site.hemisphere" } else { "site.distance" };
    let what = Said::of(|q| {
        format!(
            "the site ({}) lies {} from where the weather is of ({})",
            told_place(here),
            q.distance(km),
            told_place(there)
        )
    });
    let about = if turned { SiteDatum::Latitude } else { about_distance(here, there) };
    Some(SiteDoubt::new(severity, code, about, what, cure))
}

/// The coordinate that differs most.
fn about_distance(here: (f64, f64), there: (f64, f64)) -> SiteDatum {
    let north = (here.0 - there.0).abs();
    let east = (here.1 - there.1 + 540.0).rem_euclid(360.0) - 180.0;
    if east.abs() > north { SiteDatum::Longitude } else { SiteDatum::Latitude }
}

/// A slip of the hand that would bring the two together is named.
fn cure_of_distance(here: (f64, f64), there: (f64, f64)) -> String {
    let (north, east) = here;
    let slips = [
        ((-north, east), "the sign of the latitude looks wrong: south is negative"),
        ((north, -east), "the sign of the longitude looks wrong: west is negative"),
        ((-north, -east), "both signs look wrong: south and west are negative"),
        ((east, north), "latitude and longitude look exchanged"),
    ];
    let slip = slips.into_iter().find(|(meant, _)| meant.0.abs() <= 90.0 && great_circle_km(*meant, there) <= FAR_KM);
    let first = slip.map_or("correct [site], or name weather of the place", |(_, told)| told);
    format!("{first}; where it is meant, say why: [weather] elsewhere = \"no nearer station\"")
}

fn altitude(site: &Spot, reading: &Reading) -> Option<SiteDoubt> {
    let here_m = site.altitude_m?;
    let (there_m, pressure_pa) = if let Some(elevation_m) = reading.station.elevation_m {
        (elevation_m, None)
    } else {
        let pressure_pa = station_pressure_pa(reading)?;
        (altitude_of_pressure_m(pressure_pa), Some(pressure_pa))
    };
    let higher_m = (here_m - there_m).abs();
    let severity = match higher_m {
        higher_m if higher_m > FAR_HIGHER_M => Severity::Error,
        higher_m if higher_m > HIGHER_M => Severity::Warning,
        higher_m if higher_m > LITTLE_HIGHER_M => Severity::Note,
        _ => return None,
    };
    let side = if here_m > there_m { "above" } else { "below" };
    let what = Said::of(|q| {
        let told_by = pressure_pa.map_or_else(
            || "where the weather is of".to_owned(),
            |pa| format!("what the weather's pressure of {} tells of", q.air_pressure(pa)),
        );
        let [here, higher, there] = [here_m, higher_m, there_m].map(|m| q.fixed(m, 0, "m"));
        let cooler = q.fixed(higher_m * 0.0065, 0, "K");
        format!("the site, at {here}, lies {higher} {side} {told_by} ({there}): about {cooler}")
    });
    let cure = match severity {
        Severity::Error => {
            "correct altitude_m, or name weather of the place; where it is meant, say why: [weather] elsewhere = \"...\""
        }
        Severity::Warning | Severity::Note => "temperatures are used as they are; look whether the air is the site's",
    };
    Some(SiteDoubt::new(severity, "site.altitude", SiteDatum::Altitude, what, cure))
}

/// The median of what the file measured at its own station.
fn station_pressure_pa(reading: &Reading) -> Option<f64> {
    match reading.pressure_level {
        PressureLevel::SeaLevel => return None,
        PressureLevel::Station => {}
    }
    let mut given: Vec<f64> = reading.rows.iter().filter_map(|row| row.pressure_pa).collect();
    if given.is_empty() {
        return None;
    }
    let middle = given.len() / 2;
    let (_, median, _) = given.select_nth_unstable_by(middle, f64::total_cmp);
    Some(*median)
}

/// Where the standard atmosphere has this pressure, m. It falls with height, so the two ends close in.
fn altitude_of_pressure_m(pressure_pa: f64) -> f64 {
    let (mut low_m, mut high_m) = (-1_000.0, 9_000.0);
    for _ in 0..40 {
        let middle_m = f64::midpoint(low_m, high_m);
        if standard_pressure_pa(middle_m) > pressure_pa {
            low_m = middle_m;
        } else {
            high_m = middle_m;
        }
    }
    f64::midpoint(low_m, high_m)
}

fn clock(site: &Spot, reading: &Reading) -> Option<SiteDoubt> {
    let here_h = site.utc_offset_h?;
    let there_h = f64::from(reading.station.utc_offset_minutes?) / 60.0;
    (hours_apart(here_h, there_h) > OTHER_CLOCK_H).then(|| {
        let what =
            format!("the site keeps UTC{}, the weather's station UTC{}", signed_offset(here_h), signed_offset(there_h));
        let cure = "look at the sign of utc_offset, and at whose weather it is";
        SiteDoubt::new(Severity::Warning, "site.zone", SiteDatum::UtcOffset, what, cure)
    })
}

fn sun(site: &Spot, reading: &Reading) -> Option<SiteDoubt> {
    let longitude = site.longitude?;
    // Rows whose zone the file does not tell are taken as local standard time.
    let clock_h = reading.clock_offset_minutes.map(|minutes| f64::from(minutes) / 60.0);
    let noon = sun::noon(&reading.rows, longitude, clock_h.or(site.utc_offset_h)?)?;
    noon.is_doubtful().then(|| {
        let what = format!(
            "the weather's sun stands highest at about {:.1} h, {:.1} h {}: at longitude {longitude} noon is at {:.1} h",
            noon.middle_h,
            noon.late_h.abs(),
            noon.side(),
            noon.sun_h()
        );
        let cure = "look at longitude and utc_offset, and whether the file's times are UTC";
        SiteDoubt::new(Severity::Warning, "site.sun", SiteDatum::UtcOffset, what, cure)
    })
}

/// Warm months of the other hemisphere, in a file that does not say where it is.
fn seasons(site: &Spot, reading: &Reading) -> Option<SiteDoubt> {
    let latitude = site.latitude?;
    if latitude.abs() < SEASONS_BEGIN_DEG {
        return None;
    }
    let june_c = mean_dry_bulb_c(reading, [6, 7, 8])?;
    let december_c = mean_dry_bulb_c(reading, [12, 1, 2])?;
    let warmer_in_summer_k = (june_c - december_c) * latitude.signum();
    (warmer_in_summer_k < -SEASONS_K).then(|| {
        let severity = if latitude.abs() >= SEASONS_ARE_SURE_DEG {
            Severity::Warning
        } else {
            Severity::Note
        };
        let what = Said::of(|q| {
            format!(
                "the weather is {} in June to August and {} in December to February, the seasons of the other hemisphere than latitude {latitude}",
                q.fixed(june_c, 1, "°C"),
                q.fixed(december_c, 1, "°C"),
            )
        });
        let cure = "look at the sign of the latitude (south is negative) and at whose weather it is";
        SiteDoubt::new(severity, "site.seasons", SiteDatum::Latitude, what, cure)
    })
}

fn mean_dry_bulb_c(reading: &Reading, months: [u32; 3]) -> Option<f64> {
    let (mut hours, mut sum) = (0.0, 0.0);
    for row in &reading.rows {
        if let Some(dry_bulb_c) = row.dry_bulb_c.filter(|_| months.contains(&row.starts.month())) {
            hours += row.hours;
            sum += row.hours * dry_bulb_c;
        }
    }
    (hours >= FEWEST_HOURS).then(|| sum / hours)
}

/// Hours between two clocks, around the date line.
fn hours_apart(a_h: f64, b_h: f64) -> f64 {
    let apart_h = (a_h - b_h).rem_euclid(24.0);
    apart_h.min(24.0 - apart_h)
}

/// Along the great circle (haversine).
fn great_circle_km(a: (f64, f64), b: (f64, f64)) -> f64 {
    let (north, east) = ((b.0 - a.0).to_radians(), (b.1 - a.1).to_radians());
    let haversine =
        (north / 2.0).sin().powi(2) + a.0.to_radians().cos() * b.0.to_radians().cos() * (east / 2.0).sin().powi(2);
    2.0 * EARTH_RADIUS_KM * haversine.clamp(0.0, 1.0).sqrt().asin()
}

/// `16.9 S 145.6 E`.
fn told_place((latitude, longitude): (f64, f64)) -> String {
    let side = |value: f64, positive: char, negative: char| {
        if value < 0.0 { negative } else { positive }
    };
    format!("{} {} {} {}", latitude.abs(), side(latitude, 'N', 'S'), longitude.abs(), side(longitude, 'E', 'W'))
}

fn signed_offset(offset_h: f64) -> String {
    let minutes = (offset_h.abs() * 60.0).round();
    let sign = if offset_h < 0.0 { '-' } else { '+' };
    format!("{sign}{:02}:{:02}", (minutes / 60.0).floor(), minutes % 60.0)
}

#[cfg(test)]
mod tests;
