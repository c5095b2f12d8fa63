//! How a table is written: what parts its cells, which decimal mark, a row of units, the order of day and month.

use super::cells::{Separator, split};
use super::number::{DecimalMark, parse_with_tail};
use super::stamp::{DateOrder, Stamp, parse_stamp};
use crate::unit::{Dimension, parse};

/// Cells up to the last that is not empty.
pub(crate) fn filled(cells: &[&[u8]]) -> usize {
    cells.len() - cells.iter().rev().take_while(|cell| cell.is_empty()).count()
}

/// The separator under which most early lines have one same number of cells, and that number.
pub(crate) fn separator_of(early: &[&[u8]]) -> Option<(Separator, usize)> {
    let candidates = [
        Separator::Byte(b'\t'),
        Separator::Byte(b';'),
        Separator::Byte(b'|'),
        Separator::Byte(b','),
        Separator::Blanks,
    ];
    let mut cells = Vec::new();
    let mut best: Option<(Separator, usize, usize)> = None;
    for separator in candidates {
        let mut counts = std::collections::BTreeMap::<usize, usize>::new();
        for line in early {
            split(line, separator, &mut cells);
            if cells.len() > 1 {
                *counts.entry(cells.len()).or_default() += 1;
            }
        }
        let Some((&width, &agreeing)) = counts.iter().max_by_key(|(width, count)| (**count, **width)) else {
            continue;
        };
        // The earlier candidates are rarer in prose and in numbers: they win unless clearly worse.
        if best.is_none_or(|(_, _, most)| agreeing * 10 > most * 15) {
            best = Some((separator, width, agreeing));
        }
    }
    best.filter(|(_, _, agreeing)| *agreeing >= 2 || early.len() < 4).map(|(separator, width, _)| (separator, width))
}

/// The mark that more cells have between digits.
pub(crate) fn decimal_of<'t>(separator: Separator, cells: impl Iterator<Item = &'t [u8]>) -> DecimalMark {
    let (mut commas, mut points) = (0, 0);
    for cell in cells {
        if parse_with_tail(cell, DecimalMark::Comma).is_some() && cell.contains(&b',') {
            commas += 1;
        } else if parse_with_tail(cell, DecimalMark::Point).is_some() && cell.contains(&b'.') {
            points += 1;
        }
    }
    if commas > points && (separator != Separator::Byte(b',') || commas > 4) {
        DecimalMark::Comma
    } else {
        DecimalMark::Point
    }
}

/// What parts the cells of a line of names: the mark that stands there most often, a comma among equals; blanks where
/// there is no mark.
pub(crate) fn separator_of_names(line: &str) -> Separator {
    let marks = [b',', b';', b'\t', b'|'];
    let count = |mark: u8| line.bytes().filter(|byte| *byte == mark).count();
    let mut most = (b',', count(b','));
    for mark in marks {
        if count(mark) > most.1 {
            most = (mark, count(mark));
        }
    }
    let in_words = most.1 == 0 && line.split_ascii_whitespace().nth(1).is_some();
    if in_words { Separator::Blanks } else { Separator::Byte(most.0) }
}

/// How many cells are units, and how many are not empty.
pub(crate) fn units_among(cells: &[&[u8]]) -> (usize, usize) {
    let names: Vec<String> =
        cells.iter().map(|cell| bare_unit(&String::from_utf8_lossy(cell))).filter(|cell| !cell.is_empty()).collect();
    let units = names.iter().filter(|cell| is_some_unit(cell)).count();
    (units, names.len())
}

/// True of a unit, or of the stroke that stands for none. Names of columns that are units elsewhere (`day`, `in`,
/// `db`) are not taken for units.
fn is_some_unit(cell: &str) -> bool {
    if cell == "-" || cell == "h" {
        return true;
    }
    let Ok(unit) = parse(cell) else { return false };
    let is_share = unit.dimension == Dimension::NONE && unit.factor < 1.0;
    let others = [Dimension::NONE, Dimension::TIME, Dimension::CALENDAR, Dimension::MONEY];
    is_share || (cell != "in" && !others.contains(&unit.dimension))
}

/// True if `found`, in lower case, is this unit or another name of it.
pub(crate) fn is_unit(unit: &str, found: &str) -> bool {
    unit.to_lowercase() == found || parse(unit).is_ok_and(|unit| parse(found).is_ok_and(|found| unit.is_same(&found)))
}

/// A unit without its brackets, in lower case.
pub(crate) fn bare_unit(cell: &str) -> String {
    cell.trim().trim_matches(|c: char| "()[]{}".contains(c)).trim().to_lowercase()
}

/// True if some order of day and month makes a time of it.
pub(crate) fn is_time(cell: &[u8]) -> bool {
    [DateOrder::YearFirst, DateOrder::DayFirst, DateOrder::MonthFirst]
        .into_iter()
        .any(|order| parse_stamp(cell, order).is_some())
}

/// The orders of day and month that a column of dates leaves open: those under which most of its cells are dates,
/// of orders that read all cells alike the first alone.
pub(crate) fn open_orders(cells: &[&[u8]]) -> Vec<DateOrder> {
    let orders = [DateOrder::YearFirst, DateOrder::DayFirst, DateOrder::MonthFirst];
    let read = |order: DateOrder| -> Vec<Option<Stamp>> { cells.iter().map(|cell| parse_stamp(cell, order)).collect() };
    let readings = orders.map(|order| (order, read(order)));
    let count = |stamps: &[Option<Stamp>]| stamps.iter().flatten().count();
    let most = readings.iter().map(|(_, stamps)| count(stamps)).max().unwrap_or(0);
    let mut open: Vec<(DateOrder, Vec<Option<Stamp>>)> = Vec::new();
    for (order, stamps) in readings {
        // One cell in two hundred may be damaged.
        let fits = (most - count(&stamps)) * 200 <= cells.len() && most > 0;
        if fits && !open.iter().any(|(_, other)| *other == stamps) {
            open.push((order, stamps));
        }
    }
    open.into_iter().map(|(order, _)| order).collect()
}

/// How the dates of a column are read, as far as the column tells it.
pub(crate) struct Dates {
    orders: Vec<DateOrder>,
}

impl Dates {
    /// From all cells of the column. A point parts days first, where nothing tells otherwise.
    pub(crate) fn of(cells: &[&[u8]]) -> Self {
        let orders = open_orders(cells);
        let pointed = cells.iter().all(|cell| !cell.iter().any(|byte| b"/-".contains(byte)));
        if orders.len() > 1 && pointed && orders.contains(&DateOrder::DayFirst) {
            return Self { orders: vec![DateOrder::DayFirst] };
        }
        Self { orders }
    }

    /// The time in a cell; `None` too where the orders left open read it differently.
    pub(crate) fn read(&self, cell: &[u8]) -> Option<Stamp> {
        let mut readings = self.orders.iter().map(|order| parse_stamp(cell, *order));
        let first = readings.next()??;
        readings.all(|other| other == Some(first)).then_some(first)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dates(cells: &[&str]) -> Vec<Option<String>> {
        let cells: Vec<&[u8]> = cells.iter().map(|cell| cell.as_bytes()).collect();
        let dates = Dates::of(&cells);
        cells.iter().map(|cell| dates.read(cell).map(|stamp| stamp.date.to_string())).collect()
    }

    #[test]
    fn a_column_tells_the_order_of_its_dates_or_the_dates_are_not_read() {
        let march = Some("2031-03-04".to_owned());
        assert_eq!(dates(&["2031-03-04"])[0], march);
        assert_eq!(dates(&["04.03.2031"])[0], march);
        assert_eq!(dates(&["4 March 2031"])[0], march);
        assert_eq!(dates(&["04/03/2031", "13/03/2031"])[0], march);
        assert_eq!(dates(&["03/04/2031", "03/13/2031"])[0], march);
        assert_eq!(dates(&["03/04/2031", "05/05/2031"])[0], None);
        assert_eq!(dates(&["03/04/2031", "05/05/2031"])[1], Some("2031-05-05".to_owned()));
        // Two orders in one column: the rarer is not read.
        let mixed = dates(&["13/03/2031", "14/03/2031", "03/15/2031"]);
        assert!(mixed[0].is_some() && mixed[2].is_none(), "{mixed:?}");
        assert_eq!(dates(&["15/03/31"])[0], None, "day or year first");
        assert_eq!(dates(&["yesterday"]), [None]);
        // A weekday that is a month elsewhere.
        assert_eq!(dates(&["mar. 04-02-2031"])[0], None);
        assert_eq!(dates(&["Mar 4, 2031"])[0], march);
    }

    #[test]
    fn the_mark_between_names_is_the_commonest() {
        assert_eq!(separator_of_names("date,tonnes"), Separator::Byte(b','));
        assert_eq!(separator_of_names("date;tonnes, t;moisture"), Separator::Byte(b';'));
        assert_eq!(separator_of_names("date\ttonnes"), Separator::Byte(b'\t'));
        assert_eq!(separator_of_names("date tonnes"), Separator::Blanks);
        assert_eq!(separator_of_names("date"), Separator::Byte(b','));
    }
}
