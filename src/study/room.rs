//! `[[room]]`: the drying room, its bins, its fans, and how batches move through it.

use super::crop::CropRead;
use super::cursor::Cursor;
use super::frame::Frame;
use super::options::Options;
use super::store::StoreRead;
use crate::air::{MoistAir, standard_pressure_pa};
use crate::airflow::{
    BedResistance, DIRECT_DRIVE_EFFICIENCY, FAN_EFFICIENCY, FanSpec, MotorClass, MotorPlace,
    QuadraticResistance, SpeedControl,
};
use crate::crop::water;
use crate::dryer::{AirPath, BinFan, BinSpec, RoomSpec, Stage};
use crate::season::{HotLimit, StayRules};

pub(super) struct RoomRead {
    pub spec: RoomSpec,
    cooling_hours: f64,
    fill_within_hours: f64,
    spread_pct_points: f64,
    mould_hours: f64,
}

pub(super) fn read(root: &Cursor<'_>, crop: &CropRead, frame: &Frame) -> Option<RoomRead> {
    let rooms = root.each("room");
    let Some(room) = rooms.first() else {
        root.complain(
            "room",
            "is missing",
            "a [[room]] with bins",
            "describe the drying room",
        );
        return None;
    };
    if rooms.len() > 1 {
        rooms[1].complain(
            "name",
            "is that of a second room",
            "one [[room]]",
            "rooms in a row are not computed yet; give the plant as one room",
        );
    }
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
    let bins = read_bins(room);
    let capacity_t: f64 = bins.iter().flatten().map(|bin| bin.capacity_t).sum();
    let airflow = room
        .number("airflow_m3_per_s_per_tonne")
        .unit("m³/s per received t")
        .within(0.001, 2.0)
        .default(
            0.10,
            "order of magnitude for in-shell nuts, 0.05..0.25 (from memory, not verified)",
        );
    let stages = read_stages(room, crop);
    let recirculates = air == Some(AirPath::Recirculating);
    let all_air = airflow * capacity_t;
    let (rh_max, fresh_min, fresh_max, ua) = read_exchange(room, recirculates, all_air);
    let lights_kw = room
        .number("lights_kw")
        .unit("kW")
        .within(0.0, 1000.0)
        .default(0.0, "none given");
    let people = room
        .number("people")
        .within(0.0, 1000.0)
        .default(0.0, "none given");
    let steel_kg = room.number("steel_kg").unit("kg").within(0.0, 1e7).default(
        150.0 * capacity_t,
        "assumption: 150 kg of bins and fittings per tonne of capacity",
    );
    let layers = room.count("layers").within(1, 60).default(
        12,
        "doubling them moves the season's energy by less than 1 %",
    );
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
    let spread_pct_points = room.number("moisture_spread").unit("points w.b.").within(0.1, 20.0).default(
        3.0,
        "assumption: layers even out in the store, so the wettest may be this much above the target",
    );
    let mould_hours = room.number("mould_hours").unit("h").within(1.0, 2000.0).default(
        120.0,
        "assumption: wet nuts in moving air above the mould threshold for longer than five days are flagged",
    );
    let setting = FanSetting {
        air,
        stage_c: stages.iter().map(|s| s.temperature_c).fold(0.0, f64::max),
    };
    let bin_fan = read_bin_fan(room, crop, frame, setting, airflow, bins.as_deref());
    let extraction = read_extraction(room, recirculates);
    room.finish();
    Some(RoomRead {
        spec: RoomSpec {
            name,
            air: air?,
            bins: bins?,
            layers: layers as usize,
            airflow_m3_per_s_per_tonne: airflow,
            stages,
            relative_humidity_max: rh_max,
            fresh_air_min_m3_per_s: fresh_min,
            fresh_air_max_m3_per_s: fresh_max,
            envelope_ua_w_per_k: ua?,
            gains_kw: lights_kw + people * PERSON_KW,
            lights_kw,
            steel_kj_per_k: steel_kg * STEEL_KJ_PER_KG_K,
            bin_fan: bin_fan?,
            extraction_kw_per_m3_per_s: extraction,
        },
        cooling_hours,
        fill_within_hours,
        spread_pct_points,
        mould_hours,
    })
}

/// Heat of a person at light work in warm air, kW (from memory, not verified).
const PERSON_KW: f64 = 0.1;
/// Specific heat of steel, kJ/(kg K) (general knowledge, tables of material properties).
const STEEL_KJ_PER_KG_K: f64 = 0.46;

fn read_bins(room: &Cursor<'_>) -> Option<Vec<BinSpec>> {
    let mut bins = Vec::new();
    let mut complete = true;
    let groups = room.each("bins");
    if groups.is_empty() {
        room.complain(
            "bins",
            "is missing",
            "such as [{ count = 10, tonnes = 6.0, floor_area_m2 = 5.0 }]",
            "say how many bins there are and what they hold",
        );
        return None;
    }
    for group in &groups {
        let count = group.count("count").within(1, 1000).required();
        let tonnes = group
            .number("tonnes")
            .unit("t received")
            .within(0.01, 1000.0)
            .hint("give what one bin holds")
            .required();
        let floor = group
            .number("floor_area_m2")
            .unit("m²")
            .within(0.01, 10_000.0)
            .required();
        group.finish();
        match (count, tonnes, floor) {
            (Some(count), Some(capacity_t), Some(floor_area_m2)) => {
                bins.extend((0..count).map(|_| BinSpec {
                    capacity_t,
                    floor_area_m2,
                }));
            }
            _ => complete = false,
        }
    }
    complete.then_some(bins)
}

fn read_stages(room: &Cursor<'_>, crop: &CropRead) -> Vec<Stage> {
    let entries = room.each("stages");
    if entries.is_empty() {
        let temperature_c = room
            .number("temperature_c")
            .unit("°C")
            .within(10.0, 80.0)
            .default(
                crop.crop.practice().drying_temperature_c,
                "drying temperature of the crop library",
            );
        return vec![Stage {
            above_moisture: 0.0,
            temperature_c,
        }];
    }
    let mut stages = Vec::new();
    for entry in &entries {
        let above = entry
            .number("above_moisture")
            .unit("% w.b.")
            .within(0.0, 70.0)
            .default(0.0, "to the end");
        let temperature = entry
            .number("temperature_c")
            .unit("°C")
            .within(10.0, 80.0)
            .required();
        entry.finish();
        if let Some(temperature_c) = temperature {
            stages.push(Stage {
                above_moisture: water::dry_basis_of_percent(above),
                temperature_c,
            });
        }
    }
    if !stages.is_sorted_by(|a, b| a.above_moisture > b.above_moisture) {
        room.complain(
            "stages",
            "are not in order",
            "the wettest first",
            "order them by falling above_moisture",
        );
    }
    stages
}

/// Humidity limit, fresh air and envelope: they matter where air recirculates.
fn read_exchange(
    room: &Cursor<'_>,
    recirculates: bool,
    all_air: f64,
) -> (f64, f64, f64, Option<f64>) {
    if !recirculates {
        for key in [
            "relative_humidity_max",
            "fresh_air_min_m3_per_s",
            "fresh_air_max_m3_per_s",
            "envelope_ua_w_per_k",
        ] {
            if room.kind(key).is_some() {
                room.claim(key);
                room.warn(key, "has no meaning where air passes once", "leave it out");
            }
        }
        return (1.0, 0.0, 0.0, Some(0.0));
    }
    let rh_max = room
        .number("relative_humidity_max")
        .unit("% RH")
        .within(5.0, 95.0)
        .default(
            45.0,
            "assumption: keeps the drying rate up without throwing warm air away",
        );
    let least = all_air * 0.02;
    let fresh_min = room
        .number("fresh_air_min_m3_per_s")
        .unit("m³/s")
        .above(0.0)
        .default(least, "assumption: 2 % of the bins' air");
    let fresh_max = room
        .number("fresh_air_max_m3_per_s")
        .unit("m³/s")
        .above(0.0)
        .default(all_air, "assumption: as much as the bins' air");
    if fresh_min > fresh_max {
        room.complain(
            "fresh_air_min_m3_per_s",
            &format!("is {fresh_min}, above fresh_air_max_m3_per_s, which is {fresh_max}"),
            "no more than the most",
            "exchange the two, or mend one",
        );
    }
    let ua = room
        .number("envelope_ua_w_per_k")
        .unit("W/K")
        .within(0.0, 1e6)
        .hint("give the sum of U x area over walls, roof and floor")
        .required();
    (rh_max / 100.0, fresh_min, fresh_max, ua)
}

/// What a bin fan's setting depends on besides its own keys.
#[derive(Clone, Copy)]
struct FanSetting {
    air: Option<AirPath>,
    stage_c: f64,
}

fn read_bin_fan(
    room: &Cursor<'_>,
    crop: &CropRead,
    frame: &Frame,
    setting: FanSetting,
    airflow_per_tonne: f64,
    bins: Option<&[BinSpec]>,
) -> Option<BinFan> {
    let table = room.table("bin_fan");
    let ducts_pa = table.number("duct_pressure_pa").unit("Pa").within(0.0, 5000.0).default(
        350.0,
        "assumption: floor, ducts and heater of one bin at full flow; they usually outweigh the bed, so measure them",
    );
    let fan = read_fan(&table, MotorPlace::InStream);
    table.finish();
    let bed = crop.crop.bed();
    let resistance = match bed.hukill_ives {
        Some((a, b)) => BedResistance::HukillIves {
            a,
            b,
            factor: bed.resistance_factor,
        },
        None => BedResistance::Ergun {
            diameter_m: bed.equivalent_diameter_m,
            porosity: bed.porosity,
            shape_factor: bed.resistance_factor,
        },
    };
    let pressure = standard_pressure_pa(frame.site.altitude_m);
    // A fan in a recirculating room moves the room's air; a once-through fan moves outside air.
    let fan_air_c = if setting.air == Some(AirPath::Recirculating) {
        setting.stage_c
    } else {
        20.0
    };
    let density = MoistAir::from_relative_humidity(fan_air_c, 0.4, pressure)
        .map_or(1.2, |air| air.density_kg_per_m3());
    let largest = bins?.iter().map(|bin| bin.capacity_t).fold(0.0, f64::max);
    let ducts = QuadraticResistance::from_point(ducts_pa, airflow_per_tonne * largest)
        .unwrap_or(QuadraticResistance::NONE);
    Some(BinFan {
        bed: resistance,
        bulk_density_kg_per_m3: bed
            .bulk_density_at_kg_per_m3(crop.crop.practice().received_moisture),
        ducts,
        fan,
        air_density_kg_per_m3: density,
        air_c: setting.stage_c,
    })
}

/// Efficiencies of a fan of one speed.
pub(super) fn read_fan(table: &Cursor<'_>, motor_place: MotorPlace) -> FanSpec {
    let share = |key: &str, default: f64, source: &str| {
        table
            .number(key)
            .within(0.05, 1.0)
            .default(default, source.to_owned())
    };
    FanSpec {
        fan_efficiency: share(
            "fan_efficiency",
            FAN_EFFICIENCY,
            "tube-axial fan, 0.55..0.70 at its best point (from memory, not verified)",
        ),
        drive_efficiency: share("drive_efficiency", DIRECT_DRIVE_EFFICIENCY, "direct drive"),
        motor_efficiency: share(
            "motor_efficiency",
            MotorClass::Ie3.efficiency(1.5),
            "IEC 60034-30-1, 1.5 kW four-pole IE3 at 50 Hz, read in public motor tables",
        ),
        motor_place,
        speed: SpeedControl::Fixed,
    }
}

/// Electricity of extraction per flow, kW per m³/s.
fn read_extraction(room: &Cursor<'_>, recirculates: bool) -> f64 {
    let Some(table) = room
        .optional_table("extraction")
        .or_else(|| recirculates.then(|| room.table("extraction")))
    else {
        return 0.0;
    };
    let pressure_pa = table
        .number("pressure_pa")
        .unit("Pa")
        .within(0.0, 2000.0)
        .default(120.0, "assumption: louvres and ducts of the extraction");
    let fan = read_fan(&table, MotorPlace::InStream);
    table.finish();
    fan.duty(1.0, pressure_pa, pressure_pa / 1000.0).electric_kw
}

impl RoomRead {
    /// When batches move on and what is safe meanwhile.
    pub fn stay(&self, crop: &CropRead, store: Option<&StoreRead>) -> StayRules {
        let practice = crop.crop.practice();
        let target_pct = water::percent_of_dry_basis(practice.dried_moisture);
        let wettest = water::dry_basis_of_percent(target_pct + self.spread_pct_points);
        StayRules {
            dried_moisture: practice.dried_moisture,
            spread: wettest - practice.dried_moisture,
            cooling_hours: self.cooling_hours,
            fill_within_hours: self.fill_within_hours,
            safe_waiting_hours: practice.safe_wait_hours,
            mould_activity: practice.mould_water_activity,
            mould_hours: self.mould_hours,
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
            if self.spec.stages.len() > 1 {
                root.complain(
                    "room",
                    "recirculates and has several stages",
                    "one temperature_c",
                    "all bins share the room's air; stages need once-through air",
                );
            }
            return;
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
