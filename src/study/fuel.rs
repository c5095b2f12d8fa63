//! `[carrier.NAME]` of a fuel: how it is sold, and what it holds.
//!
//! | key | says |
//! | --- | --- |
//! | `price`, `unit` | what a unit costs: kWh, GJ, kg, t, L or m³; a price such as `"2.10 USD/gal"` says its unit |
//! | `price_factor` | all its prices times this: 1.3 for a third dearer |
//! | `fuel` | whose published figures hold, if not the carrier's own name: lpg, natural gas, diesel, wood, shell |
//! | `basis` | of a sale by energy: lower or higher heating value |
//! | `heating_value_kwh_per_unit`, `carbon_kg_per_kwh` | in place of the published figures |
//! | `burner_class` | agriculture or industry: whose methane and nitrous oxide the published carbon counts |
//! | `moisture` | of a biomass by the kg or t, % w.b. as burnt: its heating value follows from its dry matter's |
//! | `lower_dry_mj_per_kg`, or `higher_dry_mj_per_kg` and `hydrogen_dry` | heating value on dry matter |
//! | `own_supply` | the plant's own shells or husks, see [`super::own_supply`] |

use super::biomass_value;
use super::costs::price_factor;
use super::cursor::{Cursor, Kind};
use super::measured::sold_by;
use super::money::MOST_MONEY;
use super::own_supply;
use crate::money::{BurnerClass, Carrier, FUELS, Fuel, HeatingBasis, OwnSupply, Unit};
use crate::unit::Dimension;

/// How a fuel is sold.
struct Sale {
    price_per_unit: Option<f64>,
    unit: Option<Unit>,
    basis: HeatingBasis,
    fixed_per_month: f64,
    price_factor: f64,
}

/// What the study says a fuel holds; the rest is published.
struct Content {
    /// Name of the fuel among the published ones.
    fuel: String,
    kwh_per_unit: Option<f64>,
    carbon_kg_per_kwh: Option<f64>,
    burner: BurnerClass,
    own: Option<OwnSupply>,
}

/// Reads the fuel that the study calls `name`.
pub(super) fn read_fuel(name: &str, cursor: &Cursor<'_>) -> Option<Carrier> {
    let sale = read_sale(cursor);
    let content = read_content(cursor, name, sale.unit);
    cursor.finish();
    let (price_per_unit, unit) = (sale.price_per_unit?, sale.unit?);
    let published = Fuel::named(&content.fuel).and_then(|fuel| {
        let carrier = Carrier::of_fuel(fuel, unit, sale.basis, content.burner, price_per_unit);
        Some((fuel, carrier?))
    });
    let carrier = if let Some((fuel, carrier)) = published {
        note_published(cursor, fuel, &carrier, &content);
        Carrier {
            name: name.to_owned(),
            kwh_per_unit: content.kwh_per_unit.unwrap_or(carrier.kwh_per_unit),
            carbon_kg_per_kwh: content.carbon_kg_per_kwh.unwrap_or(carrier.carbon_kg_per_kwh),
            fixed_per_month: sale.fixed_per_month,
            own: content.own,
            ..carrier
        }
    } else {
        let known = Fuel::named(&content.fuel);
        let published = known.map(|fuel| fuel.carbon_kg_per_kwh(content.burner));
        let carbon = content.carbon_kg_per_kwh.or(published);
        let Some((kwh_per_unit, carbon)) = content.kwh_per_unit.zip(carbon) else {
            complain_of_unknown(cursor, &content.fuel, unit);
            return None;
        };
        Carrier {
            name: name.to_owned(),
            fuel: content.fuel,
            unit,
            kwh_per_unit,
            price_per_unit,
            fixed_per_month: sale.fixed_per_month,
            carbon_kg_per_kwh: carbon,
            biogenic_kg_per_kwh: known.map_or(0.0, Fuel::biogenic_kg_per_kwh),
            own: content.own,
        }
    };
    match carrier.checked() {
        Ok(carrier) => Some(carrier.times_dearer(sale.price_factor)),
        Err(error) => {
            cursor.complain("price", "and the other figures cannot be used", &error.to_string(), "");
            None
        }
    }
}

fn read_sale(cursor: &Cursor<'_>) -> Sale {
    let units: Vec<(&'static str, Unit)> =
        [Unit::KilowattHour, Unit::Gigajoule, Unit::Kilogram, Unit::Tonne, Unit::Litre, Unit::CubicMetre]
            .into_iter()
            .map(|unit| (unit.symbol(), unit))
            .collect();
    let said = said_unit(cursor);
    let unit = cursor.choice("unit", &units).hint("say what the price is for");
    let unit = match said {
        Some(said) => Some(unit.default(said, "what the price is for, as it says itself")),
        None => unit.required(),
    };
    let per = unit.map_or("unit", Unit::symbol);
    let price_per_unit = cursor.number("price").unit(format!("money/{per}")).within(0.0, MOST_MONEY).required();
    let basis = cursor
        .choice("basis", &[("lower", HeatingBasis::Lower), ("higher", HeatingBasis::Higher)])
        .default(HeatingBasis::Lower, "heating value a sale by energy counts on");
    if said == Some(Unit::KilowattHour) && cursor.kind("basis").is_none() {
        cursor.doubt(
            "carrier.basis",
            "price",
            "is for energy, and basis does not say of which heating value; the lower is taken",
            "give basis = \"higher\" for gas that is billed by the therm or the Btu, or basis = \"lower\"",
        );
    }
    let fixed_per_month =
        cursor.number("fixed_per_month").unit("money/month").within(0.0, MOST_MONEY).default(0.0, "none given");
    Sale { price_per_unit, unit, basis, fixed_per_month, price_factor: price_factor(cursor) }
}

/// What a price that is written with its unit is for.
fn said_unit(cursor: &Cursor<'_>) -> Option<Unit> {
    let is_text = cursor.kind("price") == Some(Kind::Text);
    let of = is_text.then(|| cursor.text("price").peek()).flatten().and_then(|text| sold_by(&text))?;
    [(Dimension::ENERGY, Unit::KilowattHour), (Dimension::MASS, Unit::Kilogram), (Dimension::VOLUME, Unit::Litre)]
        .into_iter()
        .find_map(|(dimension, unit)| (dimension == of).then_some(unit))
}

fn read_content(cursor: &Cursor<'_>, name: &str, unit: Option<Unit>) -> Content {
    let fuel = cursor.text("fuel").default(name.to_owned(), "the carrier's own name");
    let kwh_per_unit = if cursor.kind("moisture").is_some() {
        biomass_value::read(cursor, &fuel, unit)
    } else {
        cursor
            .number("heating_value_kwh_per_unit")
            .unit(format!("kWh/{}, lower", unit.map_or("unit", Unit::symbol)))
            .within(0.01, 1e5)
            .optional()
    };
    let carbon_kg_per_kwh = cursor.number("carbon_kg_per_kwh").unit("kg/kWh, lower").within(0.0, 3.0).optional();
    let burner = read_burner_class(cursor, &fuel, carbon_kg_per_kwh.is_some());
    Content { fuel, kwh_per_unit, own: own_supply::read(cursor, unit), carbon_kg_per_kwh, burner }
}

/// Whose methane the fuel's published carbon counts. It is of no use where the carbon is given, or is not known.
fn read_burner_class(cursor: &Cursor<'_>, fuel: &str, carbon_is_given: bool) -> BurnerClass {
    const KEY: &str = "burner_class";
    const USUAL: BurnerClass = BurnerClass::Agriculture;
    if Fuel::named(fuel).is_some() && !carbon_is_given {
        return cursor.choice(KEY, &BurnerClass::WORDS).default(
            USUAL,
            "a dryer beside an orchard is an agricultural burner; in industry less methane is left over (wood and shell 30 kg per TJ, not 300)",
        );
    }
    if cursor.kind(KEY).is_some() {
        cursor.claim(KEY);
        let (found, cure) = if carbon_is_given {
            ("is given beside carbon_kg_per_kwh", "leave out the one that does not hold")
        } else {
            ("is given of a fuel without published factors", "give carbon_kg_per_kwh instead")
        };
        cursor.complain(KEY, found, "a class of burner of a published fuel", cure);
    }
    USUAL
}

/// Records the published figures that stand in for what the study left out.
fn note_published(cursor: &Cursor<'_>, fuel: &Fuel, carrier: &Carrier, content: &Content) {
    if content.kwh_per_unit.is_none() {
        cursor
            .number("heating_value_kwh_per_unit")
            .unit(format!("kWh/{}, lower", carrier.unit.symbol()))
            .default(carrier.kwh_per_unit, fuel.lower_mj_per_kg.source);
    }
    if content.carbon_kg_per_kwh.is_none() {
        cursor
            .number("carbon_kg_per_kwh")
            .unit("kg/kWh, lower")
            .default(carrier.carbon_kg_per_kwh, fuel.carbon_kg_per_gj.of(content.burner).to_string());
    }
}

/// Says what is missing of a fuel that is not among the published ones, or not by this unit.
fn complain_of_unknown(cursor: &Cursor<'_>, fuel: &str, unit: Unit) {
    // A figure that is given but wrong was told already.
    let missing: Vec<&str> = ["heating_value_kwh_per_unit", "carbon_kg_per_kwh"]
        .into_iter()
        .filter(|key| cursor.kind(key).is_none())
        .collect();
    if missing.is_empty() {
        return;
    }
    let known: Vec<&str> = FUELS.iter().map(|fuel| fuel.name).collect();
    cursor.complain(
        "fuel",
        &format!("is \"{fuel}\" by the {}, for which no heating value is known", unit.symbol()),
        &format!("a known fuel and unit ({})", known.join(", ")),
        &format!("give {}", missing.join(" and ")),
    );
}
