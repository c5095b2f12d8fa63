//! Files that a study names: the study asks, someone who may open files answers.

use super::cursor::Cursor;
use super::weather_ask::WeatherAsk;
use crate::weather::Spot;

/// Gives the text of files that stand beside a study.
pub(crate) trait Companions {
    /// Text of the file at this path, relative to the study.
    fn text(&self, path: &str) -> Result<String, NoText>;

    /// Text of the table at this path, in whatever encoding it is written.
    fn table(&self, path: &str) -> Result<String, NoText> {
        self.text(path)
    }

    /// Where the weather that a study asks for says it is of, for a site that the study leaves out;
    /// unknown unless someone looks.
    fn place_of_weather(&self, _ask: &WeatherAsk) -> Spot {
        Spot::default()
    }
}

/// Why a file gives no text; each completes "cannot be read: ...".
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum NoText {
    /// It cannot be opened, for this reason.
    Unreadable(String),
    /// It holds something else.
    NotText,
    /// It is of a kind that holds no table, such as a workbook; what it is and what to do.
    NotTable(&'static str),
}

/// The text of the file that this key names. `None` means that a problem was recorded with this cure.
pub(super) fn named_text(
    cursor: &Cursor<'_>,
    key: &str,
    companions: &dyn Companions,
    cure: &str,
) -> Option<(String, String)> {
    let path = cursor.text(key).required()?;
    told(cursor, key, companions.text(&path), path, cure)
}

/// The text of the table that this key names, as [`named_text`] gives that of a text.
pub(super) fn named_table(
    cursor: &Cursor<'_>,
    key: &str,
    companions: &dyn Companions,
    cure: &str,
) -> Option<(String, String)> {
    let path = cursor.text(key).required()?;
    told(cursor, key, companions.table(&path), path, cure)
}

fn told(
    cursor: &Cursor<'_>,
    key: &str,
    text: Result<String, NoText>,
    path: String,
    cure: &str,
) -> Option<(String, String)> {
    let what = |cause: &str| format!("names {path}, which cannot be read: {cause}");
    let expected = "the path of a file, relative to the study";
    match text {
        Ok(text) => return Some((path, text)),
        Err(NoText::Unreadable(cause)) => {
            cursor.complain_of_file(key, &what(&cause), expected, cure);
        }
        Err(NoText::NotText) => {
            cursor.complain(key, &what("it is not UTF-8 text"), expected, "save it as UTF-8");
        }
        Err(NoText::NotTable(kind)) => {
            cursor.complain(key, &what(&format!("it is {kind}")), expected, cure);
        }
    }
    None
}
