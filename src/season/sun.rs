//! The sun on the planes of an option's collectors.

use crate::heat::{Source, TiltedPlane};
use crate::weather::Hour;
use crate::weather::solar::{Place, Plane, Sky, Sun, on_plane_w_per_m2, position, split};
use chrono::Duration;

/// Light that grass and soil before a collector throw back (common practice, no published source).
const GROUND_REFLECTANCE: f64 = 0.2;

/// Sun on a collector in each hour, W/m²: the hour's global irradiance parted into beam and diffuse with
/// the sun where it stands at half past, and put on the plane. None without irradiance or place.
pub(super) fn on_collectors(sources: &[Source], place: Option<Place>, hour: &Hour) -> Vec<(usize, f64)> {
    let collectors = || {
        let kinds = sources.iter().map(|source| source.kind.says()).enumerate();
        kinds.filter_map(|(at, kind)| Some((at, kind.plane()?)))
    };
    if collectors().next().is_none() {
        return Vec::new();
    }
    let sky = place
        .zip(hour.global_horizontal_w_per_m2)
        .map(|(place, global)| (position(place, hour.starts + Duration::minutes(30)), global));
    collectors().map(|(at, collector)| (at, sky.map_or(0.0, |(sun, global)| on(collector, &sun, global)))).collect()
}

fn on(collector: TiltedPlane, sun: &Sun, global_w_per_m2: f64) -> f64 {
    let plane = Plane {
        tilt_deg: collector.tilt_deg,
        azimuth_deg: collector.azimuth_deg,
        ground_reflectance: GROUND_REFLECTANCE,
    };
    let parts = split(global_w_per_m2, sun);
    on_plane_w_per_m2(&plane, sun, &parts, Sky::BrightAroundSun)
}
