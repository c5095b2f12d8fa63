//! Where the sun is, and what of its light falls on a plane.
//!
//! Position: the low-precision formulas of the Astronomical Almanac as set out by Michalsky (1988),
//! "The Astronomical Almanac's algorithm for approximate solar position (1950-2050)", Solar Energy
//! 40(3):227-235. Coefficients from memory, not read in the paper; the result agrees with an
//! independent solar library (the NREL SPA algorithm) within 0.02° (`tests/outside/solar.rs`).
//! Refraction is left out: these are the true, not the apparent, angles.
//!
//! Beam and diffuse: Erbs, Klein & Duffie (1982), Solar Energy 28(4):293-302 (coefficients read in
//! two open-source implementations). Tilted plane: isotropic sky after Liu & Jordan (1963), or with
//! a brightened disc around the sun after Hay & Davies (1980) (form read in an open-source library).

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};

/// Irradiance on a plane facing the sun at the mean earth-sun distance, outside the atmosphere, W/m²
/// (Kopp & Lean 2011, Geophys. Res. Lett. 38 L01706; from memory, not verified).
pub const SOLAR_CONSTANT_W_PER_M2: f64 = 1361.0;

/// Below this cosine of the zenith angle (87°) global irradiance tells nothing of the beam.
const LOWEST_BEAM_COSINE: f64 = 0.0523;

/// Cosine below which the ratio of beam on a tilted plane to beam on the horizontal is held (89°).
const LOWEST_RATIO_COSINE: f64 = 0.01745;

/// A point on the globe and its clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Degrees, north positive, -90..90.
    pub latitude: f64,
    /// Degrees, east positive, -180..180.
    pub longitude: f64,
    /// Local standard time less universal time, hours.
    pub utc_offset_h: f64,
}

/// The sun as seen from a place at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sun {
    /// Angle from the vertical, degrees, 0..180; above 90 the sun is down. No refraction.
    pub zenith_deg: f64,
    /// Degrees from north through east, 0..360.
    pub azimuth_deg: f64,
    /// Angle north of the equator's plane, degrees.
    pub declination_deg: f64,
    /// How far the sun is past its highest point, degrees, -180..180.
    pub hour_angle_deg: f64,
    /// Irradiance outside the atmosphere on a plane that faces the sun, W/m².
    pub extraterrestrial_normal_w_per_m2: f64,
}

impl Sun {
    /// Cosine of the zenith angle, zero when the sun is down.
    pub fn cos_zenith(&self) -> f64 {
        self.zenith_deg.to_radians().cos().max(0.0)
    }
}

/// The sun's position at a moment of local standard time.
pub fn position(place: Place, at: NaiveDateTime) -> Sun {
    let days = days_since_2000(place, at);
    let mean_longitude = 280.460 + 0.9856474 * days;
    let anomaly = (357.528 + 0.9856003 * days).to_radians();
    let ecliptic_longitude = (mean_longitude + 1.915 * anomaly.sin() + 0.020 * (2.0 * anomaly).sin()).to_radians();
    let obliquity = (23.439 - 4.0e-7 * days).to_radians();
    let declination = (obliquity.sin() * ecliptic_longitude.sin()).asin();
    let right_ascension = (obliquity.cos() * ecliptic_longitude.sin()).atan2(ecliptic_longitude.cos());

    let universal_hour = (days + 0.5).rem_euclid(1.0) * 24.0;
    let sidereal_h = 6.697375 + 0.0657098242 * days + universal_hour;
    let hour_angle = (15.0 * sidereal_h + place.longitude).to_radians() - right_ascension;

    let latitude = place.latitude.to_radians();
    let cos_zenith = latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * hour_angle.cos();
    let azimuth = (-declination.cos() * hour_angle.sin())
        .atan2(declination.sin() * latitude.cos() - declination.cos() * latitude.sin() * hour_angle.cos());
    let distance_au = 1.00014 - 0.01671 * anomaly.cos() - 0.00014 * (2.0 * anomaly).cos();
    Sun {
        zenith_deg: cos_zenith.clamp(-1.0, 1.0).acos().to_degrees(),
        azimuth_deg: azimuth.to_degrees().rem_euclid(360.0),
        declination_deg: declination.to_degrees(),
        hour_angle_deg: (hour_angle.to_degrees() + 180.0).rem_euclid(360.0) - 180.0,
        extraterrestrial_normal_w_per_m2: SOLAR_CONSTANT_W_PER_M2 / (distance_au * distance_au),
    }
}

/// Days and fraction since 2000-01-01 12:00 universal time.
fn days_since_2000(place: Place, at: NaiveDateTime) -> f64 {
    const EPOCH_S: i64 = 946_728_000;
    let local_s = (at.and_utc().timestamp() - EPOCH_S) as f64;
    (local_s - place.utc_offset_h * 3600.0) / 86_400.0
}

/// Mean irradiance outside the atmosphere on the horizontal over the hour that starts here, W/m²;
/// twelve five-minute samples, so that the hours of sunrise and sunset carry their share.
pub fn extraterrestrial_horizontal_w_per_m2(place: Place, hour_starts: NaiveDateTime) -> f64 {
    (0..12)
        .map(|k| {
            let sun = position(place, hour_starts + TimeDelta::seconds(150 + 300 * k));
            sun.extraterrestrial_normal_w_per_m2 * sun.cos_zenith()
        })
        .sum::<f64>()
        / 12.0
}

/// Daylight: sunrise and sunset, hours of local standard time counted from midnight of `day` (they
/// may fall outside 0..24 where the clock is far from the sun). Without sunrise, day length is 0 or 24.
/// Centre of the disc, no refraction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Daylight {
    /// Sunrise, hours from midnight.
    pub sunrise_h: f64,
    /// Sunset, hours from midnight.
    pub sunset_h: f64,
}

impl Daylight {
    /// Daylight of one day at a place, with the declination of its noon.
    pub fn of(place: Place, day: NaiveDate) -> Self {
        let noon = day.and_time(NaiveTime::MIN) + TimeDelta::hours(12);
        let sun = position(place, noon);
        let (latitude, declination) = (place.latitude.to_radians(), sun.declination_deg.to_radians());
        let half_day_h = (-latitude.tan() * declination.tan()).clamp(-1.0, 1.0).acos().to_degrees() / 15.0;
        let transit_h = 12.0 - sun.hour_angle_deg / 15.0;
        Self { sunrise_h: transit_h - half_day_h, sunset_h: transit_h + half_day_h }
    }

    /// Hours from sunrise to sunset.
    pub fn hours(&self) -> f64 {
        self.sunset_h - self.sunrise_h
    }
}

/// Global irradiance on the horizontal, taken apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Parts {
    /// Straight from the sun, on a plane that faces it, W/m².
    pub beam_normal_w_per_m2: f64,
    /// From the rest of the sky, on the horizontal, W/m².
    pub diffuse_horizontal_w_per_m2: f64,
}

/// Beam and diffuse from hourly global irradiance, W/m² (Erbs, Klein & Duffie 1982): the diffuse
/// share falls from 1 under a covered sky to 0.165 under a very clear one. With the sun lower than 3°
/// above the horizon all of it is taken as diffuse.
pub fn split(global_horizontal_w_per_m2: f64, sun: &Sun) -> Parts {
    let global = global_horizontal_w_per_m2.max(0.0);
    let cosine = sun.cos_zenith();
    if cosine < LOWEST_BEAM_COSINE {
        return Parts { beam_normal_w_per_m2: 0.0, diffuse_horizontal_w_per_m2: global };
    }
    let clearness = (global / (sun.extraterrestrial_normal_w_per_m2 * cosine)).min(1.0);
    let diffuse = global * diffuse_share(clearness);
    Parts { beam_normal_w_per_m2: (global - diffuse) / cosine, diffuse_horizontal_w_per_m2: diffuse }
}

/// Diffuse share of hourly global irradiance at this clearness index (Erbs et al. 1982 eq. 1).
fn diffuse_share(k: f64) -> f64 {
    if k <= 0.22 {
        1.0 - 0.09 * k
    } else if k <= 0.80 {
        0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    } else {
        0.165
    }
}

/// A plane that looks at the sky: a roof, a wall, a collector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    /// Angle from the horizontal, degrees, 0 (flat) .. 90 (wall).
    pub tilt_deg: f64,
    /// Where it faces, degrees from north through east.
    pub azimuth_deg: f64,
    /// Share of light that the ground before it throws back (0.2 is common practice for grass and
    /// soil, no published source read).
    pub ground_reflectance: f64,
}

/// How the diffuse light is spread over the sky.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sky {
    /// Evenly (Liu & Jordan 1963).
    Even,
    /// Part of it around the sun, as clear as the beam (Hay & Davies 1980).
    BrightAroundSun,
}

/// Cosine of the angle between the sun's rays and the plane's normal; zero from behind or at night.
pub fn cos_incidence(plane: &Plane, sun: &Sun) -> f64 {
    if sun.zenith_deg >= 90.0 {
        return 0.0;
    }
    let (tilt, zenith) = (plane.tilt_deg.to_radians(), sun.zenith_deg.to_radians());
    let turned = (sun.azimuth_deg - plane.azimuth_deg).to_radians();
    (tilt.cos() * zenith.cos() + tilt.sin() * zenith.sin() * turned.cos()).max(0.0)
}

/// Irradiance on a plane, W/m², from beam, diffuse and what the ground reflects.
pub fn on_plane_w_per_m2(plane: &Plane, sun: &Sun, parts: &Parts, sky: Sky) -> f64 {
    let incidence = cos_incidence(plane, sun);
    let cos_tilt = plane.tilt_deg.to_radians().cos();
    let seen = 0.5 * (1.0 + cos_tilt);
    let horizontal_beam = parts.beam_normal_w_per_m2 * sun.cos_zenith();
    let global = horizontal_beam + parts.diffuse_horizontal_w_per_m2;
    let from_sky = match sky {
        Sky::Even => parts.diffuse_horizontal_w_per_m2 * seen,
        Sky::BrightAroundSun => {
            let disc = parts.beam_normal_w_per_m2 / sun.extraterrestrial_normal_w_per_m2;
            let ratio = incidence / sun.cos_zenith().max(LOWEST_RATIO_COSINE);
            parts.diffuse_horizontal_w_per_m2 * (disc * ratio + (1.0 - disc) * seen)
        }
    };
    parts.beam_normal_w_per_m2 * incidence + from_sky + global * plane.ground_reflectance * 0.5 * (1.0 - cos_tilt)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn afternoon() -> Sun {
        let place = Place { latitude: -16.9, longitude: 145.6, utc_offset_h: 10.0 };
        position(place, "2031-06-01T14:00:00".parse().unwrap())
    }

    #[test]
    fn a_flat_plane_sees_the_global_irradiance_under_either_sky() {
        let sun = afternoon();
        let flat = Plane { tilt_deg: 0.0, azimuth_deg: 0.0, ground_reflectance: 0.2 };
        for global in [0.0, 90.0, 350.0, 700.0] {
            let parts = split(global, &sun);
            for sky in [Sky::Even, Sky::BrightAroundSun] {
                let on_plane = on_plane_w_per_m2(&flat, &sun, &parts, sky);
                assert_relative_eq!(on_plane, global, max_relative = 1e-9);
            }
        }
    }

    #[test]
    fn beam_and_diffuse_add_up_to_global() {
        let sun = afternoon();
        for global in [0.0, 20.0, 200.0, 500.0, 900.0, 2000.0] {
            let parts = split(global, &sun);
            let sum = parts.beam_normal_w_per_m2 * sun.cos_zenith() + parts.diffuse_horizontal_w_per_m2;
            assert_relative_eq!(sum, global, max_relative = 1e-12);
        }
        assert_eq!(split(-3.0, &sun).diffuse_horizontal_w_per_m2, 0.0);
    }

    /// The three branches of the fit meet within what the authors print: 0.22 and 0.80.
    #[test]
    fn the_diffuse_share_has_no_step() {
        for k in [0.22, 0.80] {
            assert!((diffuse_share(k + 1e-9) - diffuse_share(k)).abs() < 2e-3);
        }
        assert_eq!(diffuse_share(0.0), 1.0);
    }

    #[test]
    fn a_plane_turned_from_the_sun_gets_no_beam() {
        let sun = afternoon();
        let away = Plane { tilt_deg: 90.0, azimuth_deg: sun.azimuth_deg + 180.0, ground_reflectance: 0.0 };
        assert_eq!(cos_incidence(&away, &sun), 0.0);
        let facing = Plane { tilt_deg: sun.zenith_deg, azimuth_deg: sun.azimuth_deg, ..away };
        assert_relative_eq!(cos_incidence(&facing, &sun), 1.0, max_relative = 1e-12);
    }
}
