//! What would change the ranking of places: the price of electricity, and how warm the drying air is.

use super::figures::{Placed, PlacementFigures, Placing, PriceFlip, TemperatureFlip, compared};
use super::{Book, Heating, Season, Unreckoned, WORTH_A_DAMPER, best_of, books_of};
use crate::ledger::Detail;
use crate::season::Plant;

/// Steps by which all drying air is set warmer or cooler, K.
const STEPS_K: [f64; 3] = [3.0, 6.0, 10.0];

/// Between the last step at which the best is still the best and the first at which it is not, K: nearer
/// together they are not told apart.
const RESOLVED_K: f64 = 1.0;

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
        (found != best).then(|| PriceFlip { electricity_factor, becomes: placements[found].place })
    })
}

/// Electricity this many times as dear makes the first save a share of what the second does.
fn crossing(one: &PlacementFigures, other: &PlacementFigures, share: f64) -> f64 {
    let electricity = one.present_electricity_saved - share * other.present_electricity_saved;
    let fuel = one.present_fuel_saved - share * other.present_fuel_saved;
    // electricity x factor + fuel = 0; what does not move with the price crosses nowhere.
    -fuel / electricity
}

/// Place of the best with electricity so many times as dear.
fn best_at(placements: &[PlacementFigures], electricity_factor: f64) -> usize {
    let priced: Vec<PlacementFigures> = placements
        .iter()
        .map(|placement| PlacementFigures {
            present_saved: placement.present_electricity_saved * electricity_factor + placement.present_fuel_saved,
            ..placement.clone()
        })
        .collect();
    best_of(&priced)
}

/// Set temperatures of all heated stages of all rooms in their order, each once, °C.
pub(super) fn set_temperatures_c(plant: &Plant) -> Vec<f64> {
    let mut all: Vec<f64> = Vec::new();
    for stage in plant.rooms().flat_map(|room| &room.stages).filter(|s| s.is_heated()) {
        if !all.contains(&stage.temperature_c) {
            all.push(stage.temperature_c);
        }
    }
    all
}

/// Set temperature of the wettest heated stage in the room where these would have the condensers, °C: the
/// first of them that does not have them outdoors says which room.
pub(super) fn air_at_condensers_c(plant: &Plant, heatings: &[Heating]) -> f64 {
    let indoors = heatings.iter().find(|heating| heating.condensers.place.recovers());
    let room = plant.rooms().nth(indoors.map_or(0, |heating| heating.condensers_room));
    let heated = room.and_then(|room| room.stages.iter().find(|stage| stage.is_heated()));
    heated.map_or(0.0, |stage| stage.temperature_c)
}

/// Warmer air is what speaks against condensers in it; where they stay outdoors, cooler air for them.
fn direction(best: usize) -> f64 {
    if best == 0 { -1.0 } else { 1.0 }
}

/// Lowest and highest shift of all set temperatures that [`by_temperature`] tries, K.
pub(super) fn tried_k(best: usize) -> (f64, f64) {
    let last = direction(best) * STEPS_K[STEPS_K.len() - 1];
    (last.min(0.0), last.max(0.0))
}

/// Runs all places again with every stage of every room set warmer (or, where outdoors is best, cooler) in
/// steps, in the weather year of middle heat need, until another than what is best in that year is; then halves
/// the step until the two are [`RESOLVED_K`] apart. `site` are the places of the options of this plant, `middle` that
/// year.
pub(super) fn by_temperature(
    season: &Season<'_>,
    heatings: &[Heating],
    (site, middle): (&[usize], Option<usize>),
    best: usize,
) -> Result<Option<TemperatureFlip>, Unreckoned> {
    let study = season.study;
    let Some(year) = middle else {
        return Ok(None);
    };
    let best_now = best_of(&ranked(season, heatings, books_of(season, heatings, site, year))?);
    let warmer = direction(best);
    let at = |shift_k: f64| -> Result<(usize, Vec<PlacementFigures>), Unreckoned> {
        let plant = set_warmer(&study.plant, warmer * shift_k);
        let years = &season.years[year..=year];
        let references = season.references;
        let moved = references.run_all(&plant, heatings, &study.intake, years, Detail::Site, || ());
        let placements = ranked(season, heatings, moved.into_iter().flatten())?;
        Ok((best_of(&placements), placements))
    };
    let mut still_k = 0.0;
    for step_k in STEPS_K {
        let (mut found, mut placements) = at(step_k)?;
        if found == best_now {
            still_k = step_k;
            continue;
        }
        let mut no_more_k = step_k;
        while no_more_k - still_k > RESOLVED_K {
            let between_k = f64::midpoint(still_k, no_more_k);
            let (there, at_there) = at(between_k)?;
            if there == best_now {
                still_k = between_k;
            } else {
                no_more_k = between_k;
                (found, placements) = (there, at_there);
            }
        }
        let here_c = air_at_condensers_c(&study.plant, heatings);
        return Ok(Some(TemperatureFlip {
            still_c: here_c + warmer * still_k,
            no_more_c: here_c + warmer * no_more_k,
            still_shift_k: warmer * still_k,
            no_more_shift_k: warmer * no_more_k,
            becomes: placements[found].place,
        }));
    }
    Ok(None)
}

/// Places compared by their books of one year.
fn ranked(
    season: &Season<'_>,
    heatings: &[Heating],
    books: impl IntoIterator<Item = Book>,
) -> Result<Vec<PlacementFigures>, Unreckoned> {
    let placed = |(heating, book): (&Heating, Book)| -> Result<Placed, Unreckoned> {
        let mut placing = Placing::default();
        placing.add(season.study, &book, 1)?;
        placing.placed(season.study, heating)
    };
    Ok(compared(heatings.iter().zip(books).map(placed).collect::<Result<Vec<Placed>, _>>()?))
}

/// The plant with every stage of its rooms' air set so much warmer.
fn set_warmer(plant: &Plant, by_k: f64) -> Plant {
    let mut changed = plant.clone();
    for room in &mut changed.rooms {
        for stage in &mut room.stages {
            stage.temperature_c += by_k;
        }
    }
    changed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cool_store::Place;

    fn placement(place: Place, electricity: f64, fuel: f64) -> PlacementFigures {
        PlacementFigures {
            place,
            present_electricity_saved: electricity,
            present_fuel_saved: fuel,
            present_saved: electricity + fuel,
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
            placement(Place::Outdoors, 0.0, 0.0),
            placement(Place::Room, -60.0, 100.0),
            placement(Place::SwitchedRoom, -40.0, 80.5),
        ];
        assert_eq!(best_of(&places), 1);
        let flip = by_price(&places, 1).expect("a flip");
        assert_eq!(flip.becomes, Place::SwitchedRoom);
        let paying = (100.0 - 0.98 * 80.5) / (60.0 - 0.98 * 40.0);
        assert!((flip.electricity_factor - paying).abs() < 1e-9, "{flip:?}");
    }

    /// Worked by hand: 100 of fuel saved for 60 of electricity is worth nothing when electricity costs 5/3.
    #[test]
    fn a_price_at_which_the_penalty_eats_the_fuel_saved() {
        let places = [
            placement(Place::Outdoors, 0.0, 0.0),
            placement(Place::Room, -60.0, 100.0),
            placement(Place::FreshAir, -10.0, 30.0),
        ];
        // Fresh air overtakes the room at 70/50, and is worth a fiftieth more of itself a little later, before
        // outdoors overtakes at 100/60.
        let flip = by_price(&places, 1).expect("a flip");
        assert_eq!(flip.becomes, Place::FreshAir);
        assert!((flip.electricity_factor - (100.0 - 0.98 * 30.0) / (60.0 - 0.98 * 10.0)).abs() < 1e-12);
        let flip = by_price(&places[..2], 1).expect("a flip");
        assert!((flip.electricity_factor - 5.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn where_all_is_electricity_no_price_changes_the_ranking() {
        let places = [placement(Place::Outdoors, 0.0, 0.0), placement(Place::Room, 50.0, 0.0)];
        assert_eq!(by_price(&places, 1), None);
    }
}
