//! `[[scenario]]`: the world as it might be, laid over every option.
//!
//! ```toml
//! [[scenario]]
//! name = "a wet harvest"
//! set = { "crop.received_moisture" = 25.0 }
//! ```
//! A scenario is nobody's decision: it changes nuts, prices and what of the plant nobody chooses, and every option meets
//! it. What an option sets itself no scenario may set.

use super::change::Change;
use super::cursor::Cursor;
use super::may_set::{By, read_set};

/// Reads every `[[scenario]]`, its name and what it sets; none if the study has none.
pub(super) fn read(root: &Cursor<'_>) -> Option<Vec<(String, Vec<Change>)>> {
    let (mut scenarios, mut complete) = (Vec::new(), true);
    for cursor in root.each("scenario") {
        let name = cursor.text("name").hint("say what happens: \"a wet harvest\"").required();
        let set = read_set(&cursor, By::Scenario);
        if set.as_ref().is_some_and(Vec::is_empty) {
            let cure = "write set = { \"crop.received_moisture\" = 25.0 }, or leave the scenario out";
            cursor.complain("set", "says nothing", "a value of the study, by its path", cure);
            complete = false;
        }
        cursor.finish();
        match (name, set) {
            (Some(name), Some(set)) => scenarios.push((name, set)),
            (None, _) | (_, None) => complete = false,
        }
    }
    complete.then_some(scenarios)
}
