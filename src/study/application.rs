//! `[application]`: what an application for a grant is held against.
//!
//! ```toml
//! [application]
//! baseline_installed = true         # the baseline stands already: no capital for what it has
//! proposal = "heat pump"            # the option that is proposed, in place of the best that saves; or several in a list
//! tests = { energy_saving_min = 0.2, carbon_saving_min = 0.2, grant_max = 50000.0, grant_on = "extra cost", carbon_cost_max = 80.0 }
//! benefits = "Nuts are dry a week earlier."
//! ```

use super::costs::Options;
use super::cursor::Cursor;
use crate::money::{Grant, GrantBase};
use crate::problem::meant_or;

/// What an application is held against.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ApplicationTerms {
    /// True if the baseline stands already: what it has costs no capital, in the baseline as in every option that
    /// keeps it.
    pub baseline_installed: bool,
    /// Names of the options that are proposed, as far as the study names any, each once; the baseline is none of them.
    pub proposals: Vec<String>,
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
    let given = table
        .texts("proposal")
        .hint("name an option, or several in a list: section and figures are of each")
        .optional();
    let names: Option<Vec<&str>> =
        options.map(|(heatings, _)| heatings.iter().map(|heating| heating.name.as_str()).collect());
    if let Some((proposals, names)) = given.as_ref().zip(names) {
        check_proposals(&table, proposals, baseline, &names);
    }
    let proposals = given.unwrap_or_default();
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
    ApplicationTerms { baseline_installed, proposals, benefits, grant }
}

/// Each proposal must be one of the options, and not what it is held against; none is named twice.
fn check_proposals(table: &Cursor<'_>, proposals: &[String], baseline: Option<&str>, names: &[&str]) {
    let others = || names.iter().copied().filter(|name| Some(*name) != baseline);
    let expected = format!("one of {}", others().collect::<Vec<_>>().join(", "));
    let verb = if proposals.len() > 1 { "names" } else { "is" };
    if proposals.is_empty() {
        table.complain("proposal", "is an empty list", &expected, "name an option, or leave the key out");
    }
    for (place, proposal) in proposals.iter().enumerate() {
        if Some(proposal.as_str()) == baseline {
            table.complain(
                "proposal",
                &format!("{verb} \"{proposal}\", the baseline"),
                &expected,
                "name the option that is proposed in its place, or leave the key out",
            );
        } else if !names.contains(&proposal.as_str()) {
            table.complain_of_stranger(
                "proposal",
                &format!("{verb} \"{proposal}\", which no option is called"),
                &expected,
                &meant_or(proposal, others(), "name an option, or add one of this name"),
            );
        } else if proposals[..place].contains(proposal) {
            table.complain("proposal", &format!("names \"{proposal}\" twice"), "each option once", "strike one out");
        }
    }
}
