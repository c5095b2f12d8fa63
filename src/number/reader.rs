//! Who is told: in which units a grower reads, and how numbers are written there.
//!
//! What a file holds for other programs is always plain: SI, and numbers as this program writes them. Only what is told
//! to people, the page and the terminal, is told their way. Who they are is said once, around all of it
//! ([`Reader::listens`]), and whoever tells them something says so around that ([`telling`]); the functions that write
//! numbers look here. Passed by hand, the reader would stand in every sentence, cell, axis and legend there is, and one
//! forgotten would be a number in another land's writing beside its own.

use std::cell::Cell;
use std::fmt;
use std::str::FromStr;

/// Units that a report is told in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Units {
    /// International units.
    #[default]
    Si,
    /// US customary units; electricity stays in kW and kWh.
    Us,
}

impl Units {
    const NAMES: [(&'static str, Self); 2] = [("si", Self::Si), ("us", Self::Us)];
    /// What may be written.
    pub(crate) const EXPECTED: &'static str = "si or us";
}

impl FromStr for Units {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        named(&Self::NAMES, text)
    }
}

impl fmt::Display for Units {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(name_of(&Self::NAMES, self))
    }
}

/// How numbers are written: what parts thousands, and what stands before decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum NumberWriting {
    /// `1 234.5`
    #[default]
    SpacePoint,
    /// `1,234.5`
    CommaPoint,
    /// `1.234,5`
    PointComma,
    /// `1 234,5`
    SpaceComma,
    /// `1’234.5`
    ApostrophePoint,
}

/// Narrow no-break space.
const NARROW_SPACE: char = '\u{202f}';
/// Apostrophe as it is printed.
const APOSTROPHE: char = '\u{2019}';

impl NumberWriting {
    const NAMES: [(&'static str, Self); 5] = [
        ("space and point", Self::SpacePoint),
        ("comma and point", Self::CommaPoint),
        ("point and comma", Self::PointComma),
        ("space and comma", Self::SpaceComma),
        ("apostrophe and point", Self::ApostrophePoint),
    ];
    /// What may be written.
    pub(crate) const EXPECTED: &'static str = "what parts thousands and what stands before decimals: \"space and point\" (1 234.5), \"comma and point\" (1,234.5), \"point and comma\" (1.234,5), \"space and comma\" (1 234,5) or \"apostrophe and point\" (1’234.5)";

    /// As they are written where a report is told in these units: growers of the US expect `1,234.5`.
    pub(crate) fn usual_with(units: Units) -> Self {
        match units {
            Units::Si => Self::SpacePoint,
            Units::Us => Self::CommaPoint,
        }
    }

    /// What parts thousands.
    pub(super) fn group(self) -> char {
        match self {
            Self::SpacePoint | Self::SpaceComma => NARROW_SPACE,
            Self::CommaPoint => ',',
            Self::PointComma => '.',
            Self::ApostrophePoint => APOSTROPHE,
        }
    }

    /// What stands before decimals.
    pub(crate) fn decimal_mark(self) -> char {
        match self {
            Self::SpacePoint | Self::CommaPoint | Self::ApostrophePoint => '.',
            Self::PointComma | Self::SpaceComma => ',',
        }
    }
}

impl FromStr for NumberWriting {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        named(&Self::NAMES, text)
    }
}

impl fmt::Display for NumberWriting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(name_of(&Self::NAMES, self))
    }
}

fn named<T: Copy>(names: &[(&str, T)], text: &str) -> Result<T, String> {
    let found = names.iter().find(|(name, _)| *name == text).map(|(_, value)| *value);
    found.ok_or_else(|| {
        let all: Vec<&str> = names.iter().map(|(name, _)| *name).collect();
        format!("`{text}` is none of {}", all.join(", "))
    })
}

fn name_of<T: PartialEq>(names: &[(&'static str, T)], value: &T) -> &'static str {
    names.iter().find(|(_, known)| known == value).map_or("", |(name, _)| name)
}

/// Who reads a report.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Reader {
    /// Units that they read in.
    pub units: Units,
    /// How they write numbers.
    pub numbers: NumberWriting,
}

impl Reader {
    /// What files hold for other programs.
    const PLAIN: Self = Self { units: Units::Si, numbers: NumberWriting::SpacePoint };

    /// Whatever is told to people within is told to this reader.
    pub(crate) fn listens<T>(self, tell: impl FnOnce() -> T) -> T {
        with(Told { reader: self, ..TOLD.get() }, tell)
    }

    /// To whom numbers are written here and now.
    pub(crate) fn now() -> Self {
        let told = TOLD.get();
        if told.is_telling { told.reader } else { Self::PLAIN }
    }

    /// True if they read in US customary units.
    pub(crate) fn is_us(self) -> bool {
        self.units == Units::Us
    }
}

/// What is written within is told to people.
pub(crate) fn telling<T>(tell: impl FnOnce() -> T) -> T {
    with(Told { is_telling: true, ..TOLD.get() }, tell)
}

/// True where what is written is told to people.
pub(super) fn is_telling() -> bool {
    TOLD.get().is_telling
}

/// What is written within is for files, whoever listens.
pub(super) fn for_files<T>(tell: impl FnOnce() -> T) -> T {
    with(Told { is_telling: false, ..TOLD.get() }, tell)
}

#[derive(Clone, Copy)]
struct Told {
    reader: Reader,
    is_telling: bool,
}

thread_local! {
    static TOLD: Cell<Told> = const { Cell::new(Told { reader: Reader::PLAIN, is_telling: false }) };
}

/// Sets it back on the way out, whichever way that is.
struct Before(Told);

impl Drop for Before {
    fn drop(&mut self) {
        TOLD.set(self.0);
    }
}

fn with<T>(told: Told, tell: impl FnOnce() -> T) -> T {
    let _before = Before(TOLD.replace(told));
    tell()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::{Digits, fixed};

    #[test]
    fn only_who_is_told_reads_their_own_writing() {
        let reader = Reader { units: Units::Us, numbers: NumberWriting::PointComma };
        assert_eq!(fixed(-1234.5, 1), "\u{2212}1\u{202f}234.5");
        reader.listens(|| {
            assert_eq!(fixed(1234.5, 1), "1\u{202f}234.5", "files stay plain");
            telling(|| {
                assert_eq!(fixed(1234.5, 1), "1.234,5");
                assert_eq!(format!("{:>7.1}", Digits(-12.34)), "  -12,3");
                assert_eq!(for_files(|| fixed(1234.5, 1)), "1\u{202f}234.5");
                assert!(Reader::now().is_us());
            });
        });
        assert_eq!(Reader::now(), Reader::default());
    }

    #[test]
    fn every_writing_is_read_by_its_name() {
        for (name, writing) in NumberWriting::NAMES {
            assert_eq!(name.parse(), Ok(writing));
            assert_eq!(writing.to_string(), name);
            assert!(NumberWriting::EXPECTED.contains(name));
        }
        assert_eq!("us".parse(), Ok(Units::Us));
        assert!("US".parse::<Units>().unwrap_err().contains("si, us"));
    }
}
