//! A sentence of the answer, in the words of files and in those of its readers.

use super::reader::{for_files, is_telling, telling};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::ops::Deref;

/// A sentence that holds numbers: plain in files, the reader's way where it is told to people. It reads as either, by
/// who is told.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Sentence {
    plain: String,
    told: String,
}

impl Sentence {
    /// Says it twice, once for files and once for who listens.
    pub(crate) fn of(say: impl Fn() -> String) -> Self {
        Self { plain: for_files(&say), told: telling(&say) }
    }

    /// What was said both ways already.
    pub(crate) fn both(plain: String, told: String) -> Self {
        Self { plain, told }
    }
}

impl From<&str> for Sentence {
    /// Words without numbers.
    fn from(words: &str) -> Self {
        Self { plain: words.to_owned(), told: words.to_owned() }
    }
}

impl From<&String> for Sentence {
    /// Words without numbers.
    fn from(words: &String) -> Self {
        words.as_str().into()
    }
}

impl Deref for Sentence {
    type Target = str;

    fn deref(&self) -> &str {
        if is_telling() { &self.told } else { &self.plain }
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self)
    }
}

/// Files hold it as plain text.
impl JsonSchema for Sentence {
    fn schema_name() -> Cow<'static, str> {
        String::schema_name()
    }

    fn inline_schema() -> bool {
        true
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        String::json_schema(generator)
    }
}

impl Serialize for Sentence {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::{NumberWriting, Reader, Units, fixed};

    #[test]
    fn a_sentence_is_plain_in_files_and_told_to_people() {
        let reader = Reader { units: Units::Us, numbers: NumberWriting::CommaPoint };
        let sentence = reader.listens(|| Sentence::of(|| format!("It takes {} hours.", fixed(1234.5, 1))));
        assert_eq!(serde_json::to_string(&sentence).unwrap(), "\"It takes 1\u{202f}234.5 hours.\"");
        assert_eq!(telling(|| sentence.to_string()), "It takes 1,234.5 hours.");
        assert!(sentence.starts_with("It"));
    }
}
