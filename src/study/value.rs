//! What stands at a key, and what it is turned into.

use std::ops::Range;
use std::str::FromStr;
use toml::Spanned;
use toml::de::DeValue;

/// A value with its place.
pub(super) type Raw<'t> = Spanned<DeValue<'t>>;
/// A value, or what was found instead (completing "x is ..."), and where.
pub(super) type Checked<T> = Result<T, (Range<usize>, String)>;

/// What kind of value stands at a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A whole or decimal number.
    Number,
    /// Text in quotes.
    Text,
    /// `true` or `false`.
    YesNo,
    /// A date or time.
    Date,
    /// A list.
    List,
    /// A table, whether `[under a heading]` or `{ inline }`.
    Table,
}

pub(super) fn kind_of(value: &DeValue<'_>) -> Kind {
    match value {
        DeValue::Integer(_) | DeValue::Float(_) => Kind::Number,
        DeValue::String(_) => Kind::Text,
        DeValue::Boolean(_) => Kind::YesNo,
        DeValue::Datetime(_) => Kind::Date,
        DeValue::Array(_) => Kind::List,
        DeValue::Table(_) => Kind::Table,
    }
}

/// A value of the wrong kind, in words that complete "x is ...".
pub(super) fn describe(value: &DeValue<'_>) -> String {
    match value {
        DeValue::Integer(number) => number.to_string(),
        DeValue::Float(number) => number.to_string(),
        DeValue::String(text) if text.chars().count() <= 40 => format!("the text \"{text}\""),
        DeValue::String(_) => "a text".to_owned(),
        DeValue::Boolean(answer) => answer.to_string(),
        DeValue::Datetime(date) => format!("the date or time {date}"),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

/// True if two values say the same, wherever they stand.
pub(super) fn alike(one: Option<&Raw<'_>>, other: Option<&Raw<'_>>) -> bool {
    match (one.map(Spanned::get_ref), other.map(Spanned::get_ref)) {
        (None, None) => true,
        (Some(DeValue::Table(one)), Some(DeValue::Table(other))) => {
            one.len() == other.len()
                && one.iter().all(|(key, value)| alike(Some(value), other.get(key.get_ref().as_ref())))
        }
        (Some(DeValue::Array(one)), Some(DeValue::Array(other))) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| alike(Some(one), Some(other)))
        }
        (Some(one), Some(other)) => kind_of(one) == kind_of(other) && describe(one) == describe(other),
        (Some(_), None) | (None, Some(_)) => false,
    }
}

pub(super) fn number(raw: &Raw<'_>) -> Checked<f64> {
    let value = match raw.get_ref() {
        DeValue::Float(number) => number.as_str().parse().ok(),
        // Whole numbers beyond 64 bits are no quantity anyone means.
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix()).ok().map(|whole| whole as f64),
        _ => None,
    };
    match value {
        Some(value) if value.is_finite() => Ok(value),
        _ => Err((raw.span(), format!("is {}", describe(raw.get_ref())))),
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked to be whole and to fit
pub(super) fn whole(value: f64) -> Option<u32> {
    let fits = value.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&value);
    fits.then_some(value as u32)
}

/// Longer texts are no names, reasons or paths; whoever reads the report must read them.
const LONGEST_TEXT: usize = 1000;

pub(super) fn text(raw: &Raw<'_>) -> Checked<String> {
    match raw.get_ref() {
        DeValue::String(text) if text.len() > 4 * LONGEST_TEXT || text.chars().count() > LONGEST_TEXT => {
            Err((raw.span(), format!("is a text of more than {LONGEST_TEXT} letters")))
        }
        DeValue::String(text) if text.trim().is_empty() => Err((raw.span(), "is blank".to_owned())),
        DeValue::String(text) => Ok(text.to_string()),
        other => Err((raw.span(), format!("is {}", describe(other)))),
    }
}

/// What a word stands for.
pub(super) fn chosen<T: Clone>(raw: &Raw<'_>, words: &[(&'static str, T)]) -> Checked<T> {
    let written = text(raw)?;
    words
        .iter()
        .find(|(word, _)| *word == written)
        .map(|(_, meant)| meant.clone())
        .ok_or_else(|| (raw.span(), format!("is \"{written}\"")))
}

pub(super) fn word_for<T: PartialEq>(words: &[(&'static str, T)], value: &T) -> String {
    let word = words.iter().find(|(_, meant)| meant == value);
    word.map_or_else(String::new, |(word, _)| (*word).to_owned())
}

pub(super) fn names<T>(words: &[(&'static str, T)]) -> Vec<&'static str> {
    words.iter().map(|(word, _)| *word).collect()
}

pub(super) fn parsed<T: FromStr>(raw: &Raw<'_>) -> Checked<T> {
    let written = match raw.get_ref() {
        DeValue::Datetime(date) => date.to_string(),
        _ => text(raw)?,
    };
    written.trim().parse().map_err(|_| (raw.span(), format!("is {}", describe(raw.get_ref()))))
}

/// Every entry of a list, or of a lone value as a list of one.
pub(super) fn list<T>(raw: &Raw<'_>, convert: impl Fn(&Raw<'_>) -> Checked<T>) -> Checked<Vec<T>> {
    match raw.get_ref() {
        DeValue::Array(entries) => entries
            .iter()
            .enumerate()
            .map(|(index, entry)| {
                convert(entry).map_err(|(span, found)| (span, format!("entry {} {found}", index + 1)))
            })
            .collect(),
        _ => convert(raw).map(|only| vec![only]),
    }
}

pub(super) fn list_text(entries: impl Iterator<Item = String>) -> String {
    format!("[{}]", entries.collect::<Vec<_>>().join(", "))
}
