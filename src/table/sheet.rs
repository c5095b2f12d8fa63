//! A table below a line of known column names: intake, units, drying logs, monthly normals.
//!
//! ```text
//! # remarks, anywhere
//! date;tonnes;moisture [%]
//! yyyy-mm-dd;t;%             a row of units, if there is one
//! 2031-03-15;4,5;22,5
//! ```
//!
//! Cells are parted by what stands most often between the names. Empty lines, and cells that are empty beyond the
//! last name, say nothing. A cell in quotes may go on over several lines.

use super::cells::{Separator, leaves_a_quote_open, split};
use super::number::{DecimalMark, DecimalMarks, parse_either, thousands_mark};
use super::shape::{Dates, bare_unit, decimal_of, is_unit, separator_of_names, units_among};
use super::text::lines;

/// A column that a table may have.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Column {
    pub name: &'static str,
    /// Units in which it may be written, all the same; none where it has no unit, and anything may stand in brackets
    /// behind its name.
    pub units: &'static [&'static str],
}

/// A line of cells.
#[derive(Clone, Debug, Default)]
pub(crate) struct Line<'t> {
    /// Line of the file, from 1.
    pub number: usize,
    /// The line as written.
    pub text: &'t str,
    /// Its cells, without their quotes.
    pub cells: Vec<&'t str>,
}

impl<'t> Line<'t> {
    /// The cell in this place, empty where there is none.
    pub(crate) fn cell(&self, place: usize) -> &'t str {
        self.cells.get(place).copied().unwrap_or("")
    }
}

/// A table as it was written.
#[derive(Debug)]
pub(crate) struct Sheet<'t> {
    text: &'t str,
    /// Lines that begin with `#`, without it.
    pub remarks: Vec<(usize, &'t str)>,
    /// The line of names; without cells where there is none.
    pub head: Line<'t>,
    /// Names in lower case, and the unit in brackets behind them.
    names: Vec<(String, String)>,
    /// The row of units below the names, if there is one.
    pub units: Option<Line<'t>>,
    pub rows: Vec<Line<'t>>,
    separator: Separator,
    decimal: DecimalMark,
    /// Marks that some number has where it parts no thousands.
    marks: DecimalMarks,
}

/// Where the columns of a table stand.
#[derive(Debug)]
pub(crate) struct Places {
    of: Vec<Option<usize>>,
    /// Columns of the table that are not known.
    pub unknown: Vec<usize>,
    /// The second of two columns of one name.
    pub twice: Option<usize>,
    /// A column in another unit than its own.
    pub other_unit: Option<OtherUnit>,
}

/// A column in another unit than its own.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct OtherUnit {
    /// Line on which the unit stands.
    pub line: usize,
    pub column: &'static str,
    pub found: String,
    /// What would do.
    pub expected: &'static str,
}

impl Places {
    /// Place of the column that is known by this number.
    pub(crate) fn of(&self, column: usize) -> Option<usize> {
        self.of.get(column).copied().flatten()
    }
}

impl<'t> Sheet<'t> {
    /// The table in this text; one without a head where there is none.
    pub(crate) fn of(text: &'t str) -> Self {
        let mut remarks = Vec::new();
        let mut head: Option<(Line<'t>, Separator)> = None;
        let mut rows: Vec<Line<'t>> = Vec::new();
        let body = text.strip_prefix('\u{feff}').unwrap_or(text);
        let all: Vec<&str> = lines(body.as_bytes()).map(|(_, line)| text_of_line(line)).collect();
        let mut at = 0;
        // What a spreadsheet is told of the cells, in a line before all others.
        let stated = all.first().and_then(|line| stated_separator(line));
        if let Some(line) = all.first().filter(|_| stated.is_some()) {
            remarks.push((1, *line));
            at = 1;
        }
        while let Some(line) = all.get(at) {
            let number = at + 1;
            let separator =
                head.as_ref().map_or_else(|| stated.unwrap_or(separator_of_names(line)), |(_, separator)| *separator);
            let columns = head.as_ref().map_or(0, |(head, _)| head.cells.len());
            let more = lines_to_close(&all[at..], separator, columns);
            let written = from_to(body, line, all[at + more]);
            at += more + 1;
            let line = || Line { number, text: written, cells: cells_of(written, separator) };
            if let Some(remark) = written.trim_start().strip_prefix('#') {
                remarks.push((number, remark));
            } else if head.is_none() && is_title(written, &all[at..]) {
                remarks.push((number, written));
            } else if written.trim().is_empty() {
            } else if let Some((head, _)) = &head {
                let mut line = line();
                trim_end(&mut line.cells, head.cells.len());
                if line.cells.iter().any(|cell| !cell.is_empty()) {
                    rows.push(line);
                }
            } else {
                let mut line = line();
                trim_end(&mut line.cells, 0);
                head = Some((line, separator));
            }
        }
        let (head, separator) = head.unwrap_or((Line::default(), Separator::Byte(b',')));
        let units = rows.first().is_some_and(is_row_of_units).then(|| rows.remove(0));
        let cells = rows.iter().flat_map(|row| row.cells.iter().map(|cell| cell.as_bytes()));
        let marks = DecimalMarks::of(cells.clone());
        let decimal = decimal_of(separator, cells);
        let names = head.cells.iter().map(|cell| name_and_unit(cell)).collect();
        Self { text, remarks, head, names, units, rows, separator, decimal, marks }
    }

    /// Looks for these columns among the names.
    pub(crate) fn places(&self, columns: &[Column]) -> Places {
        let mut places = Places { of: vec![None; columns.len()], unknown: Vec::new(), twice: None, other_unit: None };
        for (at, (name, in_head)) in self.names.iter().enumerate() {
            let Some(known) = columns.iter().position(|column| column.name == name) else {
                places.unknown.push(at);
                continue;
            };
            if places.of[known].replace(at).is_some() {
                places.twice = places.twice.or(Some(at));
            }
            let below = self.units.as_ref().map(|line| (line.number, bare_unit(line.cell(at))));
            for (line, found) in [(self.head.number, in_head.clone())].into_iter().chain(below) {
                let column = &columns[known];
                // A column of numbers has its own units or none: what is not known to be its own is not read as it.
                if !column.units.is_empty()
                    && !found.is_empty()
                    && found != "-"
                    && !column.units.iter().any(|unit| is_unit(unit, &found))
                    && places.other_unit.is_none()
                {
                    let expected = column.units.first().copied().unwrap_or("no unit");
                    places.other_unit = Some(OtherUnit { line, column: column.name, found, expected });
                }
            }
        }
        places
    }

    /// The number in a cell of this column, its unit behind it or not.
    pub(crate) fn number(&self, cell: &str, column: &Column) -> Option<f64> {
        let bare = column.units.iter().find_map(|unit| {
            let cut = cell.len().checked_sub(unit.len())?;
            let (number, tail) = cell.split_at_checked(cut)?;
            tail.eq_ignore_ascii_case(unit).then(|| number.trim_end())
        });
        let number = bare.unwrap_or(cell).as_bytes();
        if self.may_part_thousands(number) { None } else { parse_either(number, self.decimal) }
    }

    /// True of `1.250` and `1,250` where nothing in the table tells a decimal mark from one that parts thousands. In
    /// a table parted by commas, a point is a decimal mark unless a number in it has a decimal comma.
    fn may_part_thousands(&self, number: &[u8]) -> bool {
        match thousands_mark(number) {
            None => false,
            Some(DecimalMark::Point) => {
                let is_usual = self.separator == Separator::Byte(b',') || self.marks.point;
                self.marks.comma || !is_usual
            }
            Some(DecimalMark::Comma) => self.marks.point || !self.marks.comma,
        }
    }

    /// How the dates of the column in this place are written.
    pub(crate) fn dates(&self, place: usize) -> Dates {
        let cells: Vec<&[u8]> = self.rows.iter().map(|row| row.cell(place).as_bytes()).collect();
        Dates::of(&cells)
    }

    /// Where in the text a part of it begins.
    pub(crate) fn place_of(&self, part: &str) -> usize {
        part.as_ptr().addr().saturating_sub(self.text.as_ptr().addr()).min(self.text.len())
    }

    /// `key: value` or `key = value` in the remarks, with their lines.
    pub(crate) fn facts(&self) -> impl Iterator<Item = (usize, &'t str, &'t str)> {
        self.remarks.iter().filter_map(|(number, remark)| {
            let (key, value) = fact(remark)?;
            Some((*number, key, value))
        })
    }
}

/// `key: value` or `key = value`, by the mark that comes first.
pub(crate) fn fact(remark: &str) -> Option<(&str, &str)> {
    let (key, value) = remark.split_once([':', '='])?;
    Some((key.trim(), value.trim()))
}

/// The cells of a line of text.
pub(crate) fn cells_of(line: &str, separator: Separator) -> Vec<&str> {
    let mut cells = Vec::new();
    split(line.as_bytes(), separator, &mut cells);
    // Parted at ASCII bytes, UTF-8 stays UTF-8.
    cells.into_iter().map(|cell| std::str::from_utf8(cell).unwrap_or("")).collect()
}

/// Takes away empty cells at the end, beyond this many.
pub(super) fn trim_end(cells: &mut Vec<&str>, keep: usize) {
    while cells.len() > keep && cells.last().is_some_and(|cell| cell.is_empty()) {
        cells.pop();
    }
}

/// How many lines after the first its cells go on. None where no line near closes the quote, or where what it would
/// close in are rows of so many columns themselves: it is a slip then.
fn lines_to_close(from_here: &[&str], separator: Separator, columns: usize) -> usize {
    const LONGEST_CELL: usize = 20;
    let first = from_here[0];
    let is_open = |text: &str| leaves_a_quote_open(text.as_bytes(), separator);
    if first.trim_start().starts_with('#') || !is_open(first) {
        return 0;
    }
    let mut written = first.to_owned();
    for (more, line) in from_here.iter().enumerate().take(LONGEST_CELL).skip(1) {
        written.push('\n');
        written.push_str(line);
        if !is_open(&written) {
            let is_row = |line: &&str| columns > 1 && cells_of(line, separator).len() == columns;
            return if from_here[1..=more].iter().any(is_row) { 0 } else { more };
        }
    }
    0
}

/// From the beginning of one part of a text to the end of another.
fn from_to<'t>(text: &'t str, first: &str, last: &str) -> &'t str {
    let at = |part: &str| part.as_ptr().addr().saturating_sub(text.as_ptr().addr());
    text.get(at(first)..at(last) + last.len()).unwrap_or("")
}

fn text_of_line(line: &[u8]) -> &str {
    // A whole line of UTF-8 is UTF-8.
    std::str::from_utf8(line).unwrap_or("")
}

/// `moisture [%]` as name and unit.
fn name_and_unit(cell: &str) -> (String, String) {
    let at = cell.find(['[', '(']).unwrap_or(cell.len());
    let (name, unit) = cell.split_at(at);
    (name.trim().to_lowercase(), bare_unit(unit))
}

/// The mark of `sep=;`.
fn stated_separator(line: &str) -> Option<Separator> {
    let mark = line.trim_matches(['"', ' ']).strip_prefix("sep=")?;
    let only = <[u8; 1]>::try_from(mark.as_bytes()).ok()?;
    only.iter().find(|byte| b",;|\t".contains(byte)).map(|byte| Separator::Byte(*byte))
}

/// Words that part no cells, above a line of names that does.
fn is_title(line: &str, below: &[&str]) -> bool {
    const MARKS: [char; 4] = [',', ';', '\t', '|'];
    let is_said = |line: &&&str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
    let parts_names = |line: &&str| {
        let separator = separator_of_names(line);
        let cells = cells_of(line, separator);
        line.contains(MARKS)
            && cells.iter().all(|cell| !cell.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)))
    };
    // Words in a table parted by blanks are names.
    let is_alone = !line.trim_matches(MARKS).trim().is_empty() && !line.trim().trim_end_matches(MARKS).contains(MARKS);
    is_alone && below.iter().find(is_said).is_some_and(parts_names)
}

/// Units, and no numbers, below the names.
fn is_row_of_units(line: &Line<'_>) -> bool {
    let cells: Vec<&[u8]> = line.cells.iter().map(|cell| cell.as_bytes()).collect();
    let (units, filled) = units_among(&cells);
    let starts_with_digit = |cell: &&[u8]| cell.first().is_some_and(u8::is_ascii_digit);
    units >= 1 && units * 2 >= filled && !cells.iter().any(starts_with_digit)
}

#[cfg(test)]
mod tests {
    use super::*;

    const COLUMNS: [Column; 3] = [
        Column { name: "date", units: &[] },
        Column { name: "tonnes", units: &["t"] },
        Column { name: "moisture", units: &["%", "% w.b."] },
    ];

    /// Date, tonnes and moisture of the rows.
    fn read(text: &str) -> Vec<(String, f64, f64)> {
        let sheet = Sheet::of(text);
        let places = sheet.places(&COLUMNS);
        assert!(places.unknown.is_empty() && places.other_unit.is_none(), "{text}: {places:?}");
        let place = |column: usize| places.of(column).expect("a column");
        let dates = sheet.dates(place(0));
        let row = |row: &Line<'_>| {
            let date = dates.read(row.cell(place(0)).as_bytes()).expect("a date").date;
            let number = |column: usize| sheet.number(row.cell(place(column)), &COLUMNS[column]).expect("a number");
            (date.to_string(), number(1), number(2))
        };
        sheet.rows.iter().map(row).collect()
    }

    #[test]
    fn one_table_in_every_writing_is_one_table() {
        let wanted = [("2031-03-15".to_owned(), 4.5, 22.5), ("2031-03-16".to_owned(), 5.0, 21.0)];
        for text in [
            "date,tonnes,moisture\n2031-03-15,4.5,22.5\n2031-03-16,5,21\n",
            "# a remark\r\n\r\nDate;Tonnes;Moisture\r\n15.03.2031;4,5;22,5\r\n16.03.2031;5;21\r\n",
            "date\ttonnes\tmoisture\n3/15/2031\t4.5\t22.5\n3/16/2031\t5\t21\n",
            "date|tonnes|moisture\n15 Mar 2031|4.5|22.5\n16 Mar 2031|5|21\n",
            "date tonnes moisture\n2031-03-15 4.5 22.5\n2031-03-16 5 21\n",
            "date;tonnes;moisture\nyyyy-mm-dd;t;%\n20310315;4,5;22,5\n20310316;5;21\n",
            "moisture (%),date,tonnes [t]\n\"22,5\",2031-03-15,\"4,5\"\n21 %,2031-03-16,5 t\n",
            "date;tonnes;moisture;;\n15/03/2031;4.5;22.5;;\n16/03/2031;5;21;;\n;;;;\n",
        ] {
            assert_eq!(read(text), wanted, "{text}");
        }
    }

    #[test]
    fn a_column_in_another_unit_is_told() {
        let other = |text: &str| Sheet::of(text).places(&COLUMNS).other_unit.expect("a unit");
        let told = other("date,tonnes,moisture\n,kg,%\n2031-03-15,4500,22\n");
        assert_eq!((told.line, told.column, &*told.found, told.expected), (2, "tonnes", "kg", "t"));
        assert_eq!(other("date,tonnes [kg]\n2031-03-15,4500\n").line, 1);
    }

    /// What is not known to be a column's own unit is not read as it, be it in the head or in a row of units.
    #[test]
    fn a_unit_that_nobody_knows_is_another_unit() {
        let other = |text: &str| Sheet::of(text).places(&COLUMNS).other_unit.map(|other| (other.column, other.found));
        for unit in ["lb", "lbs", "short tons", "q", "dried", "g"] {
            let head = format!("date,tonnes [{unit}],moisture\n2031-03-15,4,22\n");
            assert_eq!(other(&head), Some(("tonnes", unit.to_owned())));
            let row = format!("date,tonnes,moisture\n,{unit},%\n2031-03-15,4,22\n");
            assert_eq!(other(&row), Some(("tonnes", unit.to_owned())));
        }
        for unit in ["% d.b.", "dry basis", "kg/kg"] {
            let head = format!("date,tonnes,moisture ({unit})\n2031-03-15,4,22\n");
            assert_eq!(other(&head), Some(("moisture", unit.to_owned())));
        }
        for head in ["date (local),tonnes [t],moisture [%]", "date,tonnes (Tonnes),moisture (percent)"] {
            assert_eq!(other(head), None, "{head}");
        }
    }

    /// `1.250` is read where something tells that the point is a decimal mark, and nothing that the comma is one.
    #[test]
    fn a_mark_that_may_part_thousands_is_not_guessed() {
        let number = |text: &str, cell: &str| Sheet::of(text).number(cell, &COLUMNS[1]);
        assert_eq!(number("date;tonnes;moisture\n2031-03-15;1.250;22,5\n", "1.250"), None);
        assert_eq!(number("date\ttonnes\tmoisture\n2031-03-15\t1,250\t22\n", "1,250"), None);
        assert_eq!(number("date,tonnes,moisture\n2031-03-15,\"1,500\",20.5\n", "1,500"), None);
        assert_eq!(number("date,tonnes,moisture\n2031-03-15,1.250,22\n", "1.250"), Some(1.25));
        assert_eq!(number("date;tonnes;moisture\n2031-03-15;1.250;22.5\n", "1.250"), Some(1.25));
        assert_eq!(number("date;tonnes;moisture\n2031-03-15;1,250;22,5\n", "1,250"), Some(1.25));
        assert_eq!(number("date;tonnes;moisture\n2031-03-15;0.250;22\n", "0.250"), Some(0.25));
    }

    #[test]
    fn names_that_are_not_known_and_names_that_stand_twice_are_told() {
        let sheet = Sheet::of("date,variety,tonnes,tonnes\n");
        let places = sheet.places(&COLUMNS);
        assert_eq!((places.unknown, places.twice), (vec![1], Some(3)));
        assert!(Sheet::of("# only a remark\n").head.cells.is_empty());
    }

    #[test]
    fn cells_in_quotes_may_go_on_and_have_their_place() {
        let text = "date,note,tonnes\n2031-03-15,\"two\nlines\",4\n2031-03-16,5\" pipe,4\n";
        let sheet = Sheet::of(text);
        assert_eq!(sheet.rows.len(), 2);
        assert_eq!(sheet.rows[0].cell(1), "two\nlines");
        assert_eq!((sheet.rows[1].number, sheet.rows[1].cell(2)), (4, "4"));
        assert_eq!(&text[sheet.place_of(sheet.rows[0].cell(2))..][..2], "4\n");
        // Two quotes that were forgotten take no rows away.
        let stray = "date,tonnes,note\n2031-03-15,4,\"large\n2031-03-16,4,small\n2031-03-17,4,large\"\n";
        assert_eq!(Sheet::of(stray).rows.len(), 3);
    }
}
