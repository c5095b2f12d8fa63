//! `[[room]]`: the drying room, its bins, its fans, and how batches move through it.

mod bins;
mod exchange;
mod fan_bank;
mod fan_site;
mod fans;
mod nuts_in_the_way;
mod prices;
mod rooms_read;
mod row;
mod setbacks;

use super::crops_read::CropRead;
use super::cursor::Cursor;
use super::frame::Frame;
use crate::dryer::{AirPath, RoomSpec};
use crate::money::Carriers;
pub(super) use bins::read_group;
use bins::{read_bins, read_stage_by, read_stages};
use exchange::{AllBins, read_exchange};
use fan_site::FanSite;
use fans::{read_bin_fan, read_extraction};
use nuts_in_the_way::in_the_way;
pub(crate) use prices::RoomPrices;
use rooms_read::Practice;
pub(super) use rooms_read::RoomsRead;

/// Heat of a person at light work in warm air, kW (from memory, not verified).
const PERSON_KW: f64 = 0.1;
/// Specific heat of steel, kJ/(kg K) (general knowledge, tables of material properties).
const STEEL_KJ_PER_KG_K: f64 = 0.46;

pub(super) fn read(
    root: &Cursor<'_>,
    crops: &[CropRead],
    frame: &Frame,
    carriers: Option<&Carriers>,
) -> Option<RoomsRead> {
    let cursors = root.each_of_some("room", "a [[room]] with bins", "describe the drying room");
    let last = cursors.len().checked_sub(1)?;
    let mut practice = Practice::default();
    let (mut all, mut hand_overs) = (Vec::new(), Vec::new());
    let (mut setbacks, mut prices, mut complete) = (Vec::new(), Vec::new(), true);
    for (place, cursor) in cursors.iter().enumerate() {
        let next = row::read_hand_over(cursor, crops, place == last);
        let spec = read_room(cursor, place, crops, frame);
        let bins = spec.as_ref().map(|spec| spec.bins.as_slice());
        practice.read(cursor, (place == 0).then_some((bins, crops)), place == last);
        prices.push(prices::read(cursor));
        match setbacks::read(cursor, place, spec.as_ref(), carriers) {
            Some(read) => setbacks.extend(read),
            None => complete = false,
        }
        cursor.finish();
        complete &= spec.is_some() && (place == last || next.is_some());
        all.extend(spec);
        hand_overs.extend(next);
    }
    if !complete {
        return None;
    }
    let rooms = RoomsRead { all, hand_overs, setbacks, prices, practice };
    row::check_bins(&cursors, &rooms);
    Some(rooms)
}

/// One room, but for what ties it to the others. Where several crops are dried, its fans are
/// reckoned for the first of them, and deliver into the beds of the others.
fn read_room(room: &Cursor<'_>, place: usize, crops: &[CropRead], frame: &Frame) -> Option<RoomSpec> {
    let crop = crops.first()?;
    let usual_name = match place {
        0 => "drying room".to_owned(),
        _ => format!("room {}", place + 1),
    };
    let name = room.text("name").default(usual_name, "a name for the report");
    let air = room
        .choice("air", &[("recirculating", AirPath::Recirculating), ("once-through", AirPath::OnceThrough)])
        .hint("say where the room's air goes")
        .required();
    let recirculates = air == Some(AirPath::Recirculating);
    let bins = read_bins(room);
    let capacity_t: f64 = bins.iter().flatten().map(|bin| bin.capacity_t).sum();
    let airflow = room
        .number("airflow_m3_per_s_per_tonne")
        .unit("m³/s per received t")
        .or_by_volume(in_the_way(crop).bulk_density_kg_per_m3)
        .within(0.001, 10.0)
        .default(0.10, "order of magnitude for in-shell nuts, 0.05..0.25 (from memory, not verified)");
    let stages = read_stages(room, crops, air);
    let stage_by = read_stage_by(room, &stages);
    // Before the room knows where its air goes, keys of either kind are let pass.
    let floor_area_m2: f64 = bins.iter().flatten().map(|bin| bin.floor_area_m2).sum();
    let exchange = if let Some(air) = air {
        let room_c = stages.first().map_or(f64::NAN, |stage| stage.temperature_c);
        let dampest = exchange::dampest_that_dries(crops, room_c);
        let all = AllBins { air_m3_per_s: airflow * capacity_t, floor_area_m2 };
        read_exchange(room, air, dampest, &all)
    } else {
        exchange::claim_keys(room);
        None
    };
    let (lights_kw, people) = read_gains(room);
    let steel_kg = room.number("steel_kg").unit("kg").within(0.0, 1e7).default(
        150.0 * capacity_t,
        "assumption: 150 kg of bins and fittings per tonne of capacity; with the room, or with each batch where air passes once",
    );
    let layers = room
        .count("layers")
        .within(1, 60)
        .default(12, "the season's energy is within 0.5 % of that in many more layers and shorter steps");
    let site = FanSite {
        air,
        stage_c: stages
            .iter()
            .filter(|stage| stage.is_heated())
            .map(|stage| stage.temperature_c)
            .reduce(f64::max)
            .unwrap_or(fans::OUTSIDE_C),
        airflow_m3_per_s_per_tonne: airflow,
        bins: bins.as_deref(),
        altitude_m: frame.site.altitude_m,
    };
    let bin_fan = read_bin_fan(room, crop, &site);
    let extraction = read_extraction(room, recirculates);
    let exchange = exchange?;
    let (bin_fan, fan_bank) = bin_fan?;
    Some(RoomSpec {
        name,
        air: air?,
        bins: bins?,
        layers: layers as usize,
        airflow_m3_per_s_per_tonne: airflow,
        stages,
        stage_by,
        relative_humidity_max: exchange.relative_humidity_max,
        relative_humidity_when_short: exchange.relative_humidity_when_short,
        fresh_air_min_m3_per_s: exchange.fresh_air_min_m3_per_s,
        fresh_air_max_m3_per_s: exchange.fresh_air_max_m3_per_s,
        envelope_ua_w_per_k: exchange.envelope_ua_w_per_k,
        fans_off_above_rh: exchange.fans_off_above_rh,
        gains_kw: lights_kw + people * PERSON_KW,
        lights_kw,
        steel_kj_per_k: steel_kg * STEEL_KJ_PER_KG_K,
        bin_fan,
        fan_bank,
        extraction_kw_per_m3_per_s: extraction,
    })
}

/// Electricity of lights, kW, and people in the room.
fn read_gains(room: &Cursor<'_>) -> (f64, f64) {
    let lights_kw = room.number("lights_kw").unit("kW").within(0.0, 1000.0).default(0.0, "none given");
    let people = room.number("people").within(0.0, 1000.0).default(0.0, "none given");
    (lights_kw, people)
}
