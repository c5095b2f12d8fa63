//! What a list of keys is made of. The reader's sentence for a key (unit, bounds, default with its reason) is the only
//! place where the key is stated; a list holds what readers said while they read.

mod gather;

use super::measured;
use std::fmt;

pub(super) use gather::{Instance, table_key};
pub use gather::{Shape, Tables};
pub(crate) use gather::{Table, TableKey};

/// Tables that a list of them may have. A study of a thousand options is read in a tenth of a second, and again at every
/// draw of what is in doubt: `check` takes some ten seconds then, and time grows faster than the list.
pub(crate) const MOST_ENTRIES: usize = 1000;

/// The bound in words, with its reason.
pub(crate) fn most_entries() -> String {
    format!("at most {MOST_ENTRIES}: every entry is read again at each draw of what is in doubt")
}

/// One key of a table, as its reader stated it.
#[derive(Clone, Debug, PartialEq)]
pub struct Key {
    /// The key; whose name it is (`a carrier`) where a study gives the name.
    pub name: String,
    /// True if a study gives the name.
    pub is_name: bool,
    /// What may stand there, one at least.
    pub takes: Vec<Takes>,
    /// Unit, or empty.
    pub unit: String,
    /// What the reader asks of the value, in words.
    pub bounds: Vec<String>,
    /// The same where it is a range of numbers.
    pub range: Range,
    /// What holds where it is left out.
    pub need: Need,
    /// What to do where it is missing or wrong; may be empty.
    pub hint: String,
}

impl Key {
    /// True of a quantity that may be text with a unit of its own: `"110 F"`.
    pub fn takes_units(&self) -> bool {
        measured::takes_units(&self.unit)
    }

    /// True of a key at which nothing but tables stand.
    fn is_table(&self) -> bool {
        self.takes.iter().all(Takes::is_table)
    }
}

/// What may stand at a key. `Display` completes "expected ...".
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Takes {
    /// A whole or decimal number.
    Number,
    /// A whole number from 0.
    Count,
    /// A list of numbers.
    Numbers,
    /// Text in quotes.
    Text,
    /// A list of texts, or one.
    Texts,
    /// `true` or `false`.
    YesNo,
    /// One of these words.
    Word(Vec<&'static str>),
    /// A list of these words, or one.
    Words(Vec<&'static str>),
    /// Text of a form of its own.
    Form(&'static str),
    /// A list of such texts, or one.
    Forms(&'static str),
    /// A table below this one.
    Table,
    /// A list of tables, or one.
    Tables,
}

impl Takes {
    /// True of a table and of a list of them.
    pub fn is_table(&self) -> bool {
        matches!(self, Self::Table | Self::Tables)
    }
}

impl fmt::Display for Takes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number => f.write_str("a number"),
            Self::Count => f.write_str("a whole number"),
            Self::Numbers => f.write_str("a list of numbers"),
            Self::Text => f.write_str("a text in quotes"),
            Self::Texts => f.write_str("a list of texts in quotes"),
            Self::YesNo => f.write_str("true or false"),
            Self::Word(words) => f.write_str(&either(words)),
            Self::Words(words) => write!(f, "a list of {}", either(words)),
            Self::Form(form) => f.write_str(form),
            Self::Forms(form) => write!(f, "a list, each {form}"),
            Self::Table => f.write_str("a table"),
            Self::Tables => f.write_str("a list of tables"),
        }
    }
}

/// `"a", "b" or "c"`.
fn either(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match quoted.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} or {last}", others.join(", ")),
        _ => quoted.concat(),
    }
}

/// The numbers that a key may be, each end included unless it is open.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    /// Lowest.
    pub low: Option<f64>,
    /// Highest.
    pub high: Option<f64>,
    /// True if `low` itself is too low.
    pub is_open: bool,
}

impl Range {
    pub(super) fn new(low: Option<f64>, high: Option<f64>) -> Self {
        Self { low, high, is_open: false }
    }

    pub(super) fn open(self) -> Self {
        Self { is_open: true, ..self }
    }

    /// What either allows.
    fn or(self, other: Self) -> Self {
        Self {
            low: self.low.zip(other.low).map(|(a, b)| a.min(b)),
            high: self.high.zip(other.high).map(|(a, b)| a.max(b)),
            is_open: self.is_open && other.is_open,
        }
    }

    /// What both allow, where one says what the other leaves open.
    pub(super) fn with(self, other: Self) -> Self {
        Self { low: other.low.or(self.low), high: other.high.or(self.high), is_open: self.is_open || other.is_open }
    }
}

/// What holds where a key is left out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Need {
    /// The study is refused.
    Required,
    /// Nothing.
    Optional,
    /// This value.
    Default {
        /// As it would be written.
        value: String,
        /// What it rests on.
        reason: String,
    },
}
