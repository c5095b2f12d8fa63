//! One table of a document: asks for its values by key, and knows which keys nobody asked for.

use super::document::{Desk, Document, Reading};
use super::field::Field;
use super::keys::{Key, MOST_ENTRIES, Need, Shape, most_entries, table_key};
pub(super) use super::value::Kind;
use super::value::{describe, kind_of};
use crate::problem::{Problem, Problems, Refusal, nearest};
use std::cell::RefCell;
use std::fmt::Display;
use std::ops::Range;
use std::str::FromStr;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of one table that are not known are told up to so many.
const MOST_TOLD: usize = 20;

/// One table of the document, which may be absent: an absent table has no keys.
#[derive(Debug)]
pub(crate) struct Cursor<'t> {
    pub(super) desk: &'t Desk<'t>,
    table: Option<&'t DeTable<'t>>,
    span: Range<usize>,
    path: String,
    asked: RefCell<Vec<String>>,
    /// What it takes over from another table, where it says nothing itself.
    taken_over: Vec<(String, &'t Spanned<DeValue<'t>>)>,
    /// True if something else stands where this table should: told once, its keys are not missed too.
    spoilt: bool,
    /// Its place among the tables of which keys are listed, if they are.
    listed: Option<usize>,
}

impl<'t> Cursor<'t> {
    pub(super) fn root(desk: &'t Desk<'t>, root: &'t Spanned<DeTable<'t>>, under: &str) -> Self {
        Self {
            desk,
            table: Some(root.get_ref()),
            span: root.span(),
            path: under.to_owned(),
            asked: RefCell::default(),
            taken_over: Vec::new(),
            spoilt: false,
            listed: desk.begin_table(None, "", Shape::One),
        }
    }

    /// Adds a key to the list of all keys, where one is made, with the word that stands there if it takes words.
    pub(super) fn list(&self, word: Option<String>, key: impl FnOnce() -> Key) {
        if let Some(table) = self.listed {
            self.desk.list(table, word, key());
        }
    }

    fn list_table(&self, key: &str, shape: Shape, need: Need, hint: &str) {
        self.list(None, || table_key(key, shape, need, hint));
    }

    /// True if the table stands in the file.
    pub(crate) fn is_given(&self) -> bool {
        self.table.is_some()
    }

    /// The path of a key of this table.
    pub(crate) fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// The same as the file itself would call it: without the path under which the file is read.
    pub(super) fn own_path_of(&self, key: &str) -> String {
        let path = self.path_of(key);
        path.strip_prefix(self.desk.under()).map_or(path.as_str(), |own| own.trim_start_matches('.')).to_owned()
    }

    /// Takes over what another table says at a key, where this one says nothing.
    pub(super) fn take_over(&mut self, key: &str, value: &'t Spanned<DeValue<'t>>) {
        if self.look(key).is_none() {
            self.taken_over.push((key.to_owned(), value));
        }
    }

    /// What stands at a key, which is not yet read by this.
    pub(super) fn value_of(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.look(key)
    }

    /// The keys of this table, in their own order.
    pub(super) fn keys(&self) -> Vec<String> {
        self.table.into_iter().flat_map(DeTable::keys).map(|key| key.get_ref().to_string()).collect()
    }

    /// What kind of value stands at a key, for keys that may hold more than one kind. The key is not
    /// yet read by this.
    pub(crate) fn kind(&self, key: &str) -> Option<Kind> {
        Some(kind_of(self.look(key)?.get_ref()))
    }

    /// The line of a key, from 1; `None` where it is not given. The key is not yet read by this.
    pub(crate) fn line_of(&self, key: &str) -> Option<usize> {
        let (_, line, _) = self.desk.place(&self.look(key)?.span());
        Some(line)
    }

    /// A number, whole or decimal; `nan` and `inf` are refused.
    pub(crate) fn number(&self, key: &str) -> Field<'_, f64> {
        Field::number(self, key)
    }

    /// A whole number from 0.
    pub(crate) fn count(&self, key: &str) -> Field<'_, u32> {
        Field::count(self, key)
    }

    /// A list of numbers.
    pub(crate) fn numbers(&self, key: &str) -> Field<'_, Vec<f64>> {
        Field::numbers(self, key)
    }

    /// Text that is not blank.
    pub(crate) fn text(&self, key: &str) -> Field<'_, String> {
        Field::text(self, key)
    }

    /// A list of texts; a single text stands for a list of one.
    pub(crate) fn texts(&self, key: &str) -> Field<'_, Vec<String>> {
        Field::texts(self, key)
    }

    /// `true` or `false`.
    pub(crate) fn yes_no(&self, key: &str) -> Field<'_, bool> {
        Field::yes_no(self, key)
    }

    /// One of several words, each with what it stands for.
    pub(crate) fn choice<T: Clone + PartialEq + 'static>(
        &self,
        key: &str,
        words: &[(&'static str, T)],
    ) -> Field<'_, T> {
        Field::choice(self, key, words)
    }

    /// A list of such words; a single word stands for a list of one.
    pub(crate) fn choices<T: Clone + PartialEq + 'static>(
        &self,
        key: &str,
        words: &[(&'static str, T)],
    ) -> Field<'_, Vec<T>> {
        Field::choices(self, key, words)
    }

    /// Text (or a TOML date or time) in a form of its own, such as a `NaiveDate`, `FixedOffset` or
    /// time zone. `expected` completes "expected ...": `a date such as 2021-03-01`.
    pub(crate) fn parsed<T: FromStr + Display + 'static>(&self, key: &str, expected: &'static str) -> Field<'_, T> {
        Field::parsed(self, key, expected)
    }

    /// A list of such texts.
    pub(crate) fn parsed_list<T: FromStr + Display + 'static>(
        &self,
        key: &str,
        expected: &'static str,
    ) -> Field<'_, Vec<T>> {
        Field::parsed_list(self, key, expected)
    }

    /// A table. If it is not there, an empty one: its required keys are then missing.
    pub(crate) fn table(&self, key: &str) -> Cursor<'t> {
        self.optional_table(key).unwrap_or_else(|| Cursor {
            spoilt: self.spoilt || self.look(key).is_some(),
            ..self.below(key, (key, Shape::One), None, self.span.clone())
        })
    }

    /// A table that may be left out.
    pub(crate) fn optional_table(&self, key: &str) -> Option<Cursor<'t>> {
        self.list_table(key, Shape::One, Need::Optional, "");
        let value = self.take(key)?;
        self.as_table(key, (key, Shape::One), value)
    }

    /// A table at a key that is a name of the study's own: `whose` says whose.
    pub(super) fn named_table(&self, key: &str, whose: &str) -> Option<Cursor<'t>> {
        self.list_table(whose, Shape::Named, Need::Optional, "");
        let value = self.take(key)?;
        self.as_table(key, (whose, Shape::Named), value)
    }

    /// A table that must be there.
    pub(crate) fn required_table(&self, key: &str, hint: &str) -> Option<Cursor<'t>> {
        self.list_table(key, Shape::One, Need::Required, hint);
        if self.look(key).is_none() {
            self.asked.borrow_mut().push(key.to_owned());
            let path = self.own_path_of(key);
            self.miss(self.missing(format!("[{path}] is missing")).cure(hint).refused(Refusal::Missing));
            return None;
        }
        self.optional_table(key)
    }

    /// The entries of a list of tables, `[[room]]` or `[{ ... }]`; a single table stands for a list of
    /// one, and nothing for an empty list. Two entries of one `name` are a problem.
    pub(crate) fn each(&self, key: &str) -> Vec<Cursor<'t>> {
        self.list_table(key, Shape::List, Need::Optional, "");
        let Some(value) = self.take(key) else {
            return Vec::new();
        };
        let entries: Vec<&'t Spanned<DeValue<'t>>> = match value.get_ref() {
            DeValue::Array(list) => list.iter().collect(),
            _ => vec![value],
        };
        if let Some(first) = entries.get(MOST_ENTRIES) {
            let what = format!("{key} has {} entries", entries.len());
            let problem = self.desk.problem_at(&first.span(), what);
            self.desk.record(problem.expected(most_entries()).cure("ask so much in several studies"));
            return Vec::new();
        }
        let mut names: Vec<String> = Vec::new();
        let mut cursors = Vec::new();
        for (index, entry) in entries.into_iter().enumerate() {
            let name = match entry.get_ref().get("name").map(Spanned::get_ref) {
                Some(DeValue::String(name)) => name.to_string(),
                _ => (index + 1).to_string(),
            };
            if names.contains(&name) {
                let what = format!("a second {key} is called `{name}`");
                let problem = self.desk.problem_at(&entry.span(), what);
                self.desk.record(problem.cure("give each its own name"));
            }
            cursors.extend(self.as_table(&format!("{key}.{name}"), (key, Shape::List), entry));
            names.push(name);
        }
        cursors
    }

    /// The entries of a list of tables of which there must be one at least. `expected` and `cure` are said
    /// if there is none.
    pub(crate) fn each_of_some(&self, key: &str, expected: &str, cure: &str) -> Vec<Cursor<'t>> {
        self.list_table(key, Shape::List, Need::Required, cure);
        match self.kind(key) {
            None => self.complain_of_missing(key, expected, cure),
            Some(Kind::List) if self.is_empty_list(key) => {
                self.complain(key, "is an empty list", expected, cure);
            }
            Some(_) => {}
        }
        self.each(key)
    }

    /// The tables below this one that were not asked for by name, in the order of the file: `[carrier.NAME]`, `whose`
    /// saying whose names they have. Each comes with its name.
    pub(crate) fn rest(&self, whose: &str) -> Vec<(String, Cursor<'t>)> {
        self.list_table(whose, Shape::Named, Need::Optional, "");
        let Some(table) = self.table else {
            return Vec::new();
        };
        let mut unasked: Vec<_> = table.iter().filter(|(key, _)| !self.was_asked(key.get_ref())).collect();
        unasked.sort_by_key(|(key, _)| key.span().start);
        unasked
            .into_iter()
            .filter_map(|(key, value)| {
                let name = key.get_ref().to_string();
                self.asked.borrow_mut().push(name.clone());
                Some((name.clone(), self.as_table(&name, (whose, Shape::Named), value)?))
            })
            .collect()
    }

    /// Records a problem of a key of this table that shows only beside other values.
    pub(crate) fn complain(&self, key: &str, what: &str, expected: &str, cure: &str) {
        self.miss(self.beside_others(key, what).expected(expected).cure(cure));
    }

    /// The same of a key that names what is not there to be named.
    pub(super) fn complain_of_stranger(&self, key: &str, what: &str, expected: &str, cure: &str) {
        self.miss(self.beside_others(key, what).expected(expected).cure(cure).refused(Refusal::Name));
    }

    fn beside_others(&self, key: &str, what: &str) -> Problem {
        match self.look(key) {
            Some(value) => self.desk.problem_at(&value.span(), format!("{key} {what}")),
            None => self.missing(format!("{} {what}", self.own_path_of(key))),
        }
    }

    /// Records that a key of this table is missing, which nothing else may stand for.
    pub(super) fn complain_of_missing(&self, key: &str, expected: &str, cure: &str) {
        let problem = self.missing(format!("{} is missing", self.own_path_of(key)));
        self.miss(problem.expected(expected).cure(cure).refused(Refusal::Missing));
    }

    /// Records that a file which a key names cannot be read.
    pub(crate) fn complain_of_file(&self, key: &str, what: &str, expected: &str, cure: &str) {
        let span = self.look(key).map_or(self.span.clone(), Spanned::span);
        let problem = self.desk.problem_at(&span, format!("{key} {what}"));
        self.desk.record(problem.expected(expected).cure(cure).of_unreadable_file());
    }

    /// Records a problem of this table as a whole.
    pub(crate) fn complain_here(&self, what: &str, expected: &str, cure: &str) {
        self.miss(self.missing(what.to_owned()).expected(expected).cure(cure));
    }

    /// Records a warning at a key of this table.
    pub(crate) fn warn(&self, key: &str, what: &str, cure: &str) {
        self.desk.record(self.doubted(key, what).cure(cure));
    }

    /// A warning at a key of this table, not yet recorded.
    pub(super) fn doubted(&self, key: &str, what: &str) -> Problem {
        let span = self.look(key).map_or(self.span.clone(), Spanned::span);
        self.desk.problem_at(&span, format!("{key} {what}")).into_warning()
    }

    /// Records a warning at a key of this table, by the name that programs know it by.
    pub(super) fn doubt(&self, code: &'static str, key: &str, what: &str, cure: &str) {
        self.desk.record(self.doubted(key, what).cure(cure).code(code));
    }

    /// Marks a key as known that is read elsewhere.
    pub(crate) fn claim(&self, key: &str) {
        self.take(key);
    }

    /// Records a problem of another file that this table names.
    pub(crate) fn report(&self, problem: Problem) {
        self.desk.record(problem);
    }

    /// Takes over what reading another file gave: its inputs and its problems become this reading's.
    pub(crate) fn include<T>(&self, reading: Result<Reading<T>, Problems>) -> Option<T> {
        self.desk.adopt(reading)
    }

    /// A document that this table names, with what stands in for its values.
    pub(super) fn companion<'c>(&self, file: &'c str, text: &'c str) -> Document<'c>
    where
        't: 'c,
    {
        self.desk.companion(file, text)
    }

    /// Keys of this table that were not asked for yet, in the order of the file.
    pub(super) fn unasked(&self) -> Vec<String> {
        let mut unasked: Vec<_> = self
            .table
            .into_iter()
            .flat_map(DeTable::iter)
            .map(|(key, _)| key)
            .filter(|key| !self.was_asked(key.get_ref()))
            .collect();
        unasked.sort_by_key(|key| key.span().start);
        unasked.into_iter().map(|key| key.get_ref().to_string()).collect()
    }

    /// Records a problem at the name of a key of this table.
    pub(super) fn complain_of_name(&self, key: &str, what: &str, expected: &str, cure: &str) {
        self.desk.record(self.problem_of_name(key, what).expected(expected).cure(cure));
    }

    /// A problem at the name of a key of this table, not yet recorded.
    pub(super) fn problem_of_name(&self, key: &str, what: impl Into<String>) -> Problem {
        self.desk.problem_at_key(&self.span_of_name(key), &self.look(key).map_or(0..0, Spanned::span), what)
    }

    /// Where the name of a key of this table stands.
    pub(super) fn span_of_name(&self, key: &str) -> Range<usize> {
        let named = self.table.into_iter().flat_map(DeTable::iter).find(|(name, _)| name.get_ref() == key);
        named.map_or(self.span.clone(), |(name, _)| name.span())
    }

    /// Ends the reading of this table: every key that was not asked for becomes a problem that names
    /// the nearest known one.
    pub(crate) fn finish(&self) {
        let asked = self.asked.borrow();
        let is_asked = |key: &str| asked.iter().any(|known| known == key);
        let keys = self.table.into_iter().flat_map(DeTable::iter);
        let unknown: Vec<_> = keys.filter(|(key, _)| !is_asked(key.get_ref())).collect();
        if let Some((next, value)) = unknown.get(MOST_TOLD) {
            let what = format!("{} more keys are not known", unknown.len() - MOST_TOLD);
            let problem = self.desk.problem_at_key(&next.span(), &value.span(), what);
            self.desk.record(problem.refused(Refusal::Unknown));
        }
        for (key, value) in unknown.into_iter().take(MOST_TOLD) {
            let written = key.get_ref().as_ref();
            let own_path = self.own_path_of("");
            let place = match own_path.trim_end_matches('.') {
                "" => "here".to_owned(),
                path => format!("in {path}"),
            };
            let cure = match nearest(written, asked.iter().map(String::as_str)) {
                Some(known) => format!("did you mean `{known}`?"),
                None => format!("known are {}", asked.join(", ")),
            };
            let what = format!("`{written}` is not known {place}");
            let problem = self.desk.problem_at_key(&key.span(), &value.span(), what);
            self.desk.record(problem.cure(cure).refused(Refusal::Unknown));
        }
    }

    /// The value at a key, which counts as asked for from now on.
    pub(super) fn take(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        if !self.was_asked(key) {
            self.asked.borrow_mut().push(key.to_owned());
        }
        self.look(key)
    }

    /// A problem where something should stand in this table.
    pub(super) fn missing(&self, what: String) -> Problem {
        if self.is_given() && !self.span.is_empty() && !self.path.is_empty() {
            self.desk.problem_at(&self.span, what)
        } else {
            self.desk.file_problem(what)
        }
    }

    /// Records what this table lacks, unless it is no table at all.
    pub(super) fn miss(&self, problem: Problem) {
        if !self.spoilt {
            self.desk.record(problem);
        }
    }

    fn is_empty_list(&self, key: &str) -> bool {
        self.look(key).and_then(|value| value.get_ref().as_array()).is_some_and(|list| list.is_empty())
    }

    fn was_asked(&self, key: &str) -> bool {
        self.asked.borrow().iter().any(|asked| asked == key)
    }

    pub(super) fn look(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        let own = self.table.and_then(|table| table.get(key));
        own.or_else(|| self.taken_over.iter().find(|(taken, _)| taken == key).map(|(_, value)| *value))
    }

    fn as_table(&self, key: &str, listed: (&str, Shape), value: &'t Spanned<DeValue<'t>>) -> Option<Cursor<'t>> {
        let DeValue::Table(table) = value.get_ref() else {
            let what = format!("{key} is {}", describe(value.get_ref()));
            let problem = self.desk.problem_at(&value.span(), what);
            self.desk.record(problem.expected("a table").refused(Refusal::Kind));
            return None;
        };
        Some(self.below(key, listed, Some(table), value.span()))
    }

    fn below(
        &self,
        key: &str,
        (name, shape): (&str, Shape),
        table: Option<&'t DeTable<'t>>,
        span: Range<usize>,
    ) -> Cursor<'t> {
        Cursor {
            desk: self.desk,
            table,
            span,
            path: self.path_of(key),
            asked: RefCell::default(),
            taken_over: Vec::new(),
            spoilt: self.spoilt,
            listed: self.listed.and_then(|above| self.desk.begin_table(Some(above), name, shape)),
        }
    }
}

#[cfg(test)]
mod tests;
