//! `[carrier.NAME]`: what energy costs and emits.

use super::companions::{Companions, named_text};
use super::costs::price_factor;
use super::cursor::Cursor;
use super::frame::Frame;
use super::fuel::read_fuel;
use super::tariff::read_tariff;
use crate::money::{Carriers, ELECTRICITY, Tariff};
use std::collections::BTreeMap;

pub(super) fn read(root: &Cursor<'_>, frame: &Frame, companions: &dyn Companions) -> Option<Carriers> {
    let table = root.table("carrier");
    let electricity = table
        .required_table(ELECTRICITY, "add [carrier.electricity] with a price or a tariff; fans need it in any case");
    let read_electricity = electricity.and_then(|cursor| read_electricity(&cursor, frame, companions));
    let mut complete = true;
    let mut fuels = BTreeMap::new();
    for (name, cursor) in table.rest("FUEL") {
        match read_fuel(&name, &cursor) {
            Some(fuel) => {
                fuels.insert(name, fuel);
            }
            None => complete = false,
        }
    }
    let (electricity, carbon) = read_electricity?;
    complete.then_some(Carriers { electricity, electricity_carbon_kg_per_kwh: carbon, fuels })
}

fn read_electricity(cursor: &Cursor<'_>, frame: &Frame, companions: &dyn Companions) -> Option<(Tariff, f64)> {
    let carbon = cursor
        .number("carbon_kg_per_kwh")
        .unit("kg/kWh")
        .within(0.0, 3.0)
        .hint("give the grid's factor; there is no default that fits every grid")
        .required();
    let tariff = if cursor.kind("tariff").is_some() {
        read_named_tariff(cursor, frame, companions)
    } else {
        cursor
            .number("price")
            .unit("money/kWh")
            .within(0.0, 1e6)
            .hint("give a price, or tariff = \"tariff.toml\"")
            .required()
            .map(Tariff::flat)
    };
    let factor = price_factor(cursor);
    cursor.finish();
    Some((tariff?.times_dearer(factor), carbon?))
}

/// The tariff in the file that the carrier names.
fn read_named_tariff(cursor: &Cursor<'_>, frame: &Frame, companions: &dyn Companions) -> Option<Tariff> {
    if cursor.kind("price").is_some() {
        cursor.claim("price");
        cursor.complain("price", "is given beside a tariff", "one of the two", "leave out the one that does not hold");
    }
    let cure = "mend the path, or give price = ... instead";
    let (path, text) = named_text(cursor, "tariff", companions, cure)?;
    cursor.include(
        cursor
            .companion(&path, &text)
            .under("carrier.electricity.tariff")
            .read(|root| read_tariff(root, frame.given_standard_time(), frame.price_unit())),
    )
}
