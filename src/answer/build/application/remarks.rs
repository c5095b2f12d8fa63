//! What must be said of a proposal before its figures are read.

use super::proposed::Proposed;
use crate::number::Money;
use crate::study::Study;

impl Proposed<'_> {
    /// True if it is the recommended option.
    pub(crate) fn is_recommended(&self) -> bool {
        self.recommended.is_some_and(|best| best.name == self.proposal.name)
    }

    /// How the proposal stands by the judgement of the options, in sentences.
    pub(crate) fn remarks(&self, study: &Study) -> Vec<String> {
        let mut said = Vec::new();
        if self.is_named {
            said.push("The study names it as the proposal.".to_owned());
        }
        said.extend(self.work_left());
        said.extend(self.instead(study));
        if self.is_named && !self.bid.saved.saves_something() {
            said.push("It saves neither purchased energy nor carbon against the baseline.".to_owned());
        }
        if !self.base.does_the_work {
            said.push(
                "The baseline does not do the work, so that what is saved against it is not saved for equal work."
                    .to_owned(),
            );
        }
        said
    }

    /// What the proposal leaves undone; nothing if it does the work.
    fn work_left(&self) -> Option<String> {
        let left: Vec<&str> = self.proposal.work_left.iter().map(|left| &*left.sentence).collect();
        (!self.proposal.does_the_work).then(|| {
            format!(
                "It does not do the work: it {}. It is not recommended and is paid no grant, and what it saves is not saved for equal work.",
                left.join(", and it ")
            )
        })
    }

    /// What is recommended in its place; nothing where it is recommended itself.
    fn instead(&self, study: &Study) -> Option<String> {
        if self.is_recommended() {
            return None;
        }
        let Some(best) = self.recommended else {
            return Some("No option does the work, so that none is recommended.".to_owned());
        };
        let is_base = best.name == self.base.name;
        Some(match (self.is_named, is_base) {
            (false, true) => {
                "It is the best of the others: over the period no option costs less than the baseline.".to_owned()
            }
            (false, false) => {
                "It is not the recommended option, which saves neither purchased energy nor carbon.".to_owned()
            }
            (true, _) if self.proposal.does_the_work => {
                let more = self.proposal.life_cycle.net_present_cost - best.life_cycle.net_present_cost;
                format!(
                    "It is not the recommended option: that is “{}”{}, whose net present cost is {} less.",
                    best.name,
                    if is_base { ", the baseline" } else { "" },
                    Money::of(study.currency.code()).prose(more)
                )
            }
            (true, _) => {
                format!("The recommended option is “{}”{}.", best.name, if is_base { ", the baseline" } else { "" })
            }
        })
    }
}
