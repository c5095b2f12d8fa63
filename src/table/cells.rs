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
            let mut quoted = false;
            let mut start = 0;
            for (at, &b) in line.iter().enumerate() {
                if b == b'"' {
                    quoted = !quoted;
                } else if b == byte && !quoted {
                    cells.push(clean(&line[start..at]));
                    start = at + 1;
                }
            }
            cells.push(clean(&line[start..]));
        }
        Separator::Byte(byte) => {
            cells.extend(line.split(|b| *b == byte).map(<[u8]>::trim_ascii));
        }
    }
}

fn clean(cell: &[u8]) -> &[u8] {
    let cell = cell.trim_ascii();
    cell.strip_prefix(b"\"")
        .and_then(|cell| cell.strip_suffix(b"\""))
        .map_or(cell, <[u8]>::trim_ascii)
}
