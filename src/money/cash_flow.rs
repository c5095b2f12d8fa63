//! A plan's cash year by year, with a loan and with tax on profit where there are such.
//!
//! The plan itself is weighed without them ([`present_cost`](super::present_cost)): who lends and who taxes changes what
//! an owner pays, not what a plant costs. Tax follows common practice, no published source: energy, upkeep, interest and
//! straight-line depreciation are taken from a profit that is taken to be there, so that each lowers the tax of its
//! year; what is left of the book value at the end is set against what the plant is worth then.

use super::discount::{Discount, single_present_value};
use super::life_cycle::{BadPlan, CashPlan, Horizon, Once, Running, YearlyCost};
use super::loan::{Loan, LoanYear};

/// Tax on the owner's profit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ProfitTax {
    /// Share of the profit, 0 to 1.
    pub rate: f64,
    /// Years over which a purchase is written off in equal parts, 1 or more.
    pub depreciation_years: u32,
}

/// Who else pays or is paid.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Financing {
    /// A loan on what is bought at the start and for growth; replacements are paid as they fall due.
    pub loan: Option<Loan>,
    /// Tax on profit.
    pub tax: Option<ProfitTax>,
}

/// What is paid at the end of a year, at its prices; below 0 is received. Year 0 is the start.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CashYear {
    /// The year.
    pub year: u32,
    /// Bought.
    pub bought: f64,
    /// The grant, received.
    pub grant: f64,
    /// Bought for what wore out.
    pub replaced: f64,
    /// Worth at the end, received.
    pub residual: f64,
    /// Energy of all carriers.
    pub energy: f64,
    /// Upkeep.
    pub upkeep: f64,
    /// Borrowed, received.
    pub borrowed: f64,
    /// Interest.
    pub interest: f64,
    /// Paid back of what was borrowed.
    pub repaid: f64,
    /// Tax: below 0 for tax that is saved.
    pub tax: f64,
}

impl CashYear {
    /// What the plant costs: all but loan and tax.
    pub fn of_the_plant(&self) -> f64 {
        self.bought + self.grant + self.replaced + self.residual + self.energy + self.upkeep
    }

    /// What the owner pays: all of it.
    pub fn paid(&self) -> f64 {
        self.of_the_plant() + self.borrowed + self.interest + self.repaid + self.tax
    }
}

/// A plan's cash from the start (0) to the last year of the horizon.
pub fn cash_flow(plan: &CashPlan, horizon: Horizon, financing: Financing) -> Result<Vec<CashYear>, BadPlan> {
    plan.check(horizon)?;
    let mut years: Vec<CashYear> = (0..=horizon.years).map(|year| of_the_plant(plan, horizon, year)).collect();
    if let Some(loan) = financing.loan {
        add_loan(&mut years, loan);
    }
    if let Some(tax) = financing.tax {
        add_tax(&mut years, tax);
    }
    Ok(years)
}

/// Present cost of what the owner pays.
pub fn present_of_cash(years: &[CashYear], discount: Discount) -> f64 {
    years.iter().map(|year| year.paid() * single_present_value(discount.rate(), year.year)).sum()
}

fn of_the_plant(plan: &CashPlan, horizon: Horizon, year: u32) -> CashYear {
    let once = |why: Once| -> f64 {
        plan.single.iter().filter(|cost| cost.why == why).map(|cost| cost.paid_in(horizon, year)).sum()
    };
    let running = |of: Running| -> f64 {
        let all = plan.yearly.iter().filter(|cost| cost.of == of);
        if year == 0 { 0.0 } else { all.map(|cost: &YearlyCost| cost.paid_in(horizon, year)).sum() }
    };
    let (first, grant) = if year == 0 { (plan.first_cost, -plan.grant()) } else { (0.0, 0.0) };
    CashYear {
        year,
        bought: first + once(Once::Bought),
        grant,
        replaced: once(Once::Replaced),
        residual: once(Once::Residual),
        energy: running(Running::Energy),
        upkeep: running(Running::Upkeep),
        ..CashYear::default()
    }
}

fn add_loan(years: &mut [CashYear], loan: Loan) {
    for at in 0..years.len() {
        let sum = loan.share * (years[at].bought + years[at].grant);
        let (taken, later) = years[at..].split_first_mut().map_or((None, &mut [][..]), |(one, rest)| (Some(one), rest));
        // In the last year there is nothing left to borrow for.
        let within = u32::try_from(later.len()).unwrap_or(u32::MAX);
        if sum <= 0.0 || within == 0 {
            continue;
        }
        if let Some(taken) = taken {
            taken.borrowed -= sum;
        }
        for (year, LoanYear { interest, repaid }) in later.iter_mut().zip(loan.payments(sum, within)) {
            year.interest += interest;
            year.repaid += repaid;
        }
    }
}

fn add_tax(years: &mut [CashYear], tax: ProfitTax) {
    let mut written_off = vec![0.0; years.len()];
    let mut book = 0.0;
    for (at, year) in years.iter().enumerate() {
        let sum = year.bought + year.grant + year.replaced;
        book += sum;
        let each = sum / f64::from(tax.depreciation_years);
        for part in written_off.iter_mut().skip(at + 1).take(tax.depreciation_years as usize) {
            *part += each;
            book -= each;
        }
    }
    for (year, depreciation) in years.iter_mut().zip(&written_off) {
        year.tax = -tax.rate * (year.energy + year.upkeep + year.interest + depreciation);
    }
    // The residual is received (below 0): more than the book value is a profit, less a loss.
    if let Some(last) = years.last_mut() {
        last.tax -= tax.rate * (book + last.residual);
    }
}

#[cfg(test)]
mod tests {
    use super::super::life_cycle::{Asset, Years, present_cost};
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    const HORIZON: Horizon = Horizon { years: 12, discount: Discount::Real { rate: 0.07 } };
    const LOAN: Loan = Loan { share: 0.6, rate: 0.07, years: 8 };

    fn plan() -> CashPlan {
        let mut plan = CashPlan { grant_share: 0.25, ..CashPlan::default() };
        plan.add_asset(&Asset { name: "a".into(), cost: 10_000.0, life_years: Some(8.0), upkeep: 100.0 }, HORIZON);
        plan.add_asset_bought(
            &Asset { name: "b".into(), cost: 6_000.0, life_years: Some(20.0), upkeep: 50.0 },
            3,
            HORIZON,
        );
        plan.yearly.push(YearlyCost {
            name: "energy".into(),
            of: Running::Energy,
            years: Years::EVERY,
            cost: 2_000.0,
            escalation: Some(0.02),
        });
        plan
    }

    fn present(financing: Financing) -> f64 {
        present_of_cash(&cash_flow(&plan(), HORIZON, financing).expect("a plan"), HORIZON.discount)
    }

    #[test]
    fn without_loan_and_tax_it_is_the_life_cycle_cost() {
        let whole = present_cost(&plan(), HORIZON).expect("a plan").total;
        assert_relative_eq!(present(Financing::default()), whole, epsilon = 1e-7);
    }

    /// What is lent at the rate that money is discounted at is worth nothing.
    #[test]
    fn a_loan_at_the_discount_rate_changes_when_is_paid_and_not_how_much() {
        let with = Financing { loan: Some(LOAN), tax: None };
        assert_relative_eq!(present(with), present(Financing::default()), epsilon = 1e-7);
        let dear = Financing { loan: Some(Loan { rate: 0.09, ..LOAN }), tax: None };
        assert!(present(dear) > present(Financing::default()) + 1.0);
    }

    /// By hand: 900 bought, of life beyond the horizon and so worth nothing then, written off in 3 years; 100 a year.
    #[test]
    fn tax_is_saved_on_what_is_paid_and_written_off() {
        let horizon = Horizon { years: 4, ..HORIZON };
        let mut plan = CashPlan::default();
        plan.add_asset(&Asset { name: "a".into(), cost: 900.0, life_years: None, upkeep: 100.0 }, horizon);
        let tax = Some(ProfitTax { rate: 0.2, depreciation_years: 3 });
        let years = cash_flow(&plan, horizon, Financing { loan: None, tax }).expect("a plan");
        let taxes: Vec<f64> = years.iter().map(|year| year.tax).collect();
        for (found, wanted) in taxes.iter().zip([0.0, -80.0, -80.0, -80.0, -20.0]) {
            assert_relative_eq!(*found, wanted, epsilon = 1e-9);
        }
    }

    proptest! {
        /// Over all years a profit tax takes its share of all that is paid, whenever it is written off: borrowing and
        /// paying back are no cost, interest is.
        #[test]
        fn tax_takes_its_share_of_all(rate in 0.0..0.5f64, years in 1u32..30, share in 0.0..1.0f64) {
            let tax = Some(ProfitTax { rate, depreciation_years: years });
            let financing = Financing { loan: Some(Loan { share, ..LOAN }), tax };
            let all = cash_flow(&plan(), HORIZON, financing).expect("a plan");
            let costs: f64 = all.iter().map(|year| year.of_the_plant() + year.interest).sum();
            let taxes: f64 = all.iter().map(|year| year.tax).sum();
            prop_assert!((taxes + rate * costs).abs() < 1e-6, "{taxes} {costs}");
            let lent: f64 = all.iter().map(|year| year.borrowed + year.repaid).sum();
            prop_assert!(lent.abs() < 1e-6);
        }
    }
}
