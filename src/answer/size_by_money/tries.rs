//! Plants that were tried: each an option behind the study's text, marched, judged and priced.

use super::limits::{BrokenFigures, Limits, guards_h};
use super::search::{Judge, Point, Worth};
use super::seasons::SeasonCounts;
use crate::answer::build::{Told, Unreckoned, beside_baseline};
use crate::answer::figures::GuardFigures;
use crate::answer::guards;
use crate::ledger::Book;
use crate::season::{References, check_reach};
use crate::study::Study;
use crate::trial::MaySize;
use crate::weather::WeatherYear;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// What is sized, and in which weather.
#[derive(Clone, Copy)]
pub(crate) struct PosedByMoney<'a> {
    /// The study.
    pub study: &'a Study,
    /// Place of its baseline.
    pub base: usize,
    /// The plant that is sized; a number of it at least.
    pub plant: &'a MaySize,
    /// Weather years, one at least.
    pub years: &'a [WeatherYear],
    /// Nuts wait no longer to be loaded, h.
    pub waiting_h: f64,
    /// True if no guard may fire longer than as it stands, but for those on what has a limit of its own (waiting, heat).
    pub keeps_guards: bool,
    /// What marches are held against.
    pub references: &'a References,
    /// The study with an option more behind its text, its last, or why it cannot have it.
    pub read: &'a (dyn Fn(&str) -> Result<Study, String> + Sync),
}

/// The least seasons that a plant of so many numbers can be sized with: the baseline's, those of the plant as it stands,
/// and those of a step each way of every number.
pub(crate) fn least_seasons(numbers: usize, years: usize) -> usize {
    (2 + 2 * numbers) * years
}

/// A plant that was tried.
#[derive(Clone, Debug)]
pub(super) struct Tried {
    /// The places of its sizes.
    pub at: Point,
    /// What it breaks.
    pub broken: Vec<BrokenFigures>,
    /// What it costs; nothing where not every year was run.
    pub money: Option<Money>,
    /// Guards that fired; nothing where not every year was run.
    pub guards: Vec<GuardFigures>,
    /// Seasons run for it.
    seasons: usize,
}

/// What a plant costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Money {
    pub capital: f64,
    pub grant: f64,
    pub upkeep_per_year: f64,
    pub bill: f64,
    pub net_present_cost: f64,
    pub longest_wait_h: f64,
    pub heat_short_pct: f64,
}

impl Tried {
    pub(super) fn worth(&self) -> Worth {
        let cost = self.money.map_or(f64::INFINITY, |money| money.net_present_cost);
        Worth { excess: self.broken.iter().map(BrokenFigures::excess).sum(), cost }
    }

    /// True if it keeps what must be kept, and all years were run.
    pub(super) fn keeps(&self) -> bool {
        self.broken.is_empty() && self.money.is_some()
    }
}

/// All plants that were tried, and the seasons they took.
pub(super) struct Tries<'a> {
    posed: PosedByMoney<'a>,
    limits: Limits,
    /// Weather years in the order in which they are run: a plant that cannot do fails in a heavy year.
    order: Vec<usize>,
    base_books: Vec<Book>,
    start: Point,
    known: BTreeMap<Point, Tried>,
    most: usize,
    counts: SeasonCounts,
    is_spent: bool,
    done: &'a (dyn Fn(usize) + Sync),
}

impl<'a> Tries<'a> {
    /// With the plant as it stands.
    pub(super) fn begin(
        posed: &PosedByMoney<'a>,
        most: usize,
        done: &'a (dyn Fn(usize) + Sync),
    ) -> Result<Self, Unreckoned> {
        let PosedByMoney { study, base, years, references, .. } = *posed;
        let own = study.of_option(base);
        let run = |year| {
            let book = references.run_beside_others(&own.plant, &study.heatings[base], &own.intake, year);
            done(1);
            book
        };
        let base_books: Vec<Book> = years.par_iter().map(run).collect();
        let start: Point = posed.plant.numbers.iter().map(|number| number.now).collect();
        let mut tries = Self {
            posed: *posed,
            limits: Limits { waiting_h: posed.waiting_h, mould_h: Vec::new(), guards: None },
            order: (0..years.len()).collect(),
            base_books,
            start: start.clone(),
            known: BTreeMap::new(),
            most,
            counts: SeasonCounts { most, run: years.len(), ..SeasonCounts::default() },
            is_spent: false,
            done,
        };
        let (tried, books) = tries.try_one(&start, false)?;
        tries.limits.mould_h = books.iter().map(crate::season::size::mould_hours).collect();
        tries.limits.guards = posed.keeps_guards.then(|| books.iter().map(guards_h).collect());
        let need =
            |year: &usize| books.get(*year).map_or(0.0, |book: &Book| book.reference.need_kwh.iter().sum::<f64>());
        tries.order.sort_by(|a, b| need(b).total_cmp(&need(a)));
        tries.note(tried);
        Ok(tries)
    }

    /// The plant as it stands.
    pub(super) fn as_it_stands(&self) -> (Point, Worth) {
        let worth = self.known.get(&self.start).map_or(Worth { excess: f64::MAX, cost: f64::INFINITY }, Tried::worth);
        (self.start.clone(), worth)
    }

    pub(super) fn known(&self, at: &Point) -> Option<&Tried> {
        self.known.get(at)
    }

    /// All that were tried, in the order of their sizes.
    pub(super) fn all(&self) -> impl Iterator<Item = &Tried> {
        self.known.values()
    }

    pub(super) fn limits(&self) -> &Limits {
        &self.limits
    }

    pub(super) fn seasons(&self) -> SeasonCounts {
        SeasonCounts { plants: self.known.len(), ..self.counts.clone() }
    }

    /// True if a plant was asked for and no season was left for it.
    pub(super) fn is_spent(&self) -> bool {
        self.is_spent
    }

    /// Tries a plant a step from where the search ended, for which seasons were kept.
    pub(super) fn try_beside(&mut self, point: &Point) -> Result<(), Unreckoned> {
        if self.known.contains_key(point) || self.counts.run + self.posed.years.len() > self.most {
            return Ok(());
        }
        let (tried, _) = self.try_one(point, true)?;
        self.note(tried);
        Ok(())
    }

    fn note(&mut self, tried: Tried) {
        self.counts.run += tried.seasons;
        if tried.seasons > 0 {
            self.counts.spared += self.posed.years.len() - tried.seasons;
        }
        self.known.insert(tried.at.clone(), tried);
    }

    /// Seasons that are left for the search: what a step each way of every number takes is kept for the end.
    fn left(&self) -> usize {
        let kept = 2 * self.posed.plant.numbers.len() * self.posed.years.len();
        self.most.saturating_sub(self.counts.run + kept)
    }

    /// Tries one plant; with its books where all years were run. `may_stop` where a plant that breaks something is of no
    /// more use.
    fn try_one(&self, at: &Point, may_stop: bool) -> Result<(Tried, Vec<Book>), Unreckoned> {
        let PosedByMoney { plant, years, references, read, .. } = self.posed;
        let refused = |why: &str| {
            let broken = vec![BrokenFigures::cannot_be(why)];
            Ok((Tried { at: at.clone(), broken, money: None, guards: Vec::new(), seasons: 0 }, Vec::new()))
        };
        let study = match read(&plant.trial(at)) {
            Ok(study) => study,
            Err(why) => return refused(&why),
        };
        let Some(place) = study.heatings.len().checked_sub(1) else { return refused("no option was read") };
        let own = study.of_option(place);
        if let Err(fault) = check_reach(&own.plant, years) {
            return refused(&fault.to_string());
        }
        let mut books: Vec<(usize, Book)> = Vec::new();
        for &year in &self.order {
            let book = references.run_beside_others(&own.plant, &study.heatings[place], &own.intake, &years[year]);
            (self.done)(1);
            let broken = if may_stop { self.limits.broken_in(year, &book) } else { Vec::new() };
            books.push((year, book));
            if !broken.is_empty() && books.len() < years.len() {
                let guards = Vec::new();
                return Ok((Tried { at: at.clone(), broken, money: None, guards, seasons: books.len() }, Vec::new()));
            }
        }
        books.sort_by_key(|(year, _)| *year);
        let books: Vec<Book> = books.into_iter().map(|(_, book)| book).collect();
        let told = beside_baseline(&study, place, (&self.base_books, &books))?;
        let broken = self.limits.broken_by(&books, &told.work);
        let money = Some(money(&told, &books));
        let guards = guards::sentences(&books);
        Ok((Tried { at: at.clone(), broken, money, guards, seasons: books.len() }, books))
    }
}

fn money(told: &Told, books: &[Book]) -> Money {
    let Told { work, bill, life_cycle } = told;
    Money {
        capital: life_cycle.capital,
        grant: life_cycle.grant,
        upkeep_per_year: life_cycle.upkeep_per_year,
        bill: *bill,
        net_present_cost: life_cycle.net_present_cost,
        longest_wait_h: books.iter().map(|book| book.tonnage.longest_wait_h).fold(0.0, f64::max),
        heat_short_pct: if work.heat_need_kwh > 0.0 { work.heat_short_kwh / work.heat_need_kwh * 100.0 } else { 0.0 },
    }
}

impl Judge for Tries<'_> {
    type Fault = Unreckoned;

    fn judge(&mut self, points: &[Point], best: &Worth) -> Result<Vec<Option<Worth>>, Unreckoned> {
        let mut anew: Vec<&Point> = Vec::new();
        let mut left = self.left();
        for point in points {
            if self.known.contains_key(point) {
                self.counts.asked_again += 1;
            } else if left >= self.posed.years.len() {
                left -= self.posed.years.len();
                anew.push(point);
            } else {
                self.is_spent = true;
            }
        }
        let may_stop = best.keeps();
        let tried = anew.into_par_iter().map(|point| Ok(self.try_one(point, may_stop)?.0));
        let tried: Vec<Tried> = tried.collect::<Result<_, Unreckoned>>()?;
        for one in tried {
            self.note(one);
        }
        Ok(points.iter().map(|point| self.known.get(point).map(Tried::worth)).collect())
    }
}
