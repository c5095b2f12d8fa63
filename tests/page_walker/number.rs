//! Numbers in the words of a page, with what stands before and behind each.

use super::figure::MONTHS;

/// A number as it is printed.
#[derive(Debug)]
pub(super) struct Number<'a> {
    pub value: f64,
    pub decimals: i32,
    pub printed: &'a str,
    pub before: &'a str,
    pub after: &'a str,
}

/// What digits are that no figure needs to hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum NoFigure {
    Day,
    Clock,
    /// Of a word, a version, a digest, a path.
    InAWord,
    /// Of a number in words of ten (`5 × 10⁻¹²`).
    Power,
}

impl Number<'_> {
    /// Half of the last digit that is told. Sentences and charts tell three figures: 2 530 is all that rounds to it.
    pub(super) fn half(&self, may_be_three_figures: bool) -> f64 {
        let digits = self.printed.len();
        if may_be_three_figures
            && self.decimals == 0
            && digits > 3
            && self.printed.as_bytes()[3..].iter().all(|b| *b == b'0')
        {
            return 0.5 * 10f64.powi(i32::try_from(digits).expect("few") - 3);
        }
        0.5 * 10f64.powi(-self.decimals)
    }
}

/// All numbers of a text; each that no figure needs to hold with what it is instead.
pub(super) fn numbers(text: &str) -> Vec<(Number<'_>, Option<NoFigure>)> {
    let bytes = text.as_bytes();
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        if !bytes[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let start = at;
        while at < bytes.len() && bytes[at].is_ascii_digit() {
            at += 1;
        }
        if at + 1 < bytes.len() && bytes[at] == b'.' && bytes[at + 1].is_ascii_digit() {
            at += 1;
            while at < bytes.len() && bytes[at].is_ascii_digit() {
                at += 1;
            }
        }
        let printed = &text[start..at];
        let number = Number {
            value: printed.parse().expect("digits"),
            decimals: printed.split_once('.').map_or(0, |(_, rest)| i32::try_from(rest.len()).expect("few")),
            printed,
            before: &text[..start],
            after: &text[at..],
        };
        let other = no_figure(&number);
        found.push((number, other));
    }
    found
}

fn no_figure(number: &Number<'_>) -> Option<NoFigure> {
    let last = number.before.chars().next_back();
    let mut next = number.after.chars();
    let (first, second) = (next.next(), next.next());
    let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    if (last == Some(':') && number.printed.len() == 2 && is_digit(number.before.chars().rev().nth(1)))
        || (first == Some(':') && is_digit(second) && number.printed.len() == 2)
    {
        return Some(NoFigure::Clock);
    }
    if last.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '.')
        || first.is_some_and(|c| c.is_alphabetic() || c == '_')
        || (first == Some('.') && is_digit(second))
    {
        return Some(NoFigure::InAWord);
    }
    if number.after.starts_with(" × 10") || number.before.ends_with(" × ") && number.printed == "10" {
        return Some(NoFigure::Power);
    }
    let after = number.after.trim_start();
    let before = number.before.trim_end();
    let is_day = number.printed.len() < 3 && MONTHS.iter().any(|month| after.starts_with(month));
    let is_year = number.printed.len() == 4 && MONTHS.iter().any(|month| before.ends_with(month));
    let is_iso =
        first == Some('-') && is_digit(second) || last == Some('-') && is_digit(number.before.chars().rev().nth(1));
    (is_day || is_year || is_iso).then_some(NoFigure::Day)
}
