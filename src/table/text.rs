//! From the bytes of a file to text: byte-order marks, UTF-16, Latin-1, stray NULs; kinds of file that hold no text.

use encoding_rs::{Encoding, UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::borrow::Cow;

/// A file as text, with what was found in making it so.
pub(crate) struct Decoded<'a> {
    pub text: Cow<'a, str>,
    /// The encoding that the file says it has, where characters of it are broken.
    pub broken: Option<&'static str>,
    pub nul: Option<NulBytes>,
}

/// NULs are damage (a disk that filled up, a logger that lost power): the cells they stand in become
/// unreadable, the others stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct NulBytes {
    pub count: usize,
    /// Line of the first, from 1.
    pub line: usize,
}

/// The file as text: by its byte-order mark, else as UTF-16 or UTF-8 if it can be that, else as Windows-1252.
pub(crate) fn decode(bytes: &[u8]) -> Decoded<'_> {
    let marked = Encoding::for_bom(bytes).or_else(|| unmarked_utf16(bytes).map(|utf16| (utf16, 0)));
    let (text, broken) = if let Some((encoding, mark)) = marked {
        let (text, broken) = encoding.decode_without_bom_handling(&bytes[mark..]);
        (text, broken.then_some(encoding.name()))
    } else if let Ok(text) = std::str::from_utf8(bytes) {
        (Cow::Borrowed(text), None)
    } else {
        (WINDOWS_1252.decode_without_bom_handling(bytes).0, None)
    };
    match nul_bytes(&text) {
        None => Decoded { text, broken, nul: None },
        nul => Decoded { text: Cow::Owned(text.replace('\0', "\u{fffd}")), broken, nul },
    }
}

/// Kinds of file that people give by mistake, by how they begin, and what to do.
const NO_TABLES: [(&[u8], &str); 8] = [
    (b"\x1f\x8b", "a gzip archive: unpack it and give the file inside"),
    (b"PK\x03\x04", "a zip archive or a spreadsheet workbook: unpack it, or save the sheet as CSV"),
    (b"BZh", "a bzip2 archive: unpack it and give the file inside"),
    (b"\xfd7zXZ", "an xz archive: unpack it and give the file inside"),
    (b"%PDF", "a PDF: ask for the table as CSV"),
    (b"CDF\x01", "a NetCDF file: export the place's values as CSV"),
    (b"\x89HDF", "an HDF5 file: export the place's values as CSV"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet workbook: save the sheet as CSV"),
];

/// What a file is that holds no table, and what to do; `None` if it may hold one.
pub(crate) fn no_table(bytes: &[u8]) -> Option<&'static str> {
    if let Some((_, what)) = NO_TABLES.iter().find(|(start, _)| bytes.starts_with(start)) {
        return Some(what);
    }
    match bytes.trim_ascii_start().first() {
        Some(b'{') => Some("JSON: ask the service for CSV"),
        Some(b'<') => Some("a web page or XML, perhaps a failed download: get the table itself as CSV"),
        _ => None,
    }
}

/// UTF-16 without its mark: every other byte of the first lines is zero.
fn unmarked_utf16(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = &bytes[..bytes.len().min(512) & !1];
    if start.len() < 16 {
        return None;
    }
    let zeros = |odd: usize| {
        start.chunks_exact(2).filter(|pair| pair[odd] == 0 && pair[1 - odd] != 0).count() * 10 > start.len() / 2 * 8
    };
    if zeros(1) {
        Some(UTF_16LE)
    } else if zeros(0) {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// The text of a table; the error says what the file is instead.
pub(crate) fn text_of(bytes: &[u8]) -> Result<String, &'static str> {
    match no_table(bytes) {
        Some(what) => Err(what),
        None => Ok(decode(bytes).text.into_owned()),
    }
}

fn nul_bytes(text: &str) -> Option<NulBytes> {
    let first = text.as_bytes().iter().position(|byte| *byte == 0)?;
    Some(NulBytes {
        count: text.bytes().filter(|byte| *byte == 0).count(),
        line: text[..first].matches('\n').count() + 1,
    })
}

/// Lines with their numbers from 1, without their ends (`\n`, `\r\n`, or `\r` alone).
pub(crate) fn lines(text: &[u8]) -> Lines<'_> {
    Lines {
        rest: text,
        number: 0,
        end: if memchr::memchr_iter(b'\r', text).any(|at| text.get(at + 1) != Some(&b'\n')) {
            // Files of old systems end lines with a bare carriage return; some hands mix the two.
            End::Either
        } else {
            End::LineFeed
        },
    }
}

/// See [`lines`].
#[derive(Clone)]
pub(crate) struct Lines<'a> {
    rest: &'a [u8],
    number: u32,
    end: End,
}

/// What ends a line.
#[derive(Clone, Copy)]
enum End {
    /// `\n`, or `\r\n`.
    LineFeed,
    /// These, or `\r` alone.
    Either,
}

impl<'a> Iterator for Lines<'a> {
    type Item = (u32, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        if self.rest.is_empty() {
            return None;
        }
        let end = match self.end {
            End::LineFeed => memchr::memchr(b'\n', self.rest),
            // `\r\n` is one end: the line feed is looked for where it follows at once.
            End::Either => memchr::memchr2(b'\r', b'\n', self.rest)
                .map(|at| if self.rest[at..].starts_with(b"\r\n") { at + 1 } else { at }),
        };
        let (line, rest) = match end {
            Some(at) => (&self.rest[..at], &self.rest[at + 1..]),
            None => (self.rest, &self.rest[self.rest.len()..]),
        };
        self.rest = rest;
        self.number = self.number.saturating_add(1);
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        Some((self.number, line))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_encodings_become_text() {
        let told = |bytes: &[u8]| {
            let decoded = decode(bytes);
            assert_eq!((decoded.broken, decoded.nul), (None, None));
            decoded.text.into_owned()
        };
        assert_eq!(told(b"\xef\xbb\xbfa;b"), "a;b");
        assert_eq!(told(b"Temperatur [\xb0C]"), "Temperatur [°C]");
        assert_eq!(told("grün".as_bytes()), "grün");
        let wide: Vec<u8> = "time,temperature".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(told(&wide), "time,temperature");
    }

    #[test]
    fn broken_characters_and_nul_bytes_are_told() {
        assert_eq!(decode(b"\xff\xfe\x00\xd8").broken, Some("UTF-16LE"));
        let decoded = decode(b"a\nb\0c");
        assert_eq!(&*decoded.text, "a\nb\u{fffd}c");
        assert_eq!(decoded.nul, Some(NulBytes { count: 1, line: 2 }));
    }

    #[test]
    fn files_that_hold_no_table_are_known_by_how_they_begin() {
        assert!(no_table(b"PK\x03\x04...").is_some_and(|what| what.contains("save the sheet")));
        assert!(no_table(b" {\"hourly\": 1}").is_some_and(|what| what.contains("JSON")));
        assert_eq!(no_table(b"date,tonnes\n"), None);
    }

    #[test]
    fn lines_end_in_every_common_way() {
        let split = |text: &'static str| lines(text.as_bytes()).collect::<Vec<_>>();
        assert_eq!(split("a\r\nb\n"), [(1, &b"a"[..]), (2, b"b")]);
        assert_eq!(split("a\rb"), [(1, &b"a"[..]), (2, b"b")]);
        // Some hands mix them.
        assert_eq!(split("a\rb\r\nc\nd"), [(1, &b"a"[..]), (2, b"b"), (3, b"c"), (4, b"d")]);
        assert_eq!(split("a\r\rb\r\n"), [(1, &b"a"[..]), (2, b""), (3, b"b")]);
    }
}
