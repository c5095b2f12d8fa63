//! The kinds of `[[source]]`, and the limits that any source may have.
//! `dryledger keys source` lists what goes with each.

mod fired;
mod heat_pump;
mod moved;
mod passive;
mod together;

pub(super) use together::{check_place, check_stack};

use super::cursor::Cursor;
use super::heat_store;
use crate::heat::{Kind, Resistance};
use crate::money::Carriers;
use fired::{read_biomass, read_burner, read_direct_burner, read_hot_water};
use heat_pump::read_heat_pump;
use moved::{read_dehumidifier, read_water_heat_pump};
use passive::{read_collector, read_exchanger};

/// What may stand at `kind`.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Word {
    Resistance,
    Burner,
    Biomass,
    HeatPump,
    DirectBurner,
    HotWater,
    CondenserHeatPump,
    Dehumidifier,
    Exchanger,
    Collector,
    HeatStore,
}

/// The one table of the words for them.
pub(super) const WORDS: [(&str, Word); 11] = [
    ("resistance", Word::Resistance),
    ("burner", Word::Burner),
    ("biomass", Word::Biomass),
    ("heat-pump", Word::HeatPump),
    ("direct-burner", Word::DirectBurner),
    ("hot-water", Word::HotWater),
    ("condenser-heat-pump", Word::CondenserHeatPump),
    ("dehumidifier", Word::Dehumidifier),
    ("exchanger", Word::Exchanger),
    ("collector", Word::Collector),
    ("heat-store", Word::HeatStore),
];

/// What keeps a source from giving any heat at any temperature.
pub(super) struct Limits {
    pub minimum_load: f64,
    pub supply_max_c: Option<f64>,
}

/// `minimum_load` and `supply_max_c`.
pub(super) fn read_limits(cursor: &Cursor<'_>) -> Limits {
    let minimum_load =
        cursor.number("minimum_load").within(0.0, 1.0).default(0.0, "assumption: it turns down to nothing");
    let supply_max_c = cursor
        .number("supply_max_c")
        .unit("°C")
        .within(10.0, 400.0)
        .hint("give the hottest air it can make; it preheats air that must be hotter")
        .optional();
    Limits { minimum_load, supply_max_c }
}

/// What goes with the kind of a source that gives so much heat, kW.
pub(super) fn read(
    cursor: &Cursor<'_>,
    word: Word,
    capacity_kw: Option<f64>,
    carriers: Option<&Carriers>,
) -> Option<Kind> {
    match word {
        Word::Resistance => Some(Kind::Resistance(Resistance)),
        Word::Burner => read_burner(cursor, carriers).map(Kind::Burner),
        Word::Biomass => read_biomass(cursor, carriers).map(Kind::Biomass),
        Word::HeatPump => read_heat_pump(cursor, capacity_kw).map(Kind::HeatPump),
        Word::DirectBurner => read_direct_burner(cursor, carriers).map(Kind::OpenFlame),
        Word::HotWater => read_hot_water(cursor, carriers).map(Kind::HotWater),
        Word::CondenserHeatPump => Some(Kind::WaterHeatPump(read_water_heat_pump(cursor))),
        Word::Dehumidifier => read_dehumidifier(cursor).map(Kind::Dehumidifier),
        Word::Exchanger => read_exchanger(cursor).map(Kind::Exchanger),
        Word::Collector => read_collector(cursor).map(Kind::Collector),
        Word::HeatStore => heat_store::read(cursor, carriers).map(Kind::HeatStore),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Problems;
    use crate::study::document::Document;

    /// What a kind makes of these keys alone.
    pub(super) fn read_kind(word: Word, text: &str) -> Result<Kind, Problems> {
        let reading = Document::new("s.toml", text).read(|root| {
            let kind = read(root, word, Some(50.0), None);
            root.finish();
            kind
        })?;
        Ok(reading.value)
    }

    #[test]
    fn each_kind_is_read_from_what_it_needs() {
        for (word, text) in [
            (Word::DirectBurner, "carrier = \"lpg\""),
            (Word::DirectBurner, "carrier = \"town\"\nwater_kg_per_kwh = 0.15"),
            (Word::HotWater, "carrier = \"chips\""),
            (Word::CondenserHeatPump, "loop_c = 28"),
            (Word::Dehumidifier, "coil_air_kg_per_s = 2.5"),
            (Word::Exchanger, "effectiveness = 0.6"),
            (Word::Exchanger, "ua_w_per_k = 2500\narrangement = \"counterflow\""),
            (Word::Collector, "area_m2 = 80\nazimuth_deg = 0"),
            (Word::Collector, "area_m2 = 80\nazimuth_deg = 0\nrated_air_kg_per_s_m2 = 0.02"),
        ] {
            assert!(read_kind(word, text).is_ok(), "{text}");
        }
    }

    #[test]
    fn what_a_kind_lacks_is_asked_for() {
        for (word, text, said) in [
            (Word::DirectBurner, "carrier = \"town\"", "water_kg_per_kwh is missing"),
            (Word::Dehumidifier, "", "coil_air_kg_per_s is missing"),
            (Word::Exchanger, "leak = 0.1", "effectiveness is missing"),
            (Word::Collector, "area_m2 = 80", "azimuth_deg is missing"),
            (
                Word::Collector,
                "area_m2 = 80\nazimuth_deg = 0\nloss_w_per_m2_k = 20\nrated_air_kg_per_s_m2 = 0.015",
                "loss_w_per_m2_k is 20, which with eta0 0.5 no collector shows",
            ),
            (Word::Exchanger, "effectiveness = 1.5", "effectiveness is 1.5"),
        ] {
            let problems = read_kind(word, text).expect_err(text).to_string();
            assert!(problems.contains(said), "{problems}");
        }
    }
}
