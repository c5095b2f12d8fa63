//! `[[source]]`: the heaters.

use super::cursor::Cursor;
use super::money::MOST_MONEY;
use super::room::RoomsRead;
use super::source_kinds;
use crate::heat::{Biomass, Burner, HeatPump, Kind, PumpPoint, PumpTable, Resistance, Source};
use crate::money::Carriers;
use crate::problem::meant_or;
use std::sync::Arc;

/// What a source costs to build and keep.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceCost {
    /// Name of the source, or what else it is for.
    pub name: String,
    /// Capital.
    pub capital: f64,
    /// Upkeep a year.
    pub upkeep_per_year: f64,
    /// Life, years; replaced at its end.
    pub life_years: f64,
}

/// All sources of a study.
pub(super) struct Sources {
    /// Those that could be read.
    read: Vec<(Source, SourceCost)>,
    /// The names of all of them.
    pub names: Vec<String>,
    /// True if all could be read.
    pub complete: bool,
}

impl Sources {
    /// The source of this name, if it could be read.
    pub fn find(&self, name: &str) -> Option<&(Source, SourceCost)> {
        self.read.iter().find(|(source, _)| source.name == name)
    }
}

/// Reads every source. Without carriers, what they burn is not checked.
pub(super) fn read(
    root: &Cursor<'_>,
    carriers: Option<&Carriers>,
    rooms: Option<&RoomsRead>,
) -> Sources {
    let mut sources = Sources { read: Vec::new(), names: Vec::new(), complete: true };
    for cursor in root.each("source") {
        let name = cursor.text("name").hint("options call it by this name").required();
        sources.names.extend(name.clone());
        match read_source(&cursor, name.as_deref(), carriers, rooms) {
            Some(source) => sources.read.push(source),
            None => sources.complete = false,
        }
    }
    sources
}

/// Heat got from a fuel over its lower heating value, at most: the water of natural gas condensed gives its
/// higher heating value, 1.11 times the lower (ISO 6976 values of methane, from memory, not verified).
pub(super) const MOST_OF_LOWER_VALUE: f64 = 1.11;

#[derive(Clone, Copy, PartialEq)]
enum KindWord {
    Resistance,
    Burner,
    Biomass,
    HeatPump,
    Other(source_kinds::Word),
}

fn read_source(
    cursor: &Cursor<'_>,
    name: Option<&str>,
    carriers: Option<&Carriers>,
    rooms: Option<&RoomsRead>,
) -> Option<(Source, SourceCost)> {
    let mut words = vec![
        ("resistance", KindWord::Resistance),
        ("burner", KindWord::Burner),
        ("biomass", KindWord::Biomass),
        ("heat-pump", KindWord::HeatPump),
    ];
    words.extend(source_kinds::WORDS.map(|(name, word)| (name, KindWord::Other(word))));
    let kind = cursor.choice("kind", &words).hint("say what kind of heater it is").required();
    let capacity = cursor
        .number("capacity_kw")
        .unit("kW of heat")
        .within(0.1, 1e5)
        .hint("give the heat it can give to the air")
        .required();
    let capital =
        cursor.number("capital").unit("money").within(0.0, MOST_MONEY).default(0.0, "none given");
    let upkeep = cursor
        .number("upkeep_per_year")
        .unit("money/a")
        .within(0.0, MOST_MONEY)
        .default(0.0, "none given");
    let life = cursor.number("life_years").unit("a").within(1.0, 60.0).default(
        15.0,
        "assumption: usual life of small plant (common practice, no published source)",
    );
    // Which keys are known depends on the kind: without one, none can be called unknown.
    let kind = match kind? {
        KindWord::Resistance => Some(Kind::Resistance(Resistance)),
        KindWord::Burner => read_burner(cursor, carriers).map(Kind::Burner),
        KindWord::Biomass => read_biomass(cursor, carriers).map(Kind::Biomass),
        KindWord::HeatPump => read_heat_pump(cursor, capacity).map(Kind::HeatPump),
        KindWord::Other(word) => source_kinds::read(cursor, word, carriers),
    };
    let limits = source_kinds::read_limits(cursor);
    let room = rooms.and_then(|rooms| rooms.named_in(cursor, "room"));
    if rooms.is_none() {
        cursor.claim("room");
    }
    cursor.finish();
    let name = name?.to_owned();
    Some((
        Source {
            name: name.clone(),
            capacity_kw: capacity?,
            minimum_load: limits.minimum_load,
            supply_max_c: limits.supply_max_c,
            room,
            kind: kind?,
        },
        SourceCost { name, capital, upkeep_per_year: upkeep, life_years: life },
    ))
}

pub(super) fn read_carrier(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<String> {
    let carrier = cursor.text("carrier").hint("name the [carrier.NAME] it burns").required()?;
    if let Some(carriers) = carriers
        && !carriers.fuels.contains_key(&carrier)
    {
        let known: Vec<&str> = carriers.fuels.keys().map(String::as_str).collect();
        let known = if known.is_empty() { "none".to_owned() } else { known.join(", ") };
        cursor.complain(
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

fn read_burner(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<Burner> {
    let carrier = read_carrier(cursor, carriers);
    let efficiency = cursor.number("efficiency").within(0.3, MOST_OF_LOWER_VALUE).default(
        0.80,
        "indirect air heater on the lower heating value, 0.75..0.85 (from memory, not verified)",
    );
    let share = cursor
        .number("electricity_share")
        .unit("kW/kW")
        .within(0.0, 0.5)
        .default(0.01, "assumption: burner and combustion fan");
    Some(Burner { carrier: carrier?, efficiency, electricity_share: share })
}

fn read_biomass(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<Biomass> {
    let carrier = read_carrier(cursor, carriers);
    let efficiency = cursor.number("efficiency").within(0.3, 1.0).default(
        0.75,
        "wood or shell boiler on the lower heating value, 0.70..0.85 (from memory, not verified)",
    );
    let share = cursor
        .number("electricity_share")
        .unit("kW/kW")
        .within(0.0, 0.5)
        .default(0.02, "assumption: feed and fans");
    let supply = cursor
        .number("own_supply_per_season")
        .unit("units of the carrier")
        .within(0.0, 1e9)
        .optional();
    let carrier = carrier?;
    let kwh_per_unit =
        carriers.and_then(|carriers| carriers.fuels.get(&carrier)).map(|fuel| fuel.kwh_per_unit);
    Some(Biomass {
        own_supply_kwh: supply.zip(kwh_per_unit).map(|(units, kwh)| units * kwh),
        carrier,
        efficiency,
        electricity_share: share,
    })
}

fn read_heat_pump(cursor: &Cursor<'_>, capacity_kw: Option<f64>) -> Option<HeatPump> {
    let usual = HeatPump::USUAL;
    if cursor.kind("table").is_some() {
        return read_pump_table(cursor, capacity_kw?)
            .map(|table| HeatPump { table: Some(Arc::new(table)), ..usual });
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
        let number = |key: &str, unit: &str, (low, high): (f64, f64)| {
            row.number(key).unit(unit).within(low, high).required()
        };
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
