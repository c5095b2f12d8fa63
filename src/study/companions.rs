//! Files that a study names: the study asks, someone who may open files answers.

use super::cursor::Cursor;
use super::frame::WeatherAsk;
use crate::weather::Spot;

/// Gives the text of files that stand beside a study.
pub trait Companions {
    /// Text of the file at this path, relative to the study.
    fn text(&self, path: &str) -> Result<String, NoText>;

    /// Where the weather that a study asks for says it is of, for a site that the study leaves out;
    /// unknown unless someone looks.
    fn place_of_weather(&self, _ask: &WeatherAsk) -> Spot {
        Spot::default()
    }
}

/// Why a file gives no text; each completes "cannot be read: ...".
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoText {
    /// It cannot be opened, for this reason.
    Unreadable(String),
    /// It holds something else.
    NotText,
}

/// The text of the file that this key names. `None` means that a problem was recorded with this cure.
pub(super) fn named_text(
    cursor: &Cursor<'_>,
    key: &str,
    companions: &dyn Companions,
    cure: &str,
) -> Option<(String, String)> {
    let path = cursor.text(key).required()?;
    let what = |cause: &str| format!("names {path}, which cannot be read: {cause}");
    let expected = "the path of a file, relative to the study";
    match companions.text(&path) {
        Ok(text) => return Some((path, text)),
        Err(NoText::Unreadable(cause)) => {
            cursor.complain_of_file(key, &what(&cause), expected, cure);
        }
        Err(NoText::NotText) => {
            cursor.complain(key, &what("it is not UTF-8 text"), expected, "save it as UTF-8");
        }
    }
    None
}
