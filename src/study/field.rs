//! One value of a table: its kind, its bounds, and what happens when it is not there.

use super::cursor::{Cursor, describe};
use super::input::{Input, Origin};
use std::fmt::Display;
use std::ops::Range;
use std::str::FromStr;
use toml::Spanned;
use toml::de::DeValue;

/// A value asked for but not yet taken. Say unit, bounds and hint in any order, then end with
/// [`Field::required`], [`Field::default`] or [`Field::optional`].
#[must_use = "a field is read when it ends in required, default or optional"]
pub struct Field<'c, T> {
    cursor: &'c Cursor<'c>,
    key: String,
    found: Found<T>,
    /// Spans of the entries of a list.
    parts: Vec<Range<usize>>,
    /// Completes "expected ...": `a number`.
    kind: String,
    bounds: Vec<Bound>,
    unit: String,
    hint: String,
    show: Box<dyn Fn(&T) -> String>,
    numeric: fn(&T) -> Option<f64>,
}

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

/// What is wrong with a value decides how the expectation is worded.
enum Fault {
    Kind,
    Outside(Bound),
}

/// A condition on the value that completes "expected ...".
#[derive(Clone)]
enum Bound {
    /// `0 to 60`, to be followed by the unit.
    Quantity(String),
    /// `two entries`.
    Form(String),
}

type Raw<'t> = Spanned<DeValue<'t>>;
/// A value, or what was found instead (completing "x is ..."), and where.
type Checked<T> = Result<T, (Range<usize>, String)>;

impl<'c, T> Field<'c, T> {
    /// Looks at a key and converts what stands there.
    fn look(
        cursor: &'c Cursor<'_>,
        key: &str,
        kind: &str,
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
                    Ok(value) => Found::Good {
                        value,
                        span: Some(raw.span()),
                    },
                    Err((span, found)) => Found::Wrong {
                        span: Some(span),
                        what: format!("{key} {found}"),
                        fault: Fault::Kind,
                    },
                }
            }
        };
        Self {
            cursor,
            key: key.to_owned(),
            found,
            parts,
            kind: kind.to_owned(),
            bounds: Vec::new(),
            unit: String::new(),
            hint: String::new(),
            show: Box::new(show),
            numeric: |_| None,
        }
    }

    /// The unit, as it is shown to people.
    pub fn unit(mut self, unit: impl Into<String>) -> Self {
        self.unit = unit.into();
        self
    }

    /// What to do when the value is missing or wrong: `give the moisture nuts arrive at, wet basis`.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// Refuses a value that fails a test. `expected` completes "expected ...".
    pub fn when(self, expected: &str, holds: impl Fn(&T) -> bool) -> Self {
        self.bound(Bound::Form(expected.to_owned()), holds)
    }

    fn bound(mut self, bound: Bound, holds: impl Fn(&T) -> bool) -> Self {
        self.bounds.push(bound.clone());
        if let Found::Good { value, span } = &self.found
            && !holds(value)
        {
            let verb = if span.is_some() { "is" } else { "was set to" };
            self.found = Found::Wrong {
                span: span.clone(),
                what: format!("{} {verb} {}", self.key, (self.show)(value)),
                fault: Fault::Outside(bound),
            };
        }
        self
    }

    /// The value, which must be there. `None` means that a problem was recorded.
    pub fn required(self) -> Option<T> {
        if matches!(self.found, Found::Missing) {
            let what = if self.cursor.is_given() {
                format!("{} is missing", self.key)
            } else {
                format!("{} is missing", self.cursor.own_path_of(&self.key))
            };
            let problem = self
                .cursor
                .missing(what)
                .expected(self.expected(&Fault::Kind))
                .cure(self.hint);
            self.cursor.miss(problem);
            return None;
        }
        self.optional()
    }

    /// The value, or this one where none is given. `source` says what the default rests on: a published
    /// source, or the reason. A wrong value is recorded as a problem and the default goes on in its
    /// place, so that reading can continue.
    pub fn default(self, value: T, source: impl Into<String>) -> T {
        if matches!(self.found, Found::Missing) {
            self.note(
                &value,
                Origin::Default {
                    source: source.into(),
                },
            );
            return value;
        }
        self.optional().unwrap_or(value)
    }

    /// The value if it is given. A wrong value is recorded as a problem.
    pub fn optional(mut self) -> Option<T> {
        match std::mem::replace(&mut self.found, Found::Missing) {
            Found::Missing => None,
            Found::Good { value, span } => {
                let origin = match span {
                    None => Origin::Set,
                    Some(span) => {
                        let (file, line, column) = self.cursor.desk.place(&span);
                        Origin::Given { file, line, column }
                    }
                };
                self.note(&value, origin);
                Some(value)
            }
            Found::Wrong { span, what, fault } => {
                let expected = self.expected(&fault);
                let problem = match span {
                    Some(span) => self.cursor.desk.problem_at(&span, what),
                    None => self.cursor.missing(what),
                };
                self.cursor
                    .desk
                    .record(problem.expected(expected).cure(self.hint));
                None
            }
        }
    }

    fn note(&self, value: &T, origin: Origin) {
        self.cursor.desk.note(Input {
            path: self.cursor.path_of(&self.key),
            value_text: (self.show)(value),
            number: (self.numeric)(value),
            unit: self.unit.clone(),
            origin,
        });
    }

    fn expected(&self, fault: &Fault) -> String {
        let worded = |bound: &Bound| match bound {
            Bound::Quantity(range) => format!("{range} {}", self.unit).trim_end().to_owned(),
            Bound::Form(form) => form.clone(),
        };
        match fault {
            Fault::Outside(bound) => worded(bound),
            Fault::Kind if self.bounds.is_empty() && !self.unit.is_empty() => {
                format!("{} in {}", self.kind, self.unit)
            }
            Fault::Kind => {
                let parts = self.bounds.iter().map(worded);
                let all: Vec<_> = std::iter::once(self.kind.clone()).chain(parts).collect();
                all.join(", ")
            }
        }
    }

    /// Puts a number set from outside in the place of the file's, if there is one for this path.
    fn replaced(mut self, convert: impl Fn(f64) -> Option<T>) -> Self {
        let path = self.cursor.path_of(&self.key);
        if let Some(number) = self.cursor.desk.replacement(&path) {
            self.found = match convert(number) {
                Some(value) if number.is_finite() => Found::Good { value, span: None },
                _ => Found::Wrong {
                    span: None,
                    what: format!("{path} was set to {number}"),
                    fault: Fault::Kind,
                },
            };
        }
        self
    }
}

impl<T: PartialOrd + Display> Field<'_, T> {
    /// Refuses values outside `low` to `high`, both included.
    pub fn within(self, low: T, high: T) -> Self {
        let range = Bound::Quantity(format!("{low} to {high}"));
        self.bound(range, move |value| *value >= low && *value <= high)
    }

    /// Refuses values that are not above `low`.
    pub fn above(self, low: T) -> Self {
        let range = Bound::Quantity(format!("more than {low}"));
        self.bound(range, move |value| *value > low)
    }

    /// Refuses values below `low`.
    pub fn at_least(self, low: T) -> Self {
        let range = Bound::Quantity(format!("at least {low}"));
        self.bound(range, move |value| *value >= low)
    }
}

impl<'c> Field<'c, f64> {
    pub(super) fn number(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let mut field = Self::look(cursor, key, "a number", f64::to_string, number);
        field.numeric = |value| Some(*value);
        field.replaced(Some)
    }
}

impl<'c> Field<'c, u32> {
    pub(super) fn count(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let kind = "a whole number from 0";
        let mut field = Self::look(cursor, key, kind, u32::to_string, |raw| {
            let value = number(raw)?;
            whole(value).ok_or_else(|| (raw.span(), format!("is {value}")))
        });
        field.numeric = |value| Some(f64::from(*value));
        field.replaced(whole)
    }
}

impl<'c> Field<'c, Vec<f64>> {
    pub(super) fn numbers(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let show = |values: &Vec<f64>| list_text(values.iter().map(f64::to_string));
        let mut field = Self::look(cursor, key, "a list of numbers", show, |raw| {
            list(raw, number)
        });
        if let Found::Good { value: values, .. } = &mut field.found {
            for (index, value) in values.iter_mut().enumerate() {
                let path = format!("{}.{}", cursor.path_of(key), index + 1);
                *value = cursor.desk.replacement(&path).unwrap_or(*value);
            }
        }
        field
    }

    /// Refuses entries outside `low` to `high`, both included, and points at the first one.
    pub fn each_within(mut self, low: f64, high: f64) -> Self {
        let range = Bound::Quantity(format!("{low} to {high}"));
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
    pub fn rising(self) -> Self {
        self.when("rising", |list| list.is_sorted_by(|a, b| a < b))
    }
}

impl<T> Field<'_, Vec<T>> {
    /// Refuses a list that does not have exactly so many entries.
    pub fn exactly(self, entries: usize) -> Self {
        self.when(&format!("{entries} entries"), move |list| {
            list.len() == entries
        })
    }
}

impl<'c> Field<'c, String> {
    pub(super) fn text(cursor: &'c Cursor<'_>, key: &str) -> Self {
        Self::look(cursor, key, "a text in quotes", String::clone, text)
    }
}

impl<'c> Field<'c, Vec<String>> {
    pub(super) fn texts(cursor: &'c Cursor<'_>, key: &str) -> Self {
        let show = |texts: &Vec<String>| list_text(texts.iter().cloned());
        let kind = "a list of texts in quotes";
        Self::look(cursor, key, kind, show, |raw| list(raw, text))
    }
}

impl<'c> Field<'c, bool> {
    pub(super) fn yes_no(cursor: &'c Cursor<'_>, key: &str) -> Self {
        Self::look(
            cursor,
            key,
            "true or false",
            bool::to_string,
            |raw| match raw.get_ref() {
                DeValue::Boolean(answer) => Ok(*answer),
                other => Err((raw.span(), format!("is {}", describe(other)))),
            },
        )
    }
}

impl<'c, T: Clone + PartialEq + 'static> Field<'c, T> {
    pub(super) fn choice(cursor: &'c Cursor<'_>, key: &str, words: &[(&'static str, T)]) -> Self {
        let known = words.to_vec();
        let show = move |value: &T| word_for(&known, value);
        Self::look(cursor, key, &either(words), show, |raw| chosen(raw, words))
    }
}

impl<'c, T: Clone + PartialEq + 'static> Field<'c, Vec<T>> {
    pub(super) fn choices(cursor: &'c Cursor<'_>, key: &str, words: &[(&'static str, T)]) -> Self {
        let known = words.to_vec();
        let show =
            move |values: &Vec<T>| list_text(values.iter().map(|value| word_for(&known, value)));
        let kind = format!("a list of {}", either(words));
        Self::look(cursor, key, &kind, show, |raw| {
            list(raw, |entry| chosen(entry, words))
        })
    }
}

impl<'c, T: FromStr + Display + 'static> Field<'c, T> {
    pub(super) fn parsed(cursor: &'c Cursor<'_>, key: &str, expected: &str) -> Self {
        Self::look(cursor, key, expected, T::to_string, parsed)
    }
}

impl<'c, T: FromStr + Display + 'static> Field<'c, Vec<T>> {
    pub(super) fn parsed_list(cursor: &'c Cursor<'_>, key: &str, expected: &str) -> Self {
        let show = |values: &Vec<T>| list_text(values.iter().map(T::to_string));
        let kind = format!("a list, each {expected}");
        Self::look(cursor, key, &kind, show, |raw| list(raw, parsed))
    }
}

fn number(raw: &Raw<'_>) -> Checked<f64> {
    let value = match raw.get_ref() {
        DeValue::Float(number) => number.as_str().parse().ok(),
        // Whole numbers beyond 64 bits are no quantity anyone means.
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix())
            .ok()
            .map(|whole| whole as f64),
        _ => None,
    };
    match value {
        Some(value) if value.is_finite() => Ok(value),
        _ => Err((raw.span(), format!("is {}", describe(raw.get_ref())))),
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked to be whole and to fit
fn whole(value: f64) -> Option<u32> {
    let fits = value.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&value);
    fits.then_some(value as u32)
}

fn text(raw: &Raw<'_>) -> Checked<String> {
    match raw.get_ref() {
        DeValue::String(text) if text.trim().is_empty() => Err((raw.span(), "is blank".to_owned())),
        DeValue::String(text) => Ok(text.to_string()),
        other => Err((raw.span(), format!("is {}", describe(other)))),
    }
}

/// What a word stands for.
fn chosen<T: Clone>(raw: &Raw<'_>, words: &[(&'static str, T)]) -> Checked<T> {
    let written = text(raw)?;
    words
        .iter()
        .find(|(word, _)| *word == written)
        .map(|(_, meant)| meant.clone())
        .ok_or_else(|| (raw.span(), format!("is \"{written}\"")))
}

fn word_for<T: PartialEq>(words: &[(&'static str, T)], value: &T) -> String {
    let word = words.iter().find(|(_, meant)| meant == value);
    word.map_or_else(String::new, |(word, _)| (*word).to_owned())
}

/// `"a", "b" or "c"`.
fn either<T>(words: &[(&'static str, T)]) -> String {
    let quoted: Vec<String> = words
        .iter()
        .map(|(word, _)| format!("\"{word}\""))
        .collect();
    match quoted.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} or {last}", others.join(", ")),
        _ => quoted.concat(),
    }
}

fn parsed<T: FromStr>(raw: &Raw<'_>) -> Checked<T> {
    let written = match raw.get_ref() {
        DeValue::Datetime(date) => date.to_string(),
        _ => text(raw)?,
    };
    written
        .trim()
        .parse()
        .map_err(|_| (raw.span(), format!("is {}", describe(raw.get_ref()))))
}

/// Every entry of a list, or of a lone value as a list of one.
fn list<T>(raw: &Raw<'_>, convert: impl Fn(&Raw<'_>) -> Checked<T>) -> Checked<Vec<T>> {
    match raw.get_ref() {
        DeValue::Array(entries) => entries
            .iter()
            .enumerate()
            .map(|(index, entry)| {
                convert(entry)
                    .map_err(|(span, found)| (span, format!("entry {} {found}", index + 1)))
            })
            .collect(),
        _ => convert(raw).map(|only| vec![only]),
    }
}

fn list_text(entries: impl Iterator<Item = String>) -> String {
    format!("[{}]", entries.collect::<Vec<_>>().join(", "))
}

#[cfg(test)]
mod tests {
    use crate::study::cursor::Cursor;
    use crate::study::document::Document;
    use crate::study::input::{Origin, Overrides};
    use crate::study::problem::{Problem, Problems};
    use chrono::{FixedOffset, NaiveDate};

    fn read<T>(text: &str, build: impl FnOnce(&Cursor<'_>) -> Option<T>) -> Result<T, Problems> {
        let reading = Document::new("s.toml", text).read(build)?;
        Ok(reading.value)
    }

    fn refusal<T: std::fmt::Debug>(
        text: &str,
        build: impl FnOnce(&Cursor<'_>) -> Option<T>,
    ) -> String {
        let problems = read(text, build).expect_err("a refusal");
        let sentences: Vec<_> = problems.iter().map(Problem::sentence).collect();
        sentences.join("\n")
    }

    #[test]
    fn a_number_out_of_range_says_range_unit_and_cure() {
        let said = refusal("[crop]\nreceived_moisture = 150\n", |root| {
            root.table("crop")
                .number("received_moisture")
                .unit("% w.b.")
                .within(0.0, 60.0)
                .hint("give the moisture nuts arrive at, wet basis")
                .required()
        });
        assert_eq!(
            said,
            "s.toml:2:21: received_moisture is 150, expected 0 to 60 % w.b.; give the moisture nuts \
             arrive at, wet basis"
        );
    }

    #[test]
    fn not_a_number_and_infinity_are_refused() {
        for written in [
            "nan",
            "-nan",
            "inf",
            "-inf",
            "1e999",
            "99999999999999999999",
        ] {
            let said = refusal(&format!("x = {written}"), |root| {
                root.number("x").unit("kW").required()
            });
            assert_eq!(
                said,
                format!("s.toml:1:5: x is {written}, expected a number in kW")
            );
        }
    }

    #[test]
    fn every_way_to_write_a_number_is_read() {
        for (written, value) in [
            ("1_000.5", 1000.5),
            ("12", 12.0),
            ("-0.5", -0.5),
            ("1e3", 1000.0),
            ("0x10", 16.0),
        ] {
            let read = read(&format!("x = {written}"), |root| {
                root.number("x").required()
            });
            assert_eq!(read.unwrap(), value);
        }
    }

    #[test]
    fn a_wrong_kind_says_what_was_found_and_what_was_expected() {
        let said = refusal("a = \"22 %\"\nb = 3\nc = true\nd = [1]\ne = 2.5", |root| {
            let a = root.number("a").unit("% w.b.").within(0.0, 60.0).required();
            let b = root.text("b").required();
            let c = root.number("c").optional();
            let d = root.yes_no("d").required();
            let e = root.count("e").required();
            Some((a?, b?, c?, d?, e?))
        });
        assert_eq!(
            said,
            "s.toml:1:5: a is the text \"22 %\", expected a number, 0 to 60 % w.b.\n\
             s.toml:2:5: b is 3, expected a text in quotes\n\
             s.toml:3:5: c is true, expected a number\n\
             s.toml:4:5: d is a list, expected true or false\n\
             s.toml:5:5: e is 2.5, expected a whole number from 0"
        );
    }

    #[test]
    fn a_word_that_is_no_choice_lists_the_choices() {
        let words = [("recirculating", 1), ("once-through", 2), ("still", 3)];
        let said = refusal("air = \"around\"", |root| {
            root.choice("air", &words).required()
        });
        assert_eq!(
            said,
            "s.toml:1:7: air is \"around\", expected \"recirculating\", \"once-through\" or \"still\""
        );
        let text = "air = \"still\"";
        assert_eq!(
            read(text, |root| root.choice("air", &words).required()).unwrap(),
            3
        );
    }

    #[test]
    fn a_list_points_at_its_bad_entry() {
        let band = |root: &Cursor<'_>| {
            root.numbers("band")
                .unit("%")
                .exactly(2)
                .each_within(0.0, 100.0)
                .rising()
                .required()
        };
        assert_eq!(read("band = [50, 62.5]", band).unwrap(), [50.0, 62.5]);
        assert_eq!(
            refusal("band = [50, 162]", band),
            "s.toml:1:13: band entry 2 is 162, expected 0 to 100 %"
        );
        assert!(refusal("band = [62, 50]", band).ends_with("band is [62, 50], expected rising"));
        assert!(refusal("band = [50]", band).ends_with("band is [50], expected 2 entries"));
        assert!(
            refusal("band = true", band).ends_with(
                "band is true, expected a list of numbers, 2 entries, 0 to 100 %, rising"
            )
        );
        assert!(refusal("band = [50, nan]", band).contains("1:13: band entry 2 is nan"));
        assert!(refusal("band = [50, \"x\"]", band).contains("entry 2 is the text \"x\""));
    }

    #[test]
    fn dates_and_offsets_are_read_as_text_or_as_toml_dates() {
        let date = |root: &Cursor<'_>| {
            root.parsed::<NaiveDate>("day", "a date such as 2021-03-01")
                .required()
        };
        let expected = NaiveDate::from_ymd_opt(2021, 3, 1).unwrap();
        assert_eq!(read("day = 2021-03-01", date).unwrap(), expected);
        assert_eq!(read("day = \"2021-03-01\"", date).unwrap(), expected);
        assert_eq!(
            refusal("day = \"2021-02-30\"", date),
            "s.toml:1:7: day is the text \"2021-02-30\", expected a date such as 2021-03-01"
        );
        let offset = read("utc_offset = \"+10:00\"", |root| {
            root.parsed::<FixedOffset>("utc_offset", "an offset such as +10:00")
                .required()
        });
        assert_eq!(offset.unwrap().local_minus_utc(), 36_000);
    }

    #[test]
    fn blank_text_is_refused_and_a_lone_text_is_a_list_of_one() {
        let said = refusal("title = \"  \"", |root| root.text("title").required());
        assert!(said.contains("title is blank"), "{said}");
        let files = read("files = \"a.csv\"", |root| root.texts("files").required());
        assert_eq!(files.unwrap(), ["a.csv"]);
    }

    #[test]
    fn a_wrong_value_is_a_problem_even_where_a_default_exists() {
        let said = refusal("x = -1", |root| {
            Some(root.number("x").at_least(0.0).default(5.0, "custom"))
        });
        assert_eq!(said, "s.toml:1:5: x is -1, expected at least 0");
    }

    #[test]
    fn a_number_set_from_outside_is_checked_and_noted() {
        let moisture = |root: &Cursor<'_>| {
            let crop = root.table("crop");
            crop.number("moisture").within(0.0, 60.0).required()
        };
        let text = "[crop]\nmoisture = 22\n";
        let set = Overrides::from([("crop.moisture".to_owned(), 25.0)]);
        let reading = Document::new("s.toml", text)
            .with(&set)
            .read(moisture)
            .unwrap();
        assert_eq!(
            (reading.value, &reading.inputs[0].origin),
            (25.0, &Origin::Set)
        );
        for wrong in [75.0, f64::NAN] {
            let set = Overrides::from([("crop.moisture".to_owned(), wrong)]);
            let said = Document::new("s.toml", text)
                .with(&set)
                .read(moisture)
                .expect_err("a refusal");
            assert!(
                said.to_string().contains(&format!("was set to {wrong}")),
                "{said}"
            );
        }
    }

    #[test]
    fn an_entry_of_a_list_can_be_set_from_outside() {
        let set = Overrides::from([("band.2".to_owned(), 60.0)]);
        let reading = Document::new("s.toml", "band = [50, 62]")
            .with(&set)
            .read(|root| root.numbers("band").required());
        assert_eq!(reading.unwrap().value, [50.0, 60.0]);
    }
}
