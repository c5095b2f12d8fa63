//! `[money]`: terms of the life-cycle reckoning.

use super::cursor::Cursor;
use crate::money::{Carriers, ELECTRICITY, Financing, Loan, ProfitTax};
use std::collections::BTreeMap;

/// Terms of the life-cycle reckoning.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MoneyTerms {
    /// Years looked at.
    pub years: u32,
    /// Discount rate, fraction a year.
    pub discount_rate: f64,
    /// Share of a proposal's capital that a grant pays, fraction.
    pub grant_share: f64,
    /// Yearly rise of each carrier's price, fraction; zero where none is named.
    pub escalation: BTreeMap<String, f64>,
    /// General inflation, fraction a year: cash is shown at the prices of each year; zero for those of today.
    pub inflation: f64,
    /// Who else pays: loan and tax on profit, where the study has them.
    pub financing: Financing,
}

/// The most years that a study may look at: heaters and cool stores hardly last longer (assumption).
pub(crate) const MOST_YEARS: u32 = 60;

impl MoneyTerms {
    /// Yearly rise of a carrier's price, fraction.
    pub(crate) fn escalation_of(&self, carrier: &str) -> f64 {
        self.escalation.get(carrier).copied().unwrap_or(0.0)
    }
}

/// More money than any plant of nuts costs in a currency of small units: a million of dollars is some 2.5e10 dong.
pub(super) const MOST_MONEY: f64 = 1e13;

pub(super) fn read(root: &Cursor<'_>, carriers: Option<&Carriers>) -> MoneyTerms {
    let money = root.table("money");
    let years = money.count("years").unit("a").within(1, MOST_YEARS).default(15, "assumption: life of the heaters");
    let discount_rate = money
        .number("discount_rate")
        .within(0.0, 0.5)
        .hint("write a share of one: 6 % is 0.06")
        .default(0.06, "assumption: real rate, prices without general inflation");
    let grant_share = money
        .number("grant_share")
        .within(0.0, 1.0)
        .hint("write a share of one: 25 % is 0.25")
        .default(0.0, "no grant");
    let mut escalation = BTreeMap::new();
    if let Some(table) = money.optional_table("escalation") {
        let mut names = vec![ELECTRICITY.to_owned()];
        names.extend(carriers.into_iter().flat_map(|carriers| carriers.fuels.keys().cloned()));
        for name in names {
            if let Some(rate) = table
                .number(&name)
                .named_by("CARRIER")
                .unit("1/a")
                .within(-0.2, 0.5)
                .hint("write a share of one: 2 % is 0.02")
                .optional()
            {
                escalation.insert(name, rate);
            }
        }
        // Without carriers their names are not known, and their own problems are told already.
        if carriers.is_some() {
            table.finish();
        }
    }
    let inflation = money
        .number("inflation")
        .unit("1/a")
        .within(0.0, 0.5)
        .hint("write a share of one: 2 % is 0.02")
        .default(0.0, "cash by year is shown at today's prices");
    let financing = Financing { loan: read_loan(&money), tax: read_tax(&money) };
    money.finish();
    MoneyTerms { years, discount_rate, grant_share, escalation, inflation, financing }
}

/// `[money.loan]`; `None` without one, or where a problem was recorded.
fn read_loan(money: &Cursor<'_>) -> Option<Loan> {
    let loan = money.optional_table("loan")?;
    let share = loan.number("share").within(0.0, 1.0).hint("of each purchase: 70 % is 0.7").required();
    let rate = loan
        .number("rate")
        .unit("1/a")
        .within(0.0, 0.5)
        .hint("as the contract says it, inflation in it: 5 % is 0.05")
        .required();
    let years = loan.count("years").unit("a").within(1, 60).hint("in which it is paid back in equal sums").required();
    loan.finish();
    Some(Loan { share: share?, rate: rate?, years: years? })
}

/// `[money.tax]`; `None` without one, or where a problem was recorded.
fn read_tax(money: &Cursor<'_>) -> Option<ProfitTax> {
    let tax = money.optional_table("tax")?;
    let rate = tax.number("rate").within(0.0, 0.9).hint("of the owner's profit: 25 % is 0.25").required();
    let depreciation_years = tax
        .count("depreciation_years")
        .unit("a")
        .within(1, 60)
        .hint("over which a purchase is written off in equal parts")
        .required();
    tax.finish();
    Some(ProfitTax { rate: rate?, depreciation_years: depreciation_years? })
}
