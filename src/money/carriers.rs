//! All carriers of a site.

use super::{Carrier, Tariff};
use std::collections::BTreeMap;

/// The name of electricity among carriers, in studies and in figures: what is not this is a fuel.
pub const ELECTRICITY: &str = "electricity";

/// What energy costs and emits at a site.
#[derive(Clone, Debug, PartialEq)]
pub struct Carriers {
    /// Electricity by time of use.
    pub electricity: Tariff,
    /// Carbon of electricity, kg CO2e per kWh.
    pub electricity_carbon_kg_per_kwh: f64,
    /// Fuels by their name in the study.
    pub fuels: BTreeMap<String, Carrier>,
}
