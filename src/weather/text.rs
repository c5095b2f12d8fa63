//! From the bytes of a file to text: byte-order marks, UTF-16, Latin-1, stray NULs.

use super::problem::Problem;
use encoding_rs::{Encoding, UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::borrow::Cow;

/// The file as text, with what had to be done to make it so.
pub(super) fn decode<'a>(bytes: &'a [u8], problems: &mut Vec<Problem>) -> Cow<'a, str> {
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        let (text, broken) = encoding.decode_without_bom_handling(&bytes[mark..]);
        if broken {
            problems.push(broken_text(encoding));
        }
        return without_nul(text, problems);
    }
    if let Some(encoding) = unmarked_utf16(bytes) {
        let (text, broken) = encoding.decode_without_bom_handling(bytes);
        if broken {
            problems.push(broken_text(encoding));
        }
        return without_nul(text, problems);
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return without_nul(Cow::Borrowed(text), problems);
    }
    let (text, _) = WINDOWS_1252.decode_without_bom_handling(bytes);
    without_nul(text, problems)
}

fn broken_text(encoding: &'static Encoding) -> Problem {
    Problem::warning(
        "file.encoding",
        format!("the file says it is {} but holds broken characters", encoding.name()),
    )
}

/// UTF-16 without its mark: every other byte of the first lines is zero.
fn unmarked_utf16(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = &bytes[..bytes.len().min(512) & !1];
    if start.len() < 16 {
        return None;
    }
    let zeros = |odd: usize| {
        start.chunks_exact(2).filter(|pair| pair[odd] == 0 && pair[1 - odd] != 0).count() * 10
            > start.len() / 2 * 8
    };
    if zeros(1) {
        Some(UTF_16LE)
    } else if zeros(0) {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// NULs are damage (a disk that filled up, a logger that lost power): the cells they stand in become
/// unreadable, the others stay.
fn without_nul<'a>(text: Cow<'a, str>, problems: &mut Vec<Problem>) -> Cow<'a, str> {
    if !text.as_bytes().contains(&0) {
        return text;
    }
    let before = text.bytes().take_while(|byte| *byte != 0);
    let line = before.filter(|byte| *byte == b'\n').count() + 1;
    let count = text.bytes().filter(|byte| *byte == 0).count();
    problems.push(Problem::new(
        super::Severity::Warning,
        "file.nul",
        u32::try_from(line).ok(),
        format!(
            "{count} NUL bytes in the file, the first on line {line}: it was damaged; the rows they touch are \
             left out, get the file again"
        ),
    ));
    Cow::Owned(text.replace('\0', "\u{fffd}"))
}

/// Lines with their numbers from 1, without their ends (`\n`, `\r\n`, or `\r` alone).
pub(super) fn lines(text: &[u8]) -> Lines<'_> {
    Lines {
        rest: text,
        number: 0,
        // Files of old systems end lines with a bare carriage return.
        end: if text.contains(&b'\n') { b'\n' } else { b'\r' },
    }
}

/// See [`lines`].
#[derive(Clone)]
pub(super) struct Lines<'a> {
    rest: &'a [u8],
    number: u32,
    end: u8,
}

impl<'a> Iterator for Lines<'a> {
    type Item = (u32, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        if self.rest.is_empty() {
            return None;
        }
        let (line, rest) = match find(self.rest, self.end) {
            Some(at) => (&self.rest[..at], &self.rest[at + 1..]),
            None => (self.rest, &self.rest[self.rest.len()..]),
        };
        self.rest = rest;
        self.number = self.number.saturating_add(1);
        let line = line.strip_suffix(b"\r").unwrap_or(line);
        Some((self.number, line))
    }
}

/// Place of the first such byte, eight bytes at a look: an exclusive-or makes it zero, and a zero byte is
/// found by the borrow it causes ("Determine if a word has a zero byte", a folk method).
fn find(bytes: &[u8], wanted: u8) -> Option<usize> {
    const ONES: u64 = 0x0101_0101_0101_0101;
    const HIGH: u64 = 0x8080_8080_8080_8080;
    let pattern = ONES * u64::from(wanted);
    let (words, tail) = bytes.as_chunks::<8>();
    for (at, word) in words.iter().enumerate() {
        let differs = u64::from_le_bytes(*word) ^ pattern;
        let zeros = differs.wrapping_sub(ONES) & !differs & HIGH;
        if zeros != 0 {
            return Some(at * 8 + zeros.trailing_zeros() as usize / 8);
        }
    }
    let start = bytes.len() - tail.len();
    tail.iter().position(|byte| *byte == wanted).map(|at| start + at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_encodings_become_text() {
        let mut problems = Vec::new();
        let mut told = |bytes: &[u8]| decode(bytes, &mut problems).into_owned();
        assert_eq!(told(b"\xef\xbb\xbfa;b"), "a;b");
        assert_eq!(told(b"Temperatur [\xb0C]"), "Temperatur [°C]");
        assert_eq!(told("grün".as_bytes()), "grün");
        let wide: Vec<u8> = "time,temperature".encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(told(&wide), "time,temperature");
        assert!(problems.is_empty());
    }

    #[test]
    fn nul_bytes_are_told() {
        let mut problems = Vec::new();
        let text = decode(b"a\nb\0c", &mut problems);
        assert_eq!(&*text, "a\nb\u{fffd}c");
        assert_eq!((problems[0].code, problems[0].line), ("file.nul", Some(2)));
    }

    #[test]
    fn a_byte_is_found_wherever_it_stands() {
        for length in 0..40 {
            let mut bytes = vec![b'x'; length];
            assert_eq!(find(&bytes, b'\n'), None);
            for at in (0..length).rev() {
                bytes[at] = b'\n';
                assert_eq!(find(&bytes, b'\n'), Some(at));
            }
        }
        assert_eq!(find(&[0x8a, 0x0b, 0x0a, 0x09], b'\n'), Some(2));
    }

    #[test]
    fn lines_end_in_every_common_way() {
        let split = |text: &'static str| lines(text.as_bytes()).collect::<Vec<_>>();
        assert_eq!(split("a\r\nb\n"), [(1, &b"a"[..]), (2, b"b")]);
        assert_eq!(split("a\rb"), [(1, &b"a"[..]), (2, b"b")]);
    }
}
