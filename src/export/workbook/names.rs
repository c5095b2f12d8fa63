//! Names of cells, so that a formula of a person's own can call them.

use super::fault::NoWorkbook;
use super::live::Live;
use rust_xlsxwriter::Workbook;
use sha2::{Digest, Sha256};

/// Letters that a name has at most. Spreadsheets take 255; what is longer than this nobody writes into a formula.
const LONGEST: usize = 80;

/// Names in the order in which they are given, each once.
#[derive(Default)]
pub(super) struct Names(Vec<(String, String)>);

impl Names {
    /// Gives a cell a name: of letters, digits and `_`, and like no other.
    pub(super) fn give(&mut self, wanted: &str, cell: &Live) {
        let plain: String =
            wanted.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '_' }).collect();
        let plain = if plain.len() > LONGEST { shortened(&plain, wanted) } else { plain };
        let numbered = (2..).map(|at| format!("{plain}_{at}"));
        let is_free = |name: &String| self.0.iter().all(|(known, _)| known != name);
        if let Some(name) = std::iter::once(plain.clone()).chain(numbered).find(is_free) {
            self.0.push((name, cell.text().to_owned()));
        }
    }

    /// Writes them into a workbook.
    pub(super) fn define(self, book: &mut Workbook) -> Result<(), NoWorkbook> {
        for (name, cell) in self.0 {
            book.define_name(name, &format!("={cell}"))?;
        }
        Ok(())
    }
}

/// The beginning of a long name, and what tells it from others that begin so: the same for the same name, whatever
/// stands beside it in a study.
fn shortened(plain: &str, wanted: &str) -> String {
    let digest = Sha256::digest(wanted.as_bytes());
    let told = digest.iter().take(4).fold(String::new(), |text, byte| text + &format!("{byte:02x}"));
    format!("{}_{told}", &plain[..LONGEST - told.len() - 1])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_are_short_and_each_its_own() {
        let mut names = Names::default();
        let cell = Live::cell("Prices", (1, 1), 1.0);
        let long = |end: &str| format!("price_{}{end}", "ä".repeat(300));
        for wanted in ["price_Lpg", "price_lpg", &long("a"), &long("b"), &long("a"), &"x".repeat(LONGEST)] {
            names.give(wanted, &cell);
        }
        let given: Vec<&str> = names.0.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(given[..2], ["price_lpg", "price_lpg_2"]);
        assert_eq!(given[5], "x".repeat(LONGEST));
        let unlike: std::collections::BTreeSet<&str> = given.iter().copied().collect();
        assert_eq!(unlike.len(), given.len());
        assert!(given.iter().all(|name| name.is_ascii() && name.len() <= LONGEST + 2), "{given:?}");
        // It is the name's own, not its place's.
        let mut alone = Names::default();
        alone.give(&long("b"), &cell);
        assert_eq!(alone.0[0].0, given[3]);
    }
}
