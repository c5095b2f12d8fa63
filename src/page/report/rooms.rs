//! Rooms in a row, one beside the other.

use super::view::View;
use crate::number::Measure;
use crate::page::kit::cell::Cell;
use crate::page::parts::{Head, Row, Table};

/// A row for each room; nothing for a plant of one.
pub(super) fn rooms(view: &View<'_>) -> Option<Table> {
    let rooms = &view.figures.season.rooms;
    if rooms.len() < 2 {
        return None;
    }
    let rows = rooms
        .iter()
        .map(|room| {
            let cells = vec![
                Cell::number(room.bins as f64, 0),
                Cell::number(room.batches, 0),
                Cell::number(room.mean_air_c, 1),
                Cell::number(room.mean_relative_humidity_pct, 0),
                Cell::number(room.heat_delivered_kwh / 1000.0, 1),
                Cell::number(room.fan_kwh / 1000.0, 1),
                Cell::number(room.water_kg / 1000.0, 1),
                Cell::number(room.hours_short, 0),
                Cell::number(room.blocked_bin_hours, 0),
            ];
            Row::new(&room.name, cells)
        })
        .collect();
    Some(Table::new(
        "Rooms in a row (baseline option, mean of the weather years)",
        "room",
        vec![
            Head::number("bins", ""),
            Head::number("batches", ""),
            Head::number("air", "°C"),
            Head::number("humidity", "% RH"),
            Head::heat("heat", "MWh"),
            Head::number("fans", "MWh"),
            Head::number("water", Measure::water("t")),
            Head::number("heat short", "h"),
            Head::number("bins blocked", "bin-h"),
        ],
        rows,
    ))
}
