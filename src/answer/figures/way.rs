//! The way from the baseline to another option, in figures: by cause, and measure by measure.

use schemars::JsonSchema;
use serde::Serialize;

/// The way to one option.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct WayFigures {
    /// The option.
    pub option: String,
    /// What it saves against the baseline.
    pub saved: WaySums,
    /// What saves it; the sums of the causes are `saved`, but for the peak and what is spent to own, which have none.
    pub causes: Vec<CauseFigures>,
    /// The measures of a package in its order; their sums in that order are `saved`. Empty of an option that is no
    /// package.
    pub steps: Vec<StepFigures>,
    /// Why a package is not told measure by measure; nothing of one that is, or of an option that is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why_no_steps: Option<String>,
}

/// What is saved: the baseline's, or that before a step, less what comes after; mean of the weather years.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub(crate) struct WaySums {
    /// Purchased energy, kWh a season.
    pub purchased_kwh: f64,
    /// Highest hour of electricity, kW.
    pub electric_peak_kw: f64,
    /// Carbon, kg CO2e a season.
    pub carbon_kg: f64,
    /// Bill of a season.
    pub bill: f64,
    /// Net present cost over the period, before any grant.
    pub net_present_cost: f64,
}

impl WaySums {
    /// The same less what the other is.
    pub(crate) fn less(self, other: Self) -> Self {
        Self {
            purchased_kwh: self.purchased_kwh - other.purchased_kwh,
            electric_peak_kw: self.electric_peak_kw - other.electric_peak_kw,
            carbon_kg: self.carbon_kg - other.carbon_kg,
            bill: self.bill - other.bill,
            net_present_cost: self.net_present_cost - other.net_present_cost,
        }
    }
}

/// A cause and what it saves.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct CauseFigures {
    /// Which.
    pub cause: WayCause,
    /// Purchased energy, kWh a season.
    pub purchased_kwh: f64,
    /// Carbon, kg CO2e a season.
    pub carbon_kg: f64,
    /// Bill of a season.
    pub bill: f64,
}

/// Why an option takes less than another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum WayCause {
    /// The plant needs less heat, at what a kilowatt-hour of it takes with the baseline.
    HeatNeed,
    /// A kilowatt-hour of heat takes less, at the need that is left: sources, recovered heat, own supply.
    Conversion,
    /// Drying fans and lights.
    #[serde(rename = "fans")]
    FansAndLights,
    /// The cool store, without what recovery adds to it.
    Store,
    /// Demand charges.
    Demand,
    /// Standing charges and what else is billed.
    Standing,
}

/// A measure of a package.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub(crate) struct StepFigures {
    /// Name of its option; the last step has what the package says itself as well.
    pub measure: String,
    /// What it saves where it is added to those before it.
    pub in_order: WaySums,
    /// What it saves alone, before all others.
    pub alone: WaySums,
    /// What it saves where it is added last, to all others.
    pub last: WaySums,
}
