//! The crop library: a table embedded in the program, each of its values with unit, source, status
//! and, where known, range.

use super::checked::CropError;
use super::kind::{Crop, Parts};
use super::properties::{DryingLaw, IsothermOrigin, TemperatureLimit};
use super::sourced::{Quantity, Sourced, Status};
use super::water::dry_basis_of_percent;
use super::{Isotherm, IsothermError, KernelIsotherm};
use crate::problem::nearest;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

const LIBRARY: &str = include_str!("library.toml");

/// A crop that the library does not hold.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no crop '{name}' in the library{}; it holds {known}", guess(.nearest.as_deref()))]
pub struct UnknownCrop {
    /// What was asked for.
    pub name: String,
    /// The crop whose name is like it, if one is.
    pub nearest: Option<String>,
    /// Every crop's name.
    pub known: String,
}

fn guess(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |name| format!(" (did you mean '{name}'?)"))
}

/// Every crop of the library.
pub fn all() -> &'static [Crop] {
    static CROPS: LazyLock<Vec<Crop>> =
        LazyLock::new(|| read(LIBRARY).expect("the embedded crop library is sound, as a test of the house shows"));
    &CROPS
}

/// The crop of this name (case and surrounding space do not matter).
pub fn find(name: &str) -> Result<&'static Crop, UnknownCrop> {
    let wanted = name.trim().to_lowercase();
    let names = || all().iter().map(Crop::name);
    all().iter().find(|crop| crop.name() == wanted).ok_or_else(|| UnknownCrop {
        name: name.to_owned(),
        nearest: nearest(&wanted, names()).map(str::to_owned),
        known: names().collect::<Vec<_>>().join(", "),
    })
}

#[derive(Debug, thiserror::Error)]
enum LibraryError {
    #[error("{0}")]
    Toml(#[from] toml::de::Error),
    #[error("{0}")]
    Crop(#[from] CropError),
    #[error("{0}")]
    Isotherm(#[from] IsothermError),
    #[error("{crop}: no quantity '{key}'")]
    Key { crop: String, key: String },
    #[error("{crop}, {key}: unit '{found}', expected '{expected}'")]
    Unit { crop: String, key: String, found: String, expected: &'static str },
    #[error("{crop}, {key}: {value} lies outside its own range")]
    Range { crop: String, key: String, value: f64 },
    #[error("no source '{0}' in the list of sources")]
    Source(String),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawLibrary {
    sources: BTreeMap<String, String>,
    common: BTreeMap<String, RawValue>,
    crop: Vec<RawCrop>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawCrop {
    name: String,
    law: DryingLaw,
    isotherm: RawIsotherm,
    kernel_isotherm: Option<RawIsotherm>,
    limit: Vec<RawLimit>,
    values: BTreeMap<String, RawValue>,
}

#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawValue {
    value: f64,
    unit: String,
    status: Status,
    range: Option<[f64; 2]>,
    source: String,
    #[serde(default)]
    note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawIsotherm {
    form: String,
    coefficients: BTreeMap<String, f64>,
    status: Status,
    source: String,
    range: String,
    #[serde(default)]
    note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawLimit {
    above_moisture: f64,
    max_air_c: f64,
    status: Status,
    source: String,
    #[serde(default)]
    note: String,
}

/// Sources by their short names.
struct Sources(BTreeMap<String, String>);

impl Sources {
    /// The source written out, with the note that belongs to one value.
    fn written_out(&self, name: &str, note: &str) -> Result<String, LibraryError> {
        let text = self.0.get(name).ok_or_else(|| LibraryError::Source(name.to_owned()))?;
        Ok(if note.is_empty() { text.clone() } else { format!("{text}; {note}") })
    }
}

fn read(text: &str) -> Result<Vec<Crop>, LibraryError> {
    let library: RawLibrary = toml::from_str(text)?;
    let sources = Sources(library.sources);
    library.crop.into_iter().map(|raw| crop(raw, &library.common, &sources)).collect()
}

fn crop(raw: RawCrop, common: &BTreeMap<String, RawValue>, sources: &Sources) -> Result<Crop, LibraryError> {
    let mut values = BTreeMap::new();
    // A crop's own value stands before the one common to all.
    for (key, value) in common.iter().chain(&raw.values) {
        let (quantity, sourced) = scalar(&raw.name, key, value, sources)?;
        values.insert(quantity, sourced);
    }
    let (isotherm, isotherm_origin) = isotherm(raw.isotherm, sources)?;
    let kernel = raw.kernel_isotherm.map(|raw| isotherm_of_kernel(raw, sources)).transpose()?;
    let mut limits = Vec::new();
    for limit in raw.limit {
        limits.push(TemperatureLimit {
            above_moisture: dry_basis_of_percent(limit.above_moisture),
            max_air_c: limit.max_air_c,
            source: sources.written_out(&limit.source, &limit.note)?,
            status: limit.status,
        });
    }
    Ok(Crop::new(Parts { name: raw.name, law: raw.law, values, isotherm, isotherm_origin, kernel, limits })?)
}

fn isotherm(raw: RawIsotherm, sources: &Sources) -> Result<(Isotherm, IsothermOrigin), LibraryError> {
    let coefficients: Vec<_> = raw.coefficients.into_iter().collect();
    let origin =
        IsothermOrigin { source: sources.written_out(&raw.source, &raw.note)?, status: raw.status, range: raw.range };
    Ok((Isotherm::of_form(&raw.form, &coefficients)?, origin))
}

fn isotherm_of_kernel(raw: RawIsotherm, sources: &Sources) -> Result<KernelIsotherm, LibraryError> {
    let (isotherm, origin) = isotherm(raw, sources)?;
    Ok(KernelIsotherm { isotherm, origin })
}

fn scalar(crop: &str, key: &str, raw: &RawValue, sources: &Sources) -> Result<(Quantity, Sourced), LibraryError> {
    let quantity =
        Quantity::of_key(key).ok_or_else(|| LibraryError::Key { crop: crop.to_owned(), key: key.to_owned() })?;
    if raw.unit != quantity.unit() {
        return Err(LibraryError::Unit {
            crop: crop.to_owned(),
            key: key.to_owned(),
            found: raw.unit.clone(),
            expected: quantity.unit(),
        });
    }
    if raw.range.is_some_and(|[low, high]| !(low..=high).contains(&raw.value)) {
        return Err(LibraryError::Range { crop: crop.to_owned(), key: key.to_owned(), value: raw.value });
    }
    let sourced = Sourced {
        value: raw.value,
        source: sources.written_out(&raw.source, &raw.note)?,
        status: raw.status,
        range: raw.range.map(|[low, high]| (low, high)),
    };
    Ok((quantity, sourced))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_embedded_library_is_sound() {
        let crops = read(LIBRARY).unwrap_or_else(|error| panic!("{error}"));
        let mut names: Vec<_> = crops.iter().map(Crop::name).collect();
        assert!(names.len() >= 7 && names.contains(&"macadamia"), "{names:?}");
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), crops.len(), "each has a name of its own");
    }

    #[test]
    fn every_source_is_used_and_every_value_has_words() {
        let library: RawLibrary = toml::from_str(LIBRARY).unwrap();
        let uses = |name: &str| LIBRARY.contains(&format!("source = \"{name}\""));
        for (name, text) in &library.sources {
            assert!(uses(name), "{name} is never used");
            assert!(text.len() > 10, "{name} says too little");
        }
        for crop in all() {
            for line in crop.provenance() {
                assert!(!line.source.is_empty() && !line.value_text.is_empty());
            }
        }
    }

    #[test]
    fn a_wrong_unit_is_refused() {
        let wrong = LIBRARY.replacen("unit = \"% w.b.\"", "unit = \"% d.b.\"", 1);
        let error = read(&wrong).unwrap_err().to_string();
        assert!(error.contains("% d.b."), "{error}");
    }

    #[test]
    fn a_name_nearly_right_is_told_the_right_one() {
        assert_eq!(find(" Macadamia ").unwrap().name(), "macadamia");
        let unknown = find("macademia").unwrap_err();
        assert_eq!(unknown.nearest.as_deref(), Some("macadamia"));
        let unknown = find("hazel nuts").unwrap_err();
        assert_eq!(unknown.nearest.as_deref(), Some("hazelnut"));
        for name in ["almonds", "pistacio", "peanuts", "wallnut", "pecam"] {
            assert!(find(name).unwrap_err().nearest.is_some(), "{name}");
        }
        for name in ["brazil", "nosuch", "acorn"] {
            let unknown = find(name).unwrap_err();
            assert_eq!(unknown.nearest, None, "{name}");
            assert!(!unknown.to_string().contains("did you mean"));
        }
        assert!(find("").is_err());
    }
}
