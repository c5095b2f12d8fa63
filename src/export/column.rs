//! A table as one list of columns: what a column is called, how it adds, and what stands in its cells.

use crate::number::Digits;
use crate::printable::printable;
use std::fmt::Write;

/// How the cells of a column go together over rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Adds {
    /// Tells rows apart.
    Key,
    /// Cells add up.
    Sum,
    /// A mean over the hour.
    Mean,
    /// A mean over the air that passed in the hour: its water and enthalpy are those of all of it.
    MeanOverAir,
    /// The state at the hour's end.
    End,
}

impl Adds {
    /// As the list of columns has it.
    fn word(self) -> &'static str {
        match self {
            Self::Key => "key",
            Self::Sum => "sum",
            Self::Mean => "mean of the hour",
            Self::MeanOverAir => "mean over the air that passed",
            Self::End => "at the hour's end",
        }
    }
}

/// What stands in a cell.
pub(super) enum Cell {
    /// A text.
    Text(String),
    /// A number, with so many decimals.
    Number(f64, usize),
    /// A number that is nearly nothing, by its order of magnitude.
    Tiny(f64),
    /// Nothing to tell.
    Empty,
}

/// One column of a table with rows of `R`.
pub(super) struct Column<'a, R> {
    head: String,
    adds: Adds,
    /// What it says, in a few words.
    says: &'static str,
    cell: Box<dyn Fn(&R) -> Cell + 'a>,
}

impl<'a, R> Column<'a, R> {
    pub(super) fn new(head: impl Into<String>, adds: Adds, says: &'static str, cell: impl Fn(&R) -> Cell + 'a) -> Self {
        Self { head: head.into(), adds, says, cell: Box::new(cell) }
    }

    /// What it is called.
    #[cfg(test)]
    pub(super) fn head(&self) -> &str {
        &self.head
    }

    /// A text that tells rows apart.
    pub(super) fn key(head: impl Into<String>, says: &'static str, text: impl Fn(&R) -> String + 'a) -> Self {
        Self::new(head, Adds::Key, says, move |row| Cell::Text(text(row)))
    }

    /// A number with so many decimals.
    pub(super) fn number(
        head: impl Into<String>,
        (adds, decimals): (Adds, usize),
        says: &'static str,
        of: impl Fn(&R) -> f64 + 'a,
    ) -> Self {
        Self::new(head, adds, says, move |row| Cell::Number(of(row), decimals))
    }

    /// A number that may not be there.
    pub(super) fn maybe(
        head: impl Into<String>,
        (adds, decimals): (Adds, usize),
        says: &'static str,
        of: impl Fn(&R) -> Option<f64> + 'a,
    ) -> Self {
        Self::new(head, adds, says, move |row| of(row).map_or(Cell::Empty, |value| Cell::Number(value, decimals)))
    }
}

/// The table's head.
pub(super) fn write_head<R>(text: &mut String, columns: &[Column<'_, R>]) {
    for (at, column) in columns.iter().enumerate() {
        if at > 0 {
            text.push(',');
        }
        text.push_str(&quoted(&column.head));
    }
    text.push('\n');
}

/// A row of it.
pub(super) fn write_row<R>(text: &mut String, columns: &[Column<'_, R>], row: &R) {
    for (at, column) in columns.iter().enumerate() {
        if at > 0 {
            text.push(',');
        }
        match (column.cell)(row) {
            Cell::Text(said) => text.push_str(&quoted(&said)),
            Cell::Number(value, decimals) => {
                let _ = write!(text, "{:.decimals$}", Digits(value));
            }
            // Nothing plus nothing has no sign.
            Cell::Tiny(value) => {
                let _ = write!(text, "{:.2e}", value + 0.0);
            }
            Cell::Empty => {}
        }
    }
    text.push('\n');
}

/// The columns of a file as rows of a list: file, column, how it adds, what it says.
pub(super) fn write_list<R>(text: &mut String, file: &str, columns: &[Column<'_, R>]) {
    for Column { head, adds, says, .. } in columns {
        let _ = writeln!(text, "{file},{},{},{}", quoted(head), quoted(adds.word()), quoted(says));
    }
}

/// Signs with which a spreadsheet takes a cell for a formula.
const BEGINS_A_FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A name as a CSV cell. One that a spreadsheet would run gets an apostrophe before it, the spreadsheets' own
/// mark of a text; numbers never pass through here. Signs that a terminal would obey are shown.
pub(super) fn quoted(name: &str) -> String {
    let name = &printable(name);
    let harmless = if name.starts_with(BEGINS_A_FORMULA) { format!("'{name}") } else { name.to_owned() };
    if harmless.contains([',', '"', '\n', '\r', '\t', '\'']) {
        format!("\"{}\"", harmless.replace('"', "\"\""))
    } else {
        harmless
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn head_cells_and_list_come_from_one_list() {
        let columns = [
            Column::key("name", "what it is called", |row: &(&str, f64)| row.0.to_owned()),
            Column::number("a, b", (Adds::Sum, 2), "a sum", |row: &(&str, f64)| row.1),
            Column::maybe("c", (Adds::End, 1), "a state", |row: &(&str, f64)| (row.1 > 0.0).then_some(row.1)),
        ];
        let mut text = String::new();
        write_head(&mut text, &columns);
        write_row(&mut text, &columns, &("x", -0.001));
        write_row(&mut text, &columns, &("y", 2.0));
        write_list(&mut text, "file.csv", &columns);
        assert_eq!(
            text,
            "name,\"a, b\",c\nx,0.00,\ny,2.00,2.0\nfile.csv,name,key,what it is called\n\
             file.csv,\"a, b\",sum,a sum\nfile.csv,c,\"at the hour's end\",a state\n"
        );
    }

    /// The csv library (RFC 4180) reads the names that we write as they were, but for the apostrophe.
    #[test]
    fn a_library_reads_what_is_written() {
        let names = ["electric", "a, b", "say \"go\"", "two\nlines", "it's", "=1+1"];
        let line = names.map(quoted).join(",");
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(line.as_bytes());
        let read = reader.records().next().expect("a row").expect("cells");
        let plain = |cell: &str| cell.strip_prefix('\'').map_or(cell.to_owned(), str::to_owned);
        assert_eq!(read.iter().map(plain).collect::<Vec<_>>(), names);
    }

    #[test]
    fn no_name_is_a_formula() {
        for (name, cell) in [
            ("electric", "electric"),
            ("a, b", "\"a, b\""),
            ("say \"go\"", "\"say \"\"go\"\"\""),
            ("=cmd|' /C calc'!A1", "\"'=cmd|' /C calc'!A1\""),
            ("@SUM(1+1)", "\"'@SUM(1+1)\""),
            ("+1+1", "\"'+1+1\""),
            ("-2+3", "\"'-2+3\""),
            ("\t=1", "\"'\t=1\""),
            ("\r=1", "\\u000d=1"),
            ("a\u{1b}[2J\u{202e}b", "a\\u001b[2J\\u202eb"),
        ] {
            assert_eq!(quoted(name), cell);
        }
    }

    #[test]
    fn what_rounds_to_nothing_has_no_sign() {
        let numbers = [(-0.0, 4), (-0.004, 2), (-0.006, 2), (0.0, 0), (-12.0, 1)];
        let columns = numbers
            .map(|(value, decimals)| Column::number("n", (Adds::Sum, decimals), "a number", move |(): &()| value));
        let mut text = String::new();
        write_row(&mut text, &columns, &());
        assert_eq!(text, "0.0000,0.00,-0.01,0,-12.0\n");
    }
}
