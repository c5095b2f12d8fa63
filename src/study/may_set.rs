//! Which values of a study an option, a scenario or a phase of growth may set, and the reading of `set`.

use super::change::Change;
use super::cursor::{Cursor, Kind};
use super::input::Input;
use super::keys::{Key, Need, Range, Takes};

/// Who sets values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum By {
    /// An option: a decision about the plant.
    Option,
    /// A scenario: the world that every option meets.
    Scenario,
    /// A phase of growth: what nuts and plant will be, in every option.
    Phase,
}

impl By {
    /// Sections whose values it may set.
    const fn sections(self) -> &'static [&'static str] {
        match self {
            Self::Option | Self::Phase => &["crop", "room", "cool_store", "source"],
            Self::Scenario => &["crop", "room", "cool_store", "source", "carrier", "money", "weather"],
        }
    }

    const fn why_not(self) -> &'static str {
        match self {
            Self::Option => {
                "an option changes the plant, its nuts and its heaters; prices and money are the same for all options: a [[scenario]] or --set changes them"
            }
            Self::Phase => {
                "growth changes nuts and plant; prices rise by [money.escalation], and a [[scenario]] tries others"
            }
            Self::Scenario => {
                "a scenario changes nuts, plant, prices, money and how warm it is; --set changes anything for one run"
            }
        }
    }
}

/// The values that a table sets under `set`; none where it has none. `None` means that a problem was recorded.
pub(super) fn read_set(cursor: &Cursor<'_>, by: By) -> Option<Vec<Change>> {
    let changes = changes(cursor, "set")?;
    let mut complete = true;
    for change in &changes {
        let section = change.path.split('.').next().unwrap_or_default();
        let last = change.path.rsplit('.').next().unwrap_or_default();
        let fault = if !by.sections().contains(&section) {
            Some((format!("`{}` cannot be set here", change.path), by.why_not()))
        } else if section == "weather" && last != "warmer_by_k" {
            Some((
                format!("`{}` cannot be set here", change.path),
                "of the weather a scenario sets weather.warmer_by_k",
            ))
        } else if last == "name" {
            Some((format!("`{}` is a name", change.path), "a name is what paths go by; leave it as it is"))
        } else if section == "crop" && last == "kind" {
            Some((format!("`{}` makes another crop of it", change.path), "write a study of its own for another crop"))
        } else {
            None
        };
        if by == By::Option && section == "crop" && last == "received_moisture" {
            cursor.doubt(
                "option.drier_nuts",
                "set",
                "sets how wet the nuts come: what drier nuts spare is not what a plant saves",
                "say it in a [[scenario]], which every option meets; leave it here only if the option itself dries them before",
            );
        }
        if let Some((what, cure)) = fault {
            let expected = format!("a value of [{}]", by.sections().join("], ["));
            cursor.report(change.problem_of_path(what).expected(expected).cure(cure));
            complete = false;
        }
    }
    complete.then_some(changes)
}

/// Values that stand in for the study's own, by their path: `{ "room.drying room.temperature_c" = 38.0 }`. A table
/// under a key without a dot is a longer path written as TOML writes it. `None` means that a problem was recorded.
fn changes(cursor: &Cursor<'_>, key: &str) -> Option<Vec<Change>> {
    let Some(table) = cursor.optional_table(key) else {
        return cursor.value_of(key).is_none().then(Vec::new);
    };
    table.list(None, || Key {
        name: "PATH".to_owned(),
        is_name: true,
        takes: vec![Takes::Number, Takes::Text, Takes::YesNo, Takes::Numbers, Takes::Tables],
        unit: String::new(),
        bounds: Vec::new(),
        range: Range::default(),
        need: Need::Optional,
        hint: "the path of a value, as the report lists it, in quotes: \"room.drying room.temperature_c\"".to_owned(),
    });
    let mut changes = Vec::new();
    let is_whole = add_changes(&table, "", &mut changes);
    is_whole.then_some(changes)
}

fn add_changes(table: &Cursor<'_>, above: &str, changes: &mut Vec<Change>) -> bool {
    let mut is_whole = true;
    for key in table.unasked() {
        let path = if above.is_empty() { key.clone() } else { format!("{above}.{key}") };
        if !key.contains('.') && table.kind(&key) == Some(Kind::Table) {
            let below = table.named_table(&key, "PATH");
            is_whole &= below.is_some_and(|below| add_changes(&below, &path, changes));
            continue;
        }
        let Some(value) = table.take(&key) else { continue };
        let own_path = table.path_of(&key);
        let change = table.desk.as_change(path, &table.span_of_name(&key), &value.span());
        let change = change.map(|change| match table.desk.replacement(&own_path) {
            Some(number) => change.of_number(number),
            None => change,
        });
        if let Some(change) = &change {
            table.desk.note(Input {
                path: own_path,
                value_text: change.value_text().to_owned(),
                written: None,
                number: change.number(),
                unit: String::new(),
                origin: table.desk.origin(&value.span()),
            });
        } else {
            let cure = "write a list of tables within brackets: [{ ... }, { ... }]";
            table.complain(&key, "does not stand in one piece", "a value", cure);
        }
        is_whole &= change.is_some();
        changes.extend(change);
    }
    is_whole
}
