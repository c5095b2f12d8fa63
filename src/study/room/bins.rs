//! The bins of a room, and the air temperature their nuts get as they dry.

use crate::crop::water;
use crate::dryer::{AirPath, BinSpec, Stage, StageBy};
use crate::study::crops_read::CropRead;
use crate::study::cursor::Cursor;

/// Groups of alike bins, one by one.
pub(super) fn read_bins(room: &Cursor<'_>) -> Option<Vec<BinSpec>> {
    let mut bins = Vec::new();
    let mut complete = true;
    let groups = room.each_of_some(
        "bins",
        "such as [{ count = 10, tonnes = 6.0, floor_area_m2 = 5.0 }]",
        "say how many bins there are and what they hold",
    );
    if groups.is_empty() {
        return None;
    }
    for group in &groups {
        let read = read_group(group);
        group.finish();
        match read {
            Some((count, bin)) => bins.extend((0..count).map(|_| bin)),
            None => complete = false,
        }
    }
    complete.then_some(bins)
}

/// How many bins a group has, and what each of them is.
pub(in crate::study) fn read_group(group: &Cursor<'_>) -> Option<(u32, BinSpec)> {
    let count = group.count("count").within(1, 1000).required();
    let tonnes =
        group.number("tonnes").unit("t received").within(0.01, 1000.0).hint("give what one bin holds").required();
    let floor = group.number("floor_area_m2").unit("m²").within(0.01, 10_000.0).required();
    Some((count?, BinSpec { capacity_t: tonnes?, floor_area_m2: floor? }))
}

/// The drying temperature that no crop is too delicate for, °C, and where it comes from.
fn usual_temperature(crops: &[CropRead]) -> (f64, String) {
    const FROM: &str = "drying temperature of the crop library";
    let of = |crop: &CropRead| crop.crop.practice().drying_temperature_c;
    let coolest = crops.iter().min_by(|a, b| of(a).total_cmp(&of(b)));
    match (crops, coolest) {
        ([_, _, ..], Some(crop)) => (of(crop), format!("{FROM} for \"{}\": the lowest of the crops'", crop.name)),
        (_, crop) => (crop.map_or(f64::NAN, of), FROM.to_owned()),
    }
}

/// One temperature, or stages of falling moisture. All bins of a recirculating room share its air, so
/// that stages need air that passes once.
pub(super) fn read_stages(room: &Cursor<'_>, crops: &[CropRead], air: Option<AirPath>) -> Vec<Stage> {
    let entries = room.each("stages");
    if entries.is_empty() {
        if is_unheated(room, air) {
            return vec![Stage { above_moisture: 0.0, temperature_c: Stage::UNHEATED_C }];
        }
        let (usual_c, from) = usual_temperature(crops);
        let temperature_c = room.number("temperature_c").unit("°C").within(0.0, 80.0).default(usual_c, from);
        return vec![Stage { above_moisture: 0.0, temperature_c }];
    }
    if room.kind("heated").is_some() {
        room.claim("heated");
        room.complain(
            "heated",
            "is given beside stages",
            "it in the stages that it is meant for",
            "write heated = false in a stage instead of its temperature_c",
        );
    }
    if room.kind("temperature_c").is_some() {
        room.claim("temperature_c");
        room.complain(
            "temperature_c",
            "is given beside stages",
            "one of the two",
            "leave temperature_c out; each stage has its own",
        );
    }
    if air == Some(AirPath::Recirculating) && entries.len() > 1 {
        room.complain(
            "stages",
            "are several, but the room recirculates",
            "one temperature_c",
            "all bins share the room's air; stages need air = \"once-through\"",
        );
    }
    let mut stages = Vec::new();
    for entry in &entries {
        let above = entry.number("above_moisture").unit("% w.b.").within(0.0, 70.0).default(0.0, "to the end");
        let temperature = if is_unheated(entry, air) {
            Some(Stage::UNHEATED_C)
        } else {
            let temperature_c = entry.number("temperature_c").unit("°C").within(0.0, 80.0);
            temperature_c.hint("give the air's temperature, or heated = false for air as it is outside").required()
        };
        entry.finish();
        if let Some(temperature_c) = temperature {
            stages.push(Stage { above_moisture: water::dry_basis_of_percent(above), temperature_c });
        }
    }
    if !stages.is_sorted_by(|a, b| a.above_moisture > b.above_moisture) {
        room.complain("stages", "are not in order", "the wettest first", "order them by falling above_moisture");
    }
    stages
}

/// True of a room or stage whose air is not heated; it has no temperature of its own.
fn is_unheated(place: &Cursor<'_>, air: Option<AirPath>) -> bool {
    let heated = place.yes_no("heated").default(true, "the air is brought to temperature_c");
    if heated {
        return false;
    }
    if place.kind("temperature_c").is_some() {
        place.claim("temperature_c");
        place.complain(
            "temperature_c",
            "is given beside heated = false",
            "one of the two",
            "leave temperature_c out: the air is as warm as outside, and by its fan's heat",
        );
    }
    if air == Some(AirPath::Recirculating) {
        place.complain(
            "heated",
            "is false, but the room recirculates",
            "air that passes once",
            "set air = \"once-through\": unheated air that comes back would not dry",
        );
    }
    true
}

/// Whose moisture the stages go by; a word without several stages would say nothing.
pub(super) fn read_stage_by(room: &Cursor<'_>, stages: &[Stage]) -> StageBy {
    if room.kind("stages_by").is_some() && stages.len() < 2 {
        room.claim("stages_by");
        room.complain(
            "stages_by",
            "is given where there are no several stages",
            "stages = [{ above_moisture = ..., temperature_c = ... }, ...] beside it",
            "leave it out, or give the stages",
        );
        return StageBy::Mean;
    }
    if stages.len() < 2 {
        return StageBy::Mean;
    }
    room.choice("stages_by", &[("mean", StageBy::Mean), ("wettest", StageBy::Wettest)])
        .default(StageBy::Mean, "the mean moisture of the batch")
}
