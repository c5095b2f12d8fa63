//! Which options are paid a grant, and which may be proposed for one.

use super::capital::eligible;
use super::months::sum_carriers;
use super::reckoned::Reckoned;
use crate::answer::judgement::{Left, Work};
use crate::money::{Refusal, Savings};
use crate::number::{Money, percent};
use crate::study::Study;

/// What the scheme says to an option.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Decision {
    /// There is no grant, or the option does not ask for one.
    NotAsked,
    /// It is paid.
    Paid,
    /// It is not, for this is left undone.
    WorkLeft(Vec<Left>),
    /// It is not, by the scheme's tests.
    Refused(Refusal),
}

impl Decision {
    pub(super) fn is_paid(&self) -> bool {
        *self == Self::Paid
    }

    /// Why nothing is paid, in a sentence; nothing where no grant was asked for.
    pub(super) fn refusal_sentence(&self, money: &Money) -> Option<String> {
        let pct = |fraction: f64| percent(fraction * 100.0);
        let refusal = match self {
            Self::NotAsked | Self::Paid => return None,
            Self::WorkLeft(left) => {
                let left: Vec<String> = left.iter().map(Left::sentence).collect();
                return Some(format!("No grant: it does not do the work, for it {}.", left.join(", and it ")));
            }
            Self::Refused(refusal) => *refusal,
        };
        Some(match refusal {
            Refusal::SavesNothing(saved) => format!(
                "No grant: it saves neither purchased energy ({}) nor carbon ({}), and what saves neither is paid none.",
                pct(saved.energy),
                pct(saved.carbon)
            ),
            Refusal::TooLittleEnergy { saved, least } => format!(
                "No grant: it saves {} of purchased energy, and the scheme asks for {} at least.",
                pct(saved),
                pct(least)
            ),
            Refusal::TooLittleCarbon { saved, least } => {
                format!("No grant: it saves {} of carbon, and the scheme asks for {} at least.", pct(saved), pct(least))
            }
            Refusal::TooDearForCarbon { per_t, most } if per_t.is_finite() => format!(
                "No grant: it would be {} for each tonne of carbon saved over the period, and the scheme pays {} at most.",
                money.prose(per_t),
                money.prose(most)
            ),
            Refusal::TooDearForCarbon { .. } => {
                "No grant: it saves no carbon, and the scheme pays by the tonne saved.".to_owned()
            }
        })
    }
}

/// What each option did of its work.
pub(super) fn works(options: &[Reckoned<'_>]) -> Vec<Work> {
    options.iter().map(|option| Work::of(option.books, &option.accounts)).collect()
}

/// What each option saves against the baseline, the mean of the weather years; energy is what is purchased.
pub(super) fn savings(base: usize, options: &[Reckoned<'_>]) -> Vec<Savings> {
    let energy: Vec<f64> = options.iter().map(|option| option.mean_energy().purchased_kwh()).collect();
    let carbon: Vec<f64> = options.iter().map(carbon_kg).collect();
    (0..options.len()).map(|own| Savings::of([energy[base], energy[own]], [carbon[base], carbon[own]])).collect()
}

/// Carbon that each option emits in a season, the mean of the weather years, kg CO2e.
pub(super) fn carbon_kg(option: &Reckoned<'_>) -> f64 {
    sum_carriers(&option.months).values().map(|carrier| carrier.carbon_kg).sum()
}

/// What the scheme says to each option of these savings. What leaves work undone is paid nothing: it saves because
/// it does less.
pub(super) fn decisions(study: &Study, base: usize, options: &[Reckoned<'_>], savings: &[Savings]) -> Vec<Decision> {
    let share = study.application.grant.share;
    let decide = |(place, saved): (usize, &Savings)| {
        if share > 0.0 { decision(study, base, options, (place, *saved)) } else { Decision::NotAsked }
    };
    savings.iter().enumerate().map(decide).collect()
}

/// What the scheme says to the option at a place, which saves so much, whatever share it pays.
pub(super) fn decision(
    study: &Study,
    base: usize,
    options: &[Reckoned<'_>],
    (place, saved): (usize, Savings),
) -> Decision {
    let grant = &study.application.grant;
    let left = Work::of(options[place].books, &options[place].accounts).left();
    let by_carbon_cost = || {
        let saved_kg = carbon_kg(&options[base]) - carbon_kg(&options[place]);
        let saved_t = saved_kg * f64::from(study.money.years) / 1000.0;
        grant.refusal_by_carbon_cost(eligible(study, base, place), saved_t)
    };
    if !study.costs[place].grant {
        Decision::NotAsked
    } else if left.is_empty() {
        grant.refusal(saved).or_else(by_carbon_cost).map_or(Decision::Paid, Decision::Refused)
    } else {
        Decision::WorkLeft(left)
    }
}
