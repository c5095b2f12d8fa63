//! The kinds of `[[source]]` beside the plain heaters, and the limits that any source may have.
//!
//! | `kind` | needs | may have |
//! | --- | --- | --- |
//! | `direct-burner` | `carrier` | `efficiency`, `fuel`, `water_kg_per_kwh`, `electricity_share` |
//! | `hot-water` | `carrier` | `boiler_efficiency`, `distribution_loss`, `electricity_share` |
//! | `condenser-heat-pump` | a cool store, condensers outdoors | `carnot_fraction`, `loop_c`, `source_approach_k`, `sink_approach_k`, `cop_max` |
//! | `dehumidifier` | `coil_air_kg_per_s`, recirculating air, a heater beside it | `bypass`, `apparatus_dew_point_c`, `evaporator_approach_k`, `condenser_approach_k`, `carnot_fraction`, `cooling_cop_max`, `humidity_min` |
//! | `exchanger` | `effectiveness`, or `ua_w_per_k` | `arrangement`, `leak`, `fan_kw_per_kg_per_s`, `frost_limit_c` |
//! | `collector` | `area_m2`, `azimuth_deg`, the site's place, irradiance in the weather | `eta0`, `loss_w_per_m2_k`, `tilt_deg`, `fan_kw` |
//! | `heat-store` | `charged_by`, `capacity_kwh`, `charge_kw`, electricity by time of use | `loss_pct_per_hour`, `temperature_c`, `charge_up_to_price`, `discharge_from_price` |
//!
//! Any source may have `minimum_load` (share of its capacity), `supply_max_c` and `room` (the only one it serves).

use super::cursor::Cursor;
use super::frame::Site;
use super::heat_store;
use super::sources::read_carrier;
use crate::cool_store::Condensers;
use crate::heat::{
    Arrangement, Collector, Dehumidifier, Effectiveness, Exchanger, HotWater, Kind, OpenFlame,
    Source, WaterHeatPump,
};
use crate::money::Carriers;
use crate::season::Heating;

/// What may stand at `kind`.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Word {
    DirectBurner,
    HotWater,
    CondenserHeatPump,
    Dehumidifier,
    Exchanger,
    Collector,
    HeatStore,
}

pub(super) const WORDS: [(&str, Word); 7] = [
    ("direct-burner", Word::DirectBurner),
    ("hot-water", Word::HotWater),
    ("condenser-heat-pump", Word::CondenserHeatPump),
    ("dehumidifier", Word::Dehumidifier),
    ("exchanger", Word::Exchanger),
    ("collector", Word::Collector),
    ("heat-store", Word::HeatStore),
];

/// What keeps a source from giving any heat at any temperature.
pub(super) struct Limits {
    pub minimum_load: f64,
    pub supply_max_c: Option<f64>,
}

/// `minimum_load` and `supply_max_c`.
pub(super) fn read_limits(cursor: &Cursor<'_>) -> Limits {
    let minimum_load = cursor
        .number("minimum_load")
        .within(0.0, 1.0)
        .default(0.0, "assumption: it turns down to nothing");
    let supply_max_c = cursor
        .number("supply_max_c")
        .unit("°C")
        .within(10.0, 400.0)
        .hint("give the hottest air it can make; it preheats air that must be hotter")
        .optional();
    Limits {
        minimum_load,
        supply_max_c,
    }
}

/// What sources of one option may not do together.
pub(super) fn check_stack(option: &Cursor<'_>, sources: &[Source], condensers: &Condensers) {
    let of_kind = |wanted: fn(&Kind) -> bool| sources.iter().find(|source| wanted(&source.kind));
    let heats =
        |source: &Source| !source.is_passive() && !matches!(source.kind, Kind::Dehumidifier(_));
    if let Some(dehumidifier) = of_kind(|kind| matches!(kind, Kind::Dehumidifier(_)))
        && !sources.iter().any(heats)
    {
        option.complain(
            "sources",
            &format!("has \"{}\" alone", dehumidifier.name),
            "a heater beside a dehumidifier",
            "name one: a dehumidifier cannot start a cold room",
        );
    }
    if let Some(pump) = of_kind(|kind| matches!(kind, Kind::WaterHeatPump(_)))
        && condensers.place.recovers()
    {
        option.complain(
            "sources",
            &format!(
                "has \"{}\", which takes the condensers' heat, beside condensers that stand in the plant",
                pump.name
            ),
            "condensers = \"outdoors\" in such an option",
            "their heat can be used but once",
        );
    }
    let limited = sources.iter().find(|source| source.minimum_load > 0.0);
    let wet = sources.iter().find(|source| source.moves_water());
    if let (Some(limited), Some(wet)) = (limited, wet) {
        option.complain(
            "sources",
            &format!(
                "has \"{}\" with a minimum_load beside \"{}\", whose heat comes with water",
                limited.name, wet.name
            ),
            "no minimum_load in such an option",
            "leave minimum_load out: the source then turns down to nothing",
        );
    }
}

/// A collector needs a place under the sun.
pub(super) fn check_place(root: &Cursor<'_>, heatings: &[Heating], site: &Site) {
    let shines = |source: &Source| matches!(source.kind, Kind::Collector(_));
    let collector = heatings
        .iter()
        .flat_map(|heating| &heating.sources)
        .find(|source| shines(source));
    if let Some(collector) = collector
        && site.place().is_none()
    {
        root.complain(
            "site",
            &format!("says too little for the collector \"{}\"", collector.name),
            "latitude, longitude and utc_offset",
            "give all three: the sun's path depends on them",
        );
    }
}

/// What goes with the kind.
pub(super) fn read(cursor: &Cursor<'_>, word: Word, carriers: Option<&Carriers>) -> Option<Kind> {
    match word {
        Word::DirectBurner => read_direct_burner(cursor, carriers).map(Kind::OpenFlame),
        Word::HotWater => read_hot_water(cursor, carriers).map(Kind::HotWater),
        Word::CondenserHeatPump => Some(Kind::WaterHeatPump(read_water_heat_pump(cursor))),
        Word::Dehumidifier => read_dehumidifier(cursor).map(Kind::Dehumidifier),
        Word::Exchanger => read_exchanger(cursor).map(Kind::Exchanger),
        Word::Collector => read_collector(cursor).map(Kind::Collector),
        Word::HeatStore => heat_store::read(cursor, carriers).map(Kind::HeatStore),
    }
}

/// Water of combustion, kg per MJ on the lower heating value, by fuel.
const WATER_KG_PER_MJ: [(&str, f64, &str); 3] = [
    (
        "lpg",
        1.634 / 46.33,
        "propane: 1.634 kg of water per kg, 46.33 MJ/kg lower (derived from heats of formation)",
    ),
    (
        "natural gas",
        2.246 / 50.03,
        "methane: 2.246 kg of water per kg, 50.03 MJ/kg lower (derived from heats of formation)",
    ),
    (
        "diesel",
        1.18 / 42.8,
        "diesel: about 1.18 kg of water per kg, 42.8 MJ/kg lower (from memory, not verified)",
    ),
];

fn read_direct_burner(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<OpenFlame> {
    let carrier = read_carrier(cursor, carriers);
    let efficiency = cursor.number("efficiency").within(0.3, 1.0).default(
        0.97,
        "direct-fired air heater on the lower heating value, 0.95..1.0 (from memory, not verified)",
    );
    let share = cursor
        .number("electricity_share")
        .unit("kW/kW")
        .within(0.0, 0.5)
        .default(0.01, "assumption: burner and combustion fan");
    let fuel = cursor
        .text("fuel")
        .hint("say what burns, so that its water is known: lpg, natural gas or diesel")
        .when("lpg, natural gas or diesel", |fuel| {
            WATER_KG_PER_MJ.iter().any(|(name, ..)| name == fuel)
        })
        .default(
            carrier.clone().unwrap_or_default(),
            "the carrier's own name",
        );
    let known = WATER_KG_PER_MJ.iter().find(|(name, ..)| *name == fuel);
    let water = cursor
        .number("water_kg_per_kwh")
        .unit("kg/kWh, lower")
        .within(0.0, 0.4);
    let water = if let Some((_, per_mj, source)) = known {
        Some(water.default(per_mj * 3.6, *source))
    } else {
        water
            .hint("or say fuel = \"lpg\", \"natural gas\" or \"diesel\"")
            .required()
    };
    Some(OpenFlame {
        carrier: carrier?,
        efficiency,
        electricity_share: share,
        water_kg_per_kwh: water?,
    })
}

fn read_hot_water(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<HotWater> {
    let carrier = read_carrier(cursor, carriers);
    let boiler_efficiency = cursor.number("boiler_efficiency").within(0.3, 1.0).default(
        0.84,
        "hot-water boiler on the lower heating value, 0.80..0.88 (from memory, not verified)",
    );
    let distribution_loss = cursor.number("distribution_loss").within(0.0, 0.6).default(
        0.1,
        "distribution of hot water keeps 0.85..0.95 (from memory, not verified)",
    );
    let share = cursor
        .number("electricity_share")
        .unit("kW/kW")
        .within(0.0, 0.5)
        .default(0.02, "assumption: pump, burner and combustion fan");
    Some(HotWater {
        carrier: carrier?,
        boiler_efficiency,
        distribution_loss,
        electricity_share: share,
    })
}

fn read_water_heat_pump(cursor: &Cursor<'_>) -> WaterHeatPump {
    WaterHeatPump {
        carnot_fraction: cursor.number("carnot_fraction").within(0.1, 0.8).default(
            0.45,
            "assumption: real units reach 0.4..0.55 of Carnot, pumps counted",
        ),
        loop_c: cursor
            .number("loop_c")
            .unit("°C")
            .within(0.0, 60.0)
            .default(
                30.0,
                "assumption: the condensers' water loop is held at this",
            ),
        source_approach_k: cursor
            .number("source_approach_k")
            .unit("K")
            .within(1.0, 40.0)
            .default(6.0, "assumption: evaporating below the loop"),
        sink_approach_k: cursor
            .number("sink_approach_k")
            .unit("K")
            .within(1.0, 40.0)
            .default(10.0, "assumption: condensing above the air it heats"),
        cop_max: cursor
            .number("cop_max")
            .within(1.1, 12.0)
            .default(7.0, "assumption: compressors hold a least lift"),
    }
}

fn read_dehumidifier(cursor: &Cursor<'_>) -> Option<Dehumidifier> {
    let coil_air = cursor
        .number("coil_air_kg_per_s")
        .unit("kg/s of dry air")
        .within(0.01, 1000.0)
        .hint("give the air over its cold coil")
        .required();
    let number = |key: &str, unit: &str, (low, high): (f64, f64), value: f64, why: &str| {
        cursor
            .number(key)
            .unit(unit)
            .within(low, high)
            .default(value, why)
    };
    let bypass = number(
        "bypass",
        "",
        (0.0, 0.9),
        0.15,
        "assumption: share of the coil's air that slips by",
    );
    let dew_point = number(
        "apparatus_dew_point_c",
        "°C",
        (0.5, 30.0),
        12.0,
        "assumption: well below the room's dew point, above frost",
    );
    let evaporator = number(
        "evaporator_approach_k",
        "K",
        (0.0, 20.0),
        5.0,
        "assumption: evaporating below the apparatus dew point",
    );
    let condenser = number(
        "condenser_approach_k",
        "K",
        (1.0, 40.0),
        10.0,
        "assumption: condensing above the room's air",
    );
    let carnot = number(
        "carnot_fraction",
        "",
        (0.1, 0.8),
        0.45,
        "assumption: real units reach 0.4..0.55 of Carnot, fan counted",
    );
    let cop_max = number(
        "cooling_cop_max",
        "",
        (1.0, 12.0),
        6.0,
        "assumption: compressors hold a least lift",
    );
    let humidity = number(
        "humidity_min",
        "% RH",
        (0.0, 90.0),
        25.0,
        "assumption: in drier air it has little to condense and stands still",
    );
    Some(Dehumidifier {
        coil_air_kg_per_s: coil_air?,
        bypass,
        apparatus_dew_point_c: dew_point,
        evaporator_approach_k: evaporator,
        condenser_approach_k: condenser,
        carnot_fraction: carnot,
        cooling_cop_max: cop_max,
        humidity_min: humidity / 100.0,
    })
}

fn read_exchanger(cursor: &Cursor<'_>) -> Option<Exchanger> {
    let effectiveness = if cursor.kind("ua_w_per_k").is_some() {
        let ua = cursor
            .number("ua_w_per_k")
            .unit("W/K")
            .within(1.0, 1e7)
            .required();
        let arrangement = cursor
            .choice(
                "arrangement",
                &[
                    ("crossflow", Arrangement::Crossflow),
                    ("counterflow", Arrangement::Counterflow),
                    ("parallel", Arrangement::Parallel),
                ],
            )
            .default(
                Arrangement::Crossflow,
                "assumption: the usual plate exchanger",
            );
        ua.map(|ua| Effectiveness::OfSurface {
            ua_kw_per_k: ua / 1000.0,
            arrangement,
        })
    } else {
        cursor
            .number("effectiveness")
            .within(0.05, 0.95)
            .hint("give the share of the temperature difference it recovers, or ua_w_per_k")
            .required()
            .map(Effectiveness::Stated)
    };
    let leak = cursor
        .number("leak")
        .within(0.0, 0.5)
        .default(0.05, "assumption: air that passes by an ordinary exchanger");
    let fan = cursor
        .number("fan_kw_per_kg_per_s")
        .unit("kW per kg/s")
        .within(0.0, 5.0)
        .default(
            0.4,
            "assumption: 100 Pa on each side, moved at half efficiency",
        );
    let frost_limit = cursor
        .number("frost_limit_c")
        .unit("°C")
        .within(-40.0, 20.0)
        .default(
            0.0,
            "assumption: a bypass keeps its plates, midway between leaving and coming air, above frost",
        );
    Some(Exchanger {
        effectiveness: effectiveness?,
        leak,
        fan_kw_per_kg_per_s: fan,
        frost_limit_c: frost_limit,
    })
}

fn read_collector(cursor: &Cursor<'_>) -> Option<Collector> {
    let area = cursor
        .number("area_m2")
        .unit("m²")
        .within(0.5, 1e5)
        .required();
    let eta0 = cursor.number("eta0").within(0.05, 0.9).default(
        0.5,
        "assumption: a plain covered air collector at its usual airflow",
    );
    let loss = cursor
        .number("loss_w_per_m2_k")
        .unit("W/(m² K)")
        .within(0.0, 40.0)
        .default(8.0, "assumption: a plain covered air collector");
    let tilt = cursor
        .number("tilt_deg")
        .unit("°")
        .within(0.0, 90.0)
        .default(15.0, "assumption: a low roof");
    let azimuth = cursor
        .number("azimuth_deg")
        .unit("° from north through east")
        .within(0.0, 360.0)
        .hint("say where the roof faces: 0 north, 90 east, 180 south, 270 west")
        .required();
    let fan = cursor
        .number("fan_kw")
        .unit("kW")
        .within(0.0, 100.0)
        .default(0.0, "assumption: the plant's own fans draw through it");
    Some(Collector {
        area_m2: area?,
        zero_loss_efficiency: eta0,
        loss_w_per_m2_k: loss,
        tilt_deg: tilt,
        azimuth_deg: azimuth?,
        fan_kw: fan,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cool_store::Placement;
    use crate::study::document::Document;
    use crate::study::problem::Problems;

    fn read_kind(word: Word, text: &str) -> Result<Kind, Problems> {
        let reading = Document::new("s.toml", text).read(|root| {
            let kind = read(root, word, None);
            root.finish();
            kind
        })?;
        Ok(reading.value)
    }

    #[test]
    fn each_kind_is_read_from_what_it_needs() {
        for (word, text) in [
            (Word::DirectBurner, "carrier = \"lpg\""),
            (
                Word::DirectBurner,
                "carrier = \"town\"\nwater_kg_per_kwh = 0.15",
            ),
            (Word::HotWater, "carrier = \"chips\""),
            (Word::CondenserHeatPump, "loop_c = 28"),
            (Word::Dehumidifier, "coil_air_kg_per_s = 2.5"),
            (Word::Exchanger, "effectiveness = 0.6"),
            (
                Word::Exchanger,
                "ua_w_per_k = 2500\narrangement = \"counterflow\"",
            ),
            (Word::Collector, "area_m2 = 80\nazimuth_deg = 0"),
        ] {
            assert!(read_kind(word, text).is_ok(), "{text}");
        }
    }

    #[test]
    fn what_a_kind_lacks_is_asked_for() {
        for (word, text, said) in [
            (
                Word::DirectBurner,
                "carrier = \"town\"",
                "water_kg_per_kwh is missing",
            ),
            (Word::Dehumidifier, "", "coil_air_kg_per_s is missing"),
            (Word::Exchanger, "leak = 0.1", "effectiveness is missing"),
            (Word::Collector, "area_m2 = 80", "azimuth_deg is missing"),
            (
                Word::Exchanger,
                "effectiveness = 1.5",
                "effectiveness is 1.5",
            ),
        ] {
            let problems = read_kind(word, text).expect_err(text).to_string();
            assert!(problems.contains(said), "{problems}");
        }
    }

    #[test]
    fn the_fuel_of_a_flame_says_how_much_water_it_makes() {
        let Ok(Kind::OpenFlame(flame)) = read_kind(Word::DirectBurner, "carrier = \"lpg\"") else {
            panic!("a flame")
        };
        assert!((flame.water_kg_per_kwh - 0.12697).abs() < 1e-5);
    }

    #[test]
    fn sources_that_cannot_work_together_are_refused() {
        let refusal = |condensers: Placement, sources: &[Source]| {
            Document::new("s.toml", "sources = [\"a\"]")
                .read(|root| {
                    check_stack(root, sources, &condensers.into());
                    root.claim("sources");
                    Some(())
                })
                .err()
                .map(|problems| problems.to_string())
                .unwrap_or_default()
        };
        let of =
            |word: Word, text: &str| Source::new("a", 50.0, read_kind(word, text).expect("a kind"));
        let dehumidifier = of(Word::Dehumidifier, "coil_air_kg_per_s = 2.5");
        let pump = of(Word::CondenserHeatPump, "");
        let mut boiler = of(Word::HotWater, "carrier = \"chips\"");
        let out = Placement::Outdoors;
        assert!(refusal(out, std::slice::from_ref(&dehumidifier)).contains("alone"));
        let both = [dehumidifier, boiler.clone()];
        assert_eq!(refusal(out, &both), "");
        boiler.minimum_load = 0.3;
        let [dehumidifier, _] = both;
        assert!(refusal(out, &[dehumidifier, boiler]).contains("minimum_load"));
        assert_eq!(refusal(out, std::slice::from_ref(&pump)), "");
        assert!(refusal(Placement::Room, &[pump]).contains("used but once"));
    }
}
