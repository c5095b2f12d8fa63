//! In which way a key or its value is refused, by a name that programs can go by.

/// What is refused of a key. A refusal tells people what to do; this is for programs alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The key is not known there.
    Unknown,
    /// It names what nothing in the study, or in what is known to the program, is called.
    Name,
    /// It must be there, and is not.
    Missing,
    /// What stands there is no value of it: a text for a number, another unit, a word that is none of its words.
    Kind,
    /// It is of its kind, and outside its bounds.
    Bounds,
}

impl Refusal {
    /// Its name, which stays.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Unknown => "key.unknown",
            Self::Name => "name.unknown",
            Self::Missing => "key.missing",
            Self::Kind => "value.kind",
            Self::Bounds => "value.bounds",
        }
    }
}
