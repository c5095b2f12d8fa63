//! What figures are made of, and why none can be.

use crate::ledger::Book;
use crate::money::{BadPlan, NoAmount};
use crate::season::References;
use crate::study::Study;
use crate::study::input::Input;
use crate::weather::WeatherYear;

/// Why figures cannot be made of a season that was computed.
#[derive(Debug, thiserror::Error)]
pub enum Unreckoned {
    /// A sum of money is too large to hold.
    #[error("the bill cannot be reckoned: {0}")]
    Amount(#[from] NoAmount),
    /// The life-cycle reckoning refuses its inputs.
    #[error("the life-cycle cost cannot be reckoned: {0}")]
    Plan(#[from] BadPlan),
}

/// All that figures are made of.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Season<'a> {
    /// The study.
    pub study: &'a Study,
    /// Every value the study used.
    pub inputs: &'a [Input],
    /// Weather years.
    pub years: &'a [WeatherYear],
    /// Books by option, then year.
    pub books: &'a [Vec<Book>],
    /// What marches are held against.
    pub references: &'a References,
}

/// Place of the baseline among the options.
pub(super) fn baseline_place(study: &Study) -> usize {
    let named = |heating: &crate::season::Heating| heating.name == study.baseline;
    study.heatings.iter().position(named).unwrap_or(0)
}
