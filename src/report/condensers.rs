//! Where the condensers should stand: the same sources with the condensers at every place, whether the study
//! lists it or not.

mod figures;
mod flips;

pub use figures::{PlacementFigures, PriceFlip, StackPlacements, TemperatureFlip};

use super::build::{Season, Unreckoned};
use crate::cool_store::{Condensers, Placement};
use crate::dryer::AirPath;
use crate::heat::{AirState, Conditions, HeatPump, Kind, Source};
use crate::ledger::{Account, Book, GuardKind};
use crate::money::SeasonBill;
use crate::season::{Heating, run_all};
use crate::study::{Study, USUAL_PLACES, usual_condensers};

/// Runs the sources of these options with the condensers at every place, in every weather year. Options with
/// the same sources count once; those that take the condensers' heat otherwise are left out. Nothing
/// without a cool store.
pub fn placement_figures(
    season: &Season<'_>,
    options: &[&str],
) -> Result<Vec<StackPlacements>, Unreckoned> {
    let study = season.study;
    if study.plant.store.is_none() {
        return Ok(Vec::new());
    }
    let mut stacks: Vec<&Heating> = Vec::new();
    for heating in &study.heatings {
        let lifts = |source: &Source| matches!(source.kind, Kind::WaterHeatPump(_));
        let known =
            |other: &&Heating| other.sources == heating.sources && other.calling == heating.calling;
        if options.contains(&heating.name.as_str())
            && !heating.sources.iter().any(lifts)
            && !stacks.iter().any(known)
        {
            stacks.push(heating);
        }
    }
    stacks.into_iter().map(|stack| figures_of(season, stack)).collect()
}

fn figures_of(season: &Season<'_>, stack: &Heating) -> Result<StackPlacements, Unreckoned> {
    let study = season.study;
    let heatings = at_every_place(study, stack);
    let books = books_of(season, &heatings);
    let mut placements = heatings
        .iter()
        .zip(&books)
        .map(|(heating, books)| figures::reckon(study, heating.condensers.place, books))
        .collect::<Result<Vec<_>, _>>()?;
    let outdoors = placements[0].clone();
    for placement in &mut placements {
        placement.bill_saved = outdoors.bill - placement.bill;
        placement.keeps_up = placement.keeps_up_as_well_as(&outdoors);
    }
    let best = best_of(&placements);
    Ok(StackPlacements {
        option: stack.name.clone(),
        price_flip: flips::by_price(&placements, best),
        temperature_flip: flips::by_temperature(season, &heatings, &books, best)?,
        temperatures_tried_c: flips::tried_c(&study.plant, &heatings, best),
        best: placements[best].place.clone(),
        placements,
    })
}

/// The books of these heatings: those of the study's own options where they are the same, else run now.
fn books_of(season: &Season<'_>, heatings: &[Heating]) -> Vec<Vec<Book>> {
    let study = season.study;
    let known = |wanted: &Heating| {
        study.heatings.iter().position(|heating| {
            heating.condensers == wanted.condensers
                && heating.condensers_room == wanted.condensers_room
                && heating.sources == wanted.sources
                && heating.calling == wanted.calling
        })
    };
    let unknown: Vec<Heating> =
        heatings.iter().filter(|heating| known(heating).is_none()).cloned().collect();
    let plant = &study.plant;
    let mut run = run_all(plant, &unknown, &study.intake, season.years, || ()).into_iter();
    heatings
        .iter()
        .filter_map(|heating| match known(heating) {
            Some(option) => season.books.get(option).cloned(),
            None => run.next(),
        })
        .collect()
}

/// The stack with its condensers outdoors, then at every place where this plant may have them: as the study's
/// own option has them there, or as they usually stand.
fn at_every_place(study: &Study, stack: &Heating) -> Vec<Heating> {
    let recirculates = |room: usize| {
        let room = study.plant.rooms().nth(room);
        room.is_some_and(|room| room.air == AirPath::Recirculating)
    };
    USUAL_PLACES
        .iter()
        .map(|&place| {
            let (condensers, condensers_room) = as_the_study_has_them(study, place);
            Heating {
                name: figures::name_of(place).to_owned(),
                condensers,
                condensers_room,
                ..stack.clone()
            }
        })
        .filter(|heating| {
            recirculates(heating.condensers_room) || !heating.condensers.place.may_stand_in_room()
        })
        .collect()
}

/// The condensers at a place, and the room in which they stand or whose fresh air they warm: where the study
/// has none there, that of the first of its options that uses their heat anywhere.
fn as_the_study_has_them(study: &Study, place: Placement) -> (Condensers, usize) {
    let there =
        |heating: &&Heating| figures::name_of(heating.condensers.place) == figures::name_of(place);
    match study.heatings.iter().find(there) {
        Some(heating) => (heating.condensers, heating.condensers_room),
        None => (usual_condensers(place), room_of(&study.heatings)),
    }
}

/// The room of the first heating that uses the condensers' heat; the first room where none does.
fn room_of(heatings: &[Heating]) -> usize {
    heatings
        .iter()
        .find(|heating| heating.condensers.place.recovers())
        .map_or(0, |heating| heating.condensers_room)
}

/// What one place must be worth above a simpler one to be preferred, as a share of its worth: less would not
/// pay for a damper.
const WORTH_A_DAMPER: f64 = 0.02;

/// Place of the one that is worth most among those with which the store keeps up; of those worth as much to
/// within [`WORTH_A_DAMPER`] the first, so that outdoors goes before the plant and dampers come last.
fn best_of(placements: &[PlacementFigures]) -> usize {
    let able = |place: &usize| placements[*place].keeps_up;
    let worth = |place: usize| placements[place].net_money;
    let most = (0..placements.len()).filter(able).map(worth).fold(0.0, f64::max);
    (0..placements.len())
        .filter(able)
        .find(|&place| worth(place) >= most * (1.0 - WORTH_A_DAMPER))
        .unwrap_or(0)
}

/// The study's own air-source heat pump, or a usual one: what recovered heat is compared with.
fn heat_pump_of(study: &Study) -> HeatPump {
    study
        .heatings
        .iter()
        .flat_map(|heating| &heating.sources)
        .find_map(|source| match &source.kind {
            Kind::HeatPump(pump) => Some(pump.clone()),
            _ => None,
        })
        .unwrap_or(HeatPump::USUAL)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn placement(place: &str, net_money: f64, keeps_up: bool) -> PlacementFigures {
        PlacementFigures {
            place: place.to_owned(),
            net_money,
            keeps_up,
            ..PlacementFigures::default()
        }
    }

    #[test]
    fn the_best_keeps_the_store_cold_and_outdoors_wins_a_tie() {
        let at = |worth: [f64; 3], keeps_up: bool| {
            best_of(&[
                placement("outdoors", worth[0], true),
                placement("room", worth[1], keeps_up),
                placement("fresh-air", worth[2], true),
            ])
        };
        assert_eq!(at([0.0, 9.0, 5.0], true), 1);
        assert_eq!(at([0.0, 9.0, 5.0], false), 2);
        assert_eq!(at([0.0, 0.0, -5.0], true), 0);
        // A hundredth more is not worth a less simple place.
        assert_eq!(at([0.0, 500.0, 505.0], true), 1);
        assert_eq!(at([0.0, 500.0, 520.0], true), 2);
    }
}
