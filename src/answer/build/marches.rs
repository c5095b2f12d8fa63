//! The seasons of every option of a study, each on the plant that is its own.

use crate::ledger::{Book, Detail};
use crate::season::References;
use crate::study::Study;
use crate::weather::WeatherYear;
use rayon::prelude::*;

/// True if two studies have the same plant, and the same nuts come to it in the same weather.
pub(in crate::answer) fn is_same_site(one: &Study, other: &Study) -> bool {
    one.plant == other.plant && is_same_season(one, other)
}

/// True if the same nuts come in the same weather.
fn is_same_season(one: &Study, other: &Study) -> bool {
    one.intake == other.intake && one.weather.warmer_by_k == other.weather.warmer_by_k
}

/// True if two studies dry the same nuts in the same rooms, whatever their cool stores: they share paths.
pub(in crate::answer) fn is_same_dryer(one: &Study, other: &Study) -> bool {
    one.plant.dries_as(&other.plant) && is_same_season(one, other)
}

/// Places of these options, by plant and intake, in the order in which the first of each comes.
pub(in crate::answer) fn by_site(study: &Study, places: impl IntoIterator<Item = usize>) -> Vec<Vec<usize>> {
    let mut sites: Vec<Vec<usize>> = Vec::new();
    for place in places {
        match sites.iter_mut().find(|site| is_same_site(study.of_option(site[0]), study.of_option(place))) {
            Some(site) => site.push(place),
            None => sites.push(vec![place]),
        }
    }
    sites
}

/// The march of an option of another study than the one that was run: along the paths that are there where it dries as
/// `known` does, else by itself.
pub(super) fn march_beside(
    (known, references): (&Study, &References),
    (with, place): (&Study, usize),
    year: &WeatherYear,
) -> Book {
    let (own, heating) = (with.of_option(place), &with.heatings[place]);
    if is_same_dryer(own, known) {
        references.run_beside_others(&own.plant, heating, &own.intake, year)
    } else {
        References::default().run_option(&own.plant, heating, &own.intake, year)
    }
}

/// Runs every option in every weather year. Books by option, then year. `done` is called as each ends.
pub(crate) fn run_study(
    study: &Study,
    references: &References,
    years: &[WeatherYear],
    detail: Detail,
    done: impl Fn() + Sync,
) -> Vec<Vec<Book>> {
    let sites = by_site(study, 0..study.heatings.len());
    let run = |site: &Vec<usize>| {
        let own = study.of_option(site[0]);
        let heatings: Vec<_> = site.iter().map(|&place| study.heatings[place].clone()).collect();
        references.run_all(&own.plant, &heatings, &own.intake, years, detail, &done)
    };
    let ran: Vec<Vec<Vec<Book>>> = sites.par_iter().map(run).collect();
    let mut all: Vec<(usize, Vec<Book>)> = sites.into_iter().flatten().zip(ran.into_iter().flatten()).collect();
    all.sort_unstable_by_key(|(place, _)| *place);
    all.into_iter().map(|(_, books)| books).collect()
}
