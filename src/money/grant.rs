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

/// Why an option is paid no grant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refusal {
    /// It saves neither purchased energy nor carbon.
    SavesNothing(Savings),
    /// It saves less purchased energy than the scheme asks for.
    TooLittleEnergy {
        /// Fraction saved.
        saved: f64,
        /// Fraction asked for.
        least: f64,
    },
    /// It saves less carbon than the scheme asks for.
    TooLittleCarbon {
        /// Fraction saved.
        saved: f64,
        /// Fraction asked for.
        least: f64,
    },
    /// The grant is too dear for the carbon that is saved over the period.
    TooDearForCarbon {
        /// Grant per tonne saved.
        per_t: f64,
        /// Most per tonne.
        most: f64,
    },
}

impl Grant {
    /// Why the scheme pays this option nothing; `None` if it pays. What saves neither energy nor carbon is never
    /// paid for, whatever the scheme's own tests are.
    pub fn refusal(&self, savings: Savings) -> Option<Refusal> {
        if !savings.saves_something() {
            return Some(Refusal::SavesNothing(savings));
        }
        let below = |saved: f64, least: Option<f64>| least.filter(|least| saved < *least);
        if let Some(least) = below(savings.energy, self.energy_saving_min) {
            return Some(Refusal::TooLittleEnergy { saved: savings.energy, least });
        }
        let least = below(savings.carbon, self.carbon_saving_min)?;
        Some(Refusal::TooLittleCarbon { saved: savings.carbon, least })
    }

    /// Why the scheme does not pay so much for carbon: `eligible` is the eligible cost, and `carbon_t` the tonnes saved
    /// over the period. `None` if it pays.
    pub fn refusal_by_carbon_cost(&self, eligible: f64, carbon_t: f64) -> Option<Refusal> {
        let most = self.carbon_cost_most?;
        let per_t = if carbon_t > 0.0 { self.pays(eligible) / carbon_t } else { f64::INFINITY };
        (per_t > most).then_some(Refusal::TooDearForCarbon { per_t, most })
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

    #[test]
    fn what_saves_neither_energy_nor_carbon_is_paid_nothing() {
        let more_of_both = Savings::of([100.0, 117.2], [100.0, 103.14]);
        assert!(matches!(GRANT.refusal(more_of_both), Some(Refusal::SavesNothing(_))));
        let alike = Savings::of([100.0, 100.0], [100.0, 100.0]);
        assert!(GRANT.refusal(alike).is_some());
        for one in [Savings::of([100.0, 120.0], [100.0, 40.0]), Savings::of([100.0, 80.0], [1.0, 2.0])] {
            assert_eq!(GRANT.refusal(one), None);
        }
        assert_eq!(Savings::of([0.0, 5.0], [0.0, 0.0]), Savings::default());
    }

    #[test]
    fn a_scheme_sets_tests_of_its_own() {
        let scheme = Grant { energy_saving_min: Some(0.2), carbon_saving_min: Some(0.3), ..GRANT };
        let saved = |energy, carbon| scheme.refusal(Savings { energy, carbon });
        assert_eq!(saved(0.2, 0.3), None);
        assert_eq!(saved(0.19, 0.5), Some(Refusal::TooLittleEnergy { saved: 0.19, least: 0.2 }));
        assert_eq!(saved(0.5, 0.1), Some(Refusal::TooLittleCarbon { saved: 0.1, least: 0.3 }));
    }

    /// By hand: half of 30 000 for 500 t are 30 a tonne.
    #[test]
    fn a_grant_too_dear_for_its_carbon_is_refused() {
        let scheme = |most| Grant { carbon_cost_most: Some(most), ..GRANT };
        assert_eq!(scheme(30.0).refusal_by_carbon_cost(30_000.0, 500.0), None);
        assert_eq!(
            scheme(29.0).refusal_by_carbon_cost(30_000.0, 500.0),
            Some(Refusal::TooDearForCarbon { per_t: 30.0, most: 29.0 })
        );
        assert!(scheme(1e9).refusal_by_carbon_cost(30_000.0, 0.0).is_some(), "no carbon is saved");
        assert_eq!(GRANT.refusal_by_carbon_cost(30_000.0, 0.0), None);
    }

    #[test]
    fn it_pays_its_share_up_to_the_most() {
        assert_eq!(GRANT.pays(30_000.0), 15_000.0);
        assert_eq!(GRANT.pays(-1.0), 0.0);
        assert_eq!(Grant { most: Some(9_000.0), ..GRANT }.pays(30_000.0), 9_000.0);
    }
}
