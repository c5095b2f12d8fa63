//! What a plant must keep, and what breaks it.

use crate::answer::guards;
use crate::answer::judgement::{HEAT_SHORT_SHARE, LESS_CROP_SHARE, Left, STORE_HOURS, STORE_KELVIN_HOURS, Work};
use crate::ledger::{Account, Book, GuardKind};
use crate::season::size::mould_hours;
use schemars::JsonSchema;
use serde::Serialize;

/// Hours of mould above those as it stands that count as much as a waiting time twice the limit (a weight that orders
/// plants which break something, and nothing else).
const MOULD_WEIGHT_H: f64 = 100.0;
/// The same of nuts left wet, t.
const WET_WEIGHT_T: f64 = 10.0;

/// The same of any guard that is to fire no longer than as it stands, h.
const GUARD_WEIGHT_H: f64 = 100.0;

/// A limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum LimitKind {
    /// The longest wait to be loaded, h.
    Waiting,
    /// Batch-hours with mould on the wettest nuts, against those as it stands.
    Mould,
    /// Less of the crop brought in than with the baseline, % of its dry matter.
    LessCrop,
    /// Nuts wet at the end, t.
    NutsWet,
    /// Heat short of the need, %.
    HeatShort,
    /// The cool store not kept as with its condensers outdoors, h.
    StoreWarm,
    /// Hours in which another guard fired, against those as it stands; where all guards are to be kept.
    Guard,
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
    /// The guard, where it is one of those.
    #[serde(skip)]
    guard: Option<GuardKind>,
}

/// What seasons must keep.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Limits {
    /// Nuts wait no longer to be loaded, h.
    pub waiting_h: f64,
    /// Batch-hours of mould that are let pass, one a weather year: those of the plant as it stands.
    pub mould_h: Vec<f64>,
    /// Hours of every guard that are let pass, one list a weather year: those of the plant as it stands. `None` where
    /// guards other than those above are no limit.
    pub guards: Option<Vec<Vec<(GuardKind, f64)>>>,
}

/// Hours of every guard in a season.
pub(super) fn guards_h(book: &Book) -> Vec<(GuardKind, f64)> {
    book.guards.iter().map(|guard| (guard.kind, guard.hours)).collect()
}

/// True of a guard that watches what a limit of its own is on.
fn has_own_limit(kind: GuardKind) -> bool {
    match kind {
        GuardKind::WaitedTooLong | GuardKind::MouldInBin | GuardKind::HeatShort | GuardKind::Unfinished => true,
        GuardKind::HotWhenWet
        | GuardKind::RoomTooHumid
        | GuardKind::FanStalled
        | GuardKind::FanThrottled
        | GuardKind::CoolingUnmet
        | GuardKind::UnitsTripped => false,
    }
}

/// True of what is judged of all weather years together: heat by their mean, the crop by what the study says.
fn is_of_all_years(left: &Left) -> bool {
    match left {
        Left::Heat(..) | Left::LessCrop(_) => true,
        Left::WetNuts(_) | Left::WarmStore(..) => false,
    }
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
        let left = work.left().into_iter().filter(|left| !is_of_all_years(left));
        broken.extend(left.map(BrokenFigures::of_work));
        broken.extend(self.guards_longer(year, book));
        broken
    }

    /// Guards that fire longer than as it stands, where they are to be kept.
    fn guards_longer(&self, year: usize, book: &Book) -> Vec<BrokenFigures> {
        let Some(before) = self.guards.as_ref().and_then(|years| years.get(year)) else { return Vec::new() };
        let told = guards::sentences(std::slice::from_ref(book));
        let mut own = guards_h(book);
        own.sort_unstable_by_key(|(kind, _)| *kind);
        let longer = own.into_iter().zip(told).filter_map(|((kind, hours), told)| {
            let most = before.iter().find(|(other, _)| *other == kind).map_or(0.0, |(_, hours)| *hours);
            (hours > most && !has_own_limit(kind)).then(|| BrokenFigures {
                guard: Some(kind),
                ..BrokenFigures::of(
                    LimitKind::Guard,
                    (hours, most),
                    format!("{} in {hours:.0} h, {most:.0} h as it stands", told.name),
                )
            })
        });
        longer.collect()
    }

    /// What all seasons break, each limit once with its worst; `work` is what the option does over all of them.
    pub(super) fn broken_by(&self, books: &[Book], work: &Work) -> Vec<BrokenFigures> {
        let mut broken: Vec<BrokenFigures> = Vec::new();
        for (year, book) in books.iter().enumerate() {
            for found in self.broken_in(year, book) {
                match broken.iter_mut().find(|other| other.key == found.key && other.guard == found.guard) {
                    Some(other) if found.excess() > other.excess() => *other = found,
                    Some(_) => {}
                    None => broken.push(found),
                }
            }
        }
        broken.extend(work.left().into_iter().filter(is_of_all_years).map(BrokenFigures::of_work));
        broken
    }
}

impl BrokenFigures {
    fn of(key: LimitKind, (value, limit): (f64, f64), sentence: String) -> Self {
        Self { key, value, limit, sentence, guard: None }
    }

    fn waiting(value: f64, limit: f64) -> Self {
        Self::of(LimitKind::Waiting, (value, limit), format!("nuts wait {value:.0} h, {limit:.0} h at most"))
    }

    fn mould(value: f64, limit: f64) -> Self {
        let sentence = format!("mould on the wettest nuts in {value:.0} batch-hours, {limit:.0} as it stands");
        Self::of(LimitKind::Mould, (value, limit), sentence)
    }

    fn of_work(left: Left) -> Self {
        match left {
            Left::LessCrop(share) => Self::of(
                LimitKind::LessCrop,
                (share * 100.0, LESS_CROP_SHARE * 100.0),
                format!("{:.1} % less of the crop is brought in than with the baseline", share * 100.0),
            ),
            Left::WetNuts(tonnes) => Self::of(LimitKind::NutsWet, (tonnes, 0.0), format!("{tonnes:.1} t are left wet")),
            Left::Heat(share, _) => {
                let (value, limit) = (share * 100.0, HEAT_SHORT_SHARE * 100.0);
                let sentence = format!("heat short by {value:.1} % of the need, {limit:.1} % at most");
                Self::of(LimitKind::HeatShort, (value, limit), sentence)
            }
            Left::WarmStore(hours, kelvin_hours) => {
                let sentence = format!(
                    "the store is short of cooling in {hours:.0} h more than with its condensers outdoors and too warm by {kelvin_hours:.0} K h more, {STORE_HOURS:.0} h and {STORE_KELVIN_HOURS:.0} K h at most"
                );
                Self::of(LimitKind::StoreWarm, (hours, STORE_HOURS), sentence)
            }
        }
    }

    /// A plant that the study refuses.
    pub(super) fn cannot_be(why: &str) -> Self {
        Self::of(LimitKind::CannotBe, (1.0, 0.0), format!("cannot be: {why}"))
    }

    /// By how much it is broken: a number that orders plants which break something.
    pub(super) fn excess(&self) -> f64 {
        let Self { value, limit, .. } = *self;
        match self.key {
            LimitKind::Waiting | LimitKind::HeatShort | LimitKind::LessCrop => value / limit - 1.0,
            LimitKind::StoreWarm => (value / limit - 1.0).max(0.1),
            LimitKind::Mould => (value - limit) / MOULD_WEIGHT_H,
            LimitKind::Guard => (value - limit) / GUARD_WEIGHT_H,
            LimitKind::NutsWet => value / WET_WEIGHT_T,
            LimitKind::CannotBe => f64::MAX / 1e9,
        }
    }
}
