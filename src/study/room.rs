//! `[[room]]`: the drying room, its bins, its fans, and how batches move through it.

mod bins;
mod exchange;
mod fan_bank;
mod fans;

use super::crop::CropRead;
use super::cursor::Cursor;
use super::frame::Frame;
use super::options::Options;
use super::store::StoreRead;
use crate::crop::water;
use crate::dryer::{AirPath, RoomSpec};
use crate::heat::{Kind, Source};
use crate::season::{HotLimit, StayRules};
use bins::{read_bins, read_stages};
use exchange::read_exchange;
use fans::{FanSite, read_bin_fan, read_extraction};

pub(super) struct RoomRead {
    pub spec: RoomSpec,
    practice: Practice,
}

/// How batches are worked.
struct Practice {
    cooling_hours: f64,
    fill_within_hours: f64,
    spread_pct_points: f64,
    mould_hours: f64,
}

/// Heat of a person at light work in warm air, kW (from memory, not verified).
const PERSON_KW: f64 = 0.1;
/// Specific heat of steel, kJ/(kg K) (general knowledge, tables of material properties).
const STEEL_KJ_PER_KG_K: f64 = 0.46;

pub(super) fn read(root: &Cursor<'_>, crop: &CropRead, frame: &Frame) -> Option<RoomRead> {
    let room = the_room(root)?;
    let name = room
        .text("name")
        .default("drying room".to_owned(), "a name for the report");
    let air = room
        .choice(
            "air",
            &[
                ("recirculating", AirPath::Recirculating),
                ("once-through", AirPath::OnceThrough),
            ],
        )
        .hint("say where the room's air goes")
        .required();
    let recirculates = air == Some(AirPath::Recirculating);
    let bins = read_bins(&room);
    let capacity_t: f64 = bins.iter().flatten().map(|bin| bin.capacity_t).sum();
    let airflow = room
        .number("airflow_m3_per_s_per_tonne")
        .unit("m³/s per received t")
        .within(0.001, 2.0)
        .default(
            0.10,
            "order of magnitude for in-shell nuts, 0.05..0.25 (from memory, not verified)",
        );
    let stages = read_stages(&room, crop, air);
    // Before the room knows where its air goes, keys of either kind are let pass.
    let exchange = if air.is_some() {
        let room_c = stages.first().map_or(f64::NAN, |stage| stage.temperature_c);
        let dampest = exchange::dampest_that_dries(crop, room_c);
        read_exchange(&room, recirculates, dampest, airflow * capacity_t)
    } else {
        exchange::claim_keys(&room);
        None
    };
    let (lights_kw, people) = read_gains(&room);
    let steel_kg = room.number("steel_kg").unit("kg").within(0.0, 1e7).default(
        150.0 * capacity_t,
        "assumption: 150 kg of bins and fittings per tonne of capacity",
    );
    let layers = room.count("layers").within(1, 60).default(
        12,
        "doubling them moves the season's energy by less than 1 %",
    );
    let practice = read_practice(&room);
    let site = FanSite {
        air,
        stage_c: stages.iter().map(|s| s.temperature_c).fold(0.0, f64::max),
        airflow_m3_per_s_per_tonne: airflow,
        bins: bins.as_deref(),
        altitude_m: frame.site.altitude_m,
    };
    let bin_fan = read_bin_fan(&room, crop, &site);
    let extraction = read_extraction(&room, recirculates);
    room.finish();
    let exchange = exchange?;
    let (bin_fan, fan_bank) = bin_fan?;
    Some(RoomRead {
        spec: RoomSpec {
            name,
            air: air?,
            bins: bins?,
            layers: layers as usize,
            airflow_m3_per_s_per_tonne: airflow,
            stages,
            relative_humidity_max: exchange.relative_humidity_max,
            relative_humidity_when_short: exchange.relative_humidity_when_short,
            fresh_air_min_m3_per_s: exchange.fresh_air_min_m3_per_s,
            fresh_air_max_m3_per_s: exchange.fresh_air_max_m3_per_s,
            envelope_ua_w_per_k: exchange.envelope_ua_w_per_k,
            gains_kw: lights_kw + people * PERSON_KW,
            lights_kw,
            steel_kj_per_k: steel_kg * STEEL_KJ_PER_KG_K,
            bin_fan,
            fan_bank,
            extraction_kw_per_m3_per_s: extraction,
        },
        practice,
    })
}

/// The one room of a study.
fn the_room<'t>(root: &Cursor<'t>) -> Option<Cursor<'t>> {
    let mut rooms = root
        .each_of_some("room", "a [[room]] with bins", "describe the drying room")
        .into_iter();
    let room = rooms.next();
    if let Some(second) = rooms.next() {
        second.complain_here(
            "a second [[room]] is given",
            "one [[room]]",
            "rooms in a row are not computed; give the plant as one room",
        );
    }
    room
}

/// Electricity of lights, kW, and people in the room.
fn read_gains(room: &Cursor<'_>) -> (f64, f64) {
    let lights_kw = room
        .number("lights_kw")
        .unit("kW")
        .within(0.0, 1000.0)
        .default(0.0, "none given");
    let people = room
        .number("people")
        .within(0.0, 1000.0)
        .default(0.0, "none given");
    (lights_kw, people)
}

fn read_practice(room: &Cursor<'_>) -> Practice {
    let cooling_hours = room
        .number("cooling_hours")
        .unit("h")
        .within(0.0, 72.0)
        .default(
            4.0,
            "assumption: outside air after drying until the nuts are cool enough to store",
        );
    let fill_within_hours = room
        .number("fill_within_hours")
        .unit("h")
        .within(1.0, 240.0)
        .default(
            24.0,
            "assumption: a part load is dried when its first nuts have waited a day",
        );
    let spread_pct_points = room
        .number("moisture_spread")
        .unit("points w.b.")
        .within(0.1, 20.0)
        .default(
            3.0,
            "assumption: layers even out in the store, so the wettest may be this much above the target",
        );
    let mould_hours = room
        .number("mould_hours")
        .unit("h")
        .within(1.0, 2000.0)
        .default(
            120.0,
            "assumption: wet nuts in moving air above the mould threshold for longer than five days are flagged",
        );
    Practice {
        cooling_hours,
        fill_within_hours,
        spread_pct_points,
        mould_hours,
    }
}

impl RoomRead {
    /// When batches move on and what is safe meanwhile.
    pub fn stay(&self, crop: &CropRead, store: Option<&StoreRead>) -> StayRules {
        let practice = crop.crop.practice();
        let target_pct = water::percent_of_dry_basis(practice.dried_moisture);
        let wettest = water::dry_basis_of_percent(target_pct + self.practice.spread_pct_points);
        StayRules {
            dried_moisture: practice.dried_moisture,
            spread: wettest - practice.dried_moisture,
            cooling_hours: self.practice.cooling_hours,
            fill_within_hours: self.practice.fill_within_hours,
            safe_waiting_hours: practice.safe_wait_hours,
            mould_activity: practice.mould_water_activity,
            mould_hours: self.practice.mould_hours,
            store_hours: store.map_or(0.0, |store| store.stay_days * 24.0),
            hot_limits: crop
                .crop
                .limits()
                .iter()
                .map(|limit| HotLimit {
                    above_moisture: limit.above_moisture,
                    air_max_c: limit.max_air_c,
                })
                .collect(),
        }
    }

    /// Condensers in the room need a room whose air comes back.
    pub fn check_condensers(&self, root: &Cursor<'_>, (heatings, _): &Options) {
        if self.spec.air == AirPath::Recirculating {
            return;
        }
        for heating in heatings {
            let dries = |source: &Source| matches!(source.kind, Kind::Dehumidifier(_));
            if let Some(source) = heating.sources.iter().find(|source| dries(source)) {
                let what = format!(
                    "has option \"{}\" with the dehumidifier \"{}\", but its air passes once",
                    heating.name, source.name
                );
                let cure = "a dehumidifier dries air that comes back; use another source";
                root.complain("room", &what, "recirculating air", cure);
            }
        }
        for heating in heatings
            .iter()
            .filter(|heating| heating.condensers.place.may_stand_in_room())
        {
            let what = format!(
                "has option \"{}\" with condensers in the room, but its air passes once",
                heating.name
            );
            root.complain(
                "room",
                &what,
                "recirculating air",
                "use condensers = \"fresh-air\"",
            );
        }
    }
}
