//! `[[source]]`: the heaters.

use super::costs::{SourceCost, USUAL_LIFE, read_life, read_upkeep};
use super::cursor::Cursor;
use super::money::MOST_MONEY;
use super::room::RoomsRead;
use super::source_kinds::{self, WORDS};
use crate::heat::Source;
use crate::money::Carriers;

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
    pub(super) fn find(&self, name: &str) -> Option<&(Source, SourceCost)> {
        self.read.iter().find(|(source, _)| source.name == name)
    }
}

/// Reads every source. Without carriers, what they burn is not checked.
pub(super) fn read(root: &Cursor<'_>, carriers: Option<&Carriers>, rooms: Option<&RoomsRead>) -> Sources {
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

fn read_source(
    cursor: &Cursor<'_>,
    name: Option<&str>,
    carriers: Option<&Carriers>,
    rooms: Option<&RoomsRead>,
) -> Option<(Source, SourceCost)> {
    let kind = cursor.choice("kind", &WORDS).hint("say what kind of heater it is").required();
    let capacity = cursor
        .number("capacity_kw")
        .unit("kW of heat")
        .within(0.1, 1e5)
        .hint("give the heat it can give to the air")
        .required();
    let fixed = cursor.number("capital").unit("money").within(0.0, MOST_MONEY).default(0.0, "none given");
    let per_kw = cursor
        .number("capital_per_kw")
        .unit("money/kW")
        .within(0.0, MOST_MONEY)
        .hint("what a source of another capacity costs more, or less, for each kW: capital_per_kw times capacity_kw is added to capital")
        .optional();
    let upkeep = read_upkeep(cursor);
    let life = read_life(cursor, USUAL_LIFE);
    // Which keys are known depends on the kind: without one, none can be called unknown.
    let kind = source_kinds::read(cursor, kind?, capacity, carriers);
    let limits = source_kinds::read_limits(cursor);
    let room = cursor.text("room").hint("name the one room that it serves; left out, it serves all");
    let room = RoomsRead::named(rooms, cursor, "room", room);
    cursor.finish();
    let (name, capacity_kw) = (name?.to_owned(), capacity?);
    let capital = fixed + per_kw.unwrap_or(0.0) * capacity_kw;
    Some((
        Source {
            name: name.clone(),
            capacity_kw,
            minimum_load: limits.minimum_load,
            supply_max_c: limits.supply_max_c,
            room,
            kind: kind?,
        },
        SourceCost { name, capital, capital_per_kw: per_kw, upkeep_per_year: upkeep, life_years: life },
    ))
}
