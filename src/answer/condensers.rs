//! Where the condensers should stand: the same sources with the condensers at every place, whether the study
//! lists it or not.

mod figures;
mod flips;

use figures::{PlacementFigures, Placing, StackPlacements};

use super::build::{Season, Unreckoned, is_same_site};
use crate::cool_store::{Condensers, Placement};
use crate::dryer::AirPath;
use crate::heat::{Conditions, HeatPump, Kind, Source};
use crate::ledger::{Account, Book, Detail, middle_of};
use crate::money::SeasonBill;
use crate::season::Heating;
use crate::study::{Study, USUAL_PLACES, usual_condensers};

/// Runs the sources of these options with the condensers at every place, in every weather year. Options with
/// the same sources count once; those that take the condensers' heat otherwise are left out. Nothing
/// without a cool store.
pub(crate) fn placement_figures(season: &Season<'_>, options: &[&str]) -> Result<Vec<StackPlacements>, Unreckoned> {
    let study = season.study;
    let mut stacks: Vec<usize> = Vec::new();
    for (place, heating) in study.heatings.iter().enumerate() {
        let known = |&other: &usize| {
            let (other, own) = (&study.heatings[other], study.of_option(other));
            other.sources == heating.sources
                && other.calling == heating.calling
                && is_same_site(own, study.of_option(place))
        };
        if options.contains(&heating.name.as_str())
            && study.of_option(place).plant.store.is_some()
            && !heating.sources.iter().any(Source::lifts_condenser_heat)
            && !stacks.iter().any(known)
        {
            stacks.push(place);
        }
    }
    let of_stack = |stack: usize| {
        let site: Vec<usize> = (0..study.heatings.len())
            .filter(|&place| is_same_site(study.of_option(place), study.of_option(stack)))
            .collect();
        // On the plant that is the option's own, beside all options of the study.
        let own = Study { heatings: study.heatings.clone(), ..study.of_option(stack).clone() };
        figures_of(&Season { study: &own, ..*season }, &study.heatings[stack], &site)
    };
    stacks.into_iter().map(of_stack).collect()
}

/// `site` are the places of the options of this plant.
fn figures_of(season: &Season<'_>, stack: &Heating, site: &[usize]) -> Result<StackPlacements, Unreckoned> {
    let study = season.study;
    let heatings = at_every_place(study, stack);
    let mut placings: Vec<Placing> = heatings.iter().map(|_| Placing::default()).collect();
    // One year after the other: the books of all places in a long record would take more room than all else.
    for year in 0..season.years.len() {
        for (placing, book) in placings.iter_mut().zip(books_of(season, &heatings, site, year)) {
            placing.add(study, &book, season.years.len())?;
        }
    }
    let middle = placings.first().and_then(|outdoors| middle_of(outdoors.needs_kwh()));
    let placed = placings.into_iter().zip(&heatings).map(|(placing, heating)| placing.placed(study, heating));
    let placements = figures::compared(placed.collect::<Result<Vec<_>, _>>()?);
    let best = best_of(&placements);
    let set_temperatures_c = flips::set_temperatures_c(&study.plant);
    let shifts_tried_k = flips::tried_k(best);
    let here_c = flips::air_at_condensers_c(&study.plant, &heatings);
    Ok(StackPlacements {
        option: stack.name.clone(),
        price_flip: flips::by_price(&placements, best),
        temperature_flip: flips::by_temperature(season, &heatings, (site, middle), best)?,
        set_temperatures_c,
        shifts_tried_k,
        temperatures_tried_c: (here_c + shifts_tried_k.0, here_c + shifts_tried_k.1),
        best: placements[best].place,
        saves_most: placements[saves_most(&placements)].place,
        simpler_within_pct: WORTH_A_DAMPER * 100.0,
        placements,
    })
}

/// The books of these heatings in this year: those of the study's own options where they are the same, else run now.
fn books_of(season: &Season<'_>, heatings: &[Heating], site: &[usize], year: usize) -> Vec<Book> {
    let study = season.study;
    let known = |wanted: &Heating| {
        site.iter().copied().find(|&place| {
            let heating = &study.heatings[place];
            heating.condensers == wanted.condensers
                && heating.condensers_room == wanted.condensers_room
                && heating.sources == wanted.sources
                && heating.calling == wanted.calling
        })
    };
    let unknown: Vec<Heating> = heatings.iter().filter(|heating| known(heating).is_none()).cloned().collect();
    let plant = &study.plant;
    let references = season.references;
    let of_year = &season.years[year..=year];
    let run = references.run_all(plant, &unknown, &study.intake, of_year, Detail::Site, || ());
    let mut run = run.into_iter().flatten();
    heatings
        .iter()
        .filter_map(|heating| match known(heating) {
            Some(option) => season.books.get(option)?.get(year).cloned(),
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
            Heating { condensers, condensers_room, ..stack.clone() }
        })
        .filter(|heating| recirculates(heating.condensers_room) || !heating.condensers.place.may_stand_in_room())
        .collect()
}

/// The condensers at a place, and the room in which they stand or whose fresh air they warm: where the study
/// has none there, that of the first of its options that uses their heat anywhere.
fn as_the_study_has_them(study: &Study, place: Placement) -> (Condensers, usize) {
    let there = |heating: &&Heating| heating.condensers.place.place() == place.place();
    match study.heatings.iter().find(there) {
        Some(heating) => (heating.condensers, heating.condensers_room),
        None => (usual_condensers(place), room_of(&study.heatings)),
    }
}

/// The room of the first heating that uses the condensers' heat; the first room where none does.
fn room_of(heatings: &[Heating]) -> usize {
    heatings.iter().find(|heating| heating.condensers.place.recovers()).map_or(0, |heating| heating.condensers_room)
}

/// What one place must save above a simpler one to be preferred, as a share of what it saves: less would not
/// pay for a damper (assumption, no published source).
const WORTH_A_DAMPER: f64 = 0.02;

/// Place of the one that saves most over the period among those with which as much work is done as with the
/// condensers outdoors; of those that save as much to within [`WORTH_A_DAMPER`] the first, so that outdoors
/// goes before the plant and dampers come last.
fn best_of(placements: &[PlacementFigures]) -> usize {
    let most = placements.get(saves_most(placements)).map_or(0.0, |most| most.present_saved);
    in_question(placements).find(|&place| placements[place].present_saved >= most * (1.0 - WORTH_A_DAMPER)).unwrap_or(0)
}

/// Place of the one that saves most over the period; outdoors where none saves anything.
fn saves_most(placements: &[PlacementFigures]) -> usize {
    let saved = |place: usize| placements[place].present_saved;
    in_question(placements).fold(0, |most, place| if saved(place) > saved(most).max(0.0) { place } else { most })
}

/// Places with which as much work is done as with the condensers outdoors.
fn in_question(placements: &[PlacementFigures]) -> impl Iterator<Item = usize> {
    (0..placements.len()).filter(|&place| placements[place].keeps_up)
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
    use crate::cool_store::Place;

    fn placement(place: Place, present_saved: f64, keeps_up: bool) -> PlacementFigures {
        PlacementFigures { place, present_saved, keeps_up, ..PlacementFigures::default() }
    }

    #[test]
    fn the_best_keeps_the_store_cold_and_outdoors_wins_a_tie() {
        let at = |worth: [f64; 3], keeps_up: bool| {
            best_of(&[
                placement(Place::Outdoors, worth[0], true),
                placement(Place::Room, worth[1], keeps_up),
                placement(Place::FreshAir, worth[2], true),
            ])
        };
        assert_eq!(at([0.0, 9.0, 5.0], true), 1);
        assert_eq!(at([0.0, 9.0, 5.0], false), 2);
        assert_eq!(at([0.0, 0.0, -5.0], true), 0);
        assert_eq!(at([0.0, -9.0, -5.0], true), 0);
        // A hundredth more is not worth a less simple place.
        assert_eq!(at([0.0, 500.0, 505.0], true), 1);
        assert_eq!(at([0.0, 500.0, 520.0], true), 2);
    }
}
