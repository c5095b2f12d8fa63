//! One season run to see whether a plant is large enough.

use super::site::{Limit, Site};
use crate::ledger::{Book, GuardKind};
use crate::season::plant::Intake;
use crate::season::reference::References;
use crate::weather::WeatherYear;

/// A season with one number of the plant set.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What the number was set to.
    pub value: f64,
    /// The season.
    pub book: Book,
    /// The longest that any nuts waited for a bin, h.
    pub longest_wait_h: f64,
    /// True if the limit was kept.
    pub meets: bool,
}

impl Trial {
    /// Runs the season of a site as it is; `value` is what it is told under.
    pub(super) fn of(
        references: &References,
        site: &Site,
        value: f64,
        intake: &Intake,
        year: &WeatherYear,
        limit: Limit,
    ) -> Self {
        let book = references.run_option(&site.plant, &site.heating, intake, year);
        Self::judged(book, value, limit)
    }

    /// The same, given up (`None`) once nuts have waited too long.
    pub(super) fn if_kept(
        references: &References,
        site: &Site,
        value: f64,
        intake: &Intake,
        year: &WeatherYear,
        limit: Limit,
    ) -> Option<Self> {
        let hours = limit.waiting_hours;
        let Site { plant, heating } = site;
        let book = references.run_while_none_waits(plant, heating, intake, year, hours)?;
        Some(Self::judged(book, value, limit)).filter(|trial| trial.meets)
    }

    fn judged(book: Book, value: f64, limit: Limit) -> Self {
        let longest_wait_h = book.tonnage.longest_wait_h;
        Self {
            value,
            meets: longest_wait_h <= limit.waiting_hours && book.tonnage.left_kg <= 0.0,
            longest_wait_h,
            book,
        }
    }

    /// Batch-hours in which the mould guard fired: the growth index on the wettest nuts was past its limit.
    pub fn mould_hours(&self) -> f64 {
        mould_hours(&self.book)
    }
}

/// The same of any season.
pub fn mould_hours(book: &Book) -> f64 {
    book.guards.iter().find(|guard| guard.kind == GuardKind::MouldInBin).map_or(0.0, |guard| guard.hours)
}
