//! Where to look: every measure of the standing list alone on one option, one march each in one weather year.

use super::life_cycle::present_bills_of;
use super::made_of::{Season, Unreckoned};
use super::marches::march_beside;
use super::reckoned::{Reckoned, reckon};
use crate::answer::figures::{GuardFigures, ScreenedFigures, ScreeningFigures, ScreeningVerdict, UntriedFigures};
use crate::answer::guards;
use crate::answer::judgement::{Left, Work};
use crate::answer::set::set_figures;
use crate::heat::Kind;
use crate::ledger::{Book, middle_year};
use crate::number::{Money, Sentence};
use crate::season::{Heating, check_reach};
use crate::study::input::Input;
use crate::study::{Change, KeptTarget, Study, kept_targets};
use crate::trial::StandingMeasure;
use crate::weather::WeatherYear;
use rayon::prelude::*;
use std::mem::{Discriminant, discriminant};

/// A measure must save this share of the bill without it to be worth pricing (assumption: a hundredth of a season's
/// bill is within what one march is worth).
const WORTH_PRICING_SHARE: f64 = 0.01;
/// A guard is broken further, or longer, where its worst or its hours are more than this many times those without it
/// (assumption: what a season's guards move by without any fault of the measure).
const FURTHER: f64 = 1.1;

/// A measure of the list with the study that has it as its last option, or why it cannot have it.
pub(crate) struct Tried {
    pub measure: StandingMeasure,
    pub study: Result<Study, String>,
}

/// Screens the list, which is of the option at the place `on`, in the year whose heat need is the middle one. `done` is
/// called as each march ends. Nothing where there is no weather year.
pub(crate) fn screening(
    season: &Season<'_>,
    on: usize,
    list: Vec<Tried>,
    done: impl Fn() + Sync,
) -> Result<Option<ScreeningFigures>, Unreckoned> {
    let study = season.study;
    let Some(at) = middle_year(&season.books[on]) else { return Ok(None) };
    let year = &season.years[at];
    let without = Seen::of(study, &season.books[on][at..=at])?;
    let beside = Beside { season, on, year, without: &without };
    let tried: Vec<(StandingMeasure, Found)> = list
        .into_par_iter()
        .map(|Tried { measure, study: read }| {
            let found = read.map_err(Why::CannotBe).and_then(|own| beside.try_one(&measure, &own));
            done();
            (measure, found)
        })
        .collect();

    let (mut ranked, mut others, mut left_out) = (Vec::new(), Vec::new(), Vec::new());
    for (measure, found) in tried {
        match found {
            Ok(None) => {}
            Ok(Some((mut figures, left))) => {
                // Told here, where the reader listens: those who march do not hear of one.
                figures.work_left = left.iter().map(|left| Sentence::of(|| left.sentence())).collect();
                if figures.verdict == ScreeningVerdict::Ranked {
                    ranked.push((measure, figures));
                } else {
                    others.push(figures);
                }
            }
            Err(Why::CannotBe(why)) => left_out.push(UntriedFigures { name: measure.name, why }),
            Err(Why::Unreckoned(fault)) => return Err(fault),
        }
    }
    ranked.sort_by(|a, b| b.1.most_capital.total_cmp(&a.1.most_capital));
    let mut to_price = String::new();
    let mut measures = Vec::new();
    for (rank, (measure, mut figures)) in ranked.into_iter().enumerate() {
        figures.rank = Some(rank + 1);
        if figures.worth_pricing && figures.like_option.is_none() {
            let most = Money::of(study.currency.code()).prose(figures.most_capital);
            if !to_price.is_empty() {
                to_price.push('\n');
            }
            to_price.push_str(&measure.to_price(&format!("{most} at most pays back in {} years", study.money.years)));
        }
        measures.push(figures);
    }
    measures.extend(others);
    Ok(Some(ScreeningFigures {
        tried_on: study.heatings[on].name.clone(),
        year: year.label.clone(),
        bill: without.bill,
        money_years: study.money.years,
        worth_pricing_pct: WORTH_PRICING_SHARE * 100.0,
        measures,
        left_out,
        to_price,
    }))
}

/// A measure's figures and the work that it leaves undone, not yet told; nothing of one that is an option of the study
/// already.
type Found = Result<Option<(ScreenedFigures, Vec<Left>)>, Why>;

/// Why a measure has no figures.
enum Why {
    /// The plant cannot have it.
    CannotBe(String),
    /// Its money cannot be reckoned.
    Unreckoned(Unreckoned),
}

/// What a march of one year comes to.
struct Seen {
    purchased_kwh: f64,
    electric_peak_kw: f64,
    carbon_kg: f64,
    bill: f64,
    /// Present cost of such a bill in every year of the period.
    present_bills: f64,
    work: Work,
    guards: Vec<GuardFigures>,
    drying_hours: Option<f64>,
    waiting_tonne_days: f64,
}

impl Seen {
    /// Of these books of one year, by the carriers and terms of `study`.
    fn of(study: &Study, books: &[Book]) -> Result<Self, Unreckoned> {
        let reckoned: Reckoned<'_> = reckon(study, books)?;
        Ok(Self {
            purchased_kwh: reckoned.mean_energy().purchased_kwh(),
            electric_peak_kw: reckoned.electric_peak_kw(),
            carbon_kg: reckoned.carbon_kg(),
            bill: reckoned.bill(),
            present_bills: present_bills_of(study, &reckoned.months)?.all(),
            work: Work::of(books, &reckoned.accounts),
            guards: guards::sentences(books),
            drying_hours: books.first().and_then(Book::mean_drying_hours),
            waiting_tonne_days: books.iter().map(|book| book.tonnage.waiting_tonne_days).sum(),
        })
    }

    /// Names of the guards that it breaks and the other keeps, or breaks further.
    fn broken_beside(&self, other: &Self) -> Vec<String> {
        let is_kept =
            |guard: &GuardFigures| other.guard(guard).is_some_and(|before| guard.worst <= FURTHER * before.worst);
        self.guards.iter().filter(|guard| !is_kept(guard)).map(|guard| guard.name.clone()).collect()
    }

    /// Names of the guards that both break, this one no further and for longer.
    fn longer_beside(&self, other: &Self) -> Vec<String> {
        let is_longer = |guard: &GuardFigures| {
            let before = other.guard(guard).filter(|before| guard.worst <= FURTHER * before.worst);
            before.is_some_and(|before| guard.hours > FURTHER * before.hours)
        };
        self.guards.iter().filter(|guard| is_longer(guard)).map(|guard| guard.name.clone()).collect()
    }

    fn guard(&self, like: &GuardFigures) -> Option<&GuardFigures> {
        self.guards.iter().find(|guard| guard.key == like.key)
    }

    /// What it leaves undone and the other does.
    fn left_beside(&self, other: &Self) -> Vec<Left> {
        let before: Vec<_> = other.work.left().iter().map(Left::kind).collect();
        self.work.left().into_iter().filter(|left| !before.contains(&left.kind())).collect()
    }
}

/// What each measure is held against.
struct Beside<'a> {
    season: &'a Season<'a>,
    /// Place of the option that it is tried on.
    on: usize,
    year: &'a WeatherYear,
    without: &'a Seen,
}

impl Beside<'_> {
    /// Tries one measure.
    fn try_one(&self, measure: &StandingMeasure, with: &Study) -> Found {
        let Self { season, on, year, without } = *self;
        let place = with.heatings.len() - 1;
        if is_option_already(season.study, with, place) {
            return Ok(None);
        }
        let own = with.of_option(place);
        check_reach(&own.plant, std::slice::from_ref(year)).map_err(|fault| Why::CannotBe(fault.to_string()))?;
        let known = (season.study.of_option(on), season.references);
        let book = march_beside(known, (with, place), year);
        let seen = Seen::of(with, std::slice::from_ref(&book)).map_err(Why::Unreckoned)?;
        let most_capital = without.present_bills - seen.present_bills;
        let bill_saved = without.bill - seen.bill;
        let (mut guards_broken, left) = (seen.broken_beside(without), seen.left_beside(without));
        if makes_a_damp_target_damper(season.study.of_option(on), own) {
            guards_broken.push("nuts kept damp".to_owned());
        }
        let verdict = if !left.is_empty() {
            ScreeningVerdict::LeavesWork
        } else if !guards_broken.is_empty() {
            ScreeningVerdict::BreaksGuard
        } else if most_capital <= 0.0 {
            ScreeningVerdict::SavesNothing
        } else {
            ScreeningVerdict::Ranked
        };
        let figures = ScreenedFigures {
            name: measure.name.clone(),
            does: measure.does.clone(),
            set: own_set(season.study, on, (with, place))
                .into_iter()
                .map(|change| set_figures(change, season.inputs))
                .collect(),
            rank: None,
            worth_pricing: verdict == ScreeningVerdict::Ranked && bill_saved >= WORTH_PRICING_SHARE * without.bill,
            verdict,
            purchased_saved_kwh: without.purchased_kwh - seen.purchased_kwh,
            electric_peak_saved_kw: without.electric_peak_kw - seen.electric_peak_kw,
            carbon_saved_kg: without.carbon_kg - seen.carbon_kg,
            bill_saved,
            most_capital,
            drying_longer_h: seen.drying_hours.zip(without.drying_hours).map(|(own, before)| own - before),
            waiting_more_tonne_days: seen.waiting_tonne_days - without.waiting_tonne_days,
            guards_broken,
            guards_longer: seen.longer_beside(without),
            work_left: Vec::new(),
            like_option: like_option((season.study, season.inputs), on, (with, place)),
        };
        Ok(Some((figures, left)))
    }
}

/// True if an option of the study heats and stands as this one does, whatever it is called.
fn is_option_already(study: &Study, with: &Study, place: usize) -> bool {
    let (own, heating) = (with.of_option(place), &with.heatings[place]);
    (0..study.heatings.len()).any(|other| {
        let there = study.of_option(other);
        let called_alike = Heating { name: heating.name.clone(), ..study.heatings[other].clone() };
        called_alike == *heating && there.plant == own.plant && there.intake == own.intake
    })
}

/// True if nuts at their target are damper where they are kept than without the measure, and damp enough for mould.
fn makes_a_damp_target_damper(before: &Study, with: &Study) -> bool {
    let above = |target: &KeptTarget| target.activity - target.critical_activity;
    let pairs = kept_targets(before).into_iter().zip(kept_targets(with));
    pairs.into_iter().any(|(before, with)| with.lets_mould_grow() && above(&with) > above(&before))
}

/// What a measure sets beside what the option sets that it is tried on.
fn own_set<'a>(study: &Study, on: usize, (with, place): (&'a Study, usize)) -> Vec<&'a Change> {
    let of_base = &study.measures[on].set;
    let is_own = |change: &&Change| {
        !of_base.iter().any(|before| before.path == change.path && before.value_text() == change.value_text())
    };
    with.measures[place].set.iter().filter(is_own).collect()
}

/// True if the other option sets what a measure changes, and to another value than it has where the measure is tried: one that
/// gives a room whole may leave most of it as it is.
fn says_another(study: &Study, inputs: &[Input], (on, other): (usize, usize), change: &Change) -> bool {
    let meets = study.measures[other].set.iter().any(|theirs| change.meets(theirs));
    let values = |place: usize| -> Vec<(&str, &str)> {
        let read = study.changed_by(place).map_or(inputs, |changed| &changed.inputs);
        let own = read.iter().filter(|input| change.covers(&input.path));
        own.map(|input| (input.path.as_str(), input.value_text.as_str())).collect()
    };
    meets && values(on) != values(other)
}

/// An option other than the one that is tried on that goes the same way: it sets one of the same values, or has the condensers
/// where the measure puts them, or a source of the kind that the measure adds.
fn like_option((study, inputs): (&Study, &[Input]), on: usize, (with, place): (&Study, usize)) -> Option<String> {
    let set = own_set(study, on, (with, place));
    let (own, of_base) = (&with.heatings[place], &study.heatings[on]);
    let kinds = |heating: &Heating| -> Vec<Discriminant<Kind>> {
        heating.sources.iter().map(|source| discriminant(&source.kind)).collect()
    };
    let before = kinds(of_base);
    let added: Vec<_> = kinds(own).into_iter().filter(|kind| !before.contains(kind)).collect();
    let moved = own.condensers.place.place();
    let is_moved = moved != of_base.condensers.place.place();
    let goes_the_same_way = |&other: &usize| {
        let heating = &study.heatings[other];
        set.iter().any(|change| says_another(study, inputs, (on, other), change))
            || (is_moved && heating.condensers.place.place() == moved)
            || kinds(heating).iter().any(|kind| added.contains(kind))
    };
    let others = (0..study.heatings.len()).filter(|other| *other != on);
    others.filter(goes_the_same_way).map(|other| study.heatings[other].name.clone()).next()
}
