//! Money over the life of a plant, after NIST Handbook 135 (Fuller & Petersen 1995; Kneifel & Webb
//! 2020, as public texts quote it) and ISO 15686-5 (its own text was not read): sums fall at the end of each
//! year, base-year prices.
//!
//! ```text
//! life-cycle cost = first cost - grant + replacements - residual + upkeep + energy
//! ```
//! Every sum is a present value. In a comparison, savings are differences of running costs, and the
//! investment is the difference of first costs, replacements and residuals.

use super::discount::{Discount, escalating_present_value, single_present_value, uniform_present_value};

/// The frame of a comparison: how long, and at what rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Horizon {
    /// Years of service, 1 to 100.
    pub years: u32,
    /// How the future is discounted.
    pub discount: Discount,
}

/// What an option pays, at base-year prices.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CashPlan {
    /// Bought at the start.
    pub first_cost: f64,
    /// Share of the first cost that a grant pays, 0 to 1.
    pub grant_share: f64,
    /// Paid once in some later year.
    pub single: Vec<SingleCost>,
    /// Paid every year.
    pub yearly: Vec<YearlyCost>,
}

/// Why a sum is paid once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Once {
    /// Bought after the start, for a plant that grows.
    Bought,
    /// What stood wore out.
    Replaced,
    /// Received at the end for the life that is left.
    Residual,
}

/// A sum paid once at the end of a year; below 0 for one received.
#[derive(Clone, Debug, PartialEq)]
pub struct SingleCost {
    /// What for.
    pub name: String,
    /// Why.
    pub why: Once,
    /// The year, 1 to the last of the horizon.
    pub year: u32,
    /// At base-year prices.
    pub cost: f64,
}

/// What is paid for every year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Running {
    /// A carrier of energy.
    Energy,
    /// Upkeep of what was bought.
    Upkeep,
}

/// Years in which a yearly sum is paid, both counted from 1 and paid themselves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Years {
    /// The first.
    pub from: u32,
    /// The last; what lies beyond the horizon is not paid.
    pub to: u32,
}

impl Years {
    /// All years of the horizon.
    pub const EVERY: Self = Self { from: 1, to: u32::MAX };

    const fn holds(self, year: u32) -> bool {
        self.from <= year && year <= self.to
    }
}

/// A sum paid at the end of every year, or of some years on end.
#[derive(Clone, Debug, PartialEq)]
pub struct YearlyCost {
    /// What for: a carrier, or what is kept up.
    pub name: String,
    /// What of the two.
    pub of: Running,
    /// In which years.
    pub years: Years,
    /// At base-year prices.
    pub cost: f64,
    /// How its price rises a year, on the footing of the discount rate. `None`: with prices in general.
    pub escalation: Option<f64>,
}

/// Something bought that wears out.
#[derive(Clone, Debug, PartialEq)]
pub struct Asset {
    /// Its name.
    pub name: String,
    /// First cost, and cost of each replacement.
    pub cost: f64,
    /// Years until it is replaced, whole or not; `None` if it outlives every horizon, and is then worth nothing
    /// at the end.
    pub life_years: Option<f64>,
    /// Upkeep a year.
    pub upkeep: f64,
}

/// A plan that cannot be priced.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{what} is {found}, expected {expected}")]
pub struct BadPlan {
    /// Which figure.
    pub what: String,
    /// What it is.
    pub found: f64,
    /// What it may be.
    pub expected: &'static str,
}

/// Times closer than this are one: what sums of lives are off by rounding.
const SAME_TIME_YEARS: f64 = 1e-9;

impl CashPlan {
    /// The same plan with prices that rise with inflation too, as a nominal rate asks: each escalation with it.
    #[must_use]
    pub fn with_inflation(mut self, inflation: f64) -> Self {
        for escalation in self.yearly.iter_mut().filter_map(|cost| cost.escalation.as_mut()) {
            *escalation = (1.0 + *escalation) * (1.0 + inflation) - 1.0;
        }
        self
    }

    /// Adds an asset that is bought at the start.
    pub fn add_asset(&mut self, asset: &Asset, horizon: Horizon) {
        self.add_asset_bought(asset, 0, horizon);
    }

    /// Adds an asset that is bought at the end of a year (0: at the start): what it costs, its upkeep from the year
    /// after, a replacement at the end of each life that ends before the horizon, and the unused share of the last one's
    /// life as a residual in the last year. A life that ends within a year is paid for at that year's end, as all sums
    /// are.
    pub fn add_asset_bought(&mut self, asset: &Asset, year: u32, horizon: Horizon) {
        if year == 0 {
            self.first_cost += asset.cost;
        } else {
            self.single.push(SingleCost { name: asset.name.clone(), why: Once::Bought, year, cost: asset.cost });
        }
        self.yearly.extend(upkeep(&asset.name, asset.upkeep, Years { from: year + 1, ..Years::EVERY }));
        let Some(life) = asset.life_years.filter(|life| *life > 0.0) else {
            return;
        };
        let end = f64::from(horizon.years);
        let mut bought = f64::from(year);
        while bought + life < end - SAME_TIME_YEARS {
            bought += life;
            self.single.push(SingleCost {
                name: format!("replacement of {}", asset.name),
                why: Once::Replaced,
                year: (1..horizon.years)
                    .find(|year| f64::from(*year) >= bought - SAME_TIME_YEARS)
                    .unwrap_or(horizon.years),
                cost: asset.cost,
            });
        }
        let unused = bought + life - end;
        if unused > SAME_TIME_YEARS {
            self.single.push(SingleCost {
                name: format!("residual of {}", asset.name),
                why: Once::Residual,
                year: horizon.years,
                cost: -asset.cost * unused / life,
            });
        }
    }

    /// What the grant pays.
    pub fn grant(&self) -> f64 {
        self.first_cost * self.grant_share
    }

    /// What the owner pays at the start.
    pub fn first_cost_less_grant(&self) -> f64 {
        self.first_cost - self.grant()
    }

    /// What the plan runs to in a year, at base-year prices.
    pub(super) fn running_at_base_prices(&self) -> f64 {
        self.yearly.iter().filter(|cost| cost.years.holds(1)).map(|cost| cost.cost).sum()
    }

    /// What the plan runs to in one year, at that year's prices.
    fn running(&self, horizon: Horizon, year: u32) -> f64 {
        self.yearly.iter().map(|cost| cost.paid_in(horizon, year)).sum()
    }

    /// Sums paid once in one year, at that year's prices.
    fn single_in(&self, horizon: Horizon, year: u32) -> f64 {
        self.single.iter().map(|cost| cost.paid_in(horizon, year)).sum()
    }

    /// What is paid at the end of each year from the start (0) to the last, at that year's prices.
    pub(super) fn flows(&self, horizon: Horizon) -> Vec<f64> {
        std::iter::once(self.first_cost_less_grant())
            .chain((1..=horizon.years).map(|year| self.running(horizon, year) + self.single_in(horizon, year)))
            .collect()
    }

    pub(super) fn check(&self, horizon: Horizon) -> Result<(), BadPlan> {
        let bad =
            |what: &str, found: f64, expected: &'static str| Err(BadPlan { what: what.to_owned(), found, expected });
        if !(1..=100).contains(&horizon.years) {
            return bad("years", f64::from(horizon.years), "1 to 100");
        }
        let rates = [("discount rate", horizon.discount.rate()), ("inflation", horizon.discount.price_growth())];
        let escalations = self.yearly.iter().filter_map(|cost| Some((cost.name.as_str(), cost.escalation?)));
        for (what, rate) in rates.into_iter().chain(escalations) {
            if !(rate > -0.9 && rate <= 1.0) {
                return bad(what, rate, "a share a year above -0.9 and up to 1");
            }
        }
        if !(0.0..=1.0).contains(&self.grant_share) {
            return bad("grant share", self.grant_share, "0 to 1");
        }
        let single = self.single.iter().map(|c| (c.name.as_str(), c.cost));
        let yearly = self.yearly.iter().map(|c| (c.name.as_str(), c.cost));
        let first = [("first cost", self.first_cost)];
        for (what, cost) in first.into_iter().chain(single).chain(yearly) {
            // So large that no plant costs it, so small that nothing overflows on its way.
            if !cost.is_finite() || cost.abs() > 1e15 {
                return bad(what, cost, "a sum of money below 1e15");
            }
        }
        for cost in &self.single {
            if !(1..=horizon.years).contains(&cost.year) {
                return bad(&cost.name, f64::from(cost.year), "a year of the horizon");
            }
        }
        Ok(())
    }
}

/// Upkeep of something in these years; nothing where it asks for none.
pub fn upkeep(of: &str, a_year: f64, years: Years) -> Option<YearlyCost> {
    let name = || format!("upkeep of {of}");
    let cost = || YearlyCost { name: name(), of: Running::Upkeep, years, cost: a_year, escalation: None };
    (a_year != 0.0).then(cost)
}

impl SingleCost {
    /// What is paid of it at the end of this year, at that year's prices.
    pub(super) fn paid_in(&self, horizon: Horizon, year: u32) -> f64 {
        let growth = || (1.0 + horizon.discount.price_growth()).powf(f64::from(year));
        if self.year == year { self.cost * growth() } else { 0.0 }
    }
}

impl YearlyCost {
    /// What is paid of it at the end of this year, at that year's prices.
    pub(super) fn paid_in(&self, horizon: Horizon, year: u32) -> f64 {
        let growth = || (1.0 + self.escalation.unwrap_or(horizon.discount.price_growth())).powf(f64::from(year));
        if self.years.holds(year) { self.cost * growth() } else { 0.0 }
    }

    fn present(&self, horizon: Horizon) -> f64 {
        let (rate, escalation) = (horizon.discount.rate(), self.escalation.unwrap_or(horizon.discount.price_growth()));
        let until = |year: u32| escalating_present_value(rate, escalation, year.min(horizon.years));
        self.cost * (until(self.years.to) - until(self.years.from.saturating_sub(1)))
    }
}

/// A plan's life-cycle cost and what it is made of, present values.
#[derive(Clone, Debug, PartialEq)]
pub struct PresentCost {
    /// Bought at the start.
    pub first_cost: f64,
    /// Paid by the grant.
    pub grant: f64,
    /// Sums paid once, in the plan's order: replacements above 0, residuals below.
    pub single: Vec<(String, f64)>,
    /// Sums paid every year, in the plan's order.
    pub yearly: Vec<(String, f64)>,
    /// All of it: the life-cycle cost.
    pub total: f64,
    /// The total as equal yearly sums at base-year prices.
    pub annual_equivalent: f64,
}

/// The life-cycle cost of a plan.
pub fn present_cost(plan: &CashPlan, horizon: Horizon) -> Result<PresentCost, BadPlan> {
    plan.check(horizon)?;
    let real = horizon.discount.real_rate();
    let single: Vec<_> = plan
        .single
        .iter()
        .map(|cost| {
            let present = cost.cost * single_present_value(real, cost.year);
            (cost.name.clone(), present)
        })
        .collect();
    let yearly: Vec<_> = plan.yearly.iter().map(|cost| (cost.name.clone(), cost.present(horizon))).collect();
    let later = single.iter().chain(&yearly).map(|(_, present)| present);
    let total = plan.first_cost_less_grant() + later.sum::<f64>();
    Ok(PresentCost {
        first_cost: plan.first_cost,
        grant: plan.grant(),
        single,
        yearly,
        total,
        annual_equivalent: total / uniform_present_value(real, horizon.years),
    })
}

/// Levelised cost of heat: the life-cycle cost over the discounted heat, for the same heat every year.
/// `None` if there is no heat.
pub fn levelised_cost_per_kwh(cost: &PresentCost, heat_kwh_a_year: f64) -> Option<f64> {
    (heat_kwh_a_year > 0.0).then(|| cost.annual_equivalent / heat_kwh_a_year)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    const HORIZON: Horizon = Horizon { years: 15, discount: Discount::Real { rate: 0.08 } };

    fn heater(life_years: Option<f64>) -> Asset {
        Asset { name: "heater".to_owned(), cost: 12_000.0, life_years, upkeep: 300.0 }
    }

    fn energy(cost: f64, escalation: Option<f64>) -> YearlyCost {
        YearlyCost { name: "energy".to_owned(), of: Running::Energy, years: Years::EVERY, cost, escalation }
    }

    fn single(life_years: Option<f64>) -> Vec<(u32, f64)> {
        let mut plan = CashPlan::default();
        plan.add_asset(&heater(life_years), HORIZON);
        let costs = plan.single.iter();
        costs.map(|cost| (cost.year, cost.cost)).collect()
    }

    #[test]
    fn an_asset_is_replaced_at_the_end_of_its_life_and_leaves_what_is_unused() {
        assert_eq!(single(Some(10.0)), [(10, 12_000.0), (15, -6_000.0)]);
        assert_eq!(single(Some(5.0)), [(5, 12_000.0), (10, 12_000.0)]);
        assert_eq!(single(Some(20.0)), [(15, -3_000.0)]);
        assert_eq!(single(Some(15.0)), []);
        assert_eq!(single(None), []);
        // Half of a year's life left over is half a year, not none and not a whole one.
        assert_eq!(single(Some(7.5)), [(8, 12_000.0)]);
        assert_eq!(single(Some(8.5)), [(9, 12_000.0), (15, -12_000.0 * 2.0 / 8.5)]);
        assert_eq!(single(Some(0.0)), [], "no life at all is none stated");
    }

    /// Bought at the end of year 4, it lives from there: every 10 years from then, and 15 - 14 of 10 are used.
    #[test]
    fn an_asset_bought_later_wears_from_then() {
        let mut plan = CashPlan::default();
        plan.add_asset_bought(&heater(Some(10.0)), 4, HORIZON);
        let costs: Vec<_> = plan.single.iter().map(|cost| (cost.why, cost.year, cost.cost)).collect();
        let residual = (Once::Residual, 15, -12_000.0 * 9.0 / 10.0);
        assert_eq!(costs, [(Once::Bought, 4, 12_000.0), (Once::Replaced, 14, 12_000.0), residual]);
        assert_eq!((plan.first_cost, plan.yearly[0].years.from), (0.0, 5));
        assert_eq!(plan.running_at_base_prices(), 0.0);
    }

    /// What is paid in some years and then in the others is what is paid in all.
    #[test]
    fn years_on_end_add_to_the_whole() {
        let cost = |years| {
            let yearly = vec![YearlyCost { years, ..energy(1_000.0, Some(0.03)) }];
            present_cost(&CashPlan { yearly, ..CashPlan::default() }, HORIZON).unwrap().total
        };
        let parts = cost(Years { from: 1, to: 6 }) + cost(Years { from: 7, ..Years::EVERY });
        assert_relative_eq!(parts, cost(Years::EVERY), epsilon = 1e-9);
        assert_eq!(cost(Years { from: 16, ..Years::EVERY }), 0.0);
    }

    #[test]
    fn a_grant_pays_its_share_of_the_first_cost_only() {
        let mut plan = CashPlan { grant_share: 0.25, ..CashPlan::default() };
        plan.add_asset(&heater(Some(10.0)), HORIZON);
        let cost = present_cost(&plan, HORIZON).unwrap();
        assert_eq!((cost.first_cost, cost.grant), (12_000.0, 3_000.0));
        assert_relative_eq!(cost.single[0].1, 12_000.0 / 1.08_f64.powi(10), epsilon = 1e-9);
        let parts: f64 = cost.single.iter().chain(&cost.yearly).map(|part| part.1).sum();
        assert_relative_eq!(cost.total, 9_000.0 + parts, epsilon = 1e-9);
    }

    #[test]
    fn heat_costs_what_a_year_costs_over_what_a_year_gives() {
        let plan = CashPlan { yearly: vec![energy(1_000.0, None)], ..CashPlan::default() };
        let cost = present_cost(&plan, HORIZON).unwrap();
        let levelised = levelised_cost_per_kwh(&cost, 10_000.0);
        assert_relative_eq!(levelised.unwrap(), 0.1, epsilon = 1e-12);
        assert_eq!(levelised_cost_per_kwh(&cost, 0.0), None);
    }

    #[test]
    fn plans_that_cannot_be_are_refused() {
        let refused = |plan: &CashPlan, horizon| present_cost(plan, horizon).unwrap_err().to_string();
        let plan = CashPlan::default();
        let none = Horizon { years: 0, ..HORIZON };
        assert_eq!(refused(&plan, none), "years is 0, expected 1 to 100");
        for rate in [f64::NAN, -0.95, 3.0] {
            let discount = Discount::Real { rate };
            let horizon = Horizon { discount, ..HORIZON };
            assert!(refused(&plan, horizon).starts_with("discount rate is"));
        }
        let plan = CashPlan { grant_share: 1.5, ..CashPlan::default() };
        assert!(refused(&plan, HORIZON).contains("grant share is 1.5"));
        let plan = CashPlan { first_cost: f64::INFINITY, ..CashPlan::default() };
        assert!(refused(&plan, HORIZON).contains("first cost is inf"));
    }

    proptest! {
        /// Handbook 135: real and nominal analyses of the same plan give the same present value.
        #[test]
        fn real_and_nominal_agree(
            real in 0.0..0.2f64, inflation in -0.02..0.2f64, escalation in -0.05..0.1f64,
        ) {
            let plan = |escalation| {
                let mut plan = CashPlan { grant_share: 0.3, ..CashPlan::default() };
                plan.add_asset(&heater(Some(6.0)), HORIZON);
                plan.yearly.push(energy(9_000.0, Some(escalation)));
                plan
            };
            let grow = |rate: f64| (1.0 + rate) * (1.0 + inflation) - 1.0;
            let with = |discount| Horizon { discount, ..HORIZON };
            let in_real = present_cost(&plan(escalation), with(Discount::Real { rate: real })).unwrap();
            let discount = Discount::Nominal { rate: grow(real), inflation };
            let in_nominal = present_cost(&plan(escalation).with_inflation(inflation), with(discount)).unwrap();
            prop_assert!((in_real.total / in_nominal.total - 1.0).abs() < 1e-9);
            prop_assert!((in_real.annual_equivalent / in_nominal.annual_equivalent - 1.0).abs() < 1e-9);
        }
    }
}
