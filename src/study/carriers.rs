//! `[carrier.NAME]`: what energy costs and emits.

use super::companions::Companions;
use super::cursor::Cursor;
use super::document::Document;
use super::frame::Frame;
use super::tariff::read_tariff;
use crate::money::{Carrier, Carriers, Fuel, HeatingBasis, Tariff, Unit};
use std::collections::BTreeMap;

pub(super) fn read(
    root: &Cursor<'_>,
    frame: &Frame,
    companions: &dyn Companions,
) -> Option<Carriers> {
    let table = root.table("carrier");
    let electricity = table.required_table(
        "electricity",
        "add [carrier.electricity] with a price or a tariff; fans need it in any case",
    );
    let read_electricity =
        electricity.and_then(|cursor| read_electricity(&cursor, frame, companions));
    let mut complete = true;
    let mut fuels = BTreeMap::new();
    for (name, cursor) in table.rest() {
        match read_fuel(&name, &cursor) {
            Some(fuel) => {
                fuels.insert(name, fuel);
            }
            None => complete = false,
        }
        cursor.finish();
    }
    let (electricity, carbon) = read_electricity?;
    complete.then_some(Carriers {
        electricity,
        electricity_carbon_kg_per_kwh: carbon,
        fuels,
    })
}

fn read_electricity(
    cursor: &Cursor<'_>,
    frame: &Frame,
    companions: &dyn Companions,
) -> Option<(Tariff, f64)> {
    let carbon = cursor
        .number("carbon_kg_per_kwh")
        .unit("kg/kWh")
        .within(0.0, 3.0)
        .hint("give the grid's factor; there is no default that fits every grid")
        .required();
    let tariff = if cursor.kind("tariff").is_some() {
        let path = cursor.text("tariff").required()?;
        match companions.text(&path) {
            Ok(text) => cursor.include(
                Document::new(&path, &text)
                    .under("carrier.electricity.tariff")
                    .read(|root| read_tariff(root, frame.standard_time(), frame.currency?)),
            ),
            Err(cause) => {
                cursor.complain(
                    "tariff",
                    &format!("names {path}, which cannot be read: {cause}"),
                    "a tariff file beside the study",
                    "mend the path, or give price = ... instead",
                );
                None
            }
        }
    } else {
        cursor
            .number("price")
            .unit("money/kWh")
            .within(0.0, 1e6)
            .hint("give a price, or tariff = \"tariff.toml\"")
            .required()
            .map(Tariff::flat)
    };
    cursor.finish();
    Some((tariff?, carbon?))
}

fn read_fuel(name: &str, cursor: &Cursor<'_>) -> Option<Carrier> {
    let price = cursor
        .number("price")
        .unit("money per unit")
        .within(0.0, 1e9)
        .required();
    let units: Vec<(&'static str, Unit)> = [
        Unit::KilowattHour,
        Unit::Gigajoule,
        Unit::Kilogram,
        Unit::Tonne,
        Unit::Litre,
        Unit::CubicMetre,
    ]
    .into_iter()
    .map(|unit| (unit.symbol(), unit))
    .collect();
    let unit = cursor
        .choice("unit", &units)
        .hint("say what the price is for")
        .required();
    let basis = cursor
        .choice(
            "basis",
            &[
                ("lower", HeatingBasis::Lower),
                ("higher", HeatingBasis::Higher),
            ],
        )
        .default(
            HeatingBasis::Lower,
            "heating value a sale by energy counts on",
        );
    let fuel_name = cursor
        .text("fuel")
        .default(name.to_owned(), "the carrier's own name");
    let heating_value = cursor
        .number("heating_value_kwh_per_unit")
        .unit("kWh/unit, lower")
        .within(0.01, 1e5)
        .optional();
    let carbon = cursor
        .number("carbon_kg_per_kwh")
        .unit("kg/kWh, lower")
        .within(0.0, 3.0)
        .optional();
    let (price, unit) = (price?, unit?);
    let known = Fuel::named(&fuel_name);
    let mut carrier =
        if let Some(carrier) = known.and_then(|fuel| Carrier::of_fuel(fuel, unit, basis, price)) {
            carrier
        } else {
            let Some((kwh_per_unit, carbon)) = heating_value.zip(carbon) else {
                cursor.complain(
                    "fuel",
                    &format!(
                        "is \"{fuel_name}\" by the {}, for which no heating value is known",
                        unit.symbol()
                    ),
                    "a known fuel and unit",
                    "give heating_value_kwh_per_unit and carbon_kg_per_kwh",
                );
                return None;
            };
            Carrier {
                name: name.to_owned(),
                unit,
                kwh_per_unit,
                price_per_unit: price,
                fixed_per_month: 0.0,
                carbon_kg_per_kwh: carbon,
                biogenic_kg_per_kwh: 0.0,
            }
        };
    if let Some(fuel) = known {
        note_default(
            cursor,
            "heating_value_kwh_per_unit",
            heating_value,
            carrier.kwh_per_unit,
            fuel.lower_mj_per_kg.source,
        );
        note_default(
            cursor,
            "carbon_kg_per_kwh",
            carbon,
            carrier.carbon_kg_per_kwh,
            fuel.carbon_kg_per_gj.source,
        );
    }
    name.clone_into(&mut carrier.name);
    carrier.kwh_per_unit = heating_value.unwrap_or(carrier.kwh_per_unit);
    carrier.carbon_kg_per_kwh = carbon.unwrap_or(carrier.carbon_kg_per_kwh);
    carrier.fixed_per_month = cursor
        .number("fixed_per_month")
        .unit("money/month")
        .within(0.0, 1e7)
        .default(0.0, "none given");
    match carrier.checked() {
        Ok(carrier) => Some(carrier),
        Err(error) => {
            cursor.complain(
                "price",
                "and the other figures cannot be used",
                &error.to_string(),
                "",
            );
            None
        }
    }
}

/// Records a published figure as a default, if the study did not give its own.
fn note_default(cursor: &Cursor<'_>, key: &str, given: Option<f64>, value: f64, source: &str) {
    if given.is_none() {
        let _ = cursor.number(key).default(value, source.to_owned());
    }
}
