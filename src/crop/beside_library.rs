//! What a study or a log says of a crop, held beside what the library knows of it: the one place that says how far is far.

use super::{Crop, Quantity, water};

/// Beyond so many times the ends of the library's own range a drying rate is more often one of another unit, or of
/// another crop (assumption: the range holds what is published or guessed of the crop; an own log may well lie outside
/// it, by two times or so).
const FAR: f64 = 3.0;
/// Where the library knows one moisture alone, nuts come up to this many times as wet (assumption).
const WETTER_TIMES: f64 = 1.3;
/// Nuts of a wet year lie above what the library knows by this much at most, % points (assumption).
const WETTER_PCT: f64 = 8.0;

/// What the library has of a drying rate, lowest and highest, 1/h, at this temperature of the nuts, °C, where the rate of a
/// study or a log is far from it; `None` where it is not, or no range is known.
pub fn far_rate(library: &Crop, rate_per_h: f64, at_c: f64) -> Option<(f64, f64)> {
    let known = library.value(Quantity::DryingRate)?;
    let (low, high) = known.range?;
    // The library states it for a temperature of its own.
    let times = library.thin_layer().rate_per_h(at_c) / known.value;
    let usual = (low * times, high * times);
    let is_near = (usual.0 / FAR..=usual.1 * FAR).contains(&rate_per_h);
    (!is_near).then_some(usual)
}

/// Nuts wetter than any of their kind are known to come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooWet {
    /// Moisture, % w.b. as it was given.
    pub pct: f64,
    /// The wettest that is known, % w.b.
    pub wettest_pct: f64,
    /// What it would be, % w.b., were it given of the dry mass.
    pub if_of_dry_mass_pct: f64,
}

/// Whether a moisture as received, % w.b., is above what nuts of that crop come with; `None` where it is not.
pub fn too_wet(library: &Crop, pct: f64) -> Option<TooWet> {
    let known = library.value(Quantity::ReceivedMoisture)?;
    let wettest_pct = known.range.map_or(known.value * WETTER_TIMES, |(_, high)| high);
    let is_too_wet = pct > wettest_pct + WETTER_PCT;
    is_too_wet.then(|| TooWet { pct, wettest_pct, if_of_dry_mass_pct: water::percent_of_dry_basis(pct / 100.0) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crop::find;

    #[test]
    fn a_moisture_above_all_that_is_known_is_told_with_what_it_would_be_of_the_dry_mass() {
        let nuts = find("macadamia").expect("in the library");
        assert_eq!(too_wet(nuts, 36.0), None);
        let wet = too_wet(nuts, 40.0).expect("too wet");
        // 40 of water on 100 dry are 40 of 140.
        assert!((wet.if_of_dry_mass_pct - 100.0 * 40.0 / 140.0).abs() < 1e-9);
        assert!((wet.wettest_pct - 30.0).abs() < 1e-9);
    }

    #[test]
    fn the_librarys_own_rate_is_never_far() {
        for crop in crate::crop::all() {
            for at_c in [20.0, 40.0, 60.0] {
                let rate_per_h = crop.thin_layer().rate_per_h(at_c);
                assert_eq!(far_rate(crop, rate_per_h, at_c), None, "{}", crop.name());
                let has_range = crop.value(Quantity::DryingRate).is_some_and(|known| known.range.is_some());
                assert_eq!(far_rate(crop, rate_per_h / 60.0, at_c).is_some(), has_range, "{}", crop.name());
            }
        }
    }
}
