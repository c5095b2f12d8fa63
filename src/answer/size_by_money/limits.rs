//! What a plant must keep, and what breaks it.

use crate::answer::judgement::{HEAT_SHORT_SHARE, Left, STORE_HOURS, STORE_KELVIN_HOURS, Work};
use crate::ledger::{Account, Book};
use crate::season::size::mould_hours;
use schemars::JsonSchema;
use serde::Serialize;

/// Hours of mould above those as it stands that count as much as a waiting time twice the limit (a weight that orders
/// plants which break something, and nothing else).
const MOULD_WEIGHT_H: f64 = 100.0;
/// The same of nuts left wet, t.
const WET_WEIGHT_T: f64 = 10.0;

/// A limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum LimitKind {
    /// The longest wait to be loaded, h.
    Waiting,
    /// Batch-hours with mould on the wettest nuts, against those as it stands.
    Mould,
    /// Nuts wet at the end, t.
    NutsWet,
    /// Heat short of the need, %.
    HeatShort,
    /// The cool store not kept as with its condensers outdoors, h.
    StoreWarm,
    /// The study refuses such a plant.
    CannotBe,
}

/// A limit that is broken.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct BrokenFigures {
    /// Which.
    pub key: LimitKind,
    /// What it is, in the weather year in which it is worst; heat is the mean of the years.
    pub value: f64,
    /// What it may be.
    pub limit: f64,
    /// In words.
    pub sentence: String,
}

/// What seasons must keep.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Limits {
    /// Nuts wait no longer to be loaded, h.
    pub waiting_h: f64,
    /// Batch-hours of mould that are let pass, one a weather year: those of the plant as it stands.
    pub mould_h: Vec<f64>,
}

impl Limits {
    /// What a season breaks by itself, whatever the other years bring. `year` is its place among them.
    pub(super) fn broken_in(&self, year: usize, book: &Book) -> Vec<BrokenFigures> {
        let mut broken = Vec::new();
        let waited_h = book.tonnage.longest_wait_h;
        if waited_h > self.waiting_h {
            broken.push(BrokenFigures::waiting(waited_h, self.waiting_h));
        }
        let (mould, most) = (mould_hours(book), self.mould_h.get(year).copied().unwrap_or(f64::INFINITY));
        if mould > most {
            broken.push(BrokenFigures::mould(mould, most));
        }
        let work = Work::of(std::slice::from_ref(book), &[Account::of_all(book)]);
        // Heat is judged by the mean of the years.
        let left = work.left().into_iter().filter(|left| !matches!(left, Left::Heat(..)));
        broken.extend(left.map(BrokenFigures::of_work));
        broken
    }

    /// What all seasons break, each limit once with its worst; `work` is what the option does over all of them.
    pub(super) fn broken_by(&self, books: &[Book], work: &Work) -> Vec<BrokenFigures> {
        let mut broken: Vec<BrokenFigures> = Vec::new();
        for (year, book) in books.iter().enumerate() {
            for found in self.broken_in(year, book) {
                match broken.iter_mut().find(|other| other.key == found.key) {
                    Some(other) if found.excess() > other.excess() => *other = found,
                    Some(_) => {}
                    None => broken.push(found),
                }
            }
        }
        let heat = work.left().into_iter().filter(|left| matches!(left, Left::Heat(..)));
        broken.extend(heat.map(BrokenFigures::of_work));
        broken
    }
}

impl BrokenFigures {
    fn waiting(value: f64, limit: f64) -> Self {
        let sentence = format!("nuts wait {value:.0} h, {limit:.0} h at most");
        Self { key: LimitKind::Waiting, value, limit, sentence }
    }

    fn mould(value: f64, limit: f64) -> Self {
        let sentence = format!("mould on the wettest nuts in {value:.0} batch-hours, {limit:.0} as it stands");
        Self { key: LimitKind::Mould, value, limit, sentence }
    }

    fn of_work(left: Left) -> Self {
        match left {
            Left::WetNuts(tonnes) => Self {
                key: LimitKind::NutsWet,
                value: tonnes,
                limit: 0.0,
                sentence: format!("{tonnes:.1} t are left wet"),
            },
            Left::Heat(share, _) => {
                let (value, limit) = (share * 100.0, HEAT_SHORT_SHARE * 100.0);
                let sentence = format!("heat short by {value:.1} % of the need, {limit:.1} % at most");
                Self { key: LimitKind::HeatShort, value, limit, sentence }
            }
            Left::WarmStore(hours, kelvin_hours) => Self {
                key: LimitKind::StoreWarm,
                value: hours,
                limit: STORE_HOURS,
                sentence: format!(
                    "the store is short of cooling in {hours:.0} h more than with its condensers outdoors and too warm by {kelvin_hours:.0} K h more, {STORE_HOURS:.0} h and {STORE_KELVIN_HOURS:.0} K h at most"
                ),
            },
        }
    }

    /// A plant that the study refuses.
    pub(super) fn cannot_be(why: &str) -> Self {
        Self { key: LimitKind::CannotBe, value: 1.0, limit: 0.0, sentence: format!("cannot be: {why}") }
    }

    /// By how much it is broken: a number that orders plants which break something.
    pub(super) fn excess(&self) -> f64 {
        let Self { value, limit, .. } = *self;
        match self.key {
            LimitKind::Waiting | LimitKind::HeatShort => value / limit - 1.0,
            LimitKind::StoreWarm => (value / limit - 1.0).max(0.1),
            LimitKind::Mould => (value - limit) / MOULD_WEIGHT_H,
            LimitKind::NutsWet => value / WET_WEIGHT_T,
            LimitKind::CannotBe => f64::MAX / 1e9,
        }
    }
}
