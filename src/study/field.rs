//! One value of a table: its kind, its bounds, and what happens when it is not there.

use super::cursor::Cursor;
use super::expectation::{Bound, Fault, expected};
use super::input::{Input, Origin};
use super::keys::{Key, Need, Range as Bounds, Takes};
use super::measured::{Scale, is_written, measured, measured_count, measured_list};
use super::value::{Checked, Raw, chosen, describe, list, list_text, names, number, parsed, text, whole, word_for};
use crate::problem::Refusal;
use std::fmt::Display;
use std::ops::Range;
use std::str::FromStr;
use toml::Spanned;
use toml::de::DeValue;

/// A value asked for but not yet taken. Say its unit first, then bounds and hint in any order, then end with
/// [`Field::required`], [`Field::default`] or [`Field::optional`]. A number may be text with a unit of its own
/// (`"110 F"`): it is taken in the unit that its reader says.
#[must_use = "a field is read when it ends in required, default or optional"]
pub(crate) struct Field<'c, T> {
    cursor: &'c Cursor<'c>,
    key: String,
    /// Whose name the key is, if it is a name of the study's own.
    name_of: Option<&'static str>,
    found: Found<T>,
    /// What stands there with a unit of its own, until it is known what it is to be measured in.
    written: Option<(&'c Raw<'c>, Convert<'c, T>)>,
    /// The same as it was written, once it was read.
    as_written: Option<String>,
    /// Spans of the entries of a list.
    parts: Vec<Range<usize>>,
    takes: Takes,
    bounds: Vec<Bound>,
    scale: Scale,
    hint: String,
    show: Box<dyn Fn(&T) -> String>,
    numeric: fn(&T) -> Option<f64>,
}

/// Makes a value of what stands there, and says as what it was written.
type Convert<'c, T> = fn(&Raw<'c>, &Scale) -> Checked<(T, Option<String>)>;

enum Found<T> {
    Missing,
    Wrong {
        span: Option<Range<usize>>,
        what: String,
        fault: Fault,
    },
    Good {
        value: T,
        /// `None` for a value set from outside.
        span: Option<Range<usize>>,
    },
}

impl<'c, T> Field<'c, T> {
    /// Looks at a key and converts what stands there.
    fn look(
        cursor: &'c Cursor<'_>,
        key: &str,
        takes: Takes,
        show: impl Fn(&T) -> String + 'static,
        convert: impl FnOnce(&Raw<'c>) -> Checked<T>,
    ) -> Self {
        let mut parts = Vec::new();
        let found = match cursor.take(key) {
            None => Found::Missing,
            Some(raw) => {
                if let DeValue::Array(list) = raw.get_ref() {
                    parts = list.iter().map(Spanned::span).collect();
                }
                match convert(raw) {
                    Ok(value) => Found::Good { value, span: Some(raw.span()) },
                    Err((span, found)) => {
                        Found::Wrong { span: Some(span), what: format!("{key} {found}"), fault: Fault::Kind }
                    }
                }
            }
        };
        Self {
            cursor,
            key: key.to_owned(),
            name_of: None,
            found,
            written: None,
            as_written: None,
            parts,
            takes,
            bounds: Vec::new(),
            scale: Scale { currency: cursor.desk.currency(), ..Scale::default() },
            hint: String::new(),
            show: Box::new(show),
            numeric: |_| None,
        }
    }

    /// Says that the key is a name which the study gives: `a carrier`.
    pub(crate) fn named_by(mut self, whose: &'static str) -> Self {
        self.name_of = Some(whose);
        self
    }

    /// The unit, as it is shown to people. It comes before any bound, since those hold in it.
    pub(crate) fn unit(mut self, unit: impl Into<String>) -> Self {
        debug_assert!(self.bounds.is_empty(), "the unit of {} comes before its bounds", self.key);
        self.scale.unit = unit.into();
        self
    }

    /// What is asked for each mass may be given for each volume, too, at this bulk density (kg/m³).
    pub(crate) fn or_by_volume(mut self, kg_per_m3: f64) -> Self {
        self.scale.density = Some(kg_per_m3);
        self
    }

    /// Looks later at what is written with a unit of its own.
    fn with_units(mut self, convert: Convert<'c, T>) -> Self {
        self.written = self.cursor.look(&self.key).filter(|raw| is_written(raw)).map(|raw| (raw, convert));
        self
    }

    /// Reads what is written with a unit of its own, now that all of its scale is known.
    fn settle(&mut self) {
        let Some((raw, convert)) = self.written.take() else {
            return;
        };
        self.found = match convert(raw, &self.scale) {
            Ok((value, as_written)) => {
                self.as_written = as_written;
                Found::Good { value, span: Some(raw.span()) }
            }
            Err((span, found)) => {
                Found::Wrong { span: Some(span), what: format!("{} {found}", self.key), fault: Fault::Unit }
            }
        };
    }

    /// What to do when the value is missing or wrong: `give the moisture nuts arrive at, wet basis`.
    pub(crate) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// Refuses a value that fails a test. `expected` completes "expected ...".
    pub(crate) fn when(self, expected: &str, holds: impl Fn(&T) -> bool) -> Self {
        self.bound(Bound::Form(expected.to_owned()), holds)
    }

    fn bound(mut self, bound: Bound, holds: impl Fn(&T) -> bool) -> Self {
        self.settle();
        self.bounds.push(bound.clone());
        if let Found::Good { value, span } = &self.found
            && !holds(value)
        {
            let verb = if span.is_some() { "is" } else { "was set to" };
            self.found = Found::Wrong {
                span: span.clone(),
                what: match &self.as_written {
                    Some(text) => format!("{} {verb} \"{text}\", that is {}", self.key, (self.show)(value)),
                    None => format!("{} {verb} {}", self.key, (self.show)(value)),
                },
                fault: Fault::Outside(bound),
            };
        }
        self
    }

    /// The value, which must be there. `None` means that a problem was recorded.
    pub(crate) fn required(mut self) -> Option<T> {
        self.settle();
        self.list(None, || Need::Required);
        if matches!(self.found, Found::Missing) {
            let what = if self.cursor.is_given() {
                format!("{} is missing", self.key)
            } else {
                format!("{} is missing", self.cursor.own_path_of(&self.key))
            };
            let problem = self.cursor.missing(what).expected(self.expected(&Fault::Kind)).cure(self.hint);
            self.cursor.miss(problem.refused(Refusal::Missing));
            return None;
        }
        self.taken()
    }

    /// The value, or this one where none is given. `source` says what the default rests on: a published
    /// source, or the reason. A wrong value is recorded as a problem and the default goes on in its
    /// place, so that reading can continue.
    pub(crate) fn default(mut self, value: T, source: impl Into<String>) -> T {
        self.settle();
        let source = source.into();
        self.list(Some(&value), || Need::Default { value: (self.show)(&value), reason: source.clone() });
        if matches!(self.found, Found::Missing) {
            self.note(&value, Origin::Default { source });
            return value;
        }
        self.taken().unwrap_or(value)
    }

    /// The value if it is given. A wrong value is recorded as a problem.
    pub(crate) fn optional(mut self) -> Option<T> {
        self.settle();
        self.list(None, || Need::Optional);
        self.taken()
    }

    /// Puts the key into the list of all keys, where one is made, with what stands there.
    fn list(&self, otherwise: Option<&T>, need: impl FnOnce() -> Need) {
        let value = match &self.found {
            Found::Good { value, .. } => Some(value),
            Found::Missing | Found::Wrong { .. } => otherwise,
        };
        let word = value.filter(|_| matches!(self.takes, Takes::Word(_))).map(|v| (self.show)(v));
        self.cursor.list(word, || Key {
            name: self.name_of.map_or_else(|| self.key.clone(), str::to_owned),
            is_name: self.name_of.is_some(),
            takes: vec![self.takes.clone()],
            unit: self.scale.unit.clone(),
            bounds: self.bounds.iter().map(|bound| bound.worded(&self.scale)).collect(),
            range: self.bounds.iter().fold(Bounds::default(), |range, bound| match bound {
                Bound::Quantity(_, bounds) => range.with(*bounds),
                Bound::Form(_) => range,
            }),
            need: need(),
            hint: self.hint.clone(),
        });
    }

    fn taken(mut self) -> Option<T> {
        match std::mem::replace(&mut self.found, Found::Missing) {
            Found::Missing => None,
            Found::Good { value, span } => {
                let origin = span.map_or(Origin::Set, |span| self.cursor.desk.origin(&span));
                self.note(&value, origin);
                Some(value)
            }
            Found::Wrong { span, what, fault } => {
                let expected = self.expected(&fault);
                let problem = match span {
                    Some(span) => self.cursor.desk.problem_at(&span, what),
                    None => self.cursor.missing(what),
                };
                let refusal = match fault {
                    Fault::Kind | Fault::Unit => Refusal::Kind,
                    Fault::Outside(_) => Refusal::Bounds,
                };
                self.cursor.desk.record(problem.expected(expected).cure(self.hint).refused(refusal));
                None
            }
        }
    }

    /// The value, if it is given and right, for one who needs it before its own reader takes it. Neither
    /// its use nor what is wrong with it is recorded.
    pub(crate) fn peek(mut self) -> Option<T> {
        self.settle();
        match self.found {
            Found::Good { value, .. } => Some(value),
            Found::Missing | Found::Wrong { .. } => None,
        }
    }

    fn note(&self, value: &T, origin: Origin) {
        self.cursor.desk.note(Input {
            path: self.cursor.path_of(&self.key),
            value_text: (self.show)(value),
            number: (self.numeric)(value),
            unit: self.scale.unit.clone(),
            written: self.as_written.clone().filter(|_| matches!(origin, Origin::Given { .. })),
            origin,
        });
    }

    fn expected(&self, fault: &Fault) -> String {
        expected(&self.takes, &self.bounds, &self.scale, fault)
    }

    /// Puts a number set from outside in the place of the file's, if there is one for this path.
    fn replaced(mut self, convert: impl Fn(f64) -> Option<T>) -> Self {
        let path = self.cursor.path_of(&self.key);
        if let Some(number) = self.cursor.desk.replacement(&path) {
            self.written = None;
            self.found = match convert(number) {
                Some(value) if number.is_finite() => Found::Good { value, span: None },
                _ => Found::Wrong { span: None, what: format!("{path} was set to {number}"), fault: Fault::Kind },
            };
        }
        self
    }
}

impl<T: PartialOrd + Display> Field<'_, T> {
    /// Refuses values outside `low` to `high`, both included.
    pub(crate) fn within(self, low: T, high: T) -> Self {
        let numbers = Bounds::new((self.numeric)(&low), (self.numeric)(&high));
        let range = Bound::Quantity(format!("{low} to {high}"), numbers);
        self.bound(range, move |value| *value >= low && *value <= high)
    }

    /// Refuses values that are not above `low`.
    pub(crate) fn above(self, low: T) -> Self {
        let numbers = Bounds::new((self.numeric)(&low), None).open();
        let range = Bound::Quantity(format!("more than {low}"), numbers);
        self.bound(range, move |value| *value > low)
    }

    /// Refuses values below `low`.
    pub(crate) fn at_least(self, low: T) -> Self {
        let numbers = Bounds::new((self.numeric)(&low), None);
        let range = Bound::Quantity(format!("at least {low}"), numbers);
        self.bound(range, move |value| *value >= low)
    }
}

impl<'c> Field<'c, f64> {
    pub(super) fn number(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let mut field = Self::look(cursor, key, Takes::Number, f64::to_string, number);
        field.numeric = |value| Some(*value);
        field.with_units(measured).replaced(Some)
    }
}

impl<'c> Field<'c, u32> {
    pub(super) fn count(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let mut field = Self::look(cursor, key, Takes::Count, u32::to_string, |raw| {
            let value = number(raw)?;
            whole(value).ok_or_else(|| (raw.span(), format!("is {value}")))
        });
        field.numeric = |value| Some(f64::from(*value));
        field.with_units(measured_count).replaced(whole)
    }
}

impl<'c> Field<'c, Vec<f64>> {
    pub(super) fn numbers(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let show = |values: &Vec<f64>| list_text(values.iter().map(f64::to_string));
        let mut field = Self::look(cursor, key, Takes::Numbers, show, |raw| list(raw, number));
        let set = |at: usize| cursor.desk.replacement(&format!("{}.{}", cursor.path_of(key), at + 1));
        field.scale.set = (0..field.parts.len().max(1)).map(set).collect();
        if let Found::Good { value: values, .. } = &mut field.found {
            field.scale.set_entries(values);
        }
        field.with_units(measured_list)
    }

    /// Refuses entries outside `low` to `high`, both included, and points at the first one.
    pub(crate) fn each_within(mut self, low: f64, high: f64) -> Self {
        let numbers = Bounds::new(Some(low), Some(high));
        let range = Bound::Quantity(format!("{low} to {high}"), numbers);
        let outside = |value: &f64| !(low..=high).contains(value);
        if let Found::Good { value: values, .. } = &self.found
            && let Some(at) = values.iter().position(outside)
        {
            self.found = Found::Wrong {
                span: self.parts.get(at).cloned(),
                what: format!("{} entry {} is {}", self.key, at + 1, values[at]),
                fault: Fault::Outside(range.clone()),
            };
        }
        self.bound(range, |_| true)
    }

    /// Refuses a list whose entries do not rise.
    pub(crate) fn rising(self) -> Self {
        self.when("rising", |list| list.is_sorted_by(|a, b| a < b))
    }
}

impl<T> Field<'_, Vec<T>> {
    /// Refuses a list that does not have exactly so many entries.
    pub(crate) fn exactly(self, entries: usize) -> Self {
        self.when(&format!("{entries} entries"), move |list| list.len() == entries)
    }
}

impl<'c> Field<'c, String> {
    pub(super) fn text(cursor: &'c Cursor<'_>, key: &str) -> Self {
        Self::look(cursor, key, Takes::Text, String::clone, text)
    }
}

impl<'c> Field<'c, Vec<String>> {
    pub(super) fn texts(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let show = |texts: &Vec<String>| list_text(texts.iter().cloned());
        Self::look(cursor, key, Takes::Texts, show, |raw| list(raw, text))
    }
}

impl<'c> Field<'c, bool> {
    pub(super) fn yes_no(cursor: &'c Cursor<'_>, key: &str) -> Self {
        Self::look(cursor, key, Takes::YesNo, bool::to_string, |raw| match raw.get_ref() {
            DeValue::Boolean(answer) => Ok(*answer),
            other => Err((raw.span(), format!("is {}", describe(other)))),
        })
    }
}

impl<'c, T: Clone + PartialEq + 'static> Field<'c, T> {
    pub(super) fn choice(cursor: &'c Cursor<'_>, key: &str, words: &[(&'static str, T)]) -> Self {
        let known = words.to_vec();
        let show = move |value: &T| word_for(&known, value);
        Self::look(cursor, key, Takes::Word(names(words)), show, |raw| chosen(raw, words))
    }
}

impl<'c, T: Clone + PartialEq + 'static> Field<'c, Vec<T>> {
    pub(super) fn choices(cursor: &'c Cursor<'_>, key: &str, words: &[(&'static str, T)]) -> Self {
        let known = words.to_vec();
        let show = move |values: &Vec<T>| list_text(values.iter().map(|value| word_for(&known, value)));
        Self::look(cursor, key, Takes::Words(names(words)), show, |raw| list(raw, |entry| chosen(entry, words)))
    }
}

impl<'c, T: FromStr + Display + 'static> Field<'c, T> {
    pub(super) fn parsed(cursor: &'c Cursor<'_>, key: &str, expected: &'static str) -> Self {
        Self::look(cursor, key, Takes::Form(expected), T::to_string, parsed)
    }
}

impl<'c, T: FromStr + Display + 'static> Field<'c, Vec<T>> {
    pub(super) fn parsed_list(cursor: &'c Cursor<'_>, key: &str, expected: &'static str) -> Self {
        let show = |values: &Vec<T>| list_text(values.iter().map(T::to_string));
        Self::look(cursor, key, Takes::Forms(expected), show, |raw| list(raw, parsed))
    }
}

#[cfg(test)]
mod tests;
