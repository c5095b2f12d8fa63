//! `[application]`: what an application for a grant is held against.
//!
//! ```toml
//! [application]
//! baseline_installed = true         # the baseline stands already: no capital for what it has
//! proposal = "heat pump"            # the option that is proposed, in place of the best that saves
//! tests = { energy_saving_min = 0.2, carbon_saving_min = 0.2, grant_max = 50000.0, grant_on = "extra cost", carbon_cost_max = 80.0 }
//! benefits = "Nuts are dry a week earlier."
//! ```

use super::costs::Options;
use super::cursor::Cursor;
use crate::money::{Grant, GrantBase};
use crate::problem::meant_or;

/// What an application is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct ApplicationTerms {
    /// True if the baseline stands already: what it has costs no capital, in the baseline as in every option that
    /// keeps it.
    pub baseline_installed: bool,
    /// Name of the option that is proposed, if the study names one; it is not the baseline.
    pub proposal: Option<String>,
    /// What the proposal brings beyond energy, in the applicant's own words, if the study says.
    pub benefits: Option<String>,
    /// The scheme.
    pub grant: Grant,
}

pub(super) fn read(
    root: &Cursor<'_>,
    grant_share: f64,
    baseline: Option<&str>,
    options: Option<&Options>,
) -> ApplicationTerms {
    let table = root.table("application");
    let baseline_installed = table.yes_no("baseline_installed").default(
        false,
        "the baseline is built new as well; true where it stands already: then it costs no capital, and is taken to last the period",
    );
    let proposal = table.text("proposal").optional();
    if let Some((proposal, (heatings, _))) = proposal.as_deref().zip(options) {
        let names = heatings.iter().map(|heating| heating.name.as_str());
        check_proposal(&table, proposal, baseline, &names.collect::<Vec<_>>());
    }
    let benefits = table.text("benefits").hint("say what the proposal brings beyond energy").optional();
    let tests = table.table("tests");
    let saving =
        |key: &str| tests.number(key).within(0.0, 1.0).hint("give a share of the baseline's: 0.2 for 20 %").optional();
    let grant = Grant {
        share: grant_share,
        energy_saving_min: saving("energy_saving_min"),
        carbon_saving_min: saving("carbon_saving_min"),
        most: tests.number("grant_max").unit("money").within(0.0, 1e12).optional(),
        carbon_cost_most: tests
            .number("carbon_cost_max")
            .unit("money/t")
            .within(0.0, 1e9)
            .hint("give the most grant for a tonne saved over the period")
            .optional(),
        on: tests
            .choice("grant_on", &GrantBase::WORDS)
            .default(GrantBase::Capital, "a share of the capital of what the baseline does not have"),
    };
    tests.finish();
    table.finish();
    ApplicationTerms { baseline_installed, proposal, benefits, grant }
}

/// The proposal must be one of the options, and not what it is held against.
fn check_proposal(table: &Cursor<'_>, proposal: &str, baseline: Option<&str>, names: &[&str]) {
    let others = || names.iter().copied().filter(|name| Some(*name) != baseline);
    let expected = format!("one of {}", others().collect::<Vec<_>>().join(", "));
    if Some(proposal) == baseline {
        table.complain(
            "proposal",
            &format!("is \"{proposal}\", the baseline"),
            &expected,
            "name the option that is proposed in its place, or leave the key out",
        );
    } else if !names.contains(&proposal) {
        table.complain(
            "proposal",
            &format!("is \"{proposal}\", which no option is called"),
            &expected,
            &meant_or(proposal, others(), "name an option, or add one of this name"),
        );
    }
}
