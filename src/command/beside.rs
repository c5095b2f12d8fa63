//! What is said beside the answer, on stderr.

use crate::printable::printable;

/// A line beside the answer, on stderr.
pub(super) fn say_beside(text: &str) {
    eprintln!("{}", printable(text));
}
