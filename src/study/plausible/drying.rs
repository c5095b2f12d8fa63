//! A drying rate that is none of these nuts'.

use super::Doubts;
use crate::crop::{Crop, Quantity, find};

/// Beyond so many times the ends of the library's own range a drying rate is more often one of another unit, or of
/// another crop (assumption: the range holds what is published or guessed of the crop; an own log may well lie outside
/// it, by two times or so).
const FAR: f64 = 3.0;

/// Beyond so many times the library's value, or below that part of it, a wait is of another unit, or there to still a guard
/// (assumption).
const FAR_WAIT: f64 = 8.0;

/// Temperature of the nuts at which rates are held beside each other, °C.
const COMPARED_C: f64 = 40.0;

impl Doubts<'_> {
    /// Rates that a study gives of crops that the library has.
    pub(super) fn drying_rates(&mut self) {
        let mut found = Vec::new();
        for crop in &self.study.crops {
            let Some(own) = crop.crop.value(Quantity::DryingRate) else { continue };
            let Ok(library) = find(crop.crop.name()) else { continue };
            let Some((low, high)) = library.value(Quantity::DryingRate).and_then(|known| known.range) else { continue };
            // Each is stated for a temperature of its own, which the study may give as well.
            let at = |crop: &Crop| crop.thin_layer().rate_per_h(COMPARED_C);
            let (rate, stated) = (at(&crop.crop), at(library));
            let times = library.value(Quantity::DryingRate).map_or(1.0, |known| stated / known.value);
            let (low, high) = (low * times, high * times);
            if (low / FAR..=high * FAR).contains(&rate) {
                continue;
            }
            let path = match self.study.crops.as_slice() {
                [_] => "crop.drying_rate".to_owned(),
                _ => format!("crop.{}.drying_rate", crop.name),
            };
            let what = format!(
                "drying_rate is {}, which makes {rate:.3} 1/h at {COMPARED_C} °C; {} has {low:.3} to {high:.3} 1/h there by the library",
                own.value,
                crop.crop.name()
            );
            found.push((path, what));
        }
        for (path, what) in found {
            let cure = "give it for an hour, not for a minute or a day; `dryledger log` fits it to a log of your own";
            self.doubt("crop.drying_rate", &path, what, cure);
        }
    }

    /// Waits that switch their guard off, or that are days.
    pub(super) fn safe_waits(&mut self) {
        let mut found = Vec::new();
        for crop in &self.study.crops {
            let Some(own) = crop.crop.value(Quantity::SafeWait) else { continue };
            let Ok(library) = find(crop.crop.name()) else { continue };
            let Some(known) = library.value(Quantity::SafeWait) else { continue };
            if (known.value / FAR_WAIT..=known.value * FAR_WAIT).contains(&own.value) {
                continue;
            }
            let path = match self.study.crops.as_slice() {
                [_] => "crop.safe_wait".to_owned(),
                _ => format!("crop.{}.safe_wait", crop.name),
            };
            let what =
                format!("safe_wait is {} h; {} has {} h by the library", own.value, crop.crop.name(), known.value);
            found.push((path, what));
        }
        for (path, what) in found {
            self.doubt("crop.safe_wait", &path, what, "give hours that wet nuts keep without air, not days");
        }
    }
}
