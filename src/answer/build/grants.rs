//! Which options are paid a grant, and which may be proposed for one.

use super::capital::eligible;
use super::reckoned::Reckoned;
use crate::answer::judgement::{Left, Work};
use crate::money::{Bid, Savings, Test};
use crate::number::{Money, apart, percent, with_unit};
use crate::study::Study;

/// What the scheme says to an option.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Decision {
    /// There is no grant, or the option does not ask for one.
    NotAsked,
    /// It is paid.
    Paid,
    /// It is not.
    Refused {
        /// The first test that it fails.
        by: Test,
        /// What it leaves undone.
        left: Vec<Left>,
    },
}

/// What is saved and what is asked for, % of these fractions, with the digits that tell them apart.
fn apart_pct(saved: f64, least: f64) -> (String, String) {
    let (saved, least) = (saved * 100.0, least * 100.0);
    // As percents of prose: one decimal below ten.
    let decimals = usize::from(saved.abs().min(least.abs()) < 9.95);
    let (saved, least) = apart(saved, least, decimals);
    (with_unit(&saved, "%"), with_unit(&least, "%"))
}

impl Decision {
    pub(super) fn is_paid(&self) -> bool {
        *self == Self::Paid
    }

    /// Why nothing is paid, in a sentence; nothing where no grant was asked for.
    pub(super) fn refusal_sentence(&self, money: &Money) -> Option<String> {
        let pct = |fraction: f64| percent(fraction * 100.0);
        let (by, left) = match self {
            Self::NotAsked | Self::Paid => return None,
            Self::Refused { by, left } => (*by, left),
        };
        Some(match by {
            Test::Work(_) => {
                let left: Vec<String> = left.iter().map(Left::sentence).collect();
                format!("No grant: it does not do the work, for it {}.", left.join(", and it "))
            }
            Test::Saving(saved) => format!(
                "No grant: it saves neither purchased energy ({}) nor carbon ({}), and what saves neither is paid none.",
                pct(saved.energy),
                pct(saved.carbon)
            ),
            Test::Energy { saved, least } => {
                let (saved, least) = apart_pct(saved, least);
                format!("No grant: it saves {saved} of purchased energy, and the scheme asks for {least} at least.")
            }
            Test::Carbon { saved, least } => {
                let (saved, least) = apart_pct(saved, least);
                format!("No grant: it saves {saved} of carbon, and the scheme asks for {least} at least.")
            }
            Test::CarbonCost { per_t: Some(per_t), most } => format!(
                "No grant: it would be {} for each tonne of carbon saved over the period, and the scheme pays {} at most.",
                money.prose(per_t),
                money.prose(most)
            ),
            Test::CarbonCost { per_t: None, .. } => {
                "No grant: it saves no carbon, and the scheme pays by the tonne saved.".to_owned()
            }
        })
    }
}

/// What the scheme is told of every option, and what it says.
pub(super) struct Scheme {
    /// What each option did of its work.
    pub works: Vec<Work>,
    /// Each option as the scheme sees it.
    pub bids: Vec<Bid>,
    /// What it says to each, whatever share it pays.
    decisions: Vec<Decision>,
    /// The share that it pays, fraction.
    share: f64,
}

/// Work held against the crop that the baseline brings in.
pub(super) fn of_its_crop(work: Work, study: &Study, base: usize, place: usize) -> Work {
    let dry_matter_t = |place: usize| study.of_option(place).intake.dry_matter_t();
    work.of_crop(dry_matter_t(place), dry_matter_t(base))
}

impl Scheme {
    /// Of these options; savings are the mean of the weather years, energy is what is purchased.
    pub(super) fn of(study: &Study, base: usize, options: &[Reckoned<'_>]) -> Self {
        let grant = &study.application.grant;
        let work = |(place, option): (usize, &Reckoned<'_>)| {
            of_its_crop(Work::of(option.books, &option.accounts), study, base, place)
        };
        let works: Vec<Work> = options.iter().enumerate().map(work).collect();
        let energy: Vec<f64> = options.iter().map(|option| option.mean_energy().purchased_kwh()).collect();
        let carbon_kg: Vec<f64> = options.iter().map(Reckoned::carbon_kg).collect();
        let bid = |(place, work): (usize, &Work)| Bid {
            does_the_work: work.is_done(),
            saved: Savings::of([energy[base], energy[place]], [carbon_kg[base], carbon_kg[place]]),
            carbon_saved_t: (carbon_kg[base] - carbon_kg[place]) * f64::from(study.money.years) / 1000.0,
            eligible: eligible(study, base, place),
        };
        let bids: Vec<Bid> = works.iter().enumerate().map(bid).collect();
        let decision = |(place, work): (usize, &Work)| match grant.refusal(&bids[place]) {
            _ if !study.costs[place].grant => Decision::NotAsked,
            None => Decision::Paid,
            Some(by) => Decision::Refused { by, left: work.left() },
        };
        let decisions = works.iter().enumerate().map(decision).collect();
        Self { works, bids, decisions, share: grant.share }
    }

    /// What it says to the option at a place: of no share nothing is asked.
    pub(super) fn decision(&self, place: usize) -> Decision {
        if self.share > 0.0 { self.decisions[place].clone() } else { Decision::NotAsked }
    }

    /// True if it would pay the option at a place, were its share above nothing.
    pub(super) fn may_pay(&self, place: usize) -> bool {
        self.decisions[place].is_paid()
    }
}
