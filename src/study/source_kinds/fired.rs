//! What burns a fuel: a burner or a boiler that heats air, an open flame, and a boiler behind a hot-water coil.

use crate::heat::{Biomass, Burner, HotWater, OpenFlame};
use crate::money::Carriers;
use crate::problem::meant_or;
use crate::study::cursor::Cursor;

/// Water of combustion, kg per MJ on the lower heating value, by fuel.
const WATER_KG_PER_MJ: [(&str, f64, &str); 3] = [
    ("lpg", 1.634 / 46.33, "propane: 1.634 kg of water per kg, 46.33 MJ/kg lower (derived from heats of formation)"),
    (
        "natural gas",
        2.246 / 50.03,
        "methane: 2.246 kg of water per kg, 50.03 MJ/kg lower (derived from heats of formation)",
    ),
    ("diesel", 1.18 / 42.8, "diesel: about 1.18 kg of water per kg, 42.8 MJ/kg lower (from memory, not verified)"),
];

/// Heat got from a fuel over its lower heating value, at most: the water of natural gas condensed gives its
/// higher heating value, 1.11 times the lower (ISO 6976 values of methane, from memory, not verified).
const MOST_OF_LOWER_VALUE: f64 = 1.11;

fn read_carrier(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<String> {
    let carrier = cursor.text("carrier").hint("name the [carrier.NAME] it burns").required()?;
    if let Some(carriers) = carriers
        && !carriers.fuels.contains_key(&carrier)
    {
        let known: Vec<&str> = carriers.fuels.keys().map(String::as_str).collect();
        let known = if known.is_empty() { "none".to_owned() } else { known.join(", ") };
        cursor.complain_of_stranger(
            "carrier",
            &format!("is \"{carrier}\", which is not described"),
            &format!("one of the fuels: {known}"),
            &meant_or(
                &carrier,
                carriers.fuels.keys().map(String::as_str),
                &format!("add [carrier.{carrier}] with a price"),
            ),
        );
        return None;
    }
    Some(carrier)
}

/// Electricity for each kW of heat.
fn read_electricity(cursor: &Cursor<'_>, usual: f64, why: &str) -> f64 {
    cursor.number("electricity_share").unit("kW/kW").within(0.0, 0.5).default(usual, why)
}

pub(super) fn read_burner(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<Burner> {
    let carrier = read_carrier(cursor, carriers);
    let efficiency = cursor
        .number("efficiency")
        .within(0.3, MOST_OF_LOWER_VALUE)
        .default(0.80, "indirect air heater on the lower heating value, 0.75..0.85 (from memory, not verified)");
    let share = read_electricity(cursor, 0.01, "assumption: burner and combustion fan");
    Some(Burner { carrier: carrier?, efficiency, electricity_share: share })
}

pub(super) fn read_biomass(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<Biomass> {
    let carrier = read_carrier(cursor, carriers);
    let efficiency = cursor
        .number("efficiency")
        .within(0.3, 1.0)
        .default(0.75, "wood or shell boiler on the lower heating value, 0.70..0.85 (from memory, not verified)");
    let share = read_electricity(cursor, 0.02, "assumption: feed and fans");
    let supply = cursor.number("own_supply_per_season").unit("units of the carrier").within(0.0, 1e9).optional();
    let carrier = carrier?;
    let kwh_per_unit = carriers.and_then(|carriers| carriers.fuels.get(&carrier)).map(|fuel| fuel.kwh_per_unit);
    Some(Biomass {
        own_supply_kwh: supply.zip(kwh_per_unit).map(|(units, kwh)| units * kwh),
        carrier,
        efficiency,
        electricity_share: share,
    })
}

pub(super) fn read_direct_burner(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<OpenFlame> {
    let carrier = read_carrier(cursor, carriers);
    let efficiency = cursor
        .number("efficiency")
        .within(0.3, 1.0)
        .default(0.97, "direct-fired air heater on the lower heating value, 0.95..1.0 (from memory, not verified)");
    let share = read_electricity(cursor, 0.01, "assumption: burner and combustion fan");
    let fuel = cursor
        .text("fuel")
        .hint("say what burns, so that its water is known: lpg, natural gas or diesel")
        .when("lpg, natural gas or diesel", |fuel| WATER_KG_PER_MJ.iter().any(|(name, ..)| name == fuel))
        .default(fuel_of(carrier.as_deref(), carriers), "what the carrier says that it is");
    let known = WATER_KG_PER_MJ.iter().find(|(name, ..)| *name == fuel);
    let water = cursor.number("water_kg_per_kwh").unit("kg/kWh, lower").within(0.0, 0.4);
    let water = if let Some((_, per_mj, source)) = known {
        Some(water.default(per_mj * 3.6, *source))
    } else {
        water
            .hint("give it of a fuel that is not known, or say fuel = \"lpg\", \"natural gas\" or \"diesel\"")
            .required()
    };
    Some(OpenFlame { carrier: carrier?, efficiency, electricity_share: share, water_kg_per_kwh: water? })
}

/// What a carrier says that it is; its own name where nothing more is known of it.
fn fuel_of(carrier: Option<&str>, carriers: Option<&Carriers>) -> String {
    let Some(name) = carrier else {
        return String::new();
    };
    let known = carriers.and_then(|carriers| carriers.fuels.get(name));
    known.map_or(name, |carrier| &carrier.fuel).to_owned()
}

pub(super) fn read_hot_water(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<HotWater> {
    let carrier = read_carrier(cursor, carriers);
    let boiler_efficiency = cursor
        .number("boiler_efficiency")
        .within(0.3, MOST_OF_LOWER_VALUE)
        .default(0.84, "hot-water boiler on the lower heating value, 0.80..0.88 (from memory, not verified)");
    let distribution_loss = cursor
        .number("distribution_loss")
        .within(0.0, 0.6)
        .default(0.1, "distribution of hot water keeps 0.85..0.95 (from memory, not verified)");
    let share = read_electricity(cursor, 0.02, "assumption: pump, burner and combustion fan");
    Some(HotWater { carrier: carrier?, boiler_efficiency, distribution_loss, electricity_share: share })
}

#[cfg(test)]
mod tests {
    use crate::heat::Kind;
    use crate::study::source_kinds::Word;
    use crate::study::source_kinds::tests::read_kind;

    #[test]
    fn the_fuel_of_a_flame_says_how_much_water_it_makes() {
        let Ok(Kind::OpenFlame(flame)) = read_kind(Word::DirectBurner, "carrier = \"lpg\"") else { panic!("a flame") };
        assert!((flame.water_kg_per_kwh - 0.12697).abs() < 1e-5);
    }
}
