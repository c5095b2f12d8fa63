//! The scheme's tests of a proposal, its costs apart, its sizes with the hour that decides each, and its meters.

use super::proposed::Proposed;
use crate::answer::build::capital::is_new;
use crate::answer::figures::{CostItemFigures, MeterFigures, OptionFigures, SchemeTestFigures, SpecificationFigures};
use crate::heat::Drawn;
use crate::ledger::{Book, Entry, Hours};
use crate::money::{Bid, Test};
use crate::study::Study;
use chrono::NaiveDateTime;

/// Every test, whether it is passed or not.
pub(super) fn tests(study: &Study, bid: &Bid) -> Vec<SchemeTestFigures> {
    let per_t = format!("{}/t CO₂e", study.currency);
    let figures = |test: Test| {
        // Above zero of a test of amounts that fails.
        let (name, unit, asked, found, short_by) = match test {
            Test::Work(_) => ("it does the work", "", None, None, None),
            Test::Saving(_) => ("it saves purchased energy or carbon", "", None, None, None),
            Test::Energy { saved, least } => {
                ("purchased energy saved", "%", Some(least * 100.0), Some(saved * 100.0), Some((least - saved) * 100.0))
            }
            Test::Carbon { saved, least } => {
                ("carbon saved", "%", Some(least * 100.0), Some(saved * 100.0), Some((least - saved) * 100.0))
            }
            Test::CarbonCost { per_t: found, most } => (
                "grant per tonne of carbon saved over the period",
                per_t.as_str(),
                Some(most),
                found,
                found.map(|found| found - most),
            ),
        };
        let passed = test.is_passed();
        let short_by_unit = match test {
            Test::Energy { .. } | Test::Carbon { .. } => "percentage points",
            Test::Work(_) | Test::Saving(_) | Test::CarbonCost { .. } => unit,
        };
        SchemeTestFigures {
            name: name.to_owned(),
            unit: unit.to_owned(),
            asked,
            found,
            short_by: short_by.filter(|_| !passed),
            short_by_unit: short_by_unit.to_owned(),
            passed,
        }
    };
    study.application.grant.tests(bid).into_iter().map(figures).collect()
}

/// The proposal's capital by item, what a grant may pay a share of apart from what it may not.
pub(super) fn costs(study: &Study, base: usize, place: usize) -> Vec<CostItemFigures> {
    let items = study.costs[place].items.iter();
    items
        .map(|item| CostItemFigures {
            name: item.name.clone(),
            capital: item.capital,
            upkeep_per_year: item.upkeep_per_year,
            life_years: item.life_years,
            eligible: is_new(study, base, item),
        })
        .collect()
}

/// Sizes of the proposal: its sources, its heat, its connection and its cooling.
pub(super) fn specifications(proposal: &OptionFigures, books: &[Book]) -> Vec<SpecificationFigures> {
    let mut all: Vec<SpecificationFigures> = proposal
        .sources
        .iter()
        .enumerate()
        .map(|(at, source)| {
            let own = |book: &Book| book.sources.get(at).map_or_else(Vec::new, |own| kwh_of(&own.given));
            let (most, hour) = most(books, own);
            row(&source.name, Some(source.capacity_kw), most, hour)
        })
        .collect();
    let of_entry = |of: fn(&Entry) -> f64| most(books, |book| book.hours.iter().map(|hour| of(&hour)).collect());
    let (heat, hour) = of_entry(|hour| hour.heat_need_kwh);
    all.push(row("heat need of the plant", None, heat, hour));
    let (electricity, hour) = of_entry(Entry::site_electricity_kwh);
    all.push(row("electric connection", None, electricity, hour));
    let (cooling, hour) = of_entry(|hour| hour.store_cooling_kwh);
    if cooling > 0.0 {
        all.push(row("cooling of the store", None, cooling, hour));
    }
    all
}

fn row(name: &str, size: Option<f64>, most: f64, at: Option<NaiveDateTime>) -> SpecificationFigures {
    SpecificationFigures { name: name.to_owned(), size, most, unit: "kW".to_owned(), at }
}

/// Heat of a source in each hour, kWh.
fn kwh_of(given: &Hours<Drawn>) -> Vec<f64> {
    given.iter().map(|drawn| drawn.heat_kwh).collect()
}

/// The most of something that each hour has, in any hour of any year, and when; the first where several are alike.
fn most(books: &[Book], of: impl Fn(&Book) -> Vec<f64>) -> (f64, Option<NaiveDateTime>) {
    let hours = books.iter().flat_map(|book| of(book).into_iter().enumerate().map(move |(hour, kw)| (kw, book, hour)));
    let found = hours.fold(
        None,
        |most: Option<(f64, &Book, usize)>, (kw, book, hour)| {
            if most.is_some_and(|most| most.0 >= kw) { most } else { Some((kw, book, hour)) }
        },
    );
    let Some((kw, book, hour)) = found else {
        return (0.0, None);
    };
    (kw, book.hours.get(hour).filter(|_| kw > 0.0).map(|hour| hour.starts))
}

/// How often what goes by the hour is measured. Source: common practice, no published source; the model's own step.
const HOUR: &str = "every hour, a season before and one after";

/// What must be measured before and after, so that the saving can be shown: by the energy of the parts that change, and
/// of the whole site (options B and C of the international protocol for measurement and verification; its text was not
/// read, from memory, not verified). Source of where and how often each is measured: common practice, no published
/// source.
pub(super) fn meters(study: &Study, proposed: &Proposed<'_>) -> Vec<MeterFigures> {
    let &Proposed { base, proposal, base_place, place, .. } = proposed;
    let row = |what: &str, by: &str, every: &str, serves: &str| MeterFigures {
        what: what.to_owned(),
        by: by.to_owned(),
        every: every.to_owned(),
        serves: serves.to_owned(),
    };
    let mut all = vec![row(
        "electricity of the whole site",
        "the supplier’s meter, by its interval",
        "every quarter of an hour, a season before and one after",
        "bill, peak demand, carbon of scope 2",
    )];
    let names = base.carriers.keys().chain(proposal.carriers.keys());
    let mut fuels: Vec<&String> = names.filter(|name| *name != crate::money::ELECTRICITY).collect();
    fuels.sort_unstable();
    fuels.dedup();
    for fuel in fuels {
        let by = "a meter on its line, or stock and deliveries weighed";
        all.push(row(fuel, by, "every day, a season before and one after", "bill, carbon of scope 1"));
    }
    all.push(row(
        "electricity of drying fans and of new sources",
        "a meter of their own at the distribution board",
        HOUR,
        "what the parts that change take",
    ));
    if [base_place, place].into_iter().any(|own| study.of_option(own).plant.store.is_some()) {
        all.push(row("electricity of the cooling units", "a meter of their own", HOUR, "the store apart from drying"));
    }
    all.push(row(
        "nuts received and dried",
        "every load weighed, its moisture sampled in and out",
        "every load and batch",
        "saving for each kilogram of water, so that seasons of unlike crops compare",
    ));
    all.push(row(
        "air outside, and before the nuts",
        "temperature and humidity",
        HOUR,
        "this model run with the season’s own weather and nuts, as the adjusted baseline",
    ));
    all
}
