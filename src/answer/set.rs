//! Values that were set for one run, in place of the study's own.

use crate::study::Change;
use crate::study::input::Input;
use schemars::JsonSchema;
use serde::Serialize;

/// A value that was set for this run.
#[derive(Clone, Debug, PartialEq, Eq, JsonSchema, Serialize)]
pub(crate) struct SetFigures {
    /// Path of the value in the study.
    pub path: String,
    /// What it was set to, as it was written.
    pub value: String,
    /// What the study says of itself; nothing where it says nothing and has no default.
    pub study_value: Option<String>,
    /// Unit of both, or empty.
    pub unit: String,
}

/// A change beside what the study says without it: `inputs` are those of the study as it is written.
pub(crate) fn set_figures(change: &Change, inputs: &[Input]) -> SetFigures {
    let own = inputs.iter().find(|input| input.path == change.path);
    SetFigures {
        path: change.path.clone(),
        value: change.value_text().to_owned(),
        study_value: own.map(|input| input.value_text.clone()),
        unit: own.map_or_else(String::new, |input| input.unit.trim_matches('-').to_owned()),
    }
}

/// `crop.received_moisture = 26 % w.b. (22 in the study)`.
pub(crate) fn set_words(set: &SetFigures) -> String {
    let unit = if set.unit.is_empty() { String::new() } else { format!(" {}", set.unit) };
    // A value that was written with its own unit stands as it was written.
    let has_own_unit = set.value.starts_with(|letter: char| letter.is_ascii_digit() || letter == '-')
        && set.value.replace('_', "").parse::<f64>().is_err();
    let (of_value, of_own) = if has_own_unit { ("", unit.as_str()) } else { (unit.as_str(), "") };
    let own = set.study_value.as_ref().map_or_else(String::new, |own| format!(" ({own}{of_own} in the study)"));
    format!("{} = {}{of_value}{own}", set.path, shortened(&set.value))
}

/// Longest value that stands in a sentence, characters; a whole table or list is told in the figures.
const LONGEST_VALUE: usize = 70;

fn shortened(value: &str) -> String {
    let cut = value.char_indices().nth(LONGEST_VALUE).map(|(at, _)| at);
    cut.map_or_else(|| value.to_owned(), |at| format!("{} …", &value[..at]))
}
