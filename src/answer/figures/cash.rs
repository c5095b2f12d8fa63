//! Cash by year in figures.

use schemars::JsonSchema;
use serde::Serialize;

/// What each option pays year by year over the horizon, with growth where it is planned, with loan and tax where the
/// study has them. Doubt is not in it: these are the study's own values.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct CashFigures {
    /// General inflation, %/a; 0 where cash is at today's prices.
    pub inflation_pct: f64,
    /// Discount rate with that inflation in it, %/a.
    pub discount_rate_pct: f64,
    /// The loan; `null` without one.
    pub loan: Option<LoanFigures>,
    /// Tax on profit; `null` without it.
    pub tax: Option<ProfitTaxFigures>,
    /// Growth that is planned, in the order of its years.
    pub growth: Vec<PlannedFigures>,
    /// The option of least net present cost among those that do the work in every season; nothing where none does.
    pub best: Option<String>,
    /// The same of what the owner pays, loan and tax with it.
    pub best_paid: Option<String>,
    /// The options in the order of the study.
    pub options: Vec<OptionCashFigures>,
}

/// A loan on what is bought at the start and for growth.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct LoanFigures {
    /// Share of each purchase, %.
    pub share_pct: f64,
    /// Interest, %/a.
    pub rate_pct: f64,
    /// Years in which it is paid back.
    pub years: u32,
}

/// Tax on profit.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct ProfitTaxFigures {
    /// Share of the profit, %.
    pub rate_pct: f64,
    /// Years over which a purchase is written off.
    pub depreciation_years: u32,
}

/// Growth with a year.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct PlannedFigures {
    /// Name of the phase.
    pub name: String,
    /// The first season with it, from 1.
    pub year: u32,
}

/// An option's cash.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct OptionCashFigures {
    /// Its name.
    pub option: String,
    /// True if it does the work in every season, grown or not.
    pub does_the_work: bool,
    /// Growth in which it leaves work undone.
    pub undone_in: Vec<String>,
    /// Names of the guards that fire in planned growth.
    pub guards_in_growth: Vec<String>,
    /// Net present cost: without planned growth that of the option itself.
    pub net_present_cost: f64,
    /// The same with loan and tax: what the owner pays.
    pub net_present_cost_paid: f64,
    /// Net present cost over the dried tonnes, discounted alike: what a tonne costs with all capital in it.
    pub cost_per_dried_t: Option<f64>,
    /// When it is worth buying beside an installed baseline; nothing of the baseline, and where that does not stand
    /// yet.
    pub purchase: Option<PurchaseFigures>,
    /// The start (year 0) and each year after it.
    pub years: Vec<CashYearFigures>,
}

/// When an option is worth buying, the baseline being run until then.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct PurchaseFigures {
    /// The first season with it for which buying costs less over the horizon than never buying; nothing where there is
    /// none.
    pub first_year: Option<u32>,
    /// The first season with it that costs least of all; nothing where never buying does.
    pub best_year: Option<u32>,
    /// Saved by that over never buying, present value; 0 where nothing is.
    pub saved: f64,
}

/// What is paid at the end of a year; below 0 is received or saved.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct CashYearFigures {
    /// The year; 0 is the start.
    pub year: u32,
    /// Bought, at the start or for growth.
    pub bought: f64,
    /// The grant.
    pub grant: f64,
    /// Bought for what wore out.
    pub replaced: f64,
    /// Worth at the end.
    pub residual: f64,
    /// Energy.
    pub energy: f64,
    /// Upkeep.
    pub upkeep: f64,
    /// Borrowed.
    pub borrowed: f64,
    /// Interest.
    pub interest: f64,
    /// Paid back.
    pub repaid: f64,
    /// Tax.
    pub tax: f64,
    /// All of it.
    pub paid: f64,
    /// Paid from the start to here, each year at its present value.
    pub paid_so_far: f64,
}
