//! `moisture` of a biomass carrier: what a unit of it holds as burnt.

use super::cursor::Cursor;
use crate::money::Unit;
use crate::money::fuel::{biomass_lower_mj_per_kg, dry_lower_mj_per_kg, dry_matter};

const MJ_PER_KWH: f64 = 3.6;

/// Kilograms in a unit sold by mass; `None` for every other.
pub(crate) fn kg_per(unit: Unit) -> Option<f64> {
    match unit {
        Unit::Kilogram => Some(1.0),
        Unit::Tonne => Some(1000.0),
        Unit::KilowattHour | Unit::Gigajoule | Unit::Litre | Unit::CubicMetre => None,
    }
}

/// kWh in a unit on the lower heating value, from the fuel's moisture and its dry matter. Said to be missing
/// or wrong where it stands; `None` then.
pub(super) fn read(cursor: &Cursor<'_>, fuel: &str, unit: Option<Unit>) -> Option<f64> {
    let moisture = cursor.number("moisture").unit("% w.b.").within(0.0, 70.0).required();
    let dry = read_dry(cursor, fuel);
    if cursor.kind("heating_value_kwh_per_unit").is_some() {
        cursor.claim("heating_value_kwh_per_unit");
        cursor.complain(
            "heating_value_kwh_per_unit",
            "is given beside a moisture",
            "one of the two",
            "leave out the one that does not hold",
        );
        return None;
    }
    let Some(kg) = kg_per(unit?) else {
        cursor.complain(
            "moisture",
            "is given of a fuel that is not sold by mass",
            "unit = \"kg\" or \"t\"",
            "a sale by energy counts what is in it already: leave moisture out",
        );
        return None;
    };
    let value = biomass_lower_mj_per_kg(dry?, moisture? / 100.0) * kg / MJ_PER_KWH;
    let within = cursor.number("heating_value_kwh_per_unit").unit("kWh/unit, lower");
    Some(within.default(
        value,
        "from moisture: dry matter's heating value less 2.443 MJ per kg of water (form of ISO 18125, which was not read)",
    ))
}

/// Lower heating value on dry matter, MJ/kg.
fn read_dry(cursor: &Cursor<'_>, fuel: &str) -> Option<f64> {
    if cursor.kind("higher_dry_mj_per_kg").is_some() {
        let higher = cursor.number("higher_dry_mj_per_kg").unit("MJ/kg").within(10.0, 30.0).required();
        let hydrogen = cursor
            .number("hydrogen_dry")
            .unit("% of dry mass")
            .within(0.0, 12.0)
            .default(6.0, "hydrogen of wood, about 6 % of dry mass (from memory, not verified)");
        return higher.map(|higher| dry_lower_mj_per_kg(higher, hydrogen / 100.0));
    }
    let field = cursor
        .number("lower_dry_mj_per_kg")
        .unit("MJ/kg")
        .within(10.0, 30.0)
        .hint("give the lower heating value of its dry matter, or higher_dry_mj_per_kg");
    match dry_matter(fuel) {
        Some(known) => Some(field.default(known.value, known.to_string())),
        None => field.required(),
    }
}
