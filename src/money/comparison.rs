//! An option against a baseline: what it saves over its life, and when it has paid for itself.
//!
//! Measures after NIST Handbook 135. "No payback" and "no return" are answers, hence the `Option`s.

use super::discount::single_present_value;
use super::life_cycle::{BadPlan, CashPlan, Horizon, present_cost};

/// An option against a baseline.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// Present cost of the baseline less that of the option.
    pub net_saving: f64,
    /// Present value of the running costs saved.
    pub running_saving: f64,
    /// Present value of what the option costs more in first cost (less grants), replacements and
    /// residuals.
    pub added_investment: f64,
    /// Running saving over added investment. `None` if nothing more is invested.
    pub savings_to_investment: Option<f64>,
    /// Adjusted internal rate of return, yearly sums reinvested at the discount rate:
    /// `(1 + d) SIR^(1/n) - 1`. `None` without an investment or without savings.
    pub adjusted_return: Option<f64>,
    /// Rate at which the option's added cost and savings have the present value 0. `None` if there is
    /// no such rate, or more than one.
    pub internal_return: Option<f64>,
    /// Running costs saved in a year at base-year prices, without escalation.
    pub saving_a_year: f64,
    /// Added first cost over a year's saving at base-year prices, without escalation: what is divided is what
    /// today's bills say. 0 if the option costs no more to buy and no more to run; `None` if it never pays back.
    pub simple_payback_years: Option<f64>,
    /// First year by whose end the discounted savings have paid the added first cost and whatever fell
    /// due on the way. `None` if that does not happen within the horizon.
    pub discounted_payback_years: Option<u32>,
}

/// Compares an option with a baseline over one horizon.
pub fn compare(baseline: &CashPlan, option: &CashPlan, horizon: Horizon) -> Result<Comparison, BadPlan> {
    let base_cost = present_cost(baseline, horizon)?;
    let option_cost = present_cost(option, horizon)?;
    let sum = |lines: &[(String, f64)]| lines.iter().map(|(_, present)| present).sum::<f64>();
    let running_saving = sum(&base_cost.yearly) - sum(&option_cost.yearly);
    let added_first = option.first_cost_less_grant() - baseline.first_cost_less_grant();
    let added_investment = added_first + sum(&option_cost.single) - sum(&base_cost.single);
    let savings_to_investment = (added_investment > 0.0).then(|| running_saving / added_investment);
    let rate = horizon.discount.rate();
    let adjusted_return = savings_to_investment
        .filter(|ratio| *ratio > 0.0)
        .map(|ratio| (1.0 + rate) * ratio.powf(1.0 / f64::from(horizon.years)) - 1.0);
    let flows: Vec<f64> =
        baseline.flows(horizon).iter().zip(option.flows(horizon)).map(|(base, option)| base - option).collect();
    let saving_a_year = baseline.running_at_base_prices() - option.running_at_base_prices();
    Ok(Comparison {
        net_saving: base_cost.total - option_cost.total,
        running_saving,
        added_investment,
        savings_to_investment,
        adjusted_return,
        internal_return: internal_return(&flows),
        saving_a_year,
        simple_payback_years: simple_payback(added_first, saving_a_year),
        discounted_payback_years: discounted_payback(&flows, rate),
    })
}

/// Present value at a rate of sums received at the end of year 0, 1, 2...
pub fn net_present_value(rate: f64, flows: &[f64]) -> f64 {
    // Horner's form, from the last year back.
    let step = 1.0 / (1.0 + rate);
    flows.iter().rev().fold(0.0, |sum, flow| sum * step + flow)
}

/// The one rate above -99 % and below 1000 % a year at which sums received at the end of year 0, 1,
/// 2... have the present value 0. `None` if there is none, or if several rates would do: then no rate
/// says anything.
pub fn internal_return(flows: &[f64]) -> Option<f64> {
    // In the discount factor x = 1/(1 + rate) the present value is a polynomial: no pole on the way.
    let polynomial = |x: f64| flows.iter().rev().fold(0.0, |sum, flow| sum * x + flow);
    let factor = only_root(polynomial, 1.0 / 11.0, 100.0)?;
    Some(1.0 / factor - 1.0)
}

/// The root of `f` between two positive bounds, by bisection of the one bracket in which it changes
/// sign on a fine grid; `None` if it changes sign nowhere or more than once.
fn only_root(f: impl Fn(f64) -> f64, low: f64, high: f64) -> Option<f64> {
    const STEPS: u32 = 2000;
    let growth = (high / low).powf(1.0 / f64::from(STEPS));
    let mut bracket = None;
    let mut last: Option<(f64, f64)> = None;
    for step in 0..=STEPS {
        let x = low * growth.powf(f64::from(step));
        let y = f(x);
        if y == 0.0 || !y.is_finite() {
            continue; // the points on either side bracket it
        }
        if let Some((before, sign)) = last
            && sign != y.signum()
        {
            if bracket.is_some() {
                return None;
            }
            bracket = Some((before, x, sign));
        }
        last = Some((x, y.signum()));
    }
    let (mut low, mut high, sign_low) = bracket?;
    // 60 halvings of a bracket of 0.4 % leave nothing that a f64 could tell apart.
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let y = f(middle);
        if y == 0.0 {
            return Some(middle);
        }
        if y.signum() == sign_low {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(0.5 * (low + high))
}

/// Years until a year's saving, repeated, has paid the added first cost.
fn simple_payback(added_first: f64, saving: f64) -> Option<f64> {
    if added_first <= 0.0 { (saving >= 0.0).then_some(0.0) } else { (saving > 0.0).then(|| added_first / saving) }
}

/// First year by whose end the discounted flows no longer add to a loss. Where nothing is to be paid
/// back, 0 if the option does not lose in the end either.
fn discounted_payback(flows: &[f64], rate: f64) -> Option<u32> {
    if flows.first().is_none_or(|added| *added >= 0.0) {
        return (net_present_value(rate, flows) >= 0.0).then_some(0);
    }
    let mut sum = 0.0;
    (0u32..).zip(flows).find_map(|(year, flow)| {
        sum += flow * single_present_value(rate, year);
        (sum >= 0.0).then_some(year)
    })
}

#[cfg(test)]
mod tests {
    use super::super::discount::Discount;
    use super::super::life_cycle::{Running, YearlyCost, Years};
    use super::*;
    use proptest::prelude::*;

    const HORIZON: Horizon = Horizon { years: 15, discount: Discount::Real { rate: 0.08 } };

    fn plan(first_cost: f64, energy: f64) -> CashPlan {
        CashPlan {
            first_cost,
            yearly: vec![YearlyCost {
                name: "energy".to_owned(),
                of: Running::Energy,
                years: Years::EVERY,
                cost: energy,
                escalation: None,
            }],
            ..CashPlan::default()
        }
    }

    fn against(first_cost: f64, energy: f64) -> Comparison {
        compare(&plan(20_000.0, 10_000.0), &plan(first_cost, energy), HORIZON).unwrap()
    }

    #[test]
    fn an_option_that_saves_nothing_never_pays_back() {
        let dear = against(30_000.0, 10_500.0);
        assert!(dear.net_saving < 0.0);
        assert_eq!(dear.simple_payback_years, None);
        assert_eq!(dear.discounted_payback_years, None);
        assert_eq!((dear.internal_return, dear.adjusted_return), (None, None));
    }

    #[test]
    fn an_option_that_saves_too_little_pays_back_after_its_life_or_not_at_all() {
        let slow = against(40_000.0, 9_000.0);
        assert_eq!(slow.simple_payback_years, Some(20.0));
        assert_eq!(slow.discounted_payback_years, None);
        assert!(slow.internal_return.is_some_and(|rate| rate < 0.0));
    }

    #[test]
    fn an_option_cheaper_in_both_pays_back_at_once_and_has_no_ratio() {
        let better = against(15_000.0, 9_000.0);
        assert_eq!(better.simple_payback_years, Some(0.0));
        assert_eq!(better.discounted_payback_years, Some(0));
        assert_eq!(better.savings_to_investment, None);
        assert_eq!(better.internal_return, None);
        let false_economy = against(15_000.0, 12_000.0);
        assert_eq!(false_economy.simple_payback_years, None);
        assert_eq!(false_economy.discounted_payback_years, None);
    }

    #[test]
    fn several_rates_or_none_are_no_answer() {
        // Present value 0 at 10 % and at 20 %: -1 + 2.3 x - 1.32 x^2.
        assert_eq!(internal_return(&[-1.0, 2.3, -1.32]), None);
        assert_eq!(internal_return(&[0.0, 0.0]), None);
        assert_eq!(internal_return(&[100.0, 10.0]), None);
        assert_eq!(internal_return(&[]), None);
        let doubled = internal_return(&[-100.0, 200.0]).unwrap();
        assert!((doubled - 1.0).abs() < 1e-12, "{doubled}");
    }

    proptest! {
        #[test]
        fn the_internal_return_makes_the_present_value_zero(
            cost in 1_000.0..1e6f64, savings in prop::collection::vec(1.0..1e5f64, 1..40),
        ) {
            let flows: Vec<f64> = std::iter::once(-cost).chain(savings).collect();
            if let Some(rate) = internal_return(&flows) {
                let size: f64 = flows.iter().map(|f| f.abs()).sum::<f64>()
                    .max(net_present_value(rate, &flows.iter().map(|f| f.abs()).collect::<Vec<_>>()));
                prop_assert!(net_present_value(rate, &flows).abs() < 1e-9 * size);
            }
        }

        #[test]
        fn more_saving_never_pays_back_later(
            first in 20_000.0..90_000.0f64, energy in 0.0..10_000.0f64, more in 0.0..2_000.0f64,
        ) {
            let less = against(first, energy);
            let more = against(first, energy - more);
            let years = |c: &Comparison| c.simple_payback_years.unwrap_or(f64::INFINITY);
            prop_assert!(years(&more) <= years(&less));
            let years = |c: &Comparison| c.discounted_payback_years.unwrap_or(u32::MAX);
            prop_assert!(years(&more) <= years(&less));
            prop_assert!(more.net_saving >= less.net_saving);
        }

        #[test]
        fn all_measures_agree_on_whether_it_pays(
            first in 20_001.0..90_000.0f64, energy in 0.0..9_900.0f64,
        ) {
            let found = against(first, energy);
            prop_assume!(found.net_saving.abs() > 1e-3);
            let pays = found.net_saving > 0.0;
            prop_assert_eq!(found.savings_to_investment.unwrap() > 1.0, pays);
            prop_assert_eq!(found.adjusted_return.unwrap() > 0.08, pays);
            prop_assert_eq!(found.discounted_payback_years.is_some(), pays);
            if let Some(rate) = found.internal_return {
                prop_assert_eq!(rate > 0.08, pays);
            }
        }
    }
}
