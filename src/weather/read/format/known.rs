//! What a reader says of its format.

use crate::weather::problem::WeatherError;
use crate::weather::reading::Reading;

/// A named format.
pub(super) struct Known {
    /// Tells by content whether a text is of it.
    pub recognises: fn(&str) -> bool,
    /// Reads such a text, as the file of this name.
    pub read: Read,
    /// The first lines of a file of it.
    #[cfg(test)]
    pub sample: &'static str,
}

pub(super) type Read = fn(&str, &str) -> Result<Reading, WeatherError>;
