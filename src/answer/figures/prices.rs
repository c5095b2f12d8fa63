//! The prices and terms that bills and life-cycle money are made of, and the bills themselves: whoever puts other
//! prices in their place can work the money again.

use schemars::JsonSchema;
use serde::Serialize;

/// Prices, terms and what is owned.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct PriceFigures {
    /// Decimals of the currency's minor unit: lines of a bill are rounded to them, a half to the even.
    pub decimals: u8,
    /// Electricity.
    pub electricity: ElectricityPrices,
    /// Fuels, in the order of their names.
    pub fuels: Vec<FuelPrices>,
    /// What a grant pays.
    pub grant: GrantTerms,
    /// What the options own, each once, however many of them have it.
    pub owned: Vec<OwnedFigures>,
}

/// A tariff of electricity.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ElectricityPrices {
    /// Prices of energy, before tax: of the periods in their order, then at all other times.
    pub energy: Vec<EnergyPriceFigures>,
    /// Charges on the highest demand of each month, before tax.
    pub demand: Vec<DemandPriceFigures>,
    /// Charge for each month begun, before tax.
    pub fixed_per_month: f64,
    /// Charge for each day begun, before tax.
    pub fixed_per_day: f64,
    /// Tax on energy, demand and fixed charges, fraction of them.
    pub tax: f64,
    /// Yearly rise of all its prices, fraction.
    pub escalation: f64,
}

/// A price of energy.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct EnergyPriceFigures {
    /// Period of the tariff.
    pub period: String,
    /// Price of one kWh.
    pub per_kwh: f64,
}

/// A charge on demand.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct DemandPriceFigures {
    /// Name of the charge.
    pub charge: String,
    /// What is measured: `kW` or `kVA`.
    pub unit: String,
    /// Price of one of them a month.
    pub price: f64,
}

/// What a fuel costs.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct FuelPrices {
    /// Name of the carrier.
    pub carrier: String,
    /// Unit it is sold in.
    pub unit: String,
    /// Energy in a unit, kWh (net heating value).
    pub kwh_per_unit: f64,
    /// Price of a unit, tax included.
    pub price_per_unit: f64,
    /// Charge for each month begun, tax included.
    pub fixed_per_month: f64,
    /// What a unit of the plant's own would have fetched; nothing where it has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub own_worth_per_unit: Option<f64>,
    /// Yearly rise of its price, fraction.
    pub escalation: f64,
}

/// What a grant pays.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct GrantTerms {
    /// Share of the eligible cost, fraction.
    pub share: f64,
    /// True if what the option's capital is above the baseline's is eligible; else the capital of what the baseline
    /// does not have.
    pub on_extra_cost: bool,
    /// Most money for one option, if there is a limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<f64>,
}

/// Something that options own.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct OwnedFigures {
    /// Its name.
    pub name: String,
    /// First cost, and cost of each replacement.
    pub capital: f64,
    /// Years until it is replaced.
    pub life_years: f64,
    /// Upkeep a year.
    pub upkeep_per_year: f64,
    /// True if it stands already: it costs nothing but its upkeep and is taken to last.
    pub is_installed: bool,
    /// True if the baseline has it: no grant is paid for it where grants are paid on capital.
    pub is_of_baseline: bool,
    /// How many of it each option has, in the order of the options.
    pub of_options: Vec<u32>,
}

/// A month of the bill of one weather year.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct BilledMonth {
    /// Calendar year: 1 is that of the season's first month, 2 the next.
    pub year: u32,
    /// Month, 1..12.
    pub month: u32,
    /// Days of it that are billed.
    pub days: u32,
    /// Energy in each period of the tariff, in the order of `prices.electricity.energy`, kWh.
    pub energy_kwh: Vec<f64>,
    /// Highest demand of each charge, in the order of `prices.electricity.demand` and in its unit.
    pub demand: Vec<f64>,
    /// Bill of electricity: energy, demand, fixed charges and tax.
    pub electricity_cost: f64,
    /// Fuels of the option's sources, in the order of their names.
    pub fuels: Vec<BilledFuel>,
    /// All of it.
    pub total_cost: f64,
}

/// A fuel in a month of a bill.
#[derive(Clone, Debug, Default, PartialEq, JsonSchema, Serialize)]
pub(crate) struct BilledFuel {
    /// Name of the carrier.
    pub carrier: String,
    /// Quantity used, in its unit.
    pub quantity: f64,
    /// Of which billed at what the plant's own would have fetched.
    pub at_own_worth: f64,
    /// Cost, fixed charge included.
    pub cost: f64,
}
