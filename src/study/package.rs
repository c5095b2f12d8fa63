//! Measures: what an option sets of the plant, and what it takes from the options that it includes.
//!
//! ```toml
//! [[option]]
//! name = "insulate"
//! set = { "room.drying room.envelope_ua_w_per_k" = 450.0 }
//! capital = 14000.0
//! [[option]]
//! name = "insulate, heat pump"
//! includes = ["insulate", "heat pump"]
//! ```
//! What an option says itself stands above what it includes. Included options may not contradict each other; what is
//! included twice stands once. Heaters that no included option names are the baseline's, with its condensers.

use super::change::Change;
use super::cursor::Cursor;
use super::may_set::{By, read_set};
use super::value::alike;
use crate::problem::meant_or;
use std::collections::BTreeMap;

/// Keys that are an option's own, and are not taken over from those that it includes.
const OWN_KEYS: [&str; 8] = ["name", "set", "includes", "sources", "capital", "upkeep_per_year", "life_years", "grant"];

/// What an option is made of beside its own keys.
#[derive(Clone, Debug, Default)]
pub(super) struct Package {
    /// What it sets, in the order in which it is laid over the study.
    pub set: Vec<Change>,
    /// Places of the options that it includes, those that these include first; each once.
    pub includes: Vec<usize>,
    /// The heaters that it calls on where it does not say.
    pub sources: Option<Vec<String>>,
}

/// What an option changes of the study, and which options it includes.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Measure {
    /// What it sets, in the order in which it is laid over the study.
    pub set: Vec<Change>,
    /// Names of the options that it includes, those that these include first; each once.
    pub includes: Vec<String>,
}

/// What an option says and takes over, before the baseline stands in for heaters.
#[derive(Clone, Debug, Default)]
struct Resolved {
    set: Vec<Change>,
    includes: Vec<usize>,
    sources: Option<Vec<String>>,
    /// Of each key of its heating, the option that says it.
    said_by: BTreeMap<String, usize>,
}

/// Reads `set` and `includes` of every option, and lends each what it takes over. An option for which a problem was
/// recorded has none.
pub(super) fn read(entries: &mut [Cursor<'_>], baseline: Option<&str>) -> Vec<Option<Package>> {
    let resolved = resolve_all(entries, baseline);
    for (place, found) in resolved.iter().enumerate() {
        for (key, &by) in found.iter().flat_map(|found| &found.said_by).filter(|(_, by)| **by != place) {
            if let Some(value) = entries[by].value_of(key) {
                entries[place].take_over(key, value);
            }
        }
    }
    let packages = resolved.into_iter().enumerate().map(|(place, found)| {
        let Resolved { set, includes, sources, .. } = found?;
        let sources = sources.filter(|_| entries[place].kind("sources").is_none());
        Some(Package { set, includes, sources })
    });
    packages.collect()
}

/// What every option says and takes over, with the baseline for heaters where there are none.
fn resolve_all(entries: &[Cursor<'_>], baseline: Option<&str>) -> Vec<Option<Resolved>> {
    let names: Vec<Option<String>> = entries.iter().map(|entry| entry.text("name").peek()).collect();
    let sets: Vec<Option<Vec<Change>>> = entries.iter().map(|entry| read_set(entry, By::Option)).collect();
    let includes: Vec<Option<Vec<usize>>> = entries.iter().map(|entry| read_includes(entry, &names)).collect();
    let mut resolver = Resolver { entries, sets, includes, known: vec![Known::NotYet; entries.len()] };
    let base = names.iter().position(|name| name.is_some() && name.as_deref() == baseline);
    (0..entries.len())
        .map(|place| {
            let mut own = resolver.resolve(place, &mut Vec::new())?;
            let is_measure = !own.set.is_empty() || !own.includes.is_empty();
            if let Some(base) = base.filter(|&base| is_measure && base != place && own.sources.is_none()) {
                // A measure of the plant keeps the baseline's heating.
                resolver.resolve(base, &mut Vec::new())?;
                own = resolver.merged(place, &[base, place], Some(own))?;
            }
            Some(own)
        })
        .collect()
}

/// Places of the options that this one includes. `None` means that a problem was recorded.
fn read_includes(entry: &Cursor<'_>, names: &[Option<String>]) -> Option<Vec<usize>> {
    let Some(included) = entry
        .texts("includes")
        .hint("name other options, whose changes, heaters and works this one has too")
        .optional()
    else {
        return entry.kind("includes").is_none().then(Vec::new);
    };
    let known = || names.iter().flatten().map(String::as_str);
    let mut places = Vec::new();
    for name in &included {
        match names.iter().position(|known| known.as_ref() == Some(name)) {
            Some(place) => places.push(place),
            None => entry.complain_of_stranger(
                "includes",
                &format!("names \"{name}\", which is no option"),
                &format!("one of {}", known().collect::<Vec<_>>().join(", ")),
                &meant_or(name, known(), "name an [[option]] of this study"),
            ),
        }
    }
    (places.len() == included.len()).then_some(places)
}

/// What is known of an option so far.
#[derive(Clone)]
enum Known {
    NotYet,
    Refused,
    Found(Resolved),
}

impl Known {
    fn found(&self) -> Option<Resolved> {
        match self {
            Self::NotYet | Self::Refused => None,
            Self::Found(found) => Some(found.clone()),
        }
    }
}

struct Resolver<'a, 't> {
    entries: &'a [Cursor<'t>],
    sets: Vec<Option<Vec<Change>>>,
    includes: Vec<Option<Vec<usize>>>,
    known: Vec<Known>,
}

impl Resolver<'_, '_> {
    /// What an option says and takes over. `above` are those that include it.
    fn resolve(&mut self, place: usize, above: &mut Vec<usize>) -> Option<Resolved> {
        if matches!(self.known[place], Known::NotYet) {
            self.known[place] = self.find(place, above).map_or(Known::Refused, Known::Found);
        }
        self.known[place].found()
    }

    fn find(&mut self, place: usize, above: &mut Vec<usize>) -> Option<Resolved> {
        let includes = self.includes[place].clone()?;
        above.push(place);
        let mut parts = Vec::new();
        for &included in &includes {
            if above.contains(&included) {
                let name = |place: usize| self.entries[place].text("name").peek().unwrap_or_default();
                let what = if included == place {
                    "names the option itself".to_owned()
                } else {
                    format!("names \"{}\", which includes \"{}\"", name(included), name(place))
                };
                self.entries[place].complain(
                    "includes",
                    &what,
                    "options that do not include this one",
                    "strike one out",
                );
                above.pop();
                return None;
            }
            parts.push(self.resolve(included, above).is_some());
        }
        above.pop();
        if parts.contains(&false) {
            return None;
        }
        let own = Resolved { set: self.sets[place].clone()?, ..self.said(place) };
        self.merged(place, &includes, Some(own))
    }

    /// What an option says of its heating itself.
    fn said(&self, place: usize) -> Resolved {
        let entry = &self.entries[place];
        let keys = entry.keys().into_iter().filter(|key| !OWN_KEYS.contains(&key.as_str()));
        Resolved {
            sources: entry.texts("sources").peek(),
            said_by: keys.map(|key| (key, place)).collect(),
            ..Resolved::default()
        }
    }

    /// An option's own beside what it takes over from these, which were resolved; one of them may be itself.
    fn merged(&self, place: usize, includes: &[usize], own: Option<Resolved>) -> Option<Resolved> {
        let own = own?;
        let mut all = Resolved::default();
        let mut is_told = false;
        for &included in includes.iter().filter(|&&included| included != place) {
            let part = self.known[included].found()?;
            is_told |= self.contradict(place, &all, &part, &own);
            for change in part.set {
                if !all.set.iter().any(|other| other.says_the_same(&change)) {
                    all.set.push(change);
                }
            }
            for place in part.includes.into_iter().chain([included]) {
                if !all.includes.contains(&place) {
                    all.includes.push(place);
                }
            }
            all.said_by.extend(part.said_by);
            all.sources = match (all.sources, part.sources) {
                (Some(before), Some(added)) if own.sources.is_none() => {
                    let joined = joined(&before, &added);
                    if joined.is_none() {
                        self.entries[place].complain(
                            "includes",
                            &format!("joins heaters in two orders: {} and {}", before.join(", "), added.join(", ")),
                            "one order in which they are called on",
                            "say sources = [...] here too",
                        );
                        is_told = true;
                    }
                    joined
                }
                (before, added) => before.or(added),
            };
        }
        // What is said anew stands in place of what it covers.
        all.set.retain(|before| !own.set.iter().any(|anew| anew.covers(&before.path)));
        all.set.extend(own.set);
        for place in own.includes {
            if !all.includes.contains(&place) {
                all.includes.push(place);
            }
        }
        all.said_by.extend(own.said_by);
        all.sources = own.sources.or(all.sources);
        (!is_told).then_some(all)
    }

    /// Tells what a further included option says against those before it, unless the option says it itself.
    fn contradict(&self, place: usize, before: &Resolved, part: &Resolved, own: &Resolved) -> bool {
        let entry = &self.entries[place];
        let mut is_told = false;
        for change in &part.set {
            let against = before.set.iter().find(|other| other.meets(change) && !other.says_the_same(change));
            let settled = |other: &Change| own.set.iter().any(|o| o.covers(&other.path) && o.covers(&change.path));
            if let Some(other) = against.filter(|other| !settled(other)) {
                let what = format!(
                    "joins options that contradict each other: `{}` is {} in one and `{}` is {} in another",
                    other.path,
                    other.value_text(),
                    change.path,
                    change.value_text()
                );
                let cure = format!("leave one out, or say here what holds: set = {{ \"{}\" = ... }}", other.path);
                entry.complain("includes", &what, "options that go together", &cure);
                is_told = true;
            }
        }
        for (key, &by) in &part.said_by {
            if let Some(&other) = before.said_by.get(key)
                && !own.said_by.contains_key(key)
                && !alike(self.entries[other].value_of(key), self.entries[by].value_of(key))
            {
                let what = format!("joins options of which each says another {key}");
                entry.complain(
                    "includes",
                    &what,
                    "options that go together",
                    &format!("say here what holds: {key} = ..."),
                );
                is_told = true;
            }
        }
        is_told
    }
}

/// Two lists of heaters in one order that keeps both: a new one goes before the next that both have. `None` where they
/// have some in two orders.
fn joined(before: &[String], added: &[String]) -> Option<Vec<String>> {
    let mut all = before.to_vec();
    let mut from = 0;
    for (at, name) in added.iter().enumerate() {
        if let Some(there) = all.iter().position(|known| known == name) {
            if there < from {
                return None;
            }
            from = there + 1;
        } else {
            let next =
                added[at + 1..].iter().find_map(|later| before.iter().position(|known| known == later).map(|_| later));
            let place = next.and_then(|later| all.iter().position(|known| known == later)).unwrap_or(all.len());
            if place < from {
                return None;
            }
            all.insert(place, name.clone());
            from = place + 1;
        }
    }
    Some(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heaters_are_joined_so_that_both_orders_hold() {
        let list = |names: &str| names.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let join = |one: &str, other: &str| joined(&list(one), &list(other)).map(|all| all.join(" "));
        assert_eq!(join("heaters", "pump heaters").as_deref(), Some("pump heaters"));
        assert_eq!(join("pump heaters", "heaters").as_deref(), Some("pump heaters"));
        assert_eq!(join("a b", "c d").as_deref(), Some("a b c d"));
        assert_eq!(join("a b", "a x b").as_deref(), Some("a x b"));
        assert_eq!(join("a b", "b a"), None);
        assert_eq!(join("a b", "b x a"), None);
    }
}
