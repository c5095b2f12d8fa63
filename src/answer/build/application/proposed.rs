//! What is proposed, and how it stands among the options.

use crate::answer::figures::OptionFigures;
use crate::ledger::Book;
use crate::money::Bid;

/// What is proposed, and how it stands among the options.
pub(in crate::answer::build) struct Proposed<'a> {
    /// The baseline.
    pub base: &'a OptionFigures,
    /// What is proposed in its place.
    pub proposal: &'a OptionFigures,
    /// The recommended option; `None` where none does the work.
    pub recommended: Option<&'a OptionFigures>,
    /// True if the study names the proposal.
    pub is_named: bool,
    /// The proposal as the scheme sees it.
    pub bid: Bid,
    /// All options, and the places of the baseline and of the proposal among them.
    pub options: &'a [OptionFigures],
    pub base_place: usize,
    pub place: usize,
    /// The proposal's books, one a weather year.
    pub books: &'a [Book],
}
