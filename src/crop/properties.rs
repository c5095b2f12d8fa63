//! A crop: everything the rest of the house needs to know of one kind of nut in shell.

use super::sourced::{ProvenanceLine, Quantity, Sourced, Status};
use super::water::{dry_basis_of_percent, wet_basis};
use super::{Isotherm, ThinLayer};
use std::collections::BTreeMap;

/// The bed that nuts make when poured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    /// Mass of nuts at `bulk_density_moisture` that fills a cubic metre, kg/m³.
    pub bulk_density_kg_per_m3: f64,
    /// Moisture of the nuts for which the bulk density is stated, dry-basis fraction.
    pub bulk_density_moisture: f64,
    /// Share of the bed's volume that is air between the nuts, a fraction.
    pub porosity: f64,
    /// Diameter of the sphere that stands for one nut, m.
    pub equivalent_diameter_m: f64,
    /// What the bed's resistance is over that of the clean law.
    pub resistance_factor: f64,
    /// Hukill-Ives coefficients a (Pa s²/m³) and b (m² s/m³), where the crop has them.
    pub hukill_ives: Option<(f64, f64)>,
}

impl Bed {
    /// Dry matter in a cubic metre of bed, kg/m³. Nuts are taken not to shrink or swell in their shells,
    /// so it holds at any moisture.
    pub fn dry_matter_kg_per_m3(&self) -> f64 {
        self.bulk_density_kg_per_m3 * (1.0 - wet_basis(self.bulk_density_moisture))
    }

    /// Mass of nuts of this moisture (dry-basis fraction) in a cubic metre of bed, kg/m³.
    pub fn bulk_density_at_kg_per_m3(&self, moisture_db: f64) -> f64 {
        self.dry_matter_kg_per_m3() * (1.0 + moisture_db)
    }
}

/// Drying air no hotter than this above a moisture.
#[derive(Clone, Debug, PartialEq)]
pub struct TemperatureLimit {
    /// The limit holds for nuts above this moisture, dry-basis fraction.
    pub above_moisture: f64,
    /// Hottest drying air, °C.
    pub max_air_c: f64,
    /// Where it comes from.
    pub source: String,
    /// How far it can be trusted.
    pub status: Status,
}

/// What is usually done with the crop; a study names its own where it differs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Practice {
    /// Moisture as received, dry-basis fraction.
    pub received_moisture: f64,
    /// Moisture when dried, dry-basis fraction.
    pub dried_moisture: f64,
    /// Drying-air temperature, °C.
    pub drying_temperature_c: f64,
    /// Hours that wet nuts may wait without air.
    pub safe_wait_hours: f64,
    /// Water activity above which mould grows, a fraction.
    pub mould_water_activity: f64,
    /// Temperature of the store, °C.
    pub store_temperature_c: f64,
    /// Lowest and highest relative humidity of the store, fractions.
    pub store_relative_humidity: (f64, f64),
    /// Heat of respiration at 20 °C, W/t.
    pub respiration_w_per_t: f64,
}

/// Which thin-layer law the rate belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DryingLaw {
    /// Newton's (Lewis') law.
    Newton,
    /// Page's law.
    Page,
    /// Diffusion out of a sphere.
    Sphere,
}

/// Where the isotherm comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct IsothermOrigin {
    /// Source, written out.
    pub source: String,
    /// How far it can be trusted.
    pub status: Status,
    /// Range of validity and doubt, in words; may be empty.
    pub range: String,
}

/// One kind of nut in shell: checked numbers, each with its origin. Numbers are changed only through
/// [`Crop::override_value`] and its fellows, so that a number and its origin never part.
#[derive(Clone, Debug, PartialEq)]
pub struct Crop {
    name: String,
    law: DryingLaw,
    values: BTreeMap<Quantity, Sourced>,
    isotherm: Isotherm,
    isotherm_origin: IsothermOrigin,
    limits: Vec<TemperatureLimit>,
    // the same values as the laws take them
    thin_layer: ThinLayer,
    bed: Bed,
    practice: Practice,
    specific_heat_dry: f64,
    specific_heat_water: f64,
}

/// Why a crop cannot have a value.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CropError {
    /// No such key.
    #[error("a crop has no value '{key}'; did you mean '{nearest}'? Known: {known}")]
    UnknownKey {
        /// What was asked for.
        key: String,
        /// The key most like it.
        nearest: &'static str,
        /// Every key.
        known: String,
    },
    /// A value that cannot be meant.
    #[error("{name} ({key}) of {found} {unit} cannot be meant: give {low} to {high} {unit}")]
    OutOfRange {
        /// Key.
        key: &'static str,
        /// Name in words.
        name: &'static str,
        /// Unit.
        unit: &'static str,
        /// What was given.
        found: f64,
        /// Lowest possible.
        low: f64,
        /// Highest possible.
        high: f64,
    },
    /// A value that every crop must have is missing.
    #[error("crop {crop} lacks {key}")]
    Missing {
        /// Which crop.
        crop: String,
        /// Which key.
        key: &'static str,
    },
    /// The highest store humidity is below the lowest.
    #[error("the store's lowest humidity, {low} % RH, is above its highest, {high} % RH")]
    HumidityBand {
        /// Lowest, %.
        low: f64,
        /// Highest, %.
        high: f64,
    },
    /// No limits, or one that no temperature can be meant by.
    #[error(
        "a crop needs limits of air temperature between 0 and 100 °C, the last of them above 0 % moisture"
    )]
    Limits,
}

/// The parts that a crop is made from.
pub(super) struct Parts {
    pub name: String,
    pub law: DryingLaw,
    pub values: BTreeMap<Quantity, Sourced>,
    pub isotherm: Isotherm,
    pub isotherm_origin: IsothermOrigin,
    pub limits: Vec<TemperatureLimit>,
}

impl Crop {
    pub(super) fn new(parts: Parts) -> Result<Self, CropError> {
        let Parts {
            name,
            law,
            values,
            isotherm,
            isotherm_origin,
            limits,
        } = parts;
        let need = |quantity: Quantity| -> Result<f64, CropError> {
            let Some(sourced) = values.get(&quantity) else {
                return Err(CropError::Missing {
                    crop: name.clone(),
                    key: quantity.key(),
                });
            };
            in_range(quantity, sourced.value)
        };
        let thin_layer = thin_layer(law, &need)?;
        let bed = bed(&values, &need)?;
        let practice = practice(&need)?;
        let (specific_heat_dry, specific_heat_water) = (
            need(Quantity::SpecificHeatDry)?,
            need(Quantity::SpecificHeatWater)?,
        );
        Ok(Self {
            limits: checked_limits(limits)?,
            name,
            law,
            values,
            isotherm,
            isotherm_origin,
            thin_layer,
            bed,
            practice,
            specific_heat_dry,
            specific_heat_water,
        })
    }

    /// Name of the crop, as the library knows it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Sorption isotherm.
    pub fn isotherm(&self) -> &Isotherm {
        &self.isotherm
    }

    /// Where the isotherm comes from.
    pub fn isotherm_origin(&self) -> &IsothermOrigin {
        &self.isotherm_origin
    }

    /// Thin-layer drying law.
    pub fn thin_layer(&self) -> &ThinLayer {
        &self.thin_layer
    }

    /// The bed that the nuts make.
    pub fn bed(&self) -> &Bed {
        &self.bed
    }

    /// What is usually done with the crop.
    pub fn practice(&self) -> &Practice {
        &self.practice
    }

    /// Limits of the air's temperature, from the wettest nuts to the driest.
    pub fn limits(&self) -> &[TemperatureLimit] {
        &self.limits
    }

    /// Heat capacity of nuts of this moisture (dry-basis fraction), kJ/K per kg of *dry matter*:
    /// c_dry + c_w M. Per kg of moist nuts it is the same over 1 + M.
    #[inline]
    pub fn heat_capacity_kj_per_k_per_kg_dry(&self, moisture_db: f64) -> f64 {
        self.specific_heat_dry + self.specific_heat_water * moisture_db
    }

    /// Hottest drying air, °C, for nuts of this moisture (dry-basis fraction).
    pub fn max_air_temperature_c(&self, moisture_db: f64) -> f64 {
        self.limits
            .iter()
            .find(|limit| moisture_db > limit.above_moisture)
            .or(self.limits.last())
            .map_or(f64::INFINITY, |limit| limit.max_air_c)
    }

    /// A value with its origin; `None` where the crop has none (only Hukill-Ives coefficients may lack).
    pub fn value(&self, quantity: Quantity) -> Option<&Sourced> {
        self.values.get(&quantity)
    }

    /// True where the drying rate or the isotherm is a placeholder, so that drying times are no more
    /// than a guess.
    pub fn drying_is_placeholder(&self) -> bool {
        let rate = self.values.get(&Quantity::DryingRate);
        self.isotherm_origin.status == Status::Placeholder
            || rate.is_some_and(|rate| rate.status == Status::Placeholder)
    }

    /// Puts another value in place of the library's: a key and a value in the unit of its [`Quantity`]
    /// (moisture in % wet basis), with the words that say where it comes from. An error leaves the crop
    /// as it was. A Newton law that is given an exponent other than 1 becomes Page's.
    pub fn override_value(&mut self, key: &str, value: f64, source: &str) -> Result<(), CropError> {
        let quantity = Quantity::of_key(key).ok_or_else(|| unknown_key(key))?;
        in_range(quantity, value)?;
        let mut parts = self.parts();
        if quantity == Quantity::DryingExponent {
            parts.law = DryingLaw::Page;
        }
        parts.values.insert(
            quantity,
            Sourced {
                value,
                source: source.to_owned(),
                status: Status::Given,
                range: None,
            },
        );
        *self = Self::new(parts)?;
        Ok(())
    }

    /// Puts another isotherm in place of the library's.
    pub fn override_isotherm(&mut self, isotherm: Isotherm, source: &str) {
        self.isotherm = isotherm;
        self.isotherm_origin = IsothermOrigin {
            source: source.to_owned(),
            status: Status::Given,
            range: String::new(),
        };
    }

    /// Puts other limits of air temperature in place of the library's, in any order.
    pub fn override_limits(&mut self, limits: Vec<TemperatureLimit>) -> Result<(), CropError> {
        self.limits = checked_limits(limits)?;
        Ok(())
    }

    fn parts(&self) -> Parts {
        Parts {
            name: self.name.clone(),
            law: self.law,
            values: self.values.clone(),
            isotherm: self.isotherm,
            isotherm_origin: self.isotherm_origin.clone(),
            limits: self.limits.clone(),
        }
    }

    /// Every value with its unit, range, source and status, in reading order: the scalars, the isotherm,
    /// the limits.
    pub fn provenance(&self) -> Vec<ProvenanceLine> {
        // Only Page's law has an exponent; showing another law's would mislead.
        let shown = |quantity: Quantity| {
            quantity != Quantity::DryingExponent || self.law == DryingLaw::Page
        };
        let mut lines: Vec<_> = self
            .values
            .iter()
            .filter(|(quantity, _)| shown(**quantity))
            .map(scalar_line)
            .collect();
        let coefficients: Vec<_> = self
            .isotherm
            .coefficients()
            .iter()
            .map(|(name, value)| format!("{name} {value}"))
            .collect();
        lines.push(ProvenanceLine {
            key: "isotherm".to_owned(),
            quantity: "sorption isotherm".to_owned(),
            value_text: format!("{}: {}", self.isotherm.form_name(), coefficients.join(", ")),
            unit: "with moisture in % d.b., °C".to_owned(),
            range_text: self.isotherm_origin.range.clone(),
            source: self.isotherm_origin.source.clone(),
            status: self.isotherm_origin.status,
        });
        lines.extend(self.limits.iter().map(|limit| {
            let percent = (wet_basis(limit.above_moisture) * 1e5).round() / 1e3;
            ProvenanceLine {
                key: "limit".to_owned(),
                quantity: format!("hottest drying air above {percent} % w.b."),
                value_text: limit.max_air_c.to_string(),
                unit: "°C".to_owned(),
                range_text: String::new(),
                source: limit.source.clone(),
                status: limit.status,
            }
        }));
        lines
    }

    /// Name of the thin-layer law, in words.
    pub fn law_name(&self) -> &'static str {
        match self.thin_layer {
            ThinLayer::Newton { .. } => "Newton (Lewis)",
            ThinLayer::Page { .. } => "Page",
            ThinLayer::Sphere { .. } => "diffusion out of a sphere",
        }
    }
}

type Need<'a> = &'a dyn Fn(Quantity) -> Result<f64, CropError>;

fn thin_layer(law: DryingLaw, need: Need) -> Result<ThinLayer, CropError> {
    let rate_per_h = need(Quantity::DryingRate)?;
    let reference_c = need(Quantity::RateTemperature)?;
    let activation_kj_per_mol = need(Quantity::ActivationEnergy)?;
    Ok(match law {
        DryingLaw::Newton => ThinLayer::Newton {
            rate_per_h,
            reference_c,
            activation_kj_per_mol,
        },
        DryingLaw::Page => ThinLayer::Page {
            rate_per_h,
            exponent: need(Quantity::DryingExponent)?,
            reference_c,
            activation_kj_per_mol,
        },
        DryingLaw::Sphere => ThinLayer::Sphere {
            rate_per_h,
            reference_c,
            activation_kj_per_mol,
        },
    })
}

fn bed(values: &BTreeMap<Quantity, Sourced>, need: Need) -> Result<Bed, CropError> {
    let both = [Quantity::HukillA, Quantity::HukillB];
    let hukill_ives = if both.iter().any(|quantity| values.contains_key(quantity)) {
        Some((need(both[0])?, need(both[1])?))
    } else {
        None
    };
    Ok(Bed {
        bulk_density_kg_per_m3: need(Quantity::BulkDensity)?,
        bulk_density_moisture: dry_basis_of_percent(need(Quantity::BulkDensityMoisture)?),
        porosity: need(Quantity::Porosity)?,
        equivalent_diameter_m: need(Quantity::EquivalentDiameter)? / 1000.0,
        resistance_factor: need(Quantity::ResistanceFactor)?,
        hukill_ives,
    })
}

fn practice(need: Need) -> Result<Practice, CropError> {
    let (low, high) = (
        need(Quantity::StoreHumidityLow)?,
        need(Quantity::StoreHumidityHigh)?,
    );
    if low > high {
        return Err(CropError::HumidityBand { low, high });
    }
    Ok(Practice {
        received_moisture: dry_basis_of_percent(need(Quantity::ReceivedMoisture)?),
        dried_moisture: dry_basis_of_percent(need(Quantity::DriedMoisture)?),
        drying_temperature_c: need(Quantity::DryingTemperature)?,
        safe_wait_hours: need(Quantity::SafeWait)?,
        mould_water_activity: need(Quantity::MouldActivity)?,
        store_temperature_c: need(Quantity::StoreTemperature)?,
        store_relative_humidity: (low / 100.0, high / 100.0),
        respiration_w_per_t: need(Quantity::Respiration)?,
    })
}

/// Limits from the wettest nuts to the driest.
fn checked_limits(mut limits: Vec<TemperatureLimit>) -> Result<Vec<TemperatureLimit>, CropError> {
    let sane = limits.iter().all(|limit| {
        (0.0..=100.0).contains(&limit.max_air_c) && (0.0..=5.0).contains(&limit.above_moisture)
    });
    limits.sort_by(|a, b| b.above_moisture.total_cmp(&a.above_moisture));
    match limits.last() {
        Some(last) if sane && last.above_moisture == 0.0 => Ok(limits),
        _ => Err(CropError::Limits),
    }
}

fn in_range(quantity: Quantity, value: f64) -> Result<f64, CropError> {
    let (low, high) = quantity.possible();
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    Err(CropError::OutOfRange {
        key: quantity.key(),
        name: quantity.name(),
        unit: quantity.unit(),
        found: value,
        low,
        high,
    })
}

fn unknown_key(key: &str) -> CropError {
    let keys: Vec<_> = Quantity::all().map(Quantity::key).collect();
    CropError::UnknownKey {
        key: key.to_owned(),
        nearest: super::library::nearest(key, keys.iter().copied()),
        known: keys.join(", "),
    }
}

fn scalar_line((quantity, sourced): (&Quantity, &Sourced)) -> ProvenanceLine {
    ProvenanceLine {
        key: quantity.key().to_owned(),
        quantity: quantity.name().to_owned(),
        value_text: sourced.value.to_string(),
        unit: quantity.unit().to_owned(),
        range_text: sourced
            .range
            .map_or(String::new(), |(low, high)| format!("{low}..{high}")),
        source: sourced.source.clone(),
        status: sourced.status,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crop::find;

    fn macadamia() -> Crop {
        find("macadamia").unwrap().clone()
    }

    #[test]
    fn an_overridden_value_acts_and_says_whose_it_is() {
        let mut crop = macadamia();
        crop.override_value("drying_rate", 0.031, "drying log of the plant")
            .unwrap();
        assert!((crop.thin_layer().rate_per_h(40.0) - 0.031).abs() < 1e-15);
        assert!(!crop.drying_is_placeholder());
        let lines = crop.provenance();
        let line = lines.iter().find(|line| line.key == "drying_rate").unwrap();
        assert_eq!(line.status, Status::Given);
        assert_eq!(line.source, "drying log of the plant");
        crop.override_value("drying_exponent", 0.8, "drying log of the plant")
            .unwrap();
        assert!(matches!(crop.thin_layer(), ThinLayer::Page { .. }));
        crop.override_value("received_moisture", 20.0, "scale house")
            .unwrap();
        assert!((crop.practice().received_moisture - 0.25).abs() < 1e-15);
    }

    #[test]
    fn a_wrong_override_changes_nothing_and_says_what_is_known() {
        let mut crop = macadamia();
        let before = crop.clone();
        let text = crop
            .override_value("porousity", 0.4, "")
            .unwrap_err()
            .to_string();
        assert!(text.contains("porosity"), "{text}");
        for (key, value) in [
            ("porosity", 42.0),
            ("porosity", f64::NAN),
            ("store_humidity_low", 80.0),
        ] {
            assert!(
                crop.override_value(key, value, "").is_err(),
                "{key} {value}"
            );
        }
        assert!(crop.override_limits(Vec::new()).is_err());
        assert_eq!(crop, before);
    }

    #[test]
    fn limits_follow_the_moisture() {
        let crop = macadamia();
        let limit = |percent: f64| crop.max_air_temperature_c(dry_basis_of_percent(percent));
        assert_eq!(
            [limit(22.0), limit(10.5), limit(9.0), limit(5.0), limit(0.0)],
            [40.0, 40.0, 45.0, 52.0, 52.0]
        );
    }

    #[test]
    fn a_bed_holds_the_same_dry_matter_at_any_moisture() {
        let bed = *macadamia().bed();
        let dry = bed.dry_matter_kg_per_m3();
        assert!((bed.bulk_density_at_kg_per_m3(bed.bulk_density_moisture) - 620.0).abs() < 1e-9);
        assert!((bed.bulk_density_at_kg_per_m3(0.25) - dry * 1.25).abs() < 1e-9);
    }

    #[test]
    fn the_placeholder_of_macadamia_is_told() {
        assert!(macadamia().drying_is_placeholder());
        assert!(!find("walnut").unwrap().drying_is_placeholder());
    }
}
