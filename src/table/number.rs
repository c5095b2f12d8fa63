//! Numbers out of bytes: the hot path of every reader.

/// Which mark parts the whole from the fraction.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DecimalMark {
    /// `12.5`
    #[default]
    Point,
    /// `12,5`
    Comma,
}

impl DecimalMark {
    fn byte(self) -> u8 {
        match self {
            Self::Point => b'.',
            Self::Comma => b',',
        }
    }
}

/// Powers of ten that a double holds exactly.
const POWERS: [f64; 16] = [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];

/// A finite number, or `None` for anything else: text, blanks, `nan`, `inf`, a number with a tail.
///
/// Up to fifteen digits are read as one whole number and divided by an exact power of ten, which
/// rounds as the standard library does; longer or exponential forms go to the standard library.
pub(crate) fn parse(text: &[u8], mark: DecimalMark) -> Option<f64> {
    let text = text.trim_ascii();
    let (negative, digits) = match text.first()? {
        b'-' => (true, &text[1..]),
        b'+' => (false, &text[1..]),
        _ => (false, text),
    };
    let mark = mark.byte();
    let mut whole: u64 = 0;
    let mut seen = 0_usize;
    let mut decimals: Option<usize> = None;
    for &byte in digits {
        if byte.is_ascii_digit() {
            seen += 1;
            if seen > 15 {
                return parse_slowly(text, mark);
            }
            whole = whole * 10 + u64::from(byte - b'0');
            if let Some(count) = &mut decimals {
                *count += 1;
            }
        } else if byte == mark && decimals.is_none() {
            decimals = Some(0);
        } else {
            return parse_slowly(text, mark);
        }
    }
    if seen == 0 {
        return None;
    }
    let value = whole as f64 / POWERS[decimals.unwrap_or(0)];
    Some(if negative { -value } else { value })
}

fn parse_slowly(text: &[u8], mark: u8) -> Option<f64> {
    // Only a plain or exponential decimal: the standard library would also take `nan` and `inf`.
    let fits = |b: &u8| b.is_ascii_digit() || *b == mark || b"+-eE".contains(b);
    if text.len() > 40 || !text.iter().all(fits) {
        return None;
    }
    let text = std::str::from_utf8(text).ok()?;
    let value: f64 = if mark == b',' { text.replace(',', ".").parse().ok()? } else { text.parse().ok()? };
    value.is_finite().then_some(value)
}

/// A number that may have a unit or a flag behind it: `21.1 °C`, `85%`, `12.3*`.
pub(crate) fn parse_with_tail(cell: &[u8], mark: DecimalMark) -> Option<f64> {
    if let Some(number) = parse(cell, mark) {
        return Some(number);
    }
    let end = cell.iter().position(|byte| !(byte.is_ascii_digit() || b"+-.,".contains(byte)))?;
    let (number, tail) = cell.split_at(end);
    let tail = String::from_utf8_lossy(tail.trim_ascii());
    matches!(&*tail, "%" | "°C" | "°F" | "C" | "F" | "hPa" | "*" | "s").then(|| parse(number, mark)).flatten()
}

/// A number with this decimal mark, or with the other where it cannot be a mark of thousands: `1,250` in a table that
/// writes points is no number.
pub(crate) fn parse_either(text: &[u8], mark: DecimalMark) -> Option<f64> {
    let other = match mark {
        DecimalMark::Point => DecimalMark::Comma,
        DecimalMark::Comma => DecimalMark::Point,
    };
    parse(text, mark).or_else(|| parse(text, other).filter(|_| thousands_mark(text) != Some(other)))
}

/// The mark of a number that may part thousands in it: `1.250`, `12,500`. A number below one (`0.250`) has none.
pub(crate) fn thousands_mark(text: &[u8]) -> Option<DecimalMark> {
    let digits = text.trim_ascii();
    let digits = digits.strip_prefix(b"-").unwrap_or(digits);
    let mut parts = digits.split(|byte| b".,".contains(byte));
    let (whole, rest) = (parts.next()?, parts.next()?);
    let are_digits = |part: &[u8]| part.iter().all(u8::is_ascii_digit);
    let fits = (1..=3).contains(&whole.len()) && whole[0] != b'0' && rest.len() == 3 && parts.next().is_none();
    let mark = if digits.contains(&b',') { DecimalMark::Comma } else { DecimalMark::Point };
    (fits && are_digits(whole) && are_digits(rest)).then_some(mark)
}

/// Which marks stand in numbers of a table where they cannot part thousands: those are decimal marks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct DecimalMarks {
    pub point: bool,
    pub comma: bool,
}

impl DecimalMarks {
    /// Of these cells.
    pub(crate) fn of<'t>(cells: impl Iterator<Item = &'t [u8]>) -> Self {
        cells.fold(Self::default(), |marks, cell| {
            let has = |mark: DecimalMark| {
                cell.contains(&mark.byte()) && thousands_mark(cell).is_none() && parse(cell, mark).is_some()
            };
            Self { point: marks.point || has(DecimalMark::Point), comma: marks.comma || has(DecimalMark::Comma) }
        })
    }
}

/// The nearest whole number; values beyond its range become its ends, which no caller has.
#[allow(clippy::cast_possible_truncation)]
pub(crate) fn whole(value: f64) -> i64 {
    value.round() as i64
}

/// A whole number without sign, of at most nine digits.
pub(crate) fn parse_whole(text: &[u8]) -> Option<u32> {
    let text = text.trim_ascii();
    if text.is_empty() || text.len() > 9 {
        return None;
    }
    text.iter().try_fold(0_u32, |value, byte| byte.is_ascii_digit().then(|| value * 10 + u32::from(byte - b'0')))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_standard_library() {
        for text in
            ["0", "-0.0", "12.5", "+3", "99870.00", ".9", "5.", "10.357019999999999", "1e-3", "123456789012345678"]
        {
            let expected: f64 = text.parse().unwrap();
            assert_eq!(parse(text.as_bytes(), DecimalMark::Point), Some(expected));
        }
        assert_eq!(parse(b" 925,6 ", DecimalMark::Comma), Some(925.6));
        assert_eq!(parse(b",9", DecimalMark::Comma), Some(0.9));
    }

    #[test]
    fn a_unit_may_follow() {
        let read = |text: &str| parse_with_tail(text.as_bytes(), DecimalMark::Point);
        assert_eq!(read("21.1 °C"), Some(21.1));
        assert_eq!(read("85%"), Some(85.0));
        assert_eq!(read("12 apples"), None);
        assert_eq!(read("%"), None);
    }

    #[test]
    fn the_other_mark_is_read_where_it_cannot_part_thousands() {
        let read = |text: &str| parse_either(text.as_bytes(), DecimalMark::Point);
        assert_eq!(read("22,5"), Some(22.5));
        assert_eq!(read("-0,125"), Some(-0.125));
        assert_eq!(read("1,2505"), Some(1.2505));
        assert_eq!(read("1,250"), None);
        assert_eq!(parse_either(b"1,250", DecimalMark::Comma), Some(1.25));
        assert_eq!(parse_either(b"-1.250", DecimalMark::Comma), None);
    }

    #[test]
    fn nothing_but_a_number_is_a_number() {
        for text in ["", "-", ".", "N/A", "nan", "inf", "1e999", "12,3", "1.2.3", "12 3", "#VALUE!", "e"] {
            assert_eq!(parse(text.as_bytes(), DecimalMark::Point), None, "{text}");
        }
        assert_eq!(parse_whole(b"08"), Some(8));
        assert_eq!(parse_whole(b"-8"), None);
        assert_eq!(parse_whole(b"1234567890"), None);
    }
}
