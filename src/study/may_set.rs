//! Which values of a study an option or a scenario may set, and the reading of `set`.

use super::change::Change;
use super::cursor::Cursor;

/// Who sets values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum By {
    /// An option: a decision about the plant.
    Option,
    /// A scenario: the world that every option meets.
    Scenario,
}

impl By {
    /// Sections whose values it may set.
    const fn sections(self) -> &'static [&'static str] {
        match self {
            Self::Option => &["crop", "room", "cool_store", "source"],
            Self::Scenario => &["crop", "room", "cool_store", "source", "carrier", "money"],
        }
    }

    const fn why_not(self) -> &'static str {
        match self {
            Self::Option => {
                "an option changes the plant, its nuts and its heaters; prices and money are the same for all options: a [[scenario]] or --set changes them"
            }
            Self::Scenario => "a scenario changes nuts, plant, prices and money; --set changes anything for one run",
        }
    }
}

/// The values that a table sets under `set`; none where it has none. `None` means that a problem was recorded.
pub(super) fn read_set(cursor: &Cursor<'_>, by: By) -> Option<Vec<Change>> {
    let changes = cursor.changes("set")?;
    let mut complete = true;
    for change in &changes {
        let section = change.path.split('.').next().unwrap_or_default();
        let last = change.path.rsplit('.').next().unwrap_or_default();
        let fault = if !by.sections().contains(&section) {
            Some((format!("`{}` cannot be set here", change.path), by.why_not()))
        } else if last == "name" {
            Some((format!("`{}` is a name", change.path), "a name is what paths go by; leave it as it is"))
        } else if section == "crop" && last == "kind" {
            Some((format!("`{}` makes another crop of it", change.path), "write a study of its own for another crop"))
        } else {
            None
        };
        if let Some((what, cure)) = fault {
            let expected = format!("a value of [{}]", by.sections().join("], ["));
            cursor.report(change.problem(&change.whole(), what).expected(expected).cure(cure));
            complete = false;
        }
    }
    complete.then_some(changes)
}
