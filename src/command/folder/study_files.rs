//! Files that stand beside a study: however often the study is read, each is opened once and listed once.

use super::weather_files::WeatherFiles;
use crate::answer::{InputFile, input_file};
use crate::command::digest::digest;
use crate::command::output::read_file;
use crate::study::{Companions, NoText, WeatherAsk};
use crate::table;
use crate::weather::Spot;
use std::cell::RefCell;
use std::path::Path;

/// A larger file is no study: what is written by hand has some kilobytes.
pub(super) const MOST_BYTES: usize = 2_000_000;

/// Files in the order in which they were first asked for: path as the study writes it, and bytes.
type Held = Vec<(String, Vec<u8>)>;

/// Files beside a study that is being read.
pub(super) struct Beside<'a> {
    folder: &'a Path,
    held: RefCell<Held>,
    /// By what was asked for.
    weather: RefCell<Vec<WeatherFiles>>,
}

/// The same files once the study was read: as they were then, and no others.
pub(super) struct KnownFiles {
    held: Held,
    place: Spot,
}

impl<'a> Beside<'a> {
    /// Those of the study in this folder.
    pub(super) fn of(folder: &'a Path) -> Self {
        Self { folder, held: RefCell::default(), weather: RefCell::default() }
    }

    /// What was opened so far, with its digests.
    pub(super) fn listed(&self) -> Vec<InputFile> {
        self.held.borrow().iter().map(|(path, bytes)| input_file(path, digest(bytes))).collect()
    }

    /// The files for further readings of the study that asks for this weather, and that weather as far as it was read.
    pub(super) fn into_known(self, ask: &WeatherAsk) -> (KnownFiles, Option<WeatherFiles>) {
        let mut weather = self.weather.into_inner().into_iter();
        let weather = weather.find(|files| files.are_of(ask));
        let place = weather.as_ref().map_or_else(Spot::default, WeatherFiles::spot);
        (KnownFiles { held: self.held.into_inner(), place }, weather)
    }

    fn read(&self, path: &str, as_what: fn(&[u8]) -> Result<String, NoText>) -> Result<String, NoText> {
        if let Some(bytes) = find(&self.held.borrow(), path) {
            return as_what(bytes);
        }
        let bytes = read_file(&self.folder.join(path)).map_err(|failure| NoText::Unreadable(failure.cause()))?;
        let text = as_what(&bytes);
        self.held.borrow_mut().push((path.to_owned(), bytes));
        text
    }
}

impl Companions for Beside<'_> {
    fn text(&self, path: &str) -> Result<String, NoText> {
        self.read(path, text_of)
    }

    fn table(&self, path: &str) -> Result<String, NoText> {
        self.read(path, table_of)
    }

    /// Of the first file that says where it is of. What stands in the way of reading the weather is told
    /// when it is read for its hours.
    fn place_of_weather(&self, ask: &WeatherAsk) -> Spot {
        let mut known = self.weather.borrow_mut();
        if let Some(files) = known.iter().find(|files| files.are_of(ask)) {
            return files.spot();
        }
        let Ok(mut files) = WeatherFiles::find(ask, self.folder) else {
            return Spot::default();
        };
        files.read_up_to_a_place();
        let place = files.spot();
        known.push(files);
        place
    }
}

impl KnownFiles {
    fn read(&self, path: &str, as_what: fn(&[u8]) -> Result<String, NoText>) -> Result<String, NoText> {
        let bytes = find(&self.held, path);
        as_what(bytes.ok_or_else(|| NoText::Unreadable("it was not read with the study".to_owned()))?)
    }
}

impl Companions for KnownFiles {
    fn text(&self, path: &str) -> Result<String, NoText> {
        self.read(path, text_of)
    }

    fn table(&self, path: &str) -> Result<String, NoText> {
        self.read(path, table_of)
    }

    fn place_of_weather(&self, _ask: &WeatherAsk) -> Spot {
        self.place
    }
}

fn find<'a>(held: &'a Held, path: &str) -> Option<&'a [u8]> {
    held.iter().find(|(known, _)| known == path).map(|(_, bytes)| bytes.as_slice())
}

fn text_of(bytes: &[u8]) -> Result<String, NoText> {
    if bytes.len() > MOST_BYTES {
        return Err(NoText::Unreadable(format!("of more than {} MB", MOST_BYTES / 1_000_000)));
    }
    String::from_utf8(bytes.to_vec()).map_err(|_| NoText::NotText)
}

fn table_of(bytes: &[u8]) -> Result<String, NoText> {
    table::text_of(bytes).map_err(NoText::NotTable)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    fn ask() -> WeatherAsk {
        WeatherAsk {
            files: vec!["weather.csv".to_owned()],
            max_gap_hours: 3,
            fill_long_gaps: false,
            warmer_by_k: 0.0,
            columns: None,
            elsewhere: None,
        }
    }

    /// What is asked for again does not ask the disk again: the file may be gone by then.
    #[test]
    fn a_file_is_opened_once() {
        let folder = tempfile::tempdir().expect("a folder");
        let small = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases/small");
        for file in ["tariff.toml", "weather.csv"] {
            fs::copy(small.join(file), folder.path().join(file)).expect("a copy");
        }
        let beside = Beside::of(folder.path());
        let (tariff, place) = (beside.text("tariff.toml").expect("a text"), beside.place_of_weather(&ask()));
        for file in ["tariff.toml", "weather.csv"] {
            fs::remove_file(folder.path().join(file)).expect("removed");
        }
        assert_eq!(beside.text("tariff.toml"), Ok(tariff.clone()));
        assert_eq!(beside.table("tariff.toml"), Ok(tariff.clone()));
        assert_eq!(beside.place_of_weather(&ask()), place);
        assert_eq!(beside.listed().len(), 1);
        let (known, weather) = beside.into_known(&ask());
        assert_eq!(known.text("tariff.toml"), Ok(tariff));
        assert!(known.text("intake.csv").is_err());
        let mut weather = weather.expect("the weather that was asked for");
        assert_eq!(weather.take(0).expect("as it was read").reading.rows.len(), 456);
    }
}
