//! A measure of the standing list, as the option that a person would write into the study.

/// A measure of the standing list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandingMeasure {
    /// Name of its option.
    pub name: String,
    /// What it does, in words.
    pub does: String,
    /// The option, and before it the source that it calls on if that is new: a part of a study.
    pub(super) block: String,
}

impl StandingMeasure {
    /// What is to stand behind the study's text.
    pub fn block(&self) -> &str {
        &self.block
    }

    /// The option to be written into the study, with a place for its capital and what to know of that.
    pub fn to_price(&self, what_to_know: &str) -> String {
        format!("{}capital = 0.0   # to be filled in: {what_to_know}\n", self.block)
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

/// A text as TOML has it.
pub(super) fn text(words: &str) -> String {
    format!("\"{}\"", words.replace('\\', "\\\\").replace('"', "\\\""))
}

/// An option that sets these values of the baseline's plant; nothing where there are none.
pub(super) fn setting(name: &str, does: impl Into<String>, set: Set) -> Option<StandingMeasure> {
    if set.is_empty() {
        return None;
    }
    let set: Vec<String> = set.into_iter().map(|(path, value)| format!("{} = {value}", text(&path))).collect();
    let block = format!("[[option]]\nname = {}\nset = {{ {} }}\n", text(name), set.join(", "));
    Some(StandingMeasure { name: name.to_owned(), does: does.into(), block })
}
