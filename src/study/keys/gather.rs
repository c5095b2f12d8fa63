//! From what readers said, table by table, to the list of all tables with their keys and when each holds.

use super::{Key, Need, Takes};

/// How a table is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// `[table]`, once.
    One,
    /// `[[table]]`, as often as wanted.
    List,
    /// `[above.NAME]`, each by a name of the study's own.
    Named,
}

/// The tables on the way to a table and itself, each with its shape; empty for the root.
type Path = Vec<(String, Shape)>;

/// One table that was read.
#[derive(Clone, Debug)]
pub(in crate::study) struct Instance {
    pub path: Path,
    pub keys: Vec<Key>,
    /// Words in use, each at its key.
    pub words: Vec<(String, String)>,
}

impl Instance {
    /// Adds a key; one that is read twice is stated by its first reading, but for a default that the second knows.
    pub(crate) fn add(&mut self, key: Key) {
        match self.keys.iter_mut().find(|known| known.name == key.name) {
            Some(known) => {
                if known.need == Need::Optional && matches!(key.need, Need::Default { .. }) {
                    known.need = key.need;
                }
                for takes in key.takes {
                    if !known.takes.contains(&takes) {
                        known.takes.push(takes);
                    }
                }
            }
            None => self.keys.push(key),
        }
    }
}

/// A kind of table, with every key that it may have.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// The tables on the way to it, each with its shape; empty for the root.
    pub path: Vec<(String, Shape)>,
    /// Its keys, in the order in which they are read.
    pub keys: Vec<TableKey>,
}

/// A key of a kind of table, and when it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct TableKey {
    /// As its reader stated it. A default that hangs on other keys has no one value.
    pub key: Key,
    /// Words of another key with which alone this one is read; `None` where it always is, or where what it hangs on
    /// is no word.
    pub only_with: Option<(String, Vec<String>)>,
    /// True if it must be given wherever it is read.
    pub is_required: bool,
    /// Reasons of its default where that follows from what else is known, so that no one value can be told; empty
    /// where it is one value, or none.
    pub default_follows: Vec<String>,
    /// True if its unit does.
    pub unit_differs: bool,
}

impl TableKey {
    /// True of a key at which nothing but tables stand.
    pub fn is_table(&self) -> bool {
        self.key.is_table()
    }

    /// What holds where it is left out and something does: the value with its reason, or the rules that it follows.
    pub fn if_left_out(&self) -> Option<String> {
        let Need::Default { value, reason } = &self.key.need else {
            return None;
        };
        Some(match &self.default_follows[..] {
            [] => format!("{}: {reason}", rounded(value)),
            [rule] => format!("by what else is known: {rule}"),
            [rule, other] => format!("by what else is known: {rule}; or: {other}"),
            [rule, _, _, ..] => format!("by what else is known, such as: {rule}"),
        })
    }
}

/// All kinds of tables.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tables(pub Vec<Table>);

impl Tables {
    pub(in crate::study) fn of(instances: &[Instance]) -> Self {
        let mut paths: Vec<Path> = Vec::new();
        for Instance { path, .. } in instances {
            match paths.iter_mut().find(|known| are_of_one_name(known, path)) {
                // One that may be a list is a list of one where it stands alone.
                Some(known) => {
                    for (known, here) in known.iter_mut().zip(path) {
                        if here.1 == Shape::List {
                            known.1 = Shape::List;
                        }
                    }
                }
                None => paths.push(path.clone()),
            }
        }
        let table = |path: Path| {
            let of_path: Vec<&Instance> =
                instances.iter().filter(|table| are_of_one_name(&table.path, &path)).collect();
            Table { keys: keys_of(&of_path), path }
        };
        Self(paths.into_iter().map(table).collect())
    }

    /// The keys of a table, whatever its shape: `room.bin_fan`.
    pub fn find(&self, path: &str) -> Option<&Table> {
        self.0.iter().find(|table| table.name() == path)
    }
}

impl Table {
    /// The table's path without its shape: `room.bin_fan`, `carrier.NAME`.
    pub fn name(&self) -> String {
        let names: Vec<&str> = self.path.iter().map(|(name, _)| name.as_str()).collect();
        names.join(".")
    }

    /// True of one that stands in a list of such tables.
    pub fn is_list(&self) -> bool {
        self.path.last().is_some_and(|(_, shape)| *shape == Shape::List)
    }

    /// As it is written in a file: `[[room]]`, `[room.bin_fan]`.
    pub fn heading(&self) -> String {
        match self.path.last() {
            None => String::new(),
            Some((_, Shape::List)) => format!("[[{}]]", self.name()),
            Some((_, Shape::One | Shape::Named)) => format!("[{}]", self.name()),
        }
    }
}

fn are_of_one_name(path: &Path, other: &Path) -> bool {
    path.len() == other.len() && path.iter().zip(other).all(|((a, _), (b, _))| a == b)
}

fn keys_of(instances: &[&Instance]) -> Vec<TableKey> {
    let mut keys: Vec<Key> = Vec::new();
    for instance in instances {
        let mut after = None;
        for key in &instance.keys {
            let known = keys.iter().position(|known| known.name == key.name);
            let at = known.unwrap_or_else(|| {
                // A key that only some tables have stands where those have it.
                let at = after.map_or(0, |at: usize| at + 1);
                keys.insert(at, key.clone());
                at
            });
            after = Some(at);
        }
    }
    keys.into_iter().map(|key| together(key, instances)).collect()
}

/// A key as all tables of its kind state it.
fn together(mut key: Key, instances: &[&Instance]) -> TableKey {
    let stated: Vec<(&Instance, &Key)> = instances
        .iter()
        .filter_map(|instance| Some((*instance, instance.keys.iter().find(|k| k.name == key.name)?)))
        .collect();
    let mut is_stated = !key.is_table();
    for (_, other) in &stated {
        for takes in &other.takes {
            if !key.takes.contains(takes) {
                key.takes.push(takes.clone());
            }
        }
        if key.hint.is_empty() {
            key.hint.clone_from(&other.hint);
        }
        // A table has neither bounds nor unit, which says nothing of a number that may stand in its place.
        if other.is_table() {
            continue;
        }
        if is_stated {
            // What a study's own values bound is no bound of the key.
            key.bounds.retain(|bound| other.bounds.contains(bound));
            key.range = key.range.or(other.range);
        } else {
            key.bounds.clone_from(&other.bounds);
            key.range = other.range;
            key.unit.clone_from(&other.unit);
            is_stated = true;
        }
    }
    let without: Vec<&Instance> =
        instances.iter().copied().filter(|instance| instance.keys.iter().all(|other| other.name != key.name)).collect();
    let only_with = if without.is_empty() { None } else { parted_by(&stated, &without) };
    // Wherever it is read, or wherever the words are in use that it goes with.
    let is_everywhere = match &only_with {
        None => without.is_empty(),
        Some((name, words)) => {
            !without.iter().any(|instance| word_at(instance, name).is_some_and(|word| words.contains(&word.to_owned())))
        }
    };
    let unit_differs = stated.iter().any(|(_, other)| !other.is_table() && other.unit != key.unit);
    let is_required = is_everywhere && stated.iter().all(|(_, other)| other.need == Need::Required);
    let default_follows = follows(&stated);
    let needs = || stated.iter().map(|(_, other)| &other.need);
    let is_default = |need: &&Need| matches!(need, Need::Default { .. });
    let milder = needs().find(is_default).or_else(|| needs().find(|need| **need == Need::Optional));
    if let (false, Some(need)) = (is_required, milder) {
        key.need = need.clone();
    }
    TableKey { key, only_with, is_required, default_follows, unit_differs }
}

/// Reasons of a key's default where it is not one value wherever the key is read.
fn follows(stated: &[(&Instance, &Key)]) -> Vec<String> {
    let (mut values, mut reasons) = (Vec::new(), Vec::new());
    let with_default: Vec<(&Key, &String, &String)> = stated
        .iter()
        .filter_map(|(_, key)| match &key.need {
            Need::Default { value, reason } => Some((*key, value, reason)),
            Need::Required | Need::Optional => None,
        })
        .collect();
    for (_, value, reason) in &with_default {
        if !values.contains(value) {
            values.push(value);
        }
        if !reasons.contains(*reason) {
            reasons.push((*reason).clone());
        }
    }
    // Something else that stands in its place, such as a table, has no default of its own.
    let goes_without = stated
        .iter()
        .filter(|(_, key)| !matches!(key.need, Need::Default { .. }))
        .any(|(_, key)| with_default.iter().any(|(other, ..)| other.takes == key.takes));
    if values.len() > 1 || goes_without { reasons } else { Vec::new() }
}

/// A computed default has more digits than anyone wants to read.
fn rounded(value: &str) -> String {
    match value.parse::<f64>() {
        Ok(number) if value.len() > 8 => format!("{number:.4}"),
        _ => value.to_owned(),
    }
}

fn word_at<'a>(instance: &'a Instance, key: &str) -> Option<&'a str> {
    instance.words.iter().find(|(name, _)| name == key).map(|(_, word)| word.as_str())
}

/// The first key whose words part the tables that have a key from those that have it not.
fn parted_by(with: &[(&Instance, &Key)], without: &[&Instance]) -> Option<(String, Vec<String>)> {
    let (first, key) = with.first()?;
    for (name, _) in first.words.iter().filter(|(name, _)| *name != key.name) {
        let mut words: Vec<String> = Vec::new();
        for (instance, _) in with {
            let word = word_at(instance, name).unwrap_or_default().to_owned();
            if !words.contains(&word) {
                words.push(word);
            }
        }
        let is_apart =
            without.iter().all(|instance| word_at(instance, name).is_none_or(|word| !words.contains(&word.to_owned())));
        // It is not the word that matters where every word will do, or where no table goes without by its word.
        let all = known_words(first, name);
        let is_apart = is_apart
            && all.is_none_or(|all| all.len() > words.len())
            && without.iter().any(|instance| word_at(instance, name).is_some());
        if is_apart && words.iter().all(|word| !word.is_empty()) {
            return Some((name.clone(), words));
        }
    }
    None
}

/// How many words a key knows.
fn known_words<'a>(instance: &'a Instance, key: &str) -> Option<&'a Vec<&'static str>> {
    let key = instance.keys.iter().find(|known| known.name == key)?;
    key.takes.iter().find_map(|takes| match takes {
        Takes::Word(words) => Some(words),
        _ => None,
    })
}

/// A table as a key of the one above it.
pub(in crate::study) fn table_key(name: &str, shape: Shape, need: Need, hint: &str) -> Key {
    Key {
        name: name.to_owned(),
        is_name: shape == Shape::Named,
        takes: vec![if shape == Shape::List { Takes::Tables } else { Takes::Table }],
        unit: String::new(),
        bounds: Vec::new(),
        range: super::Range::default(),
        need,
        hint: hint.to_owned(),
    }
}
