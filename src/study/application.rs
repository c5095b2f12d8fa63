//! `[application]`: what an application for a grant is held against.
//!
//! ```toml
//! [application]
//! baseline_installed = true         # the baseline stands already: no capital for what it has
//! tests = { energy_saving_min = 0.2, carbon_saving_min = 0.2, grant_max = 50000.0, grant_on = "extra cost" }
//! ```

use super::cursor::Cursor;
use crate::money::{Grant, GrantBase};

/// What an application is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct ApplicationTerms {
    /// True if the baseline stands already: what it has costs no capital, in the baseline as in every option that
    /// keeps it.
    pub baseline_installed: bool,
    /// The scheme.
    pub grant: Grant,
}

pub(super) fn read(root: &Cursor<'_>, grant_share: f64) -> ApplicationTerms {
    let table = root.table("application");
    let baseline_installed = table.yes_no("baseline_installed").default(
        false,
        "the baseline is built new as well; true where it stands already: then it costs no capital, and is taken to last the period",
    );
    let tests = table.table("tests");
    let saving = |key: &str| {
        tests
            .number(key)
            .within(0.0, 1.0)
            .hint("give a share of the baseline's: 0.2 for 20 %")
            .optional()
    };
    let grant = Grant {
        share: grant_share,
        energy_saving_min: saving("energy_saving_min"),
        carbon_saving_min: saving("carbon_saving_min"),
        most: tests.number("grant_max").unit("money").within(0.0, 1e12).optional(),
        on: tests.choice("grant_on", &GrantBase::WORDS).default(
            GrantBase::Capital,
            "a share of the capital of what the baseline does not have",
        ),
    };
    tests.finish();
    table.finish();
    ApplicationTerms { baseline_installed, grant }
}
