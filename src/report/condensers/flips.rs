//! What would change the ranking of places: the price of electricity, and how warm the drying air is.

use super::figures::{PlacementFigures, PriceFlip, TemperatureFlip, reckon};
use super::{Book, Heating, Season, Study, Unreckoned, best_of};
use crate::ledger::middle_year;
use crate::season::{Plant, run_all};

/// Steps by which the drying air is set warmer or cooler, K.
const STEPS_K: [f64; 3] = [3.0, 6.0, 10.0];

/// The price nearest to the present one at which another place is best. Money is linear in the price of
/// electricity while every source is called on as it is: a part of the answer for options that go by price.
pub(super) fn by_price(placements: &[PlacementFigures], best: usize) -> Option<PriceFlip> {
    let now = &placements[best];
    let crossing = |other: &PlacementFigures| {
        let electricity = other.electricity_money() - now.electricity_money();
        let fuel = other.displaced_fuel_money - now.displaced_fuel_money;
        // electricity x factor + fuel = 0; what does not move with the price crosses nowhere.
        let factor = -fuel / electricity;
        (factor.is_finite() && factor > 1e-3 && factor < 1e3).then_some(factor)
    };
    placements
        .iter()
        .enumerate()
        .filter(|(place, other)| *place != best && other.keeps_up)
        .filter_map(|(_, other)| {
            Some(PriceFlip {
                electricity_factor: crossing(other)?,
                becomes: other.place.clone(),
            })
        })
        .min_by(|a, b| {
            let far = |flip: &PriceFlip| flip.electricity_factor.ln().abs();
            far(a).total_cmp(&far(b))
        })
}

/// Set temperature of the wettest stage, °C.
fn set_c(plant: &Plant) -> f64 {
    plant
        .room
        .stages
        .first()
        .map_or(0.0, |stage| stage.temperature_c)
}

/// Warmer air is what speaks against condensers in it; where they stay outdoors, cooler air for them.
fn direction(best: usize) -> f64 {
    if best == 0 { -1.0 } else { 1.0 }
}

/// Lowest and highest set temperature that [`by_temperature`] tries, °C.
pub(super) fn tried_c(study: &Study, best: usize) -> (f64, f64) {
    let now = set_c(&study.plant);
    let last = now + direction(best) * STEPS_K[STEPS_K.len() - 1];
    (now.min(last), now.max(last))
}

/// Runs the places again with all stages set warmer (or, where outdoors is best, cooler) in steps, in the
/// weather year of middle heat need, until another than what is best in that year is. `books` are those of
/// the places, outdoors first.
pub(super) fn by_temperature(
    season: &Season<'_>,
    heatings: &[Heating],
    books: &[Vec<Book>],
    best: usize,
) -> Result<Option<TemperatureFlip>, Unreckoned> {
    let study = season.study;
    let Some(year) = books.first().and_then(|outdoors| middle_year(outdoors)) else {
        return Ok(None);
    };
    // Dampers change little: of the places with one only what is best now is tried again.
    let tried: Vec<usize> = (0..heatings.len())
        .filter(|&place| place == best || !heatings[place].name.starts_with("switched"))
        .collect();
    let (heatings, books): (Vec<Heating>, Vec<&Vec<Book>>) = tried
        .iter()
        .map(|&place| (heatings[place].clone(), &books[place]))
        .unzip();
    let ranked = |books: &[&[Book]]| -> Result<Vec<PlacementFigures>, Unreckoned> {
        heatings
            .iter()
            .zip(books)
            .map(|(heating, books)| reckon(study, heating.condensers.place, books))
            .collect()
    };
    let now: Vec<&[Book]> = books.iter().map(|books| &books[year..=year]).collect();
    let mut placements = ranked(&now)?;
    let outdoors = placements[0].clone();
    let best = best_among(&mut placements, &outdoors);
    let warmer = direction(tried[best]);
    let now_c = set_c(&study.plant);
    let mut still_c = now_c;
    for step in STEPS_K {
        let shift_k = warmer * step;
        let plant = set_warmer(&study.plant, shift_k);
        let year = &season.years[year..=year];
        // Outdoors nothing depends on the drying air: its figures hold.
        let moved = run_all(&plant, &heatings[1..], &study.intake, year, || ());
        let mut all = vec![now[0]];
        all.extend(moved.iter().map(Vec::as_slice));
        let mut placements = ranked(&all)?;
        let found = best_among(&mut placements, &outdoors);
        if found != best {
            return Ok(Some(TemperatureFlip {
                still_c,
                no_more_c: now_c + shift_k,
                becomes: placements[found].place.clone(),
            }));
        }
        still_c = now_c + shift_k;
    }
    Ok(None)
}

fn best_among(placements: &mut [PlacementFigures], outdoors: &PlacementFigures) -> usize {
    for placement in placements.iter_mut() {
        placement.keeps_up = placement.keeps_up_as_well_as(outdoors);
    }
    best_of(placements)
}

/// The plant with every stage of its rooms' air set so much warmer.
fn set_warmer(plant: &Plant, by_k: f64) -> Plant {
    let mut changed = plant.clone();
    let further = changed.further_rooms.iter_mut().map(|room| &mut room.spec);
    for room in std::iter::once(&mut changed.room).chain(further) {
        for stage in &mut room.stages {
            stage.temperature_c += by_k;
        }
    }
    changed
}

#[cfg(test)]
mod tests {
    use super::*;

    fn placement(place: &str, electricity: f64, fuel: f64) -> PlacementFigures {
        PlacementFigures {
            place: place.to_owned(),
            displaced_electricity_money: electricity,
            displaced_fuel_money: fuel,
            net_money: electricity + fuel,
            keeps_up: true,
            ..PlacementFigures::default()
        }
    }

    /// Worked by hand: 100 of fuel saved for 60 of electricity is worth nothing when electricity costs 5/3.
    #[test]
    fn a_price_at_which_the_penalty_eats_the_fuel_saved() {
        let places = [
            placement("outdoors", 0.0, 0.0),
            placement("room", -60.0, 100.0),
            placement("fresh-air", -10.0, 30.0),
        ];
        // Fresh air overtakes the room at 70/50 before outdoors does at 100/60.
        let flip = by_price(&places, 1).expect("a flip");
        assert_eq!(flip.becomes, "fresh-air");
        assert!((flip.electricity_factor - 1.4).abs() < 1e-12);
        let flip = by_price(&places[..2], 1).expect("a flip");
        assert!((flip.electricity_factor - 5.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn where_all_is_electricity_no_price_changes_the_ranking() {
        let places = [
            placement("outdoors", 0.0, 0.0),
            placement("room", 50.0, 0.0),
        ];
        assert_eq!(by_price(&places, 1), None);
    }
}
