//! `kind = "heat-pump"`: outside air lifted, by seven numbers or by its maker's table.

use crate::heat::{HeatPump, PumpPoint, PumpTable};
use crate::study::cursor::Cursor;
use std::sync::Arc;

pub(super) fn read_heat_pump(cursor: &Cursor<'_>, capacity_kw: Option<f64>) -> Option<HeatPump> {
    let usual = HeatPump::USUAL;
    if cursor.kind("table").is_some() {
        return read_pump_table(cursor, capacity_kw?).map(|table| HeatPump { table: Some(Arc::new(table)), ..usual });
    }
    Some(HeatPump {
        carnot_fraction: cursor.number("carnot_fraction").within(0.1, 0.8).default(
            usual.carnot_fraction,
            "assumption: real heat pumps reach 0.4..0.55 of Carnot between evaporating and condensing temperature (refrigerant cycles computed with CoolProp give 0.46..0.59 for the compressor alone)",
        ),
        sink_approach_k: cursor.number("sink_approach_k").unit("K").within(1.0, 40.0)
            .default(usual.sink_approach_k, "assumption: condensing above the air it heats"),
        source_approach_k: cursor.number("source_approach_k").unit("K").within(1.0, 40.0)
            .default(usual.source_approach_k, "assumption: evaporating below outside air"),
        cop_max: cursor.number("cop_max").within(1.0, 12.0).default(usual.cop_max, "assumption: compressors hold a least lift"),
        rated_outside_c: cursor.number("rated_outside_c").unit("°C").within(-20.0, 45.0)
            .default(usual.rated_outside_c, "assumption: the outside temperature at which it gives capacity_kw"),
        capacity_per_k: cursor.number("capacity_per_k").unit("1/K").within(0.0, 0.1)
            .default(usual.capacity_per_k, "assumption: a warmer source gives more heat"),
        frost_factor: cursor.number("frost_factor").within(0.3, 1.0)
            .default(usual.frost_factor, "assumption: loss to defrost below 5 °C in damp air"),
        table: None,
    })
}

/// `table = [{ outside_c = 0, supply_c = 35, capacity_kw = 44, cop = 3.0 }, ...]`: its maker's figures, one for
/// each pair of temperatures. `capacity_kw` of the source is what is installed, by the table's largest figure.
fn read_pump_table(cursor: &Cursor<'_>, capacity_kw: f64) -> Option<PumpTable> {
    let mut rows = Vec::new();
    let mut complete = true;
    for row in cursor.each("table") {
        let number =
            |key: &str, unit: &str, (low, high): (f64, f64)| row.number(key).unit(unit).within(low, high).required();
        let outside = number("outside_c", "°C", (-40.0, 60.0));
        let supply = number("supply_c", "°C", (0.0, 120.0));
        let capacity = number("capacity_kw", "kW of heat", (0.01, 1e5));
        let cop = number("cop", "", (0.5, 15.0));
        row.finish();
        match (outside, supply, capacity, cop) {
            (Some(outside_c), Some(supply_c), Some(capacity_kw), Some(cop)) => {
                rows.push(PumpPoint { outside_c, supply_c, capacity_kw, cop });
            }
            _ => complete = false,
        }
    }
    if !complete {
        return None;
    }
    match PumpTable::of_points(&rows) {
        Ok(table) => {
            if (capacity_kw / table.largest_kw() - 1.0).abs() > 0.01 {
                cursor.warn(
                    "capacity_kw",
                    &format!(
                        "is {capacity_kw}, but the table's largest figure is {} kW",
                        table.largest_kw()
                    ),
                    "the table is taken as that of a smaller or larger pump of the same make: give its own capacity if it is not",
                );
            }
            Some(table)
        }
        Err(error) => {
            cursor.complain(
                "table",
                &format!("cannot be used: {error}"),
                "capacity_kw and cop for each pair of outside_c and supply_c",
                "copy them from the pump's data sheet",
            );
            None
        }
    }
}
