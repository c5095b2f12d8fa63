//! Lays a value over a document, by its path, before anything is read: so that whatever reads the document
//! finds it where a person would have written it.
//!
//! An entry of a list of tables goes by its `name`, or by its number from 1; an entry of a plain list by its
//! number. What stands under no key yet is put there. A part of a path may stand in quotes: `a."b.c"`. What cannot
//! stand beside a value that is laid gives way to it ([`GIVES_WAY`]).

use std::borrow::Cow;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeString, DeTable, DeValue};

/// Why a value cannot be laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Missed {
    /// The path goes on where a plain value stands, such as the name of a file that may hold the rest of it.
    Beyond,
    /// A list has no such entry: what the list is called, what was named and what it has.
    NoEntry { list: String, named: String, known: Vec<String> },
}

/// Keys that say one thing in several ways: the first, where it is laid, stands in place of the others of its table.
const GIVES_WAY: [(&str, &[&str]); 5] = [
    ("season_tonnes", &["dried_tonnes", "intake"]),
    ("dried_tonnes", &["season_tonnes", "intake"]),
    ("intake", &["season_tonnes", "dried_tonnes", "intake_shape", "load_tonnes", "truck_days"]),
    ("stages", &["temperature_c", "heated"]),
    ("temperature_c", &["stages", "stages_by", "heated"]),
];

/// Puts a value where its path says. What the document itself says, in its bytes before `own_text`, gives way to it; of
/// what was laid before nothing does.
pub(super) fn lay<'t>(
    root: &mut DeTable<'t>,
    path: &str,
    value: Spanned<DeValue<'t>>,
    own_text: usize,
) -> Result<(), Missed> {
    into_table(root, path, &At { walked: String::new(), value, own_text })
}

struct At<'t> {
    walked: String,
    value: Spanned<DeValue<'t>>,
    own_text: usize,
}

impl At<'_> {
    fn below(&self, part: &str) -> Self {
        let walked = if self.walked.is_empty() { part.to_owned() } else { format!("{}.{part}", self.walked) };
        Self { walked, value: self.value.clone(), own_text: self.own_text }
    }

    fn span(&self) -> Range<usize> {
        self.value.span()
    }

    /// Takes from the table what gives way to this key.
    fn clear_way(&self, table: &mut DeTable<'_>, key: &str) {
        let others = GIVES_WAY.iter().filter(|(stands, _)| *stands == key).flat_map(|(_, others)| *others);
        for other in others {
            if table.get(*other).is_some_and(|there| there.span().start < self.own_text) {
                table.remove(*other);
            }
        }
    }
}

fn into_table<'t>(table: &mut DeTable<'t>, path: &str, at: &At<'t>) -> Result<(), Missed> {
    let keys = table.keys().map(|key| key.get_ref().as_ref());
    let known = keys.filter_map(|key| Some((key.to_owned(), after(path, key)?)));
    // Names may hold dots: the longest that fits is meant.
    let (part, rest) = known.max_by_key(|(key, _)| key.len()).unwrap_or_else(|| {
        let (part, rest) = first_part(path);
        (part.to_owned(), rest)
    });
    if matches!(rest, Rest::End) {
        at.clear_way(table, &part);
    }
    match (table.get_mut(part.as_str()), rest) {
        (Some(there), Rest::End) => *there = at.value.clone(),
        (Some(there), Rest::More(rest)) => return into_value(there, rest, &at.below(&part)),
        (None, Rest::End) => {
            table.insert(name(&part, at), at.value.clone());
        }
        (None, Rest::More(rest)) => {
            let mut below = DeTable::new();
            into_table(&mut below, rest, &at.below(&part))?;
            table.insert(name(&part, at), Spanned::new(at.span(), DeValue::Table(below)));
        }
    }
    Ok(())
}

fn into_value<'t>(value: &mut Spanned<DeValue<'t>>, path: &str, at: &At<'t>) -> Result<(), Missed> {
    match value.get_mut() {
        DeValue::Table(table) => {
            let is_known = table.keys().any(|key| after(path, key.get_ref()).is_some());
            // A lone table may stand for a list of one.
            match after(path, &name_of(table, 0)) {
                Some(Rest::More(rest)) if !is_known => into_table(table, rest, at),
                Some(_) | None => into_table(table, path, at),
            }
        }
        DeValue::Array(list) => {
            let names: Vec<String> = list
                .iter()
                .enumerate()
                .map(|(place, entry)| match entry.get_ref() {
                    DeValue::Table(table) => name_of(table, place),
                    _ => (place + 1).to_string(),
                })
                .collect();
            let fitting = names.iter().enumerate().filter(|(_, name)| after(path, name).is_some());
            let Some((place, named)) = fitting.max_by_key(|(_, name)| name.len()) else {
                let named = first_part(path).0.to_owned();
                return Err(Missed::NoEntry { list: at.walked.clone(), named, known: names });
            };
            let Some(entry) = list.get_mut(place) else { return Ok(()) };
            match after(path, named) {
                None | Some(Rest::End) => *entry = at.value.clone(),
                Some(Rest::More(rest)) => return into_value(entry, rest, &at.below(named)),
            }
            Ok(())
        }
        DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_) | DeValue::Boolean(_) | DeValue::Datetime(_) => {
            Err(Missed::Beyond)
        }
    }
}

/// What a path says after a part of it.
enum Rest<'p> {
    /// It ends there.
    End,
    /// It goes on.
    More(&'p str),
}

/// What a path says after this part; `None` where it does not begin with it.
fn after<'p>(path: &'p str, part: &str) -> Option<Rest<'p>> {
    let quoted = format!("\"{part}\"");
    let rest = path.strip_prefix(&quoted).or_else(|| path.strip_prefix(part))?;
    if rest.is_empty() { Some(Rest::End) } else { rest.strip_prefix('.').map(Rest::More) }
}

/// The first part of a path that is not known, and the rest.
fn first_part(path: &str) -> (&str, Rest<'_>) {
    if let Some((part, rest)) = path.strip_prefix('"').and_then(|open| open.split_once('"')) {
        return (part, rest.strip_prefix('.').map_or(Rest::End, Rest::More));
    }
    path.split_once('.').map_or((path, Rest::End), |(part, rest)| (part, Rest::More(rest)))
}

/// What an entry of a list of tables goes by.
fn name_of(table: &DeTable<'_>, place: usize) -> String {
    match table.get("name").map(Spanned::get_ref) {
        Some(DeValue::String(name)) => name.to_string(),
        _ => (place + 1).to_string(),
    }
}

fn name<'t>(part: &str, at: &At<'t>) -> Spanned<DeString<'t>> {
    Spanned::new(at.span(), Cow::Owned(part.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r#"
[crop]
kind = "x"
[[room]]
name = "drying room"
bins = [{ count = 2 }, { count = 3 }]
[[room]]
name = "drying room.2"
limits = [1, 2]
[cool_store]
units = { count = 1 }
"#;

    fn laid(path: &str, value: &str) -> Result<String, Missed> {
        let mut root = DeTable::parse(TEXT).expect("TOML");
        let value = DeValue::parse(value).expect("a value");
        lay(root.get_mut(), path, value, TEXT.len())?;
        Ok(format!("{:?}", plain(&DeValue::Table(root.into_inner()))))
    }

    /// Without places.
    fn plain(value: &DeValue<'_>) -> String {
        match value {
            DeValue::Table(table) => {
                let all: Vec<String> =
                    table.iter().map(|(key, entry)| format!("{}={}", key.get_ref(), plain(entry.get_ref()))).collect();
                format!("{{{}}}", all.join(" "))
            }
            DeValue::Array(list) => {
                format!("[{}]", list.iter().map(|entry| plain(entry.get_ref())).collect::<Vec<_>>().join(" "))
            }
            DeValue::String(text) => text.to_string(),
            DeValue::Integer(number) => number.as_str().to_owned(),
            other => other.type_str().to_owned(),
        }
    }

    #[test]
    fn paths_find_keys_names_numbers_and_lone_tables() {
        for (path, wanted) in [
            ("crop.kind", "crop={kind=9}"),
            ("crop.new", "crop={kind=x new=9}"),
            ("room.drying room.bins.2.count", "bins=[{count=2} {count=9}]"),
            ("room.drying room.bins", "bins=9 name=drying room}"),
            ("room.drying room.2.limits.2", "limits=[1 9]"),
            ("room.drying room.bin_fan.duct_pressure_pa", "bin_fan={duct_pressure_pa=9}"),
            ("cool_store.units.1.count", "units={count=9}"),
            ("cool_store.units.count", "units={count=9}"),
            ("uncertainty.\"crop.received\".x", "uncertainty={crop.received={x=9}}"),
        ] {
            let found = laid(path, "9").expect(path);
            assert!(found.contains(wanted), "{path}: {found}");
        }
    }

    #[test]
    fn what_cannot_stand_beside_a_value_gives_way_to_it() {
        let text = "[crop]\nseason_tonnes = 9\ntruck_days = []\n[room]\ntemperature_c = 40\n";
        let laid = |paths: &[&str]| {
            let mut root = DeTable::parse(text).expect("TOML");
            for path in paths {
                let mut value = DeValue::parse("7").expect("a value");
                // Values that are laid stand behind the text.
                value = Spanned::new(text.len() + 1..text.len() + 2, value.into_inner());
                lay(root.get_mut(), path, value, text.len()).expect("laid");
            }
            plain(&DeValue::Table(root.into_inner()))
        };
        assert_eq!(laid(&["crop.dried_tonnes"]), "{crop={dried_tonnes=7 truck_days=[]} room={temperature_c=40}}");
        assert_eq!(laid(&["crop.intake", "room.stages"]), "{crop={intake=7} room={stages=7}}");
        // Of two that are laid none gives way: the reader refuses them.
        assert!(laid(&["crop.intake", "crop.dried_tonnes"]).contains("dried_tonnes=7 intake=7"));
    }

    #[test]
    fn what_is_not_there_is_said() {
        assert_eq!(laid("crop.kind.price", "9"), Err(Missed::Beyond));
        let known = vec!["drying room".to_owned(), "drying room.2".to_owned()];
        let missed = Missed::NoEntry { list: "room".to_owned(), named: "dryng room".to_owned(), known };
        assert_eq!(laid("room.dryng room.air", "9"), Err(missed));
    }
}
