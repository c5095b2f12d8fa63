//! A measure of the standing list, as the option that a person would write into the study.

use crate::number::Sentence;
use crate::printable::toml_text;

/// A measure of the standing list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct StandingMeasure {
    /// Name of its option.
    pub name: String,
    /// What it does, in words.
    pub(crate) does: Sentence,
    /// The source that it calls on, if that is new: a part of a study.
    pub(super) source: String,
    /// What its option says beside its name.
    pub(super) says: String,
}

impl StandingMeasure {
    /// What is to stand behind the study's text to try it, under a name that no person gives: an option of its own name
    /// may stand there already.
    pub(crate) fn trial(&self) -> String {
        self.called(&format!("tried: {}", self.name))
    }

    /// The option to be written into the study, with a place for its capital and what to know of that.
    pub(crate) fn to_price(&self, what_to_know: &str) -> String {
        format!("{}capital = 0.0   # to be filled in: {what_to_know}\n", self.called(&self.name))
    }

    fn called(&self, name: &str) -> String {
        format!("{}[[option]]\nname = {}\n{}", self.source, toml_text(name), self.says)
    }
}

/// What a measure sets: path and value, as they are written.
pub(super) type Set = Vec<(String, String)>;

/// A number as it is written.
pub(super) fn number(value: f64) -> String {
    format!("{value:?}")
}

/// A value to three figures: a step to look with is no more exact.
pub(super) fn three_figures(value: f64) -> f64 {
    format!("{value:.2e}").parse().unwrap_or(value)
}

/// The option `on` with these values set in its plant; nothing where there are none.
pub(super) fn setting(on: &str, name: &str, does: impl Into<Sentence>, set: Set) -> Option<StandingMeasure> {
    if set.is_empty() {
        return None;
    }
    let set: Vec<String> = set.into_iter().map(|(path, value)| format!("{} = {value}", toml_text(&path))).collect();
    let says = format!("includes = [{}]\nset = {{ {} }}\n", toml_text(on), set.join(", "));
    Some(StandingMeasure { name: name.to_owned(), does: does.into(), source: String::new(), says })
}
