//! Every value a reading used, given or default, so that a report can print all assumptions.

use crate::problem::{Problem, nearest};
use std::collections::BTreeMap;
use std::ops::Deref;

/// Numbers that replace what the file gives, by path: `crop.received_moisture`,
/// `source.heaters.capacity_kw`. They are checked as if they stood in the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Overrides {
    values: BTreeMap<String, f64>,
    /// Of those that stand in doubt without being named, the study's own value: what an option sets in its place
    /// is as much in doubt.
    own: BTreeMap<String, f64>,
}

impl Overrides {
    /// None.
    pub(crate) const fn new() -> Self {
        Self { values: BTreeMap::new(), own: BTreeMap::new() }
    }

    /// This number in place of the file's.
    pub(super) fn insert(&mut self, path: &str, value: f64) {
        self.values.insert(path.to_owned(), value);
    }

    /// The same, where the number at this path stands in doubt about the study's own value.
    pub(super) fn insert_about(&mut self, path: &str, value: f64, own: f64) {
        self.values.insert(path.to_owned(), value);
        self.own.insert(path.to_owned(), own);
    }

    /// How many times the study's own value this number is; `None` where it does not stand in doubt about that.
    pub(super) fn times_own(&self, path: &str) -> Option<f64> {
        let own = self.own.get(path).filter(|own| **own != 0.0)?;
        Some(self.values.get(path)? / own)
    }
}

impl Deref for Overrides {
    type Target = BTreeMap<String, f64>;

    fn deref(&self) -> &Self::Target {
        &self.values
    }
}

impl FromIterator<(String, f64)> for Overrides {
    fn from_iter<I: IntoIterator<Item = (String, f64)>>(numbers: I) -> Self {
        Self { values: numbers.into_iter().collect(), own: BTreeMap::new() }
    }
}

impl<const N: usize> From<[(String, f64); N]> for Overrides {
    fn from(numbers: [(String, f64); N]) -> Self {
        numbers.into_iter().collect()
    }
}

/// One value that was read, or taken by default.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Input {
    /// Where it belongs: `crop.received_moisture`. An entry of a list of tables goes by its `name`, or
    /// by its number from 1: `room.1.temperature_c`.
    pub path: String,
    /// The value as text: `22`, `bell`, `[50, 62]`.
    pub value_text: String,
    /// The value where it is a number.
    pub number: Option<f64>,
    /// Its unit, or empty.
    pub unit: String,
    /// As it was written, if it came with a unit of its own: `110 F`.
    pub written: Option<String>,
    /// Who says so.
    pub origin: Origin,
}

impl Input {
    /// True if a person gives it, in the file or for this run.
    pub(crate) fn is_given(&self) -> bool {
        match self.origin {
            Origin::Given { .. } | Origin::Set => true,
            Origin::Default { .. } => false,
        }
    }

    /// True if nobody gave it.
    pub(crate) fn is_default(&self) -> bool {
        match self.origin {
            Origin::Default { .. } => true,
            Origin::Given { .. } | Origin::Set => false,
        }
    }
}

/// Who says that a value is what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Origin {
    /// The file.
    Given {
        /// The file, as the user named it.
        file: String,
        /// The line, from 1.
        line: usize,
        /// The column in characters, from 1.
        column: usize,
    },
    /// Nobody gave it; this is what the value rests on.
    Default {
        /// The published source, or the reason.
        source: String,
    },
    /// It was set from outside for this reading (a draw of an uncertain input).
    Set,
}

/// The input at a path, or else the path of a number that reads most like it.
pub(crate) fn find<'a>(inputs: &'a [Input], path: &str) -> Result<&'a Input, Option<&'a str>> {
    if let Some(input) = inputs.iter().find(|input| input.path == path) {
        return Ok(input);
    }
    let numbers = inputs.iter().filter(|input| input.number.is_some());
    Err(nearest(path, numbers.map(|input| input.path.as_str())))
}

/// A problem at the place where this input was given, or of the file as a whole where it was not.
pub(crate) fn problem_at(inputs: &[Input], file: &str, path: &str, what: impl Into<String>) -> Problem {
    let input = inputs.iter().find(|input| input.path == path);
    match input.map(|input| &input.origin) {
        Some(Origin::Given { file, line, column }) => Problem::of_file(file, what).moved_to(*line, *column),
        Some(Origin::Set) => Problem::of_file(file, format!("`{path}`, set for this run: {}", what.into())),
        Some(Origin::Default { .. }) | None => Problem::of_file(file, what),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_that_is_not_there_finds_its_nearest_number() {
        let inputs = [Input {
            path: "crop.received_moisture".to_owned(),
            value_text: "22".to_owned(),
            number: Some(22.0),
            unit: "% w.b.".to_owned(),
            written: None,
            origin: Origin::Set,
        }];
        assert!(find(&inputs, "crop.received_moisture").is_ok());
        let missed = find(&inputs, "crop.recieved_moisture");
        assert_eq!(missed, Err(Some("crop.received_moisture")));
        assert_eq!(find(&inputs, "zzz"), Err(None));
    }
}
