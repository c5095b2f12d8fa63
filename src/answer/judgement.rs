//! The one judgement of an option: whether it does the work, and if not, what it leaves undone. Whatever is
//! called best, recommended, runner-up or a proposal is so by this and by [`Ranking`](super::ranking::Ranking).

use crate::ledger::{Account, Book, GuardKind, StoreService};
use crate::number::{Measure, Sentence, fixed, heat, percent, three, with_unit};
use schemars::JsonSchema;
use serde::Serialize;

/// Heat short of the need up to this share of it does not count as work left undone (assumption: a
/// hundredth of a season's heat is within what its reckoning is worth).
pub(crate) const HEAT_SHORT_SHARE: f64 = 0.01;

/// Hours of a season in which the store's cooling may be short, above those with its condensers outdoors
/// (assumption, no published source: stacked nuts follow their store within about a day, so they hardly feel
/// one).
pub(crate) const STORE_HOURS: f64 = 24.0;

/// Kelvin-hours of a season by which the store may stand above its set temperature, above those with its
/// condensers outdoors, K h (assumption, no published source: one day, one kelvin too warm).
pub(crate) const STORE_KELVIN_HOURS: f64 = 24.0;

/// An option may bring in so much less of the crop's dry matter than the baseline, as a share of it (assumption: what a
/// change of moisture or of an intake's days rounds to).
pub(crate) const LESS_CROP_SHARE: f64 = 0.002;

/// Nuts left wet below this are rounding, t.
const WET_SLACK_T: f64 = 1e-6;

/// What an option did of its work.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Work {
    /// Nuts that were not dry when the time to dry them was over, in the worst weather year, t.
    pub wet_t: f64,
    /// Dry matter of the crop that the baseline brings in and this does not, as a share of the baseline's.
    pub less_crop: f64,
    /// Heat need, mean of the weather years, kWh.
    pub heat_need_kwh: f64,
    /// Heat short of it, mean of the weather years, kWh.
    pub heat_short_kwh: f64,
    /// Hours in which the store's cooling was short, above those with its condensers outdoors, in the worst
    /// weather year.
    pub store_hours_more: f64,
    /// Kelvin-hours of the store above its set temperature, above those with its condensers outdoors, in the
    /// worst weather year, K h.
    pub store_kelvin_hours_more: f64,
}

/// A part of the work that an option leaves undone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Left {
    /// Less of the crop is brought in than with the baseline, by this share of its dry matter.
    LessCrop(f64),
    /// Nuts are left wet, t.
    WetNuts(f64),
    /// Heat is short, hour by hour, by this share of the season's need, and by this much, kWh: above the whole
    /// need where a plant that has grown cold lacks it for longer than the season.
    Heat(f64, f64),
    /// The store was not kept as with its condensers outdoors: hours and kelvin-hours more.
    WarmStore(f64, f64),
}

/// What kind of work is left undone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, JsonSchema, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum LeftKind {
    /// Less of the crop is brought in than with the baseline.
    LessCrop,
    /// Nuts are left wet.
    NutsWet,
    /// Heat is short.
    HeatShort,
    /// The cool store was not kept as with its condensers outdoors.
    StoreWarm,
}

/// A part of the work left undone, in figures.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct LeftFigures {
    /// Which part.
    pub key: LeftKind,
    /// What is left undone, in words that follow the option's name.
    pub sentence: Sentence,
    /// What was measured and what is let pass.
    pub measures: Vec<MeasureFigures>,
}

/// A measure of work left undone.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct MeasureFigures {
    /// Its value.
    pub value: f64,
    /// Up to which it is let pass.
    pub limit: f64,
    /// Unit of both.
    pub unit: String,
}

/// What is let pass, with its reason, for the page's method and for the figures.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct JudgementFigures {
    /// Heat short, percent of the need.
    pub heat_short_limit_pct: f64,
    /// Hours of cooling short above those with the condensers outdoors, in any weather year.
    pub store_hours_limit: f64,
    /// Kelvin-hours above the set temperature above those with the condensers outdoors, in any weather year.
    pub store_kelvin_hours_limit: f64,
    /// Dry matter of the crop brought in, less than with the baseline, percent of it.
    pub less_crop_limit_pct: f64,
}

impl JudgementFigures {
    /// The limits in use.
    pub(crate) fn in_use() -> Self {
        Self {
            heat_short_limit_pct: HEAT_SHORT_SHARE * 100.0,
            store_hours_limit: STORE_HOURS,
            store_kelvin_hours_limit: STORE_KELVIN_HOURS,
            less_crop_limit_pct: LESS_CROP_SHARE * 100.0,
        }
    }
}

impl Work {
    /// What an option did, by its books and their accounts, one a weather year.
    pub(crate) fn of(books: &[Book], accounts: &[Account]) -> Self {
        let all: Vec<Self> = books.iter().zip(accounts).map(|(book, account)| Self::of_year(book, account)).collect();
        Self::over(&all)
    }

    /// Of one weather year.
    pub(crate) fn of_year(book: &Book, account: &Account) -> Self {
        let unfinished = book.guards.iter().filter(|guard| guard.kind == GuardKind::Unfinished);
        let store = StoreService::of(book);
        Self {
            heat_need_kwh: account.heat_need_kwh,
            heat_short_kwh: account.heat_short_kwh,
            wet_t: unfinished.map(|guard| guard.worst).fold(0.0, f64::max),
            store_hours_more: store.hours_more(),
            store_kelvin_hours_more: store.kelvin_hours_more(),
            ..Self::default()
        }
    }

    /// Of several weather years: the mean of their heat, the worst of what else is left.
    pub(crate) fn over(years: &[Self]) -> Self {
        let count = years.len().max(1) as f64;
        let mean = |of: fn(&Self) -> f64| years.iter().map(of).sum::<f64>() / count;
        let worst = |of: fn(&Self) -> f64| years.iter().map(of).fold(0.0, f64::max);
        Self {
            heat_need_kwh: mean(|year| year.heat_need_kwh),
            heat_short_kwh: mean(|year| year.heat_short_kwh),
            wet_t: worst(|year| year.wet_t),
            less_crop: worst(|year| year.less_crop),
            store_hours_more: worst(|year| year.store_hours_more),
            store_kelvin_hours_more: worst(|year| year.store_kelvin_hours_more),
        }
    }

    /// The same of an option whose crop has this dry matter, beside the baseline's, t.
    #[must_use]
    pub(crate) fn of_crop(self, own_t: f64, baseline_t: f64) -> Self {
        let less = 1.0 - own_t / baseline_t.max(f64::MIN_POSITIVE);
        Self { less_crop: less.max(0.0), ..self }
    }

    /// This work, changed as `from` is changed to `to`.
    pub(crate) fn moved(&self, from: &Self, to: &Self) -> Self {
        let of = |of: fn(&Self) -> f64| (of(self) + of(to) - of(from)).max(0.0);
        Self {
            wet_t: of(|work| work.wet_t),
            less_crop: of(|work| work.less_crop),
            heat_need_kwh: of(|work| work.heat_need_kwh),
            heat_short_kwh: of(|work| work.heat_short_kwh),
            store_hours_more: of(|work| work.store_hours_more),
            store_kelvin_hours_more: of(|work| work.store_kelvin_hours_more),
        }
    }

    /// What it leaves undone; nothing of an option that does the work.
    pub(crate) fn left(&self) -> Vec<Left> {
        let mut left = Vec::new();
        if self.less_crop > LESS_CROP_SHARE {
            left.push(Left::LessCrop(self.less_crop));
        }
        if self.wet_t > WET_SLACK_T {
            left.push(Left::WetNuts(self.wet_t));
        }
        if self.heat_short_kwh > HEAT_SHORT_SHARE * self.heat_need_kwh {
            let share = self.heat_short_kwh / self.heat_need_kwh.max(f64::MIN_POSITIVE);
            left.push(Left::Heat(share, self.heat_short_kwh));
        }
        if self.store_hours_more > STORE_HOURS || self.store_kelvin_hours_more > STORE_KELVIN_HOURS {
            left.push(Left::WarmStore(self.store_hours_more, self.store_kelvin_hours_more));
        }
        left
    }

    /// True if it leaves no part of the work undone that the other does.
    pub(crate) fn leaves_no_more_than(&self, other: &Self) -> bool {
        let others: Vec<LeftKind> = other.left().iter().map(Left::kind).collect();
        self.left().iter().all(|left| others.contains(&left.kind()))
    }

    /// True if every nut became dry, heat was short by a hundredth of the need at most, and the store was kept
    /// as with its condensers outdoors.
    pub(crate) fn is_done(&self) -> bool {
        self.left().is_empty()
    }
}

impl Left {
    /// Which part of the work it is.
    pub(crate) fn kind(&self) -> LeftKind {
        match self {
            Self::LessCrop(_) => LeftKind::LessCrop,
            Self::WetNuts(_) => LeftKind::NutsWet,
            Self::Heat(..) => LeftKind::HeatShort,
            Self::WarmStore(..) => LeftKind::StoreWarm,
        }
    }

    /// In words that follow the option's name.
    pub(crate) fn sentence(&self) -> String {
        match *self {
            Self::LessCrop(share) => format!(
                "brings in less of the crop than the baseline, by {} of its dry matter (at most {} is let pass): what it saves is work not done",
                percent(share * 100.0),
                percent(LESS_CROP_SHARE * 100.0)
            ),
            Self::WetNuts(tonnes) => {
                format!("leaves {} of nuts wet when the time to dry them is over", tonnes_in_words(tonnes))
            }
            Self::Heat(share, kwh) => format!(
                "is short of heat: what lacks to hold the set temperature, hour by hour, adds up to {}, {} of the season’s need (at most {} is let pass)",
                heat(kwh),
                percent(share * 100.0),
                percent(HEAT_SHORT_SHARE * 100.0)
            ),
            Self::WarmStore(hours, kelvin_hours) => format!(
                "does not keep the cool store as its condensers outdoors would: {} more without enough cooling and {} more above the set temperature (at most {} and {} are let pass)",
                with_unit(&fixed(hours, 0), "h"),
                Measure::of("K\u{a0}h").three(kelvin_hours),
                with_unit(&fixed(STORE_HOURS, 0), "h"),
                Measure::of("K\u{a0}h").fixed(STORE_KELVIN_HOURS, 0),
            ),
        }
    }

    /// In figures.
    pub(crate) fn figures(&self) -> LeftFigures {
        let measure = |value, limit, unit: &str| MeasureFigures { value, limit, unit: unit.to_owned() };
        let measures = match *self {
            Self::LessCrop(share) => {
                vec![measure(share * 100.0, LESS_CROP_SHARE * 100.0, "% of the baseline’s dry matter")]
            }
            Self::WetNuts(tonnes) => vec![measure(tonnes, 0.0, "t")],
            Self::Heat(share, _) => {
                vec![measure(share * 100.0, HEAT_SHORT_SHARE * 100.0, "% of the heat need")]
            }
            Self::WarmStore(hours, kelvin_hours) => {
                vec![measure(hours, STORE_HOURS, "h"), measure(kelvin_hours, STORE_KELVIN_HOURS, "K h")]
            }
        };
        LeftFigures { key: self.kind(), sentence: Sentence::of(|| self.sentence()), measures }
    }
}

/// A heap of a few kilograms is not nothing.
fn tonnes_in_words(tonnes: f64) -> String {
    let measure = Measure::of("t");
    let told = measure.value(tonnes);
    with_unit(&if told < 0.1 { three(told) } else { fixed(told, 1) }, measure.sign())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::{Entry, Guard};

    fn kinds(work: Work) -> Vec<LeftKind> {
        work.left().iter().map(Left::kind).collect()
    }

    #[test]
    fn each_limit_lets_pass_what_it_says_and_no_more() {
        let done = Work { heat_need_kwh: 1000.0, heat_short_kwh: 10.0, ..Work::default() };
        assert!(done.is_done());
        let short = Work { heat_short_kwh: 10.1, ..done };
        assert_eq!(kinds(short), [LeftKind::HeatShort]);
        assert_eq!(kinds(Work { wet_t: 0.02, ..done }), [LeftKind::NutsWet]);
        let store =
            |hours, kelvin_hours| Work { store_hours_more: hours, store_kelvin_hours_more: kelvin_hours, ..done };
        assert!(store(24.0, 24.0).is_done());
        assert_eq!(kinds(store(24.5, 0.0)), [LeftKind::StoreWarm]);
        assert_eq!(kinds(store(0.0, 25.0)), [LeftKind::StoreWarm]);
        let nothing = Work { wet_t: 3.0, store_hours_more: 90.0, ..short };
        assert_eq!(kinds(nothing), [LeftKind::NutsWet, LeftKind::HeatShort, LeftKind::StoreWarm]);
    }

    /// A store that is too weak wherever its condensers stand is no option's fault.
    #[test]
    fn a_store_as_weak_outdoors_is_no_work_left_undone() {
        let hours = |own: f64, outdoors: f64| {
            let hour = Entry {
                store_unmet_kwh: own,
                store_above_set_kh: own,
                outdoors_unmet_kwh: outdoors,
                outdoors_above_set_kh: outdoors,
                ..Entry::default()
            };
            Book { hours: vec![hour; 100].into(), ..Book::default() }
        };
        let work = |book: Book| Work::of(&[book], &[Account::default()]);
        assert!(work(hours(2.0, 2.0)).is_done());
        assert_eq!(kinds(work(hours(2.0, 0.0))), [LeftKind::StoreWarm]);
    }

    #[test]
    fn nuts_wet_in_one_weather_year_of_two_are_left_undone() {
        let guard = Guard {
            kind: GuardKind::Unfinished,
            hours: 1.0,
            hours_by_day: vec![1.0],
            worst: 0.8,
            limit: 0.0,
            worst_hour: 0,
            most_t: None,
            worst_batch: None,
        };
        let wet = Book { guards: vec![guard], ..Book::default() };
        let work = Work::of(&[Book::default(), wet], &[Account::default(), Account::default()]);
        assert_eq!(work.left(), [Left::WetNuts(0.8)]);
        let figures = work.left()[0].figures();
        assert!(figures.sentence.contains("0.8\u{a0}t"), "{}", figures.sentence);
    }
}
