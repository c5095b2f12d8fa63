//! One kind of nut in shell: its laws and properties, every number with its origin.

use super::checked::{CropError, bed, checked_limits, in_range, practice, thin_layer, unknown_key};
use super::properties::{Bed, DryingLaw, IsothermOrigin, Practice, TemperatureLimit};
use super::sourced::{ProvenanceLine, Quantity, Sourced, Status};
use super::water::wet_basis;
use super::{Isotherm, IsothermPair, KernelIsotherm, ThinLayer};
use std::collections::BTreeMap;

/// One kind of nut in shell: checked numbers, each with its origin. Numbers are changed only through
/// [`Crop::override_value`] and its fellows, so that a number and its origin never part.
#[derive(Clone, Debug, PartialEq)]
pub struct Crop {
    name: String,
    law: DryingLaw,
    values: BTreeMap<Quantity, Sourced>,
    isotherm: Isotherm,
    isotherm_origin: IsothermOrigin,
    kernel: Option<KernelIsotherm>,
    limits: Vec<TemperatureLimit>,
    // the same values as the laws take them
    thin_layer: ThinLayer,
    bed: Bed,
    practice: Practice,
    specific_heat_dry: f64,
    specific_heat_water: f64,
}

/// The parts that a crop is made from.
pub(super) struct Parts {
    pub name: String,
    pub law: DryingLaw,
    pub values: BTreeMap<Quantity, Sourced>,
    pub isotherm: Isotherm,
    pub isotherm_origin: IsothermOrigin,
    pub kernel: Option<KernelIsotherm>,
    pub limits: Vec<TemperatureLimit>,
}

impl Crop {
    pub(super) fn new(parts: Parts) -> Result<Self, CropError> {
        let Parts { name, law, values, isotherm, isotherm_origin, kernel, limits } = parts;
        let need = |quantity: Quantity| -> Result<f64, CropError> {
            let Some(sourced) = values.get(&quantity) else {
                return Err(CropError::Missing { crop: name.clone(), key: quantity.key() });
            };
            in_range(quantity, sourced.value)
        };
        let thin_layer = thin_layer(law, &need)?;
        let bed = bed(&values, &need)?;
        let practice = practice(&need)?;
        let (specific_heat_dry, specific_heat_water) =
            (need(Quantity::SpecificHeatDry)?, need(Quantity::SpecificHeatWater)?);
        Ok(Self {
            limits: checked_limits(limits)?,
            name,
            law,
            values,
            isotherm,
            isotherm_origin,
            kernel,
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

    /// The isotherm of the kernel alone, where one is known.
    pub fn kernel_isotherm(&self) -> Option<&KernelIsotherm> {
        self.kernel.as_ref()
    }

    /// The isotherm in shell beside that of the kernel; `None` where the kernel's, or its share of the
    /// dry mass, is not known.
    pub fn isotherm_pair(&self) -> Option<IsothermPair> {
        let share = self.values.get(&Quantity::KernelShare)?;
        Some(IsothermPair {
            in_shell: self.isotherm,
            kernel: self.kernel.as_ref()?.isotherm,
            kernel_share: share.value,
        })
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

    /// Specific heat of dry matter and of the water that nuts hold, kJ/(kg K).
    pub fn specific_heats_kj_per_kg_k(&self) -> (f64, f64) {
        (self.specific_heat_dry, self.specific_heat_water)
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
    /// as it was. An exponent makes the thin-layer law Page's; a rate belongs to the law that stands, so one
    /// fitted with another law comes with [`Crop::override_law`].
    pub fn override_value(&mut self, key: &str, value: f64, source: &str) -> Result<(), CropError> {
        let quantity = Quantity::of_key(key).ok_or_else(|| unknown_key(key))?;
        in_range(quantity, value)?;
        let mut parts = self.parts();
        if quantity == Quantity::DryingExponent {
            parts.law = DryingLaw::Page;
        }
        parts.values.insert(quantity, Sourced { value, source: source.to_owned(), status: Status::Given, range: None });
        *self = Self::new(parts)?;
        Ok(())
    }

    /// Takes another thin-layer law for the same rate.
    pub fn override_law(&mut self, law: DryingLaw) -> Result<(), CropError> {
        let mut parts = self.parts();
        parts.law = law;
        *self = Self::new(parts)?;
        Ok(())
    }

    /// Puts another isotherm in place of the library's.
    pub fn override_isotherm(&mut self, isotherm: Isotherm, source: &str) {
        self.isotherm = isotherm;
        self.isotherm_origin = given(source);
    }

    /// Puts another isotherm of the kernel in place of the library's.
    pub fn override_kernel_isotherm(&mut self, isotherm: Isotherm, source: &str) {
        self.kernel = Some(KernelIsotherm { isotherm, origin: given(source) });
    }

    /// The same crop with nothing known of its kernel, as an entry of the library may be.
    #[cfg(test)]
    pub(crate) fn without_kernel(mut self) -> Self {
        self.kernel = None;
        self
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
            kernel: self.kernel.clone(),
            limits: self.limits.clone(),
        }
    }

    /// Every value with its unit, range, source and status, in reading order: the scalars, the isotherm,
    /// the limits.
    pub fn provenance(&self) -> Vec<ProvenanceLine> {
        // Only Page's law has an exponent; showing another law's would mislead.
        let shown = |quantity: Quantity| quantity != Quantity::DryingExponent || self.law == DryingLaw::Page;
        let mut lines: Vec<_> = self.values.iter().filter(|(quantity, _)| shown(**quantity)).map(scalar_line).collect();
        lines.push(isotherm_line("isotherm", "sorption isotherm", &self.isotherm, &self.isotherm_origin));
        lines.extend(self.kernel.iter().map(|kernel| {
            let name = "sorption isotherm of the kernel alone";
            isotherm_line("kernel_isotherm", name, &kernel.isotherm, &kernel.origin)
        }));
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

fn given(source: &str) -> IsothermOrigin {
    IsothermOrigin { source: source.to_owned(), status: Status::Given, range: String::new() }
}

fn isotherm_line(key: &str, name: &str, isotherm: &Isotherm, origin: &IsothermOrigin) -> ProvenanceLine {
    let coefficients: Vec<_> = isotherm.coefficients().iter().map(|(name, value)| format!("{name} {value}")).collect();
    ProvenanceLine {
        key: key.to_owned(),
        quantity: name.to_owned(),
        value_text: format!("{}: {}", isotherm.form_name(), coefficients.join(", ")),
        unit: "with moisture in % d.b., °C".to_owned(),
        range_text: origin.range.clone(),
        source: origin.source.clone(),
        status: origin.status,
    }
}

fn scalar_line((quantity, sourced): (&Quantity, &Sourced)) -> ProvenanceLine {
    ProvenanceLine {
        key: quantity.key().to_owned(),
        quantity: quantity.name().to_owned(),
        value_text: sourced.value.to_string(),
        unit: quantity.unit().to_owned(),
        range_text: sourced.range.map_or(String::new(), |(low, high)| format!("{low}..{high}")),
        source: sourced.source.clone(),
        status: sourced.status,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crop::find;
    use crate::crop::water::dry_basis_of_percent;

    fn macadamia() -> Crop {
        find("macadamia").unwrap().clone()
    }

    #[test]
    fn an_overridden_value_acts_and_says_whose_it_is() {
        let mut crop = macadamia();
        crop.override_value("drying_rate", 0.031, "drying log of the plant").unwrap();
        assert!((crop.thin_layer().rate_per_h(40.0) - 0.031).abs() < 1e-15);
        assert!(!crop.drying_is_placeholder());
        let lines = crop.provenance();
        let line = lines.iter().find(|line| line.key == "drying_rate").unwrap();
        assert_eq!(line.status, Status::Given);
        assert_eq!(line.source, "drying log of the plant");
        crop.override_value("drying_exponent", 0.8, "drying log of the plant").unwrap();
        assert!(matches!(crop.thin_layer(), ThinLayer::Page { .. }));
        crop.override_value("received_moisture", 20.0, "scale house").unwrap();
        assert!((crop.practice().received_moisture - 0.25).abs() < 1e-15);
    }

    #[test]
    fn a_rate_from_a_log_can_bring_its_own_law() {
        let mut walnut = find("walnut").unwrap().clone();
        walnut.override_law(DryingLaw::Newton).unwrap();
        walnut.override_value("drying_rate", 0.10, "log").unwrap();
        let newton = ThinLayer::Newton { rate_per_h: 0.10, reference_c: 40.0, activation_kj_per_mol: 22.5 };
        assert_eq!(*walnut.thin_layer(), newton);
        assert_eq!(walnut.law_name(), "Newton (Lewis)");
    }

    #[test]
    fn a_wrong_override_changes_nothing_and_says_what_is_known() {
        let mut crop = macadamia();
        let before = crop.clone();
        let text = crop.override_value("porousity", 0.4, "").unwrap_err().to_string();
        assert!(text.contains("porosity"), "{text}");
        for (key, value) in [("porosity", 42.0), ("porosity", f64::NAN), ("store_humidity_low", 80.0)] {
            assert!(crop.override_value(key, value, "").is_err(), "{key} {value}");
        }
        assert!(crop.override_limits(Vec::new()).is_err());
        assert_eq!(crop, before);
    }

    #[test]
    fn limits_follow_the_moisture() {
        let crop = macadamia();
        let limit = |percent: f64| crop.max_air_temperature_c(dry_basis_of_percent(percent));
        assert_eq!([limit(22.0), limit(10.5), limit(9.0), limit(5.0), limit(0.0)], [40.0, 40.0, 45.0, 52.0, 52.0]);
    }

    #[test]
    fn the_placeholder_of_macadamia_is_told() {
        assert!(macadamia().drying_is_placeholder());
        assert!(!find("walnut").unwrap().drying_is_placeholder());
    }
}
