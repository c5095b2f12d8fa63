//! The rooms in figures.

use crate::crop::water::percent_of_dry_basis;
use crate::dryer::{AirPath, RoomSpec};
use crate::ledger::{Book, RoomBook};
use crate::season::Plant;
use schemars::JsonSchema;
use serde::Serialize;

/// One room over a season, the mean over the weather years.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct RoomFigures {
    /// Name in the study.
    pub name: String,
    /// Its bins.
    pub bins: usize,
    /// Batches that began to dry in it.
    pub batches: f64,
    /// Bin-hours blocked by batches that were dry enough to go on, with no free bin in the next room.
    pub blocked_bin_hours: f64,
    /// Bin-hours in which air too damp (`fans_off_above_rh`) stopped the fans of drying bins.
    pub damp_bin_hours: f64,
    /// What the air is set to, wettest nuts first.
    pub stages: Vec<StageFigures>,
    /// Where the air goes: `recirculating` or `once-through`.
    pub air: &'static str,
    /// Hours in which batches dried.
    pub hours_drying: f64,
    /// Hours in which heat was short.
    pub hours_short: f64,
    /// Mean of the drying air while batches dry, °C.
    pub mean_air_c: f64,
    /// Mean relative humidity of the same air, %.
    pub mean_relative_humidity_pct: f64,
    /// Heat lacking before any source.
    pub heat_need_kwh: f64,
    /// Heat given by sources and recovery.
    pub heat_delivered_kwh: f64,
    /// Bin and extraction fans.
    pub fan_kwh: f64,
    /// Water evaporated, kg.
    pub water_kg: f64,
    /// Heat given and fans per kg of water evaporated, MJ/kg; nothing where none evaporated.
    pub mj_per_kg_water: Option<f64>,
}

/// One stage of a room's air.
#[derive(Clone, Debug, PartialEq, JsonSchema, Serialize)]
pub(crate) struct StageFigures {
    /// It applies to nuts wetter than this, % w.b.; 0 to the end.
    pub above_moisture_pct_wb: f64,
    /// False where outside air is blown as it comes.
    pub heated: bool,
    /// Temperature of the air, °C; nothing where it is not heated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature_c: Option<f64>,
}

/// The stages of a room's air.
fn stages(room: &RoomSpec) -> Vec<StageFigures> {
    let stages = room.stages.iter().map(|stage| StageFigures {
        above_moisture_pct_wb: percent_of_dry_basis(stage.above_moisture),
        heated: stage.is_heated(),
        temperature_c: stage.is_heated().then_some(stage.temperature_c),
    });
    stages.collect()
}

/// Where a room's air goes, in one word.
pub(super) fn air_word(air: AirPath) -> &'static str {
    match air {
        AirPath::Recirculating => "recirculating",
        AirPath::OnceThrough => "once-through",
    }
}

/// The name of the room at this place, where there are several.
pub(super) fn name_among_several(plant: &Plant, place: Option<usize>) -> Option<String> {
    plant.named_room(place?).map(str::to_owned)
}

/// Every room, from the books of one option.
pub(super) fn figures(plant: &Plant, books: &[Book]) -> Vec<RoomFigures> {
    let Some(first) = books.first() else {
        return Vec::new();
    };
    first
        .rooms
        .iter()
        .zip(plant.rooms())
        .enumerate()
        .map(|(place, (room, spec))| {
            let mean = |of: &dyn Fn(&RoomBook) -> f64| {
                books.iter().map(|book| of(&book.rooms[place])).sum::<f64>() / books.len() as f64
            };
            let fan_kwh = mean(&|room| room.bin_fan_kwh + room.extraction_fan_kwh);
            let heat_delivered_kwh = mean(&|room| room.heat_delivered_kwh);
            let water_kg = mean(&|room| room.evaporated_kg);
            RoomFigures {
                name: room.name.clone(),
                bins: room.bins,
                batches: mean(&|room| room.batches as f64),
                blocked_bin_hours: mean(&|room| room.blocked_bin_hours),
                damp_bin_hours: mean(&|room| room.damp_bin_hours),
                stages: stages(spec),
                air: air_word(spec.air),
                hours_drying: mean(&|room| room.hours_drying as f64),
                hours_short: mean(&|room| room.hours_short as f64),
                mean_air_c: mean(&|room| room.mean_air_c),
                mean_relative_humidity_pct: mean(&|room| room.mean_relative_humidity * 100.0),
                heat_need_kwh: mean(&|room| room.heat_need_kwh),
                heat_delivered_kwh,
                fan_kwh,
                water_kg,
                mj_per_kg_water: (water_kg > 0.0).then(|| (heat_delivered_kwh + fan_kwh) * 3.6 / water_kg),
            }
        })
        .collect()
}
