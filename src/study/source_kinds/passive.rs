//! What heats fresh air without buying heat: an exchanger in the exhaust, and a collector in the sun.

use crate::heat::{Arrangement, Collector, Effectiveness, Exchanger, RatedLine};
use crate::study::cursor::Cursor;

pub(super) fn read_exchanger(cursor: &Cursor<'_>) -> Option<Exchanger> {
    let effectiveness = if cursor.kind("ua_w_per_k").is_some() {
        let ua = cursor.number("ua_w_per_k").unit("W/K").within(1.0, 1e7).required();
        let arrangement = cursor
            .choice(
                "arrangement",
                &[
                    ("crossflow", Arrangement::Crossflow),
                    ("counterflow", Arrangement::Counterflow),
                    ("parallel", Arrangement::Parallel),
                ],
            )
            .default(Arrangement::Crossflow, "assumption: the usual plate exchanger");
        ua.map(|ua| Effectiveness::OfSurface { ua_kw_per_k: ua / 1000.0, arrangement })
    } else {
        cursor
            .number("effectiveness")
            .within(0.05, 0.95)
            .hint("give the share of the temperature difference it recovers, or ua_w_per_k")
            .required()
            .map(Effectiveness::Stated)
    };
    let leak =
        cursor.number("leak").within(0.0, 0.5).default(0.05, "assumption: air that passes by an ordinary exchanger");
    let fan = cursor
        .number("fan_kw_per_kg_per_s")
        .unit("kW per kg/s")
        .within(0.0, 5.0)
        .default(0.4, "assumption: 100 Pa on each side, moved at half efficiency");
    let frost_limit = cursor
        .number("frost_limit_c")
        .unit("°C")
        .within(-40.0, 20.0)
        .default(0.0, "assumption: a bypass keeps its plates, midway between leaving and coming air, above frost");
    Some(Exchanger { effectiveness: effectiveness?, leak, fan_kw_per_kg_per_s: fan, frost_limit_c: frost_limit })
}

pub(super) fn read_collector(cursor: &Cursor<'_>) -> Option<Collector> {
    let area = cursor.number("area_m2").unit("m²").within(0.5, 1e5).required();
    let eta0 = cursor
        .number("eta0")
        .within(0.05, 0.95)
        .default(0.5, "assumption: of the light on a dark roof or plate half warms the air before any loss");
    let loss = cursor
        .number("loss_w_per_m2_k")
        .unit("W/(m² K)")
        .within(0.0, 40.0)
        .default(8.0, "assumption: a plain covered air collector");
    let rated_air = cursor.number("rated_air_kg_per_s_m2").unit("kg/(s m²)").within(0.002, 0.2).optional();
    let tilt = cursor.number("tilt_deg").unit("°").within(0.0, 90.0).default(15.0, "assumption: a low roof");
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
    let (effective_absorptance, loss_w_per_m2_k) = match rated_air {
        None => (eta0, loss),
        Some(air_kg_per_s_m2) => {
            let line = RatedLine { efficiency: eta0, slope_w_per_m2_k: loss, air_kg_per_s_m2 };
            let Some(unrated) = line.unrated() else {
                cursor.complain(
                    "loss_w_per_m2_k",
                    &format!("is {loss}, which with eta0 {eta0} no collector shows at {air_kg_per_s_m2} kg/s of air a m²"),
                    "a slope that loses no more than the air carries, and takes up no more than the light",
                    "give eta0, slope and air of one test, or leave rated_air_kg_per_s_m2 out where eta0 and the loss are the collector's own",
                );
                return None;
            };
            unrated
        }
    };
    Some(Collector {
        area_m2: area?,
        effective_absorptance,
        loss_w_per_m2_k,
        tilt_deg: tilt,
        azimuth_deg: azimuth?,
        fan_kw: fan,
    })
}
