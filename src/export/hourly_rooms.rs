//! `hourly_rooms.csv`: every room in every hour, with all terms of its water and its heat.

use super::column::Adds::{Mean, MeanOverAir, Sum};
use super::column::{Cell, Column, write_head, write_list, write_row};
use super::hour::{CELSIUS, KG, KG_PER_S, KWH, OfHour, RATIO, keys, of_hour};
use crate::ledger::{Book, Entry, PassedAir, RoomEntry};

/// The file's name.
pub(super) const FILE: &str = "hourly_rooms.csv";

/// A room's hour in its book.
struct RoomRow<'a> {
    book: &'a Book,
    name: &'a str,
    site: Entry,
    room: &'a RoomEntry,
}

impl OfHour for RoomRow<'_> {
    fn book(&self) -> &Book {
        self.book
    }

    fn hour(&self) -> &Entry {
        &self.site
    }
}

/// One row for each option, weather year, hour and room.
pub(crate) fn hourly_rooms_csv(books: &[Vec<Book>]) -> String {
    let columns = columns();
    let mut text = String::new();
    write_head(&mut text, &columns);
    for book in books.iter().flatten() {
        let by_hour = book.room_hours.chunks_exact(book.rooms.len().max(1));
        for (site, rooms) in book.hours.iter().zip(by_hour) {
            for (room, kept) in rooms.iter().zip(&book.rooms) {
                write_row(&mut text, &columns, &RoomRow { book, name: &kept.name, site, room });
            }
        }
    }
    text
}

/// The list of its columns.
pub(super) fn list(text: &mut String) {
    write_list(text, FILE, &columns());
}

fn columns<'a>() -> Vec<Column<'a, RoomRow<'a>>> {
    let mut columns: Vec<RoomColumn<'_>> = keys().into();
    columns.extend([
        Column::key("room", "room of the study", |row: &RoomRow<'_>| row.name.to_owned()),
        Column::new("bins_drying", Mean, "batches drying", |row: &RoomRow<'_>| {
            Cell::Number(f64::from(row.room.bins_drying), 0)
        }),
        of_hour("outside_c", (Mean, CELSIUS), "outside dry bulb", |hour| hour.outside_c),
        of_hour("outside_humidity_ratio", (Mean, RATIO), "outside humidity ratio, kg/kg", |hour| {
            hour.outside_humidity_ratio
        }),
        of_hour("pressure_pa", (Mean, 1), "station pressure", |hour| hour.pressure_pa),
    ]);
    columns.extend(air(
        [
            "fresh_air_kg_per_s",
            "drying_air_c",
            "drying_air_humidity_ratio",
            "air that met the nuts that dry, kg of dry air per second: outside air drawn in",
        ],
        |room| room.met_nuts,
    ));
    columns.extend(air(
        [
            "exhaust_kg_per_s",
            "exhaust_c",
            "exhaust_humidity_ratio",
            "the same air as it left: a recirculating room's air, or that behind the beds",
        ],
        |room| room.left,
    ));
    columns.extend(air(
        [
            "cooling_air_kg_per_s",
            "cooling_exhaust_c",
            "cooling_exhaust_humidity_ratio",
            "outside air that cooled dried nuts, as it left them",
        ],
        |room| room.left_cooling,
    ));
    columns.extend([
        kg("drying_evaporated_kg", "water evaporated from nuts that dry", |room| room.drying_evaporated_kg),
        kg("cooling_evaporated_kg", "water evaporated from nuts that cool", |room| room.cooling_evaporated_kg),
        kg("source_water_kg", "water brought by direct flames; less than zero: condensed by a source", |room| {
            room.source_water_kg
        }),
        kg("condensed_kg", "water that settled in a saturated room", |room| room.condensed_kg),
        kwh("heat_asked_kwh", "heat lacking at the set temperature, before any source", |room| room.heat_asked_kwh),
        kwh("heat_delivered_kwh", "heat given towards it, recovered heat with it", |room| room.heat_delivered_kwh),
        kwh("recovered_kwh", "of which recovered from condensers", |room| room.recovered_kwh),
        kwh("heat_lacking_kwh", "heat asked for and not given", |room| room.heat_asked_kwh - room.heat_delivered_kwh),
        kwh("purged_kwh", "recovered heat beyond the need", |room| room.purged_kwh),
        kwh("fan_heat_kwh", "heat of bin fans kept by the air", |room| room.fan_heat_kwh),
        kwh("gains_kwh", "lights and people", |room| room.gains_kwh),
        kwh("ventilation_kwh", "enthalpy of the air that left above outside air's, less source_water_kwh", |room| {
            room.ventilation_kwh
        }),
        kwh("source_water_kwh", "enthalpy of source_water_kg as vapour", |room| room.source_water_kwh),
        kwh("envelope_kwh", "loss through the envelope", |room| room.envelope_kwh),
        kwh("warming_kwh", "warming of nuts, their water and steel", |room| room.warming_kwh),
        kwh("desorption_kwh", "heat that freed bound water beyond latent heat", |room| room.binding_kwh),
        kwh("bin_fan_kwh", "electricity of bin fans", |room| room.bin_fan_kwh),
        kwh("extraction_fan_kwh", "electricity of the extraction fan", |room| room.extraction_fan_kwh),
        kwh("lights_kwh", "electricity of lights", |room| room.lights_kwh),
    ]);
    columns
}

type RoomColumn<'a> = Column<'a, RoomRow<'a>>;

fn kwh<'a>(head: &str, says: &'static str, of: fn(&RoomEntry) -> f64) -> RoomColumn<'a> {
    Column::number(head, (Sum, KWH), says, move |row: &RoomRow<'_>| of(row.room))
}

fn kg<'a>(head: &str, says: &'static str, of: fn(&RoomEntry) -> f64) -> RoomColumn<'a> {
    Column::number(head, (Sum, KG), says, move |row: &RoomRow<'_>| of(row.room))
}

/// Flow, dry bulb and humidity ratio of air that passed; its state is empty where none did.
fn air<'a>(
    [flow, dry_bulb, ratio, says]: [&'static str; 4],
    of: fn(&RoomEntry) -> Option<PassedAir>,
) -> [RoomColumn<'a>; 3] {
    [
        Column::number(flow, (Mean, KG_PER_S), says, move |row: &RoomRow<'_>| {
            of(row.room).map_or(0.0, |air| air.kg_per_s)
        }),
        Column::maybe(
            dry_bulb,
            (MeanOverAir, CELSIUS),
            "its dry bulb, with the enthalpy of all of it",
            move |row: &RoomRow<'_>| of(row.room).map(|air| air.dry_bulb_c),
        ),
        Column::maybe(
            ratio,
            (MeanOverAir, RATIO),
            "its humidity ratio, kg/kg, with the water of all of it",
            move |row: &RoomRow<'_>| of(row.room).map(|air| air.humidity_ratio),
        ),
    ]
}
