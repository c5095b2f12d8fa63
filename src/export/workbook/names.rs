//! Names of cells, so that a formula of a person's own can call them.

use super::fault::NoWorkbook;
use super::live::Live;
use rust_xlsxwriter::Workbook;

/// Names in the order in which they are given, each once.
#[derive(Default)]
pub(super) struct Names(Vec<(String, String)>);

impl Names {
    /// Gives a cell a name: of letters, digits and `_`, and like no other.
    pub(super) fn give(&mut self, wanted: &str, cell: &Live) {
        let plain: String =
            wanted.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '_' }).collect();
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
