//! One table in every writing that people bring, for the tests of all that read tables.

use chrono::NaiveDateTime;

/// A cell, whatever its writing.
#[derive(Clone, Copy)]
pub(crate) enum Cell {
    Time(NaiveDateTime),
    Day(NaiveDateTime),
    Number(f64),
    Text(&'static str),
}

/// A table as it is meant.
pub(crate) struct Meant {
    /// Lines above the names.
    pub remarks: Vec<&'static str>,
    pub names: Vec<&'static str>,
    pub units: Vec<&'static str>,
    pub rows: Vec<Vec<Cell>>,
}

struct Writing {
    what: &'static str,
    separator: &'static str,
    comma: bool,
    day: &'static str,
    line_end: &'static str,
    unit_row: bool,
    encode: fn(&str) -> Vec<u8>,
}

const PLAIN: Writing = Writing {
    what: "commas and points",
    separator: ",",
    comma: false,
    day: "%Y-%m-%d",
    line_end: "\n",
    unit_row: false,
    encode: |text| text.as_bytes().to_vec(),
};

fn writings() -> Vec<Writing> {
    vec![
        PLAIN,
        Writing { what: "a byte-order mark", encode: |t| [b"\xef\xbb\xbf", t.as_bytes()].concat(), ..PLAIN },
        Writing { what: "semicolons and decimal commas", separator: ";", comma: true, line_end: "\r\n", ..PLAIN },
        Writing { what: "semicolons and points", separator: ";", ..PLAIN },
        Writing { what: "tabs, months first", separator: "\t", day: "%-m/%-d/%Y", ..PLAIN },
        Writing { what: "strokes", separator: "|", ..PLAIN },
        Writing { what: "days first with points", separator: ";", comma: true, day: "%d.%m.%Y", ..PLAIN },
        Writing { what: "days first with strokes", day: "%d/%m/%Y", ..PLAIN },
        Writing { what: "names of months", day: "%d %b %Y", ..PLAIN },
        Writing { what: "a row of units", unit_row: true, ..PLAIN },
        Writing {
            what: "UTF-16 with its mark, semicolons",
            separator: ";",
            comma: true,
            encode: |text| {
                let marked = format!("\u{feff}{text}");
                marked.encode_utf16().flat_map(u16::to_le_bytes).collect()
            },
            ..PLAIN
        },
        Writing {
            what: "UTF-16 without its mark",
            encode: |text| text.encode_utf16().flat_map(u16::to_be_bytes).collect(),
            ..PLAIN
        },
        Writing {
            what: "an old code page, a row of units",
            separator: ";",
            comma: true,
            unit_row: true,
            encode: |text| encoding_rs::WINDOWS_1252.encode(text).0.into_owned(),
            ..PLAIN
        },
    ]
}

impl Meant {
    /// The bytes of every writing, with what is peculiar to it. The first is plain.
    pub(crate) fn in_every_writing(&self) -> Vec<(&'static str, Vec<u8>)> {
        writings().iter().map(|writing| (writing.what, self.written(writing))).collect()
    }

    fn written(&self, writing: &Writing) -> Vec<u8> {
        let mut lines: Vec<String> = self.remarks.iter().map(|&remark| remark.to_owned()).collect();
        lines.push(self.names.join(writing.separator));
        if writing.unit_row {
            lines.push(self.units.join(writing.separator));
        }
        for row in &self.rows {
            let cells: Vec<String> = row.iter().map(|cell| writing.cell(*cell)).collect();
            lines.push(cells.join(writing.separator));
        }
        lines.push(String::new());
        (writing.encode)(&lines.join(writing.line_end))
    }
}

impl Writing {
    fn cell(&self, cell: Cell) -> String {
        match cell {
            Cell::Day(time) => time.format(self.day).to_string(),
            Cell::Time(time) => time.format(&format!("{} %H:%M", self.day)).to_string(),
            Cell::Number(number) if self.comma => number.to_string().replace('.', ","),
            Cell::Number(number) => number.to_string(),
            Cell::Text(text) => text.to_owned(),
        }
    }
}

/// Midnight of a day in March 2031.
pub(crate) fn march(day: u32) -> NaiveDateTime {
    chrono::NaiveDate::from_ymd_opt(2031, 3, day).expect("a day of March").into()
}
