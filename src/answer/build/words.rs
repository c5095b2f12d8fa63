//! An option in words: what heats, and where the condensers stand.

use crate::answer::figures::FreeHeatFrom;
use crate::answer::places::PlaceWords;
use crate::heat::FreeHeat;
use crate::number::{Digits, Measure};
use crate::season::{Calling, Heating, Plant};

/// What heats and where the condensers stand; of a plant that options change, the option's own.
pub(super) fn describe(plant: &Plant, heating: &Heating) -> String {
    let measure = Measure::heat("kW");
    let sources: Vec<String> = heating
        .sources
        .iter()
        .map(|source| {
            format!(
                "{} ({}, {:.0} {})",
                source.name,
                source.kind.says().words(),
                Digits(measure.value(source.capacity_kw)),
                measure.sign()
            )
        })
        .collect();
    let sources = sources.join(match heating.calling {
        Calling::Ordered | Calling::OrderedByHour(_) => ", then ",
        Calling::CheapestFirst(_) => ", or by the hour's price ",
    });
    // Without a cool store there are none.
    if plant.store.is_none() {
        return sources;
    }
    let room = plant.named_room(heating.condensers_room);
    let stand = PlaceWords::of(heating.condensers.place.place(), room).stand;
    match heating.condensers.units {
        Some(1) => format!("{sources}; condensers of one cooling unit {stand}"),
        Some(units) => format!("{sources}; condensers of {units} cooling units {stand}"),
        None => format!("{sources}; condensers {stand}"),
    }
}

pub(super) fn free_heat_from(free: FreeHeat) -> FreeHeatFrom {
    match free {
        FreeHeat::OutsideAir => FreeHeatFrom::OutsideAir,
        FreeHeat::LeavingAir => FreeHeatFrom::LeavingAir,
        FreeHeat::Sun => FreeHeatFrom::Sun,
        FreeHeat::CondenserWater => FreeHeatFrom::CondenserWater,
        FreeHeat::Vapour => FreeHeatFrom::Vapour,
    }
}
