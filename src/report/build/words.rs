//! An option in words: what heats, and where the condensers stand.

use crate::cool_store::{Condensers, Placement};
use crate::heat::{FreeHeat, Kind};
use crate::report::figures::FreeHeatFrom;
use crate::season::{Calling, Heating};

pub(super) fn describe(heating: &Heating) -> String {
    let sources: Vec<String> = heating
        .sources
        .iter()
        .map(|source| {
            format!(
                "{} ({}, {:.0} kW)",
                source.name,
                kind_in_words(&source.kind),
                source.capacity_kw
            )
        })
        .collect();
    format!(
        "{}; condensers {}",
        sources.join(match heating.calling {
            Calling::Ordered | Calling::OrderedByHour(_) => ", then ",
            Calling::CheapestFirst(_) => ", or by the hour's price ",
        }),
        condensers_in_words(&heating.condensers)
    )
}

fn condensers_in_words(condensers: &Condensers) -> String {
    let place = match condensers.place {
        Placement::Outdoors => "outdoors",
        Placement::FreshAir => "in the fresh-air intake",
        Placement::Room => "in the drying room",
        Placement::SwitchedRoom(_) => "in the drying room while their heat is wanted",
        Placement::SwitchedFreshAir(_) => "in the fresh-air intake while their heat is wanted",
    };
    match condensers.units {
        Some(units) => format!("of {units} units {place}"),
        None => place.to_owned(),
    }
}

pub(super) fn kind_in_words(kind: &Kind) -> &'static str {
    match kind {
        Kind::Resistance(_) => "electric resistance",
        Kind::Burner(_) => "indirect burner",
        Kind::OpenFlame(_) => "direct burner, whose flue gas passes the nuts",
        Kind::Biomass(_) => "biomass heater",
        Kind::HotWater(_) => "hot-water coil with its own boiler",
        Kind::HeatPump(_) => "air-source heat pump",
        Kind::WaterHeatPump(_) => "heat pump on the condensers' water",
        Kind::Dehumidifier(_) => "dehumidifying heat pump",
        Kind::Exchanger(_) => "exhaust-to-intake exchanger",
        Kind::Collector(_) => "solar air collector",
        Kind::HeatStore(_) => "heat store, charged by another source",
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
