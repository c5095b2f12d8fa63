//! Values of a crop that are none of these nuts'.

use super::Doubts;
use crate::crop::{Quantity, far_rate, find, too_wet};
use crate::number::apart;
use crate::problem::Matter;

/// Beyond so many times the library's value, or below that part of it, a wait is of another unit, or there to still a guard
/// (assumption).
const FAR_WAIT: f64 = 8.0;

/// Temperature of the nuts at which rates are held beside each other, °C.
const COMPARED_C: f64 = 40.0;

/// What a study gives of these, against what the library has of the crop: beyond so many times, or below that part of it, it
/// is more often in another unit, or with a digit lost (assumption: nuts of one kind differ by less). A value of nothing
/// switches off what it stands for.
const LIBRARY: [(Quantity, f64); 6] = [
    (Quantity::Respiration, 20.0),
    (Quantity::SpecificHeatDry, 2.0),
    (Quantity::BulkDensity, 2.0),
    (Quantity::EquivalentDiameter, 3.0),
    (Quantity::Porosity, 2.0),
    (Quantity::ActivationEnergy, 4.0),
];

impl Doubts<'_> {
    /// Rates that a study gives of crops that the library has.
    pub(super) fn drying_rates(&mut self) {
        let mut found = Vec::new();
        for crop in &self.study.crops {
            let Some(own) = crop.crop.value(Quantity::DryingRate) else { continue };
            let Ok(library) = find(crop.crop.name()) else { continue };
            let rate_per_h = crop.crop.thin_layer().rate_per_h(COMPARED_C);
            let Some((low, high)) = far_rate(library, rate_per_h, COMPARED_C) else { continue };
            let path = self.crop_path(&crop.name, "drying_rate");
            let what = format!(
                "drying_rate is {}, which makes {rate_per_h:.3} 1/h at {COMPARED_C} °C; {} has {low:.3} to {high:.3} 1/h there by the library",
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
            let path = self.crop_path(&crop.name, "safe_wait");
            let what =
                format!("safe_wait is {} h; {} has {} h by the library", own.value, crop.crop.name(), known.value);
            found.push((path, what));
        }
        for (path, what) in found {
            self.doubt("crop.safe_wait", &path, what, "give hours that wet nuts keep without air, not days");
        }
    }

    /// Properties that are far from the library's.
    pub(super) fn library_values(&mut self) {
        let mut found = Vec::new();
        for crop in &self.study.crops {
            let Ok(library) = find(crop.crop.name()) else { continue };
            for (quantity, times) in LIBRARY {
                let (Some(own), Some(known)) = (crop.crop.value(quantity), library.value(quantity)) else { continue };
                let (low, high) = known.range.unwrap_or((known.value, known.value));
                let is_near = own.value == 0.0 || (low / times..=high * times).contains(&own.value);
                if is_near {
                    continue;
                }
                let unit = quantity.unit().trim_matches('-');
                let what = format!(
                    "{}; {} has {} by the library",
                    format!("{} is {} {unit}", quantity.key(), own.value).trim_end(),
                    crop.crop.name(),
                    known.value
                );
                let cure = if unit.is_empty() {
                    "look at its digits: a number without unit".to_owned()
                } else {
                    format!("look at its digits, and whether it is in {unit}")
                };
                found.push((self.crop_path(&crop.name, quantity.key()), what, cure));
            }
        }
        for (path, what, cure) in found {
            self.doubt("crop.value", &path, what, &cure).is_about = &[Matter::Nuts];
        }
    }

    /// Nuts that come wetter than any of their kind, as a moisture of the dry mass reads.
    pub(super) fn received_moistures(&mut self) {
        let mut found = Vec::new();
        for crop in &self.study.crops {
            let Ok(library) = find(crop.crop.name()) else { continue };
            let path = self.crop_path(&crop.name, Quantity::ReceivedMoisture.key());
            let given = self.inputs.iter().find(|input| input.path == path && !input.is_default());
            let Some(wet) = given.and_then(|input| input.number).and_then(|pct| too_wet(library, pct)) else {
                continue;
            };
            let (came, usual) = apart(wet.pct, wet.wettest_pct, 1);
            let what = format!(
                "{} comes in with {came} % w.b., and up to {usual} % is known of it; were that of the dry mass, it would be {:.1} % w.b.",
                crop.name, wet.if_of_dry_mass_pct
            );
            found.push((path, what));
        }
        for (path, what) in found {
            let cure = "give percent of the wet mass, of nuts in shell without their hull";
            self.doubt("crop.received_moisture", &path, what, cure).is_about = &[Matter::Moisture];
        }
    }

    /// The path of a key of a crop.
    pub(super) fn crop_path(&self, name: &str, key: &str) -> String {
        match self.study.crops.as_slice() {
            [_] => format!("crop.{key}"),
            _ => format!("crop.{name}.{key}"),
        }
    }
}
