//! What moves heat with a compressor: from the condensers' water, or from the room's own damp air.

use crate::heat::{Dehumidifier, WaterHeatPump};
use crate::study::cursor::Cursor;

pub(super) fn read_water_heat_pump(cursor: &Cursor<'_>) -> WaterHeatPump {
    WaterHeatPump {
        carnot_fraction: cursor
            .number("carnot_fraction")
            .within(0.1, 0.8)
            .default(0.45, "assumption: real heat pumps reach 0.4..0.55 of Carnot, pumps counted"),
        loop_c: cursor
            .number("loop_c")
            .unit("°C")
            .within(0.0, 60.0)
            .default(30.0, "assumption: the condensers' water loop is held at this"),
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
        cop_max: cursor.number("cop_max").within(1.1, 12.0).default(7.0, "assumption: compressors hold a least lift"),
    }
}

pub(super) fn read_dehumidifier(cursor: &Cursor<'_>) -> Option<Dehumidifier> {
    let coil_air = cursor
        .number("coil_air_kg_per_s")
        .unit("kg/s of dry air")
        .within(0.01, 1000.0)
        .hint("give the air over its cold coil")
        .required();
    let number = |key: &str, unit: &str, (low, high): (f64, f64), value: f64, why: &str| {
        cursor.number(key).unit(unit).within(low, high).default(value, why)
    };
    let bypass = number("bypass", "", (0.0, 0.9), 0.15, "assumption: share of the coil's air that slips by");
    let dew_point = number(
        "apparatus_dew_point_c",
        "°C",
        (0.5, 30.0),
        12.0,
        "assumption: well below the room's dew point, above frost",
    );
    let evaporator =
        number("evaporator_approach_k", "K", (0.0, 20.0), 5.0, "assumption: evaporating below the apparatus dew point");
    let condenser =
        number("condenser_approach_k", "K", (1.0, 40.0), 10.0, "assumption: condensing above the room's air");
    let carnot = number(
        "carnot_fraction",
        "",
        (0.1, 0.8),
        0.45,
        "assumption: real heat pumps reach 0.4..0.55 of Carnot, fan counted",
    );
    let cop_max = number("cooling_cop_max", "", (1.0, 12.0), 6.0, "assumption: compressors hold a least lift");
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
