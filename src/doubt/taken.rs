//! Values that a study gives or takes by default, by their path.

use super::Doubts;

impl Doubts<'_> {
    /// A number that the study gives or takes by default.
    pub(super) fn number(&self, path: &str) -> Option<f64> {
        self.inputs.iter().find(|input| input.path == path)?.number
    }

    /// A word that the study gives or takes by default.
    pub(super) fn word(&self, path: &str) -> Option<&str> {
        self.inputs.iter().find(|input| input.path == path).map(|input| input.value_text.as_str())
    }

    /// Names between these two parts of a path, with the numbers there.
    pub(super) fn of_each(&self, before: &str, after: &str) -> Vec<(String, f64)> {
        let named = self.inputs.iter().filter_map(|input| {
            let name = input.path.strip_prefix(before)?.strip_suffix(after)?;
            Some((name.to_owned(), input.number?))
        });
        named.collect()
    }
}
