//! Collectors that look away from the sun.

use super::Doubts;

/// Nearer to the equator than this it hardly matters where a collector faces, degrees of latitude: the noon sun stands high,
/// and for four months and more of a year on the other side (assumption; the sun itself goes to 23.4 °).
const SUN_ON_BOTH_SIDES_DEG: f64 = 12.0;
/// Flatter than this it hardly matters either, degrees (assumption).
const FLAT_DEG: f64 = 10.0;
/// One that faces further than this from the equator is turned away from the noon sun, degrees: east and west roofs stay
/// below it (assumption).
const FACES_AWAY_DEG: f64 = 120.0;

impl Doubts<'_> {
    /// Collectors that face the pole: azimuths are counted from the equator in some books.
    pub(super) fn collectors(&mut self) {
        let Some(place) = self.study.plant.place.filter(|place| place.latitude.abs() > SUN_ON_BOTH_SIDES_DEG) else {
            return;
        };
        let (equator_deg, side, whose) =
            if place.latitude < 0.0 { (0.0, "north", "south") } else { (180.0, "south", "north") };
        let mut found: Vec<(String, String)> = Vec::new();
        for source in self.heatings().flat_map(|heating| &heating.sources) {
            let Some(plane) = source.kind.says().plane().filter(|plane| plane.tilt_deg > FLAT_DEG) else { continue };
            let away_deg = ((plane.azimuth_deg - equator_deg + 180.0).rem_euclid(360.0) - 180.0).abs();
            let path = format!("source.{}.azimuth_deg", source.name);
            if away_deg > FACES_AWAY_DEG && !found.iter().any(|(known, _)| *known == path) {
                let what = format!(
                    "azimuth_deg is {}, and {whose} of the equator the noon sun stands in the {side} for most of a year",
                    plane.azimuth_deg
                );
                found.push((path, what));
            }
        }
        let cure =
            format!("give degrees from north through east: {equator_deg:.0} faces {side}; a tilt of 0 lies flat");
        for (path, what) in found {
            self.doubt("source.azimuth", &path, what, &cure);
        }
    }
}
