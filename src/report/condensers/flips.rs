//! What would change the ranking of places: the price of electricity, and how warm the drying air is.

use super::figures::{PlacementFigures, PriceFlip, TemperatureFlip, reckon};
use super::{Book, Heating, Season, Unreckoned, WORTH_A_DAMPER, best_of, room_of};
use crate::ledger::middle_year;
use crate::season::{Plant, run_all};

/// Steps by which the drying air is set warmer or cooler, K.
const STEPS_K: [f64; 3] = [3.0, 6.0, 10.0];

/// The price nearest to the present one beyond which another place is best, by the rule that says which is.
/// Money is linear in the price of electricity while every source is called on as it is: a part of the
/// answer for options that go by price.
pub(super) fn by_price(placements: &[PlacementFigures], best: usize) -> Option<PriceFlip> {
    /// Share by which the price goes on beyond a crossing, to see what is best there.
    const BEYOND: f64 = 1e-6;
    let able = || placements.iter().filter(|placement| placement.keeps_up);
    let mut factors: Vec<f64> = able()
        .flat_map(|one| able().map(move |other| (one, other)))
        .flat_map(|(one, other)| [1.0, 1.0 - WORTH_A_DAMPER].map(|of| crossing(one, other, of)))
        .filter(|factor| factor.is_finite() && *factor > 1e-3 && *factor < 1e3)
        .collect();
    let far = |factor: &f64| factor.ln().abs();
    factors.sort_by(|a, b| far(a).total_cmp(&far(b)));
    factors.into_iter().find_map(|electricity_factor| {
        let beyond = electricity_factor.ln().signum() * BEYOND;
        let found = best_at(placements, electricity_factor * (1.0 + beyond));
        (found != best)
            .then(|| PriceFlip { electricity_factor, becomes: placements[found].place.clone() })
    })
}

/// Electricity this many times as dear makes the first worth a share of what the second is.
fn crossing(one: &PlacementFigures, other: &PlacementFigures, share: f64) -> f64 {
    let electricity = one.electricity_money() - share * other.electricity_money();
    let fuel = one.displaced_fuel_money - share * other.displaced_fuel_money;
    // electricity x factor + fuel = 0; what does not move with the price crosses nowhere.
    -fuel / electricity
}

/// Place of the best with electricity so many times as dear.
fn best_at(placements: &[PlacementFigures], electricity_factor: f64) -> usize {
    let priced: Vec<PlacementFigures> = placements
        .iter()
        .map(|placement| PlacementFigures {
            net_money: placement.electricity_money() * electricity_factor
                + placement.displaced_fuel_money,
            ..placement.clone()
        })
        .collect();
    best_of(&priced)
}

/// Set temperature of the wettest stage, °C, in the room of these heatings' condensers.
fn set_c(plant: &Plant, heatings: &[Heating]) -> f64 {
    let room = plant.rooms().nth(room_of(heatings));
    room.and_then(|room| room.stages.first()).map_or(0.0, |stage| stage.temperature_c)
}

/// Warmer air is what speaks against condensers in it; where they stay outdoors, cooler air for them.
fn direction(best: usize) -> f64 {
    if best == 0 { -1.0 } else { 1.0 }
}

/// Lowest and highest set temperature that [`by_temperature`] tries, °C.
pub(super) fn tried_c(plant: &Plant, heatings: &[Heating], best: usize) -> (f64, f64) {
    let now = set_c(plant, heatings);
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
    let (heatings, books): (Vec<Heating>, Vec<&Vec<Book>>) =
        tried.iter().map(|&place| (heatings[place].clone(), &books[place])).unzip();
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
    let now_c = set_c(&study.plant, &heatings);
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

    /// Worked by hand: a damper that is worth 40.5 against the room's 40 does not pay, and the dearer the
    /// electricity, the more it is worth against the room: 100 - 60 f is 0.98 (80.5 - 40 f) at f = 1.0149.
    /// It is worth as much as the room at f = 0.975, below which nothing changes.
    #[test]
    fn a_damper_hardly_worth_more_is_told_of_where_it_pays() {
        let places = [
            placement("outdoors", 0.0, 0.0),
            placement("room", -60.0, 100.0),
            placement("switched-room", -40.0, 80.5),
        ];
        assert_eq!(best_of(&places), 1);
        let flip = by_price(&places, 1).expect("a flip");
        assert_eq!(flip.becomes, "switched-room");
        let paying = (100.0 - 0.98 * 80.5) / (60.0 - 0.98 * 40.0);
        assert!((flip.electricity_factor - paying).abs() < 1e-9, "{flip:?}");
    }

    /// Worked by hand: 100 of fuel saved for 60 of electricity is worth nothing when electricity costs 5/3.
    #[test]
    fn a_price_at_which_the_penalty_eats_the_fuel_saved() {
        let places = [
            placement("outdoors", 0.0, 0.0),
            placement("room", -60.0, 100.0),
            placement("fresh-air", -10.0, 30.0),
        ];
        // Fresh air overtakes the room at 70/50, and is worth a fiftieth more of itself a little later, before
        // outdoors overtakes at 100/60.
        let flip = by_price(&places, 1).expect("a flip");
        assert_eq!(flip.becomes, "fresh-air");
        assert!(
            (flip.electricity_factor - (100.0 - 0.98 * 30.0) / (60.0 - 0.98 * 10.0)).abs() < 1e-12
        );
        let flip = by_price(&places[..2], 1).expect("a flip");
        assert!((flip.electricity_factor - 5.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn where_all_is_electricity_no_price_changes_the_ranking() {
        let places = [placement("outdoors", 0.0, 0.0), placement("room", 50.0, 0.0)];
        assert_eq!(by_price(&places, 1), None);
    }
}
