//! `condensers` of an option: a word, or a table where there is more to say.
//!
//! | key | says |
//! | --- | --- |
//! | `condensers` | `outdoors`, `room`, `fresh-air` or `switched`; or a table of the keys below |
//! | `condensers.place` | the same words |
//! | `condensers.units` | how many units' condensers stand there, the others outdoors |
//! | `condensers.to` | where `switched` turns to: `room` or `fresh-air` |
//! | `condensers.changeover_share` | heat need over the condensers' heat at which it turns |
//! | `condenser_short_circuit_k` | air past a condenser and back into it, K |
//! | `condenser_least_air` | in an intake: share of their rated air that condensers draw at the least; they draw the plant's fresh air, and with less of it condense higher |

use super::cursor::{Cursor, Kind};
use crate::cool_store::{Changeover, Condensers, Placement};

#[derive(Clone, Copy, PartialEq)]
enum Word {
    Outdoors,
    FreshAir,
    Room,
    Switched,
}

const WORDS: [(&str, Word); 4] =
    [("outdoors", Word::Outdoors), ("fresh-air", Word::FreshAir), ("room", Word::Room), ("switched", Word::Switched)];

/// Heat need over the condensers' heat at which a damper turns, if the study does not say.
const NEED_SHARE: f64 = 0.5;

/// Air past a condenser and back into it, K, if the study does not say.
const SHORT_CIRCUIT_IN_ROOM_K: f64 = 2.0;

/// Share of their rated air that condensers in an intake always have, if the study does not say.
const LEAST_AIR: f64 = 0.5;

const USUAL: &str = "where cooling units usually stand";

/// `condensers = "room"`, or `condensers = { place = "room", units = 2 }`.
pub(super) fn read(option: &Cursor<'_>, has_store: bool) -> Condensers {
    // Without a cool store there are none, and nothing is said of them.
    if !has_store && option.kind("condensers").is_none() {
        return Condensers::OUTDOORS;
    }
    let (place, units) = if option.kind("condensers") == Some(Kind::Table) {
        let table = option.table("condensers");
        let place = read_place(&table);
        let units = table
            .count("units")
            .within(1, 100)
            .hint("say how many units' condensers stand there; the others stand outdoors")
            .optional();
        table.finish();
        (place, units)
    } else {
        let word = option.choice("condensers", &WORDS).default(Word::Outdoors, USUAL);
        (place(word, Word::Room, NEED_SHARE), None)
    };
    let short_circuit_k = match place {
        Placement::Outdoors => 0.0,
        Placement::Room | Placement::SwitchedRoom(_) => short_circuit(
            option,
            SHORT_CIRCUIT_IN_ROOM_K,
            "assumption: in a closed room some of the air past a condenser comes back to it",
        ),
        Placement::FreshAir | Placement::SwitchedFreshAir(_) => {
            short_circuit(option, 0.0, "assumption: an intake draws the air on, and none comes back")
        }
    };
    Condensers { place, units, short_circuit_k, least_air: least_air(option, place) }
}

/// Condensers that stand there as they usually do, where a study does not say.
pub(crate) fn usual_condensers(place: Placement) -> Condensers {
    let (short_circuit_k, least_air) = match place {
        Placement::Outdoors => (0.0, 1.0),
        Placement::Room | Placement::SwitchedRoom(_) => (SHORT_CIRCUIT_IN_ROOM_K, 1.0),
        Placement::FreshAir | Placement::SwitchedFreshAir(_) => (0.0, LEAST_AIR),
    };
    Condensers { place, units: None, short_circuit_k, least_air }
}

/// Every place where condensers may stand, dampers turning as they usually do.
pub(crate) const USUAL_PLACES: [Placement; 5] = [
    Placement::Outdoors,
    Placement::Room,
    Placement::FreshAir,
    Placement::SwitchedRoom(Changeover { need_share: NEED_SHARE }),
    Placement::SwitchedFreshAir(Changeover { need_share: NEED_SHARE }),
];

/// Share of their rated air that condensers in an intake draw at the least.
fn least_air(option: &Cursor<'_>, place: Placement) -> f64 {
    match place {
        Placement::Outdoors | Placement::Room | Placement::SwitchedRoom(_) => 1.0,
        Placement::FreshAir | Placement::SwitchedFreshAir(_) => option
            .number("condenser_least_air")
            .within(0.1, 1.0)
            .default(
                LEAST_AIR,
                "assumption: condensers in an intake draw the plant's fresh air, and past it no more than makes half of their rated air",
            ),
    }
}

fn read_place(table: &Cursor<'_>) -> Placement {
    let word = table.choice("place", &WORDS).default(Word::Outdoors, USUAL);
    if word != Word::Switched {
        return place(word, Word::Room, NEED_SHARE);
    }
    let towards =
        table.choice("to", &WORDS[1..3]).default(Word::Room, "a damper turns to the room unless it says otherwise");
    let need_share = table
        .number("changeover_share")
        .within(0.0, 10.0)
        .default(NEED_SHARE, "assumption: a damper turns when half of the condensers' heat is needed");
    place(word, towards, need_share)
}

fn short_circuit(option: &Cursor<'_>, usual_k: f64, why: &str) -> f64 {
    option.number("condenser_short_circuit_k").unit("K").within(0.0, 15.0).default(usual_k, why)
}

fn place(word: Word, towards: Word, need_share: f64) -> Placement {
    let changeover = Changeover { need_share };
    match (word, towards) {
        (Word::Outdoors, _) => Placement::Outdoors,
        (Word::FreshAir, _) => Placement::FreshAir,
        (Word::Room, _) => Placement::Room,
        (Word::Switched, Word::FreshAir) => Placement::SwitchedFreshAir(changeover),
        (Word::Switched, _) => Placement::SwitchedRoom(changeover),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::document::Document;

    fn read_from(text: &str) -> Result<Condensers, String> {
        Document::new("s.toml", text)
            .read(|root| {
                let condensers = read(root, true);
                root.finish();
                Some(condensers)
            })
            .map(|reading| reading.value)
            .map_err(|problems| problems.to_string())
    }

    #[test]
    fn a_word_or_a_table_says_where_condensers_stand() {
        assert_eq!(read_from("").unwrap(), Condensers::OUTDOORS);
        let room = read_from("condensers = \"room\"").unwrap();
        assert_eq!((room.place, room.units), (Placement::Room, None));
        assert_eq!(room.short_circuit_k, SHORT_CIRCUIT_IN_ROOM_K);
        let two = read_from("condensers = { place = \"room\", units = 2 }\ncondenser_short_circuit_k = 0");
        let two = two.unwrap();
        assert_eq!((two.units, two.short_circuit_k), (Some(2), 0.0));
        let damper = read_from("condensers = { place = \"switched\", to = \"fresh-air\", changeover_share = 0.8 }");
        assert_eq!(damper.unwrap().place, Placement::SwitchedFreshAir(Changeover { need_share: 0.8 }));
    }

    #[test]
    fn usual_condensers_are_those_of_a_study_that_says_no_more() {
        for place in ["outdoors", "room", "fresh-air", "switched"] {
            let read = read_from(&format!("condensers = \"{place}\"")).unwrap();
            assert_eq!(read, usual_condensers(read.place));
            assert!(USUAL_PLACES.contains(&read.place));
        }
    }

    #[test]
    fn without_a_store_nothing_is_assumed_of_condensers() {
        let reading = Document::new("s.toml", "").read(|root| {
            let condensers = read(root, false);
            root.finish();
            Some(condensers)
        });
        let reading = reading.expect("a reading");
        assert_eq!(reading.value, Condensers::OUTDOORS);
        assert!(reading.inputs.is_empty());
    }

    #[test]
    fn keys_that_say_nothing_there_are_refused() {
        let said = read_from("condensers = { place = \"room\", changeover_share = 0.8 }");
        assert!(said.unwrap_err().contains("changeover_share"));
        let said = read_from("condensers = \"room\"\ncondenser_least_air = 0.4");
        assert!(said.unwrap_err().contains("condenser_least_air"));
        let said = read_from("condensers = \"outdoors\"\ncondenser_short_circuit_k = 2");
        assert!(said.unwrap_err().contains("condenser_short_circuit_k"));
    }
}
