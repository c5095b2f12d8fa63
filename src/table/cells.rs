//! The cells of a table's line.

/// What parts the cells of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separator {
    /// One character: `,` `;` a tab, `|`.
    Byte(u8),
    /// Any run of blanks.
    Blanks,
}

/// Splits a line into trimmed cells without their quotes.
pub(crate) fn split<'a>(line: &'a [u8], separator: Separator, cells: &mut Vec<&'a [u8]>) {
    cells.clear();
    match separator {
        Separator::Blanks => {
            cells.extend(line.split(u8::is_ascii_whitespace).filter(|cell| !cell.is_empty()));
        }
        Separator::Byte(byte) if line.contains(&b'"') => {
            part_quoted(line, byte, |cell| cells.push(clean(cell)));
        }
        Separator::Byte(byte) => {
            cells.extend(line.split(|b| *b == byte).map(<[u8]>::trim_ascii));
        }
    }
}

/// Parts a line with quotes in it; true if the last of them is left open. Only a quote that begins a cell opens: `5" pipe`
/// is a text like any other.
fn part_quoted<'a>(line: &'a [u8], separator: u8, mut take: impl FnMut(&'a [u8])) -> bool {
    let (mut in_quotes, mut quoted) = (false, false);
    let mut start = 0;
    for (at, &byte) in line.iter().enumerate() {
        if byte == b'"' {
            in_quotes |= line[start..at].trim_ascii().is_empty();
            quoted = in_quotes && !quoted;
        } else if byte == separator && !quoted {
            take(&line[start..at]);
            start = at + 1;
            in_quotes = false;
        }
    }
    take(&line[start..]);
    quoted
}

/// True if a quote that began a cell is not closed at the end of the line.
pub(crate) fn leaves_a_quote_open(line: &[u8], separator: Separator) -> bool {
    match separator {
        Separator::Blanks => false,
        Separator::Byte(byte) => part_quoted(line, byte, |_| {}),
    }
}

fn clean(cell: &[u8]) -> &[u8] {
    let cell = cell.trim_ascii();
    cell.strip_prefix(b"\"").and_then(|cell| cell.strip_suffix(b"\"")).map_or(cell, <[u8]>::trim_ascii)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// What the csv library writes (RFC 4180) is read cell by cell as it was meant, under every separator: names
        /// with commas, quotes, blanks within, and numbers with a decimal comma.
        #[test]
        fn a_line_that_a_library_wrote_is_read_as_meant(
            cells in prop::collection::vec("[a-z0-9,;|\"'.%°-]([a-z0-9 ,;|\"'.%°-]{0,6}[a-z0-9,;|\"'.%°-])?", 2..6),
            separator in prop::sample::select(vec![b',', b';', b'\t', b'|']),
        ) {
            let mut writer = csv::WriterBuilder::new().delimiter(separator).from_writer(Vec::new());
            writer.write_record(&cells).expect("a row");
            let line = writer.into_inner().expect("all of it");
            let mut read = Vec::new();
            split(line.trim_ascii_end(), Separator::Byte(separator), &mut read);
            let read: Vec<String> =
                read.iter().map(|cell| String::from_utf8_lossy(cell).replace("\"\"", "\"")).collect();
            prop_assert_eq!(read, cells);
        }
    }
}
