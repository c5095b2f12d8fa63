//! From values as people write them to the laws and properties that the house computes with: each in
//! its range, none missing.

use super::ThinLayer;
use super::properties::{Bed, DryingLaw, Practice, TemperatureLimit};
use super::sourced::{Quantity, Sourced};
use super::water::dry_basis_of_percent;
use crate::problem::nearest;
use std::collections::BTreeMap;

/// Why a crop cannot have a value.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CropError {
    /// No such key.
    #[error("a crop has no value '{key}'; {}known are {known}", meant(*.nearest))]
    UnknownKey {
        /// What was asked for.
        key: String,
        /// The key that was probably meant, if one is like it.
        nearest: Option<&'static str>,
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
    #[error("a crop needs limits of air temperature between 0 and 100 °C, the last of them above 0 % moisture")]
    Limits,
}

fn meant(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |key| format!("did you mean '{key}'? "))
}

pub(super) type Need<'a> = &'a dyn Fn(Quantity) -> Result<f64, CropError>;

pub(super) fn thin_layer(law: DryingLaw, need: Need) -> Result<ThinLayer, CropError> {
    let rate_per_h = need(Quantity::DryingRate)?;
    let reference_c = need(Quantity::RateTemperature)?;
    let activation_kj_per_mol = need(Quantity::ActivationEnergy)?;
    Ok(match law {
        DryingLaw::Newton => ThinLayer::Newton { rate_per_h, reference_c, activation_kj_per_mol },
        DryingLaw::Page => ThinLayer::Page {
            rate_per_h,
            exponent: need(Quantity::DryingExponent)?,
            reference_c,
            activation_kj_per_mol,
        },
        DryingLaw::Sphere => ThinLayer::Sphere { rate_per_h, reference_c, activation_kj_per_mol },
    })
}

pub(super) fn bed(values: &BTreeMap<Quantity, Sourced>, need: Need) -> Result<Bed, CropError> {
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

pub(super) fn practice(need: Need) -> Result<Practice, CropError> {
    let (low, high) = (need(Quantity::StoreHumidityLow)?, need(Quantity::StoreHumidityHigh)?);
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
pub(super) fn checked_limits(mut limits: Vec<TemperatureLimit>) -> Result<Vec<TemperatureLimit>, CropError> {
    let sane = limits
        .iter()
        .all(|limit| (0.0..=100.0).contains(&limit.max_air_c) && (0.0..=5.0).contains(&limit.above_moisture));
    limits.sort_by(|a, b| b.above_moisture.total_cmp(&a.above_moisture));
    match limits.last() {
        Some(last) if sane && last.above_moisture == 0.0 => Ok(limits),
        _ => Err(CropError::Limits),
    }
}

pub(super) fn in_range(quantity: Quantity, value: f64) -> Result<f64, CropError> {
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

pub(super) fn unknown_key(key: &str) -> CropError {
    let keys: Vec<_> = Quantity::all().map(Quantity::key).collect();
    CropError::UnknownKey { key: key.to_owned(), nearest: nearest(key, keys.iter().copied()), known: keys.join(", ") }
}
