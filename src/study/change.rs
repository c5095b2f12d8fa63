//! Values that stand in for a study's own, each by the path that a report lists it under.

use crate::problem::{Problem, Problems};
use std::borrow::Cow;
use std::ops::Range;
use std::sync::Arc;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// One value that stands in for the study's own: a number, a word, true or false, a list or a table.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Change {
    /// Where it belongs: `room.drying room.temperature_c`.
    pub path: String,
    /// The value as it was written.
    value: String,
    said: Said,
}

/// Who wants it.
#[derive(Clone, Debug, PartialEq)]
enum Said {
    /// The one who asked for this run, in these words.
    Asked(String),
    /// A file, whose text it stands in from this byte on, beside its path at these bytes.
    Written { file: Arc<str>, text: Arc<str>, key: Range<usize>, from: usize },
}

/// A file and its text, in which changes are written.
#[derive(Clone, Debug)]
pub(super) struct Writing {
    pub file: Arc<str>,
    pub text: Arc<str>,
}

impl Change {
    /// From `PATH=VALUE`. `option` is what it was asked with: `--set`.
    pub(crate) fn asked(option: &str, words: &str) -> Result<Self, Problems> {
        let parts = words.split_once('=').map(|(path, value)| (path.trim(), value.trim()));
        match parts {
            Some((path, value)) if !path.is_empty() && !value.is_empty() => Ok(Self {
                path: path.to_owned(),
                value: value.to_owned(),
                said: Said::Asked(format!("{option} {words}")),
            }),
            _ => Err(Problem::said(format!("{option} {words} sets nothing"))
                .expected("PATH=VALUE")
                .cure("such as \"crop.received_moisture=26\"; the report's list of inputs shows the paths")
                .into()),
        }
    }

    /// From a file, where key and value stand at these bytes. `None` where the value does not stand in one piece.
    pub(super) fn written(writing: &Writing, path: String, key: Range<usize>, span: &Range<usize>) -> Option<Self> {
        let value = writing.text.get(span.clone())?;
        DeValue::parse(value).ok()?;
        let (file, text) = (Arc::clone(&writing.file), Arc::clone(&writing.text));
        Some(Self { path, value: value.to_owned(), said: Said::Written { file, text, key, from: span.start } })
    }

    /// The value as it was written.
    pub(crate) fn value_text(&self) -> &str {
        &self.value
    }

    /// The value where it is a number.
    pub(super) fn number(&self) -> Option<f64> {
        self.value.parse().ok()
    }

    /// The same with this number for its value.
    #[must_use]
    pub(super) fn of_number(self, number: f64) -> Self {
        Self { value: number.to_string(), ..self }
    }

    /// True if it was asked for with the run, and does not stand in a file.
    pub(super) fn is_asked(&self) -> bool {
        matches!(self.said, Said::Asked(_))
    }

    /// True if both say what one value is: of one path, or of a path and of a part of it.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        let is_part = |whole: &str, part: &str| part.strip_prefix(whole).is_some_and(|rest| rest.starts_with('.'));
        self.path == other.path || is_part(&self.path, &other.path) || is_part(&other.path, &self.path)
    }

    /// True if this change says what the value at a path is.
    pub(crate) fn covers(&self, path: &str) -> bool {
        path.strip_prefix(self.path.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    }

    /// True if both say the same of the same value, however a number is written.
    pub(super) fn says_the_same(&self, other: &Self) -> bool {
        let number = |change: &Self| change.value.parse::<f64>().ok();
        let is_same_number = || number(self).is_some_and(|own| number(other) == Some(own));
        self.path == other.path && (self.value == other.value || is_same_number())
    }

    /// Bytes of its value.
    pub(super) fn whole(&self) -> Range<usize> {
        0..self.value.len()
    }

    /// A change that is written within the value of this one, its key and its value at these bytes of it.
    pub(super) fn part(&self, path: String, key: &Range<usize>, within: &Range<usize>) -> Option<Self> {
        let value = self.value.get(within.clone())?.to_owned();
        let said = match &self.said {
            Said::Asked(words) => Said::Asked(words.clone()),
            Said::Written { file, text, from, .. } => Said::Written {
                file: Arc::clone(file),
                text: Arc::clone(text),
                key: from + key.start..from + key.end,
                from: from + within.start,
            },
        };
        Some(Self { path, value, said })
    }

    /// The value, its places counted from `base`. What is no TOML is a word.
    pub(super) fn parsed(&self, base: usize) -> Spanned<DeValue<'_>> {
        let value = DeValue::parse(&self.value)
            .unwrap_or_else(|_| Spanned::new(0..self.value.len(), DeValue::String(Cow::Borrowed(&self.value))));
        moved(value, base)
    }

    /// A problem of it, at these bytes of its value.
    pub(super) fn problem(&self, within: &Range<usize>, what: impl Into<String>) -> Problem {
        match &self.said {
            Said::Asked(words) => Problem::said(format!("{words}: {}", what.into())),
            Said::Written { file, text, from, .. } => {
                Problem::at(file, text, &(from + within.start..from + within.end), what)
            }
        }
    }

    /// A problem of its path, whatever its value.
    pub(super) fn problem_of_path(&self, what: impl Into<String>) -> Problem {
        match &self.said {
            Said::Asked(_) => self.problem(&self.whole(), what),
            Said::Written { file, text, key, .. } => Problem::at(file, text, key, what),
        }
    }
}

/// The same value with its places so much later.
fn moved(value: Spanned<DeValue<'_>>, by: usize) -> Spanned<DeValue<'_>> {
    let later = |span: Range<usize>| span.start + by..span.end + by;
    let span = later(value.span());
    let moved = match value.into_inner() {
        DeValue::Array(list) => DeValue::Array(list.into_iter().map(|entry| moved(entry, by)).collect::<DeArray<'_>>()),
        DeValue::Table(table) => {
            let mut all = DeTable::new();
            for (key, entry) in table {
                let key_span = later(key.span());
                all.insert(Spanned::new(key_span, key.into_inner()), moved(entry, by));
            }
            DeValue::Table(all)
        }
        plain @ (DeValue::String(_)
        | DeValue::Integer(_)
        | DeValue::Float(_)
        | DeValue::Boolean(_)
        | DeValue::Datetime(_)) => plain,
    };
    Spanned::new(span, moved)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(words: &str) -> Change {
        Change::asked("--set", words).expect("a change")
    }

    #[test]
    fn what_is_no_toml_is_a_word() {
        let kind = |words: &str| change(words).parsed(7).get_ref().type_str();
        assert_eq!(kind("crop.received_moisture=26"), "integer");
        assert_eq!(kind("room.r.air = once-through"), "string");
        assert_eq!(kind("crop.intake=\"a=b.csv\""), "string");
        assert_eq!(kind("a.b=true"), "boolean");
        assert_eq!(kind("a.b=[1, 2]"), "array");
        assert_eq!(change("a.b=[1, 22]").parsed(7).get_ref()[1].span(), 11..13);
    }

    #[test]
    fn without_path_or_value_nothing_is_set() {
        for words in ["", "crop", "=3", "crop.x="] {
            let problems = Change::asked("--set", words).expect_err(words).to_string();
            assert!(problems.contains("expected PATH=VALUE"), "{problems}");
        }
    }

    #[test]
    fn a_list_meets_its_entries_and_no_longer_name() {
        assert!(change("room.r.bins=[]").meets(&change("room.r.bins.1.count=2")));
        assert!(change("a.b=1").meets(&change("a.b=1")));
        assert!(!change("a.b=1").meets(&change("a.bc=1")));
        assert!(change("a.b=60").says_the_same(&change("a.b=60.0")));
        assert!(!change("a.b=60").says_the_same(&change("a.b=61")) && !change("a.b=x").says_the_same(&change("a.b=y")));
        assert!(change("a.b=1").covers("a.b.2") && !change("a.b.2=1").covers("a.b"));
    }
}
