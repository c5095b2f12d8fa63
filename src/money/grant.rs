//! What a grant pays, and when it pays nothing: the tests that a scheme sets.

/// What a grant is a share of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GrantBase {
    /// The capital of what the baseline does not have.
    Capital,
    /// What the option's capital is above the baseline's.
    ExtraCost,
}

impl GrantBase {
    /// Every base with how it is written.
    pub const WORDS: [(&'static str, Self); 2] = [("capital", Self::Capital), ("extra cost", Self::ExtraCost)];
}

/// A scheme: what it pays, and what it asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grant {
    /// Share of the eligible cost, 0..1.
    pub share: f64,
    /// What is eligible.
    pub on: GrantBase,
    /// Most money for one option, if there is a limit.
    pub most: Option<f64>,
    /// Least saving of purchased energy, fraction of the baseline's, if the scheme asks for one.
    pub energy_saving_min: Option<f64>,
    /// Least saving of greenhouse gases, fraction of the baseline's, if the scheme asks for one.
    pub carbon_saving_min: Option<f64>,
    /// Most grant for a tonne of greenhouse gases saved over the period, if the scheme has a limit.
    pub carbon_cost_most: Option<f64>,
}

/// What an option saves against the baseline, as fractions of what the baseline takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Savings {
    /// Of purchased energy.
    pub energy: f64,
    /// Of greenhouse gases, scopes 1 and 2.
    pub carbon: f64,
}

/// Savings below this fraction are rounding.
const NOTHING: f64 = 1e-6;

impl Savings {
    /// From what baseline and option take; nothing is saved of nothing.
    pub fn of(energy: [f64; 2], carbon: [f64; 2]) -> Self {
        let saved = |[base, own]: [f64; 2]| if base > 0.0 { (base - own) / base } else { 0.0 };
        Self { energy: saved(energy), carbon: saved(carbon) }
    }

    /// True if it saves energy, or carbon, or both: an application may propose it.
    pub fn saves_something(&self) -> bool {
        self.energy > NOTHING || self.carbon > NOTHING
    }
}

/// An option as a scheme sees it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bid {
    /// True if it does the work: what does not saves because it does less.
    pub does_the_work: bool,
    /// What it saves against the baseline.
    pub saved: Savings,
    /// Carbon that it saves over the period, t CO2e; below zero where it emits more.
    pub carbon_saved_t: f64,
    /// Eligible cost.
    pub eligible: f64,
}

/// A test of an option, with what is asked for and what was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Test {
    /// It does the work; whether it does. No scheme is without it.
    Work(bool),
    /// It saves purchased energy or carbon. No scheme is without it.
    Saving(Savings),
    /// It saves so much purchased energy.
    Energy {
        /// Fraction saved.
        saved: f64,
        /// Fraction asked for.
        least: f64,
    },
    /// It saves so much carbon.
    Carbon {
        /// Fraction saved.
        saved: f64,
        /// Fraction asked for.
        least: f64,
    },
    /// The grant is not too dear for the carbon that is saved over the period.
    CarbonCost {
        /// Grant per tonne saved; `None` where none is saved, which fails.
        per_t: Option<f64>,
        /// Most per tonne.
        most: f64,
    },
}

impl Test {
    /// True if it is passed.
    pub fn is_passed(&self) -> bool {
        match *self {
            Self::Work(is_done) => is_done,
            Self::Saving(saved) => saved.saves_something(),
            Self::Energy { saved, least } | Self::Carbon { saved, least } => saved >= least,
            Self::CarbonCost { per_t, most } => per_t.is_some_and(|per_t| per_t <= most),
        }
    }
}

impl Grant {
    /// Every test of an option, passed or not, in the order in which the first that fails is told: those that no scheme
    /// is without, then those that this one sets.
    pub fn tests(&self, bid: &Bid) -> Vec<Test> {
        let Savings { energy, carbon } = bid.saved;
        let cost = |most| {
            let per_t = (bid.carbon_saved_t > 0.0).then(|| self.pays(bid.eligible) / bid.carbon_saved_t);
            Test::CarbonCost { per_t, most }
        };
        let own = [
            self.energy_saving_min.map(|least| Test::Energy { saved: energy, least }),
            self.carbon_saving_min.map(|least| Test::Carbon { saved: carbon, least }),
            self.carbon_cost_most.map(cost),
        ];
        [Test::Work(bid.does_the_work), Test::Saving(bid.saved)].into_iter().chain(own.into_iter().flatten()).collect()
    }

    /// Why the scheme pays this option nothing: the first test that fails; `None` if it pays.
    pub fn refusal(&self, bid: &Bid) -> Option<Test> {
        self.tests(bid).into_iter().find(|test| !test.is_passed())
    }

    /// What it pays for so much eligible cost.
    pub fn pays(&self, eligible: f64) -> f64 {
        let share = self.share * eligible.max(0.0);
        self.most.map_or(share, |most| share.min(most))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GRANT: Grant = Grant {
        share: 0.5,
        on: GrantBase::Capital,
        most: None,
        energy_saving_min: None,
        carbon_saving_min: None,
        carbon_cost_most: None,
    };

    /// An option that does the work, saves half of everything and 500 t over the period, for 30 000.
    const BID: Bid = Bid {
        does_the_work: true,
        saved: Savings { energy: 0.5, carbon: 0.5 },
        carbon_saved_t: 500.0,
        eligible: 30_000.0,
    };

    #[test]
    fn what_saves_neither_energy_nor_carbon_is_paid_nothing() {
        let refusal = |saved| GRANT.refusal(&Bid { saved, ..BID });
        let more_of_both = Savings::of([100.0, 117.2], [100.0, 103.14]);
        assert_eq!(refusal(more_of_both), Some(Test::Saving(more_of_both)));
        let alike = Savings::of([100.0, 100.0], [100.0, 100.0]);
        assert!(refusal(alike).is_some());
        for one in [Savings::of([100.0, 120.0], [100.0, 40.0]), Savings::of([100.0, 80.0], [1.0, 2.0])] {
            assert_eq!(refusal(one), None);
        }
        assert_eq!(Savings::of([0.0, 5.0], [0.0, 0.0]), Savings::default());
    }

    #[test]
    fn a_scheme_sets_tests_of_its_own() {
        let scheme = Grant { energy_saving_min: Some(0.2), carbon_saving_min: Some(0.3), ..GRANT };
        let refusal = |energy, carbon| scheme.refusal(&Bid { saved: Savings { energy, carbon }, ..BID });
        assert_eq!(refusal(0.2, 0.3), None);
        assert_eq!(refusal(0.19, 0.5), Some(Test::Energy { saved: 0.19, least: 0.2 }));
        assert_eq!(refusal(0.5, 0.1), Some(Test::Carbon { saved: 0.1, least: 0.3 }));
    }

    /// By hand: half of 30 000 for 500 t are 30 a tonne.
    #[test]
    fn a_grant_too_dear_for_its_carbon_is_refused() {
        let scheme = |most| Grant { carbon_cost_most: Some(most), ..GRANT };
        assert_eq!(scheme(30.0).refusal(&BID), None);
        assert_eq!(scheme(29.0).refusal(&BID), Some(Test::CarbonCost { per_t: Some(30.0), most: 29.0 }));
        let none = Bid { carbon_saved_t: 0.0, ..BID };
        assert_eq!(scheme(1e9).refusal(&none), Some(Test::CarbonCost { per_t: None, most: 1e9 }));
        assert_eq!(GRANT.refusal(&none), None);
    }

    /// All that fail are told, the first of them refuses; what leaves work undone is refused before all else.
    #[test]
    fn the_first_test_that_fails_refuses() {
        let scheme = Grant { energy_saving_min: Some(0.6), carbon_cost_most: Some(29.0), ..GRANT };
        let lazy = Bid { does_the_work: false, ..BID };
        let failed: Vec<Test> = scheme.tests(&lazy).into_iter().filter(|test| !test.is_passed()).collect();
        let [energy, cost] =
            [Test::Energy { saved: 0.5, least: 0.6 }, Test::CarbonCost { per_t: Some(30.0), most: 29.0 }];
        assert_eq!(failed, [Test::Work(false), energy, cost]);
        assert_eq!((scheme.refusal(&lazy), scheme.refusal(&BID)), (Some(Test::Work(false)), Some(energy)));
        assert_eq!(GRANT.tests(&BID), [Test::Work(true), Test::Saving(BID.saved)], "no scheme is without these");
    }

    #[test]
    fn it_pays_its_share_up_to_the_most() {
        assert_eq!(GRANT.pays(30_000.0), 15_000.0);
        assert_eq!(GRANT.pays(-1.0), 0.0);
        assert_eq!(Grant { most: Some(9_000.0), ..GRANT }.pays(30_000.0), 9_000.0);
    }
}
