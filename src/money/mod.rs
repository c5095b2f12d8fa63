//! What energy costs: amounts to the cent, energy carriers, tariffs and bills, and money over the life
//! of a plant.

mod amount;
mod bill;
mod billing_days;
mod carrier;
mod carriers;
mod cash_flow;
mod comparison;
mod currency;
mod discount;
pub mod fuel;
mod grant;
mod life_cycle;
mod loan;
mod own_supply;
mod season_bill;
mod standing;
mod tariff;

pub use amount::{Amount, NoAmount};
pub use bill::{Bill, DemandLine, EnergyLine, MonthBill};
pub use billing_days::BillingDays;
pub use carrier::{BadCarrier, Carrier};
pub use carriers::{Carriers, ELECTRICITY};
pub use cash_flow::{CashYear, Financing, ProfitTax, cash_flow, present_of_cash};
pub use comparison::{Comparison, compare, internal_return, net_present_value};
pub use currency::{Currency, UnknownCurrency};
pub use discount::{Discount, escalating_present_value, single_present_value, uniform_present_value};
pub use fuel::{BurnerClass, FUELS, Fuel, HeatingBasis, Unit, WARMING_POTENTIALS};
pub use grant::{Bid, Grant, GrantBase, Savings, Test};
pub use life_cycle::{
    Asset, BadPlan, CashPlan, Horizon, Once, PresentCost, Running, SingleCost, YearlyCost, Years,
    levelised_cost_per_kwh, present_cost, upkeep,
};
pub use loan::{Loan, LoanYear};
pub use own_supply::{EnergyUse, OwnSupply};
pub use season_bill::{ByPurpose, FuelMonth, SeasonBill, SiteMonth};
pub use standing::StandingCharges;
pub use tariff::{BadTariff, DemandCharge, DemandMeasure, EnergyPrice, Tariff};
