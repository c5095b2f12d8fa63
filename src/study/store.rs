//! `[cool_store]`: the store and its cooling units.

use super::companions::Companions;
use super::crops_read::CropRead;
use super::cursor::Cursor;
use super::units;
use crate::cool_store::{Doors, Drift, Keeping, StoreSpec};

pub(super) struct StoreRead {
    pub spec: StoreSpec,
    /// Of nuts whose crop says nothing else.
    stay_days: f64,
    /// Of all nuts; `None` where each crop goes by its own.
    respiration_w_per_t: Option<f64>,
    moisture_time_constant_h: f64,
    pub condenser_air_kg_per_s_per_kw: f64,
}

/// Heat of a person in cool air at light work, kW (ASHRAE form 272 - 6 T W at 20 °C, from memory, not
/// verified).
const PERSON_KW: f64 = 0.152;

/// The store, if the study has one.
pub(super) fn read(root: &Cursor<'_>, crops: &[CropRead], companions: &dyn Companions) -> Option<StoreRead> {
    let store = root.optional_table("cool_store")?;
    let usual = Usual::of(crops)?;
    let temperature_c = store
        .number("temperature_c")
        .unit("°C")
        .within(-25.0, 35.0)
        .default(usual.temperature_c, usual.temperature_from);
    let (low, high) = usual.relative_humidity;
    let band = store
        .numbers("relative_humidity")
        .unit("% RH")
        .exactly(2)
        .each_within(1.0, 99.0)
        .rising()
        .default(vec![low * 100.0, high * 100.0], usual.humidity_from);
    let ua = store
        .number("envelope_ua_w_per_k")
        .unit("W/K")
        .within(0.0, 1e6)
        .hint("give the sum of U x area over walls, roof and floor")
        .required();
    let doors = read_doors(&store);
    let (usual_changes, why) = if doors.is_some() {
        (0.1, "assumption: leaks of a closed store, doors apart")
    } else {
        (0.25, "assumption: doors and leaks of a closed store")
    };
    let changes = store.number("air_changes_per_hour").unit("1/h").within(0.0, 20.0).default(usual_changes, why);
    let volume = store.number("volume_m3").unit("m³").within(1.0, 1e6).required();
    let stay_days = store.number("stay_days").unit("d").within(0.0, 365.0).default(
        45.0,
        "assumption: a store near 20 °C holds dry nuts two to three months (common practice, no published source)",
    );
    let gains = read_gains(&store);
    let solar = store.number("solar_rise_k_per_kw_per_m2").unit("K per kW/m²").within(0.0, 60.0).default(
        8.0,
        "assumption: a light roof on 40 % of the envelope, absorptance 0.4, surface coefficient 20 W/(m² K)",
    );
    let fabric = store
        .number("fabric_kj_per_k")
        .unit("kJ/K")
        .within(0.0, 1e8)
        .default(20.0 * volume.unwrap_or(0.0), "assumption: 20 kJ/K per m³ of store for air, floor and racks");
    let nuts = read_nuts(&store, crops);
    let condenser_air = store
        .number("condenser_air_kg_per_s_per_kw")
        .unit("kg/s per kW")
        .within(0.02, 1.0)
        .default(0.1, "assumption: condenser air warms by about 10 K");
    let units = units::read(&store, companions);
    store.finish();
    let band = (band.first()? / 100.0, band.get(1)? / 100.0);
    Some(StoreRead {
        spec: StoreSpec {
            temperature_c,
            relative_humidity: band,
            envelope_ua_w_per_k: ua?,
            solar_rise_k_per_w_per_m2: solar / 1000.0,
            air_changes_per_hour: changes,
            doors,
            volume_m3: volume?,
            gains_kw: gains.lights_kw + gains.people * PERSON_KW,
            fan_kw: gains.fan_kw,
            lights_kw: gains.lights_kw,
            fabric_kj_per_k: fabric,
            nuts_time_constant_h: nuts.time_constant_h,
            units: units?,
        },
        stay_days,
        respiration_w_per_t: nuts.respiration_w_per_t,
        moisture_time_constant_h: nuts.moisture_time_constant_h,
        condenser_air_kg_per_s_per_kw: condenser_air,
    })
}

/// `doors = { area_m2 = 9, height_m = 3, open_minutes_per_day = 60, curtain = "strips" }`.
fn read_doors(store: &Cursor<'_>) -> Option<Doors> {
    let doors = store.optional_table("doors")?;
    let area = doors.number("area_m2").unit("m²").within(0.1, 500.0).required();
    let height = doors.number("height_m").unit("m").within(0.5, 12.0).required();
    let minutes = doors
        .number("open_minutes_per_day")
        .unit("min/d")
        .within(0.0, 1440.0)
        .hint("give the minutes in a day that they stand open")
        .required();
    let held_back = doors
        .choice("curtain", &[("none", 0.0), ("air", 0.5), ("strips", 0.9)])
        .default(0.0, "nothing hangs or blows in them");
    doors.finish();
    Some(Doors { area_m2: area?, height_m: height?, open_share: minutes? / 1440.0, held_back })
}

/// The nuts in the store.
struct NutsInStore {
    time_constant_h: f64,
    respiration_w_per_t: Option<f64>,
    moisture_time_constant_h: f64,
}

fn read_nuts(store: &Cursor<'_>, crops: &[CropRead]) -> NutsInStore {
    let tau = store
        .number("nuts_time_constant_h")
        .unit("h")
        .within(0.1, 500.0)
        .default(24.0, "assumption: stacked nuts follow the store within a day");
    let respiration = store.number("respiration_w_per_t").unit("W/t").within(0.0, 500.0);
    let respiration = match crops {
        [crop] => {
            Some(respiration.default(crop.crop.practice().respiration_w_per_t, "respiration of the crop library"))
        }
        // Each crop's own stands among its values.
        _ => respiration.optional(),
    };
    let moisture_tau_d = store.number("nuts_moisture_time_constant_d").unit("d").within(0.5, 3650.0).default(
        30.0,
        "assumption: nuts in store take weeks to reach the moisture that its air asks for; no measurement was found",
    );
    NutsInStore {
        time_constant_h: tau,
        respiration_w_per_t: respiration,
        moisture_time_constant_h: moisture_tau_d * 24.0,
    }
}

/// What a store is held at where the study does not say: what keeps the most delicate crop.
struct Usual {
    temperature_c: f64,
    temperature_from: String,
    relative_humidity: (f64, f64),
    humidity_from: String,
}

impl Usual {
    fn of(crops: &[CropRead]) -> Option<Self> {
        let temperature_c = |crop: &&CropRead| crop.crop.practice().store_temperature_c;
        let band = |crop: &&CropRead| crop.crop.practice().store_relative_humidity;
        let coolest = crops.iter().min_by(|a, b| temperature_c(a).total_cmp(&temperature_c(b)))?;
        let driest = crops.iter().min_by(|a, b| band(a).1.total_cmp(&band(b).1))?;
        let from = |what: &str, which: &str, crop: &CropRead| match crops {
            [_] => format!("store {what} of the crop library"),
            _ => format!("store {what} of the crop library for \"{}\": the {which} of the crops'", crop.name),
        };
        Some(Self {
            temperature_c: temperature_c(&coolest),
            temperature_from: from("temperature", "lowest", coolest),
            relative_humidity: band(&driest),
            humidity_from: from("humidity", "driest", driest),
        })
    }
}

/// Days in store, where a crop has its own.
pub(super) fn read_stay(crop: &Cursor<'_>) -> Option<f64> {
    crop.number("stay_days").unit("d in store").within(0.0, 365.0).optional()
}

impl StoreRead {
    /// Hours that nuts of a crop stay.
    pub(super) fn stay_hours(&self, crop: &CropRead) -> f64 {
        crop.stay_days.unwrap_or(self.stay_days) * 24.0
    }

    /// How nuts of a crop behave meanwhile.
    pub(super) fn keeping(&self, crop: &CropRead) -> Keeping {
        let own_w_per_t = crop.crop.practice().respiration_w_per_t;
        Keeping {
            respiration_w_per_t: self.respiration_w_per_t.unwrap_or(own_w_per_t),
            drift: Some(Drift { isotherm: crop.nuts.isotherm, time_constant_h: self.moisture_time_constant_h }),
        }
    }
}

/// Heat that is let into the store by what goes on in it.
struct Gains {
    lights_kw: f64,
    people: f64,
    fan_kw: f64,
}

fn read_gains(store: &Cursor<'_>) -> Gains {
    Gains {
        lights_kw: store
            .number("lights_kw")
            .unit("kW")
            .within(0.0, 1000.0)
            .default(0.2, "assumption: lights averaged over the day"),
        people: store.number("people").within(0.0, 1000.0).default(0.5, "assumption: one person half of the time"),
        fan_kw: store
            .number("fan_kw")
            .unit("kW")
            .within(0.0, 1000.0)
            .default(0.75, "assumption: evaporator and circulation fans"),
    }
}
