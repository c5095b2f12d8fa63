//! Cooling units that would trip where their condensers stand: told of the study, before any season is run.

use crate::cool_store::Placement;
use crate::season::Heating;
use crate::study::Study;
use crate::weather::WeatherYear;

/// Condenser air above this is near the limit of cooling units made for temperate climates (ISO 5151 T1: tested
/// up to 43 °C, from memory, not verified).
const TEMPERATE_CONDENSER_AIR_C: f64 = 43.0;

/// What is doubtful about the air at an option's condensers, and what to do.
pub(super) struct HotCondensers {
    pub what: String,
    pub cure: &'static str,
}

/// Every option whose condensers get air above the limit of the units, or above what units for temperate
/// climates are made for.
pub(super) fn hot_condensers(study: &Study, years: &[WeatherYear]) -> Vec<HotCondensers> {
    let Some(store) = &study.plant.store else {
        return Vec::new();
    };
    let limit_c = store.units.condenser_air_max_c;
    let doubt = |heating: &Heating| {
        let name = &heating.name;
        let air_c = hottest_air_c(study, heating, years)?;
        if air_c > limit_c {
            let (costs, cure) = if_they_trip(heating.condensers.place)?;
            let what = format!(
                "condenser_air_max_c is {limit_c}, and air of up to {air_c:.1} °C reaches the condensers of \"{name}\", with what comes back to them (condenser_short_circuit_k is {}): {costs}",
                heating.condensers.short_circuit_k
            );
            return Some(HotCondensers { what, cure });
        }
        let stand_in_room = heating.condensers.place.may_stand_in_room();
        (stand_in_room && air_c > TEMPERATE_CONDENSER_AIR_C).then(|| HotCondensers {
            what: format!(
                "air of {air_c:.1} °C reaches the condensers of \"{name}\"; cooling units for temperate climates are made for {TEMPERATE_CONDENSER_AIR_C} °C at most"
            ),
            cure: "make sure that the cooling units are built for it",
        })
    };
    study.heatings.iter().filter_map(doubt).collect()
}

/// The hottest air that reaches an option's condensers by what is set and by the weather, °C: of the room in
/// which they stand, or of the outside air that an intake draws, each with the air that has passed them already.
/// `None` of condensers outdoors, and of an intake without weather.
fn hottest_air_c(study: &Study, heating: &Heating, years: &[WeatherYear]) -> Option<f64> {
    let around_c = match heating.condensers.place {
        Placement::Outdoors => None,
        Placement::Room | Placement::SwitchedRoom(_) => {
            let room = study.plant.rooms().nth(heating.condensers_room)?;
            room.stages.iter().map(|stage| stage.temperature_c).max_by(f64::total_cmp)
        }
        Placement::FreshAir | Placement::SwitchedFreshAir(_) => {
            let hours = years.iter().flat_map(WeatherYear::season);
            hours.map(|hour| hour.air.dry_bulb_c()).max_by(f64::total_cmp)
        }
    };
    Some(around_c? + heating.condensers.short_circuit_k)
}

/// What it means that units trip there, and what to do; `None` of condensers outdoors.
fn if_they_trip(place: Placement) -> Option<(&'static str, &'static str)> {
    let in_room = "set the room cooler, use cooling units made for hotter air, or let them stand elsewhere";
    let in_intake = "use cooling units made for hotter air";
    let goes_without = "its cooling units trip and the store goes without";
    let turns = "its damper turns them outdoors then, and nothing is recovered";
    match place {
        Placement::Outdoors => None,
        Placement::Room => Some((goes_without, in_room)),
        Placement::FreshAir => Some((goes_without, in_intake)),
        Placement::SwitchedRoom(_) => Some((turns, in_room)),
        Placement::SwitchedFreshAir(_) => Some((turns, in_intake)),
    }
}
