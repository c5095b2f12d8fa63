//! How an unknown table is laid out: what parts its cells, which decimal mark, where the header is.

use super::words::{Quantity, fit};
use crate::table::{
    DecimalMark, Separator, decimal_of, filled, is_time, lines, parse_with_tail as parse, separator_of, split,
    units_among,
};

/// Lines looked at to find the layout.
const EARLY_LINES: usize = 150;
/// Rows looked at to find units and date order.
const SAMPLE_ROWS: usize = 3_000;

/// The layout of a table, with some of its rows.
pub(crate) struct Layout<'a> {
    pub separator: Separator,
    pub decimal: DecimalMark,
    /// Column names as the file writes them.
    pub header: Vec<String>,
    /// Units from a row of their own, empty where there is none.
    pub units: Vec<String>,
    /// Lines above the header.
    pub preamble: Vec<&'a [u8]>,
    /// Cells of rows: consecutive ones from the start.
    pub rows: Vec<Vec<&'a [u8]>>,
    /// Cells of rows picked evenly from the whole file.
    pub spread: Vec<Vec<&'a [u8]>>,
}

impl<'a> Layout<'a> {
    /// Finds the layout, or says what is lacking.
    pub(super) fn find(text: &'a str) -> Result<Self, String> {
        let early: Vec<&[u8]> = lines(text.as_bytes()).take(EARLY_LINES).map(|(_, line)| line).collect();
        let (separator, width) = separator_of(&early).ok_or_else(|| {
            "not a weather file: no table of hours was found in it; dryledger reads EPW, hourly CSV and ISD-lite"
                .to_owned()
        })?;
        let cells_of = |line: &'a [u8]| {
            let mut cells = Vec::new();
            split(line, separator, &mut cells);
            cells
        };
        let table: Vec<Vec<&[u8]>> = early.iter().map(|line| cells_of(line)).collect();
        let decimal = decimal_of(separator, table.iter().flatten().copied());
        let first_row = table.iter().position(|cells| is_row(cells, width, decimal)).ok_or_else(|| {
            "not a weather file: no row of it has a time and numbers; dryledger reads EPW, hourly CSV and \
                 ISD-lite"
                .to_owned()
        })?;
        let (header_at, units_at) = header_above(&table, first_row, width).ok_or_else(|| {
            format!(
                "the table has no header line above its first row (line {}): name its columns by place in \
                 [weather.columns], such as time = \"#1\" and dry_bulb = \"#2\"",
                first_row + 1
            )
        })?;
        let texts = |cells: &[&[u8]]| -> Vec<String> {
            cells.iter().map(|cell| String::from_utf8_lossy(cell).into_owned()).collect()
        };
        let named = filled(&table[header_at]);
        let body = &table[first_row..];
        let wider = body.iter().filter(|cells| filled(cells) > named).count();
        if wider * 2 > body.len() {
            let wide = filled(&table[first_row]);
            return Err(format!(
                "the header (line {}) names {named} columns, but the rows have {wide} cells: a decimal comma in a table \
                 parted by commas, or a missing name, so that no cell can be told; correct the header",
                header_at + 1
            ));
        }
        let all = lines(text.as_bytes()).count();
        let every = (all / SAMPLE_ROWS).max(1);
        let fits = |cells: &Vec<&[u8]>| cells.len() + 1 >= width;
        Ok(Self {
            separator,
            decimal,
            header: texts(&table[header_at]),
            units: units_at.map(|at| texts(&table[at])).unwrap_or_default(),
            preamble: early[..header_at].to_vec(),
            rows: lines(text.as_bytes())
                .skip(first_row)
                .take(SAMPLE_ROWS)
                .map(|(_, line)| cells_of(line))
                .filter(fits)
                .collect(),
            spread: lines(text.as_bytes())
                .skip(first_row)
                .step_by(every)
                .map(|(_, line)| cells_of(line))
                .filter(fits)
                .collect(),
        })
    }

    /// Cells of one column in the rows picked evenly.
    pub(super) fn column(&self, place: usize) -> impl Iterator<Item = &'a [u8]> {
        self.spread.iter().filter_map(move |cells| cells.get(place).copied())
    }

    /// Numbers of one column, leaving out the usual missing codes.
    pub(super) fn numbers(&self, place: usize) -> Vec<f64> {
        self.column(place)
            .filter_map(|cell| parse(cell, self.decimal))
            .filter(|value| *value > -990.0 && *value != 9_999.0 && *value < 200_000.0)
            .collect()
    }

    /// The name by which the table's reader finds a column: its header, or its place if the header is empty
    /// or stands twice.
    pub(super) fn name_of(&self, place: usize) -> String {
        let name = self.header.get(place).map_or("", String::as_str);
        let twins = self.header.iter().filter(|other| other.eq_ignore_ascii_case(name)).count();
        if name.is_empty() || name.starts_with('#') || twins > 1 { format!("#{}", place + 1) } else { name.to_owned() }
    }

    /// The names, for those who look for one among them.
    pub(super) fn shown(&self) -> String {
        let names: Vec<&str> =
            self.header.iter().take(20).map(String::as_str).filter(|name| !name.is_empty()).collect();
        names.join(", ")
    }

    /// The number that a column repeats from its first row to its last.
    pub(super) fn constant(&self, place: usize) -> Option<f64> {
        let values = self.numbers(place);
        let first = *values.first()?;
        (values.len() > 2 && values.iter().all(|value| *value == first)).then_some(first)
    }
}

/// A data row is about as wide as the others and has a time or a year, and numbers.
fn is_row(cells: &[&[u8]], width: usize, decimal: DecimalMark) -> bool {
    if cells.len() + 1 < width {
        return false;
    }
    let numbers = cells.iter().filter(|cell| parse(cell, decimal).is_some()).count();
    let has_time = cells.iter().any(|cell| is_time(cell));
    let not_empty = cells.iter().filter(|cell| !cell.is_empty()).count();
    (has_time && numbers >= 1) || (numbers >= 3 && numbers * 10 >= not_empty * 6)
}

/// The header is the wide line of words above the first row that names most quantities, the nearest of
/// equals; a line of units may lie below it.
fn header_above(table: &[Vec<&[u8]>], first_row: usize, width: usize) -> Option<(usize, Option<usize>)> {
    let is_wordy = |cells: &Vec<&[u8]>| {
        let words =
            cells.iter().filter(|cell| cell.iter().any(u8::is_ascii_alphabetic) || cell.contains(&b'%')).count();
        cells.len() + 2 >= width && words >= 2 && words * 2 >= cells.iter().filter(|c| !c.is_empty()).count()
    };
    // Loggers write several lines of words: names, units, kinds of sample. The names are those that are
    // understood.
    let known = |at: usize| table[at].iter().filter(|cell| names_a_quantity(cell)).count();
    let above = (0..first_row).rev().filter(|at| is_wordy(&table[*at])).take(6);
    let names = above.max_by_key(|at| (known(*at), *at))?;
    let units = (names + 1..first_row).find(|at| is_units(&table[*at]));
    Some((names, units))
}

fn names_a_quantity(cell: &[u8]) -> bool {
    const QUANTITIES: [Quantity; 5] = [
        Quantity::DryBulb,
        Quantity::RelativeHumidity,
        Quantity::DewPoint,
        Quantity::StationPressure,
        Quantity::SeaLevelPressure,
    ];
    // A unit alone (`C`, `%`) is no name.
    let name = String::from_utf8_lossy(cell);
    name.len() > 1 && QUANTITIES.iter().any(|quantity| fit(&name, *quantity) > 0)
}

/// True if most cells are units rather than names.
fn is_units(cells: &[&[u8]]) -> bool {
    let (units, filled) = units_among(cells);
    units >= 2 && units * 2 >= filled
}
