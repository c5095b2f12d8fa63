//! The line of names of a table whose names are known.

use super::cells::Separator;
use super::number::DecimalMark;
use super::shape::{decimal_of, separator_of_names};
use super::sheet::{cells_of, trim_end};
use super::text::lines;

/// Rows below the names that show the decimal mark.
const ROWS_SEEN: usize = 20;

/// A line of names: where it is, and how the table below it is written.
pub(crate) struct Header<'t> {
    /// Line of the file, from 1.
    pub line: usize,
    /// The byte of the text at which the line begins.
    pub at: usize,
    pub names: Vec<&'t str>,
    pub separator: Separator,
    pub decimal: DecimalMark,
}

impl<'t> Header<'t> {
    /// The first of the uppermost lines whose cells are such names.
    pub(crate) fn find(text: &'t str, uppermost: usize, fits: impl Fn(&[&str]) -> bool) -> Option<Self> {
        let texts = |skip: usize| {
            let lines = lines(text.as_bytes()).skip(skip);
            lines.map(|(_, line)| std::str::from_utf8(line).unwrap_or(""))
        };
        texts(0).zip(1..).take(uppermost).find_map(|(written, line)| {
            let separator = separator_of_names(written);
            let mut names = cells_of(written, separator);
            trim_end(&mut names, 0);
            if !fits(&names) {
                return None;
            }
            let rows: Vec<&str> = texts(line).take(ROWS_SEEN).collect();
            let cells = rows.iter().flat_map(|row| cells_of(row, separator));
            let decimal = decimal_of(separator, cells.map(str::as_bytes));
            let at = written.as_ptr().addr().saturating_sub(text.as_ptr().addr());
            Some(Self { line, at, names, separator, decimal })
        })
    }

    /// The first line that is no remark (`#`) and not empty, if its cells are such names.
    pub(crate) fn below_remarks(text: &'t str, fits: impl Fn(&[&str]) -> bool) -> Option<Self> {
        const MOST_REMARKS: usize = 40;
        let says_nothing = |line: &[u8]| {
            let line = line.trim_ascii();
            line.is_empty() || line.starts_with(b"#")
        };
        let above = lines(text.as_bytes()).take_while(|(_, line)| says_nothing(line));
        let above = above.take(MOST_REMARKS).count();
        Self::find(text, above + 1, fits)
    }

    /// The cells of another line of the same table.
    pub(crate) fn cells(&self, line: &'t str) -> Vec<&'t str> {
        cells_of(line, self.separator)
    }

    /// The first of these names that the table has.
    pub(crate) fn first_of(&self, wanted: &[&str]) -> Option<&'t str> {
        self.names.iter().find(|name| wanted.contains(name)).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_however_the_table_is_written() {
        let ours = |names: &[&str]| names.first() == Some(&"time") && names.contains(&"t");
        let header = Header::find("place: x\ntime;t\n06:00;1,5\n", 5, ours).expect("names");
        assert_eq!((header.line, header.separator), (2, Separator::Byte(b';')));
        assert_eq!((header.decimal, header.first_of(&["u", "t"])), (DecimalMark::Comma, Some("t")));
        assert!(Header::find("a\nb\nc\ntime,t\n", 3, ours).is_none());
    }
}
