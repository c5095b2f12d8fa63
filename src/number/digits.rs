//! Digits: figures, thousands, signs.

use super::reader::Reader;
use std::fmt;

/// No-break space: holds a number and its unit together.
const TIE: char = '\u{a0}';
/// Minus sign.
const MINUS: char = '\u{2212}';
/// Shown for what could not be computed where a sentence has no room to say why.
pub(crate) const UNKNOWN: &str = "not known";

/// With so many decimals and grouped thousands; `not known` if it is no number.
pub(crate) fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return UNKNOWN.into();
    }
    let digits = format!("{:.decimals$}", value.abs());
    let (whole, fraction) = digits.split_once('.').map_or((digits.as_str(), ""), |(whole, fraction)| (whole, fraction));
    let numbers = Reader::now().numbers;
    let mut text = String::new();
    let is_zero = digits.chars().all(|c| c == '0' || c == '.');
    if value < 0.0 && !is_zero {
        text.push(MINUS);
    }
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            text.push(numbers.group());
        }
        text.push(digit);
    }
    if !fraction.is_empty() {
        text.push(numbers.decimal_mark());
        text.push_str(fraction);
    }
    text
}

/// A number in digits alone, as the format asks for width and decimals (`{:>8.1}`): for terminals, for tables that
/// other programs read and for sentences without a page. What rounds to nothing has no minus.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Digits(pub f64);

impl fmt::Display for Digits {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match f.precision() {
            Some(decimals) => format!("{:.decimals$}", self.0),
            None => self.0.to_string(),
        };
        let size = text.strip_prefix('-').unwrap_or(&text);
        let is_zero = size.bytes().all(|c| matches!(c, b'0' | b'.'));
        let is_positive = size.len() == text.len() || is_zero;
        match Reader::now().numbers.decimal_mark() {
            '.' => f.pad_integral(is_positive, "", size),
            mark => f.pad_integral(is_positive, "", &size.replace('.', mark.encode_utf8(&mut [0; 4]))),
        }
    }
}

/// Three significant figures: `0.0123`, `4.57`, `93.1`, `48 300`.
pub(crate) fn three(value: f64) -> String {
    if !value.is_finite() {
        return UNKNOWN.into();
    }
    if value == 0.0 {
        return "0".into();
    }
    // Rounding first, so that 9.996 reads 10.0 and not 10.00.
    let rounded: f64 = format!("{value:.2e}").parse().unwrap_or(value);
    fixed(rounded, decimals_for(rounded, 3))
}

/// As many figures as a given value has, at most three decimals: `38`, `37.5`.
pub(crate) fn plain(value: f64) -> String {
    let text = fixed(value, 3);
    let mark = Reader::now().numbers.decimal_mark();
    // Thousands may be parted by the same sign as another writing's decimals: three decimals follow the last.
    if value.is_finite() { text.trim_end_matches('0').trim_end_matches(mark).to_owned() } else { text }
}

/// Decimals that show `figures` significant figures of a value.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small whole number
pub(crate) fn decimals_for(value: f64, figures: i32) -> usize {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    let place = value.abs().log10().floor() as i32;
    (figures - 1 - place).clamp(0, 9) as usize
}

/// A number and its unit, held together.
pub(crate) fn with_unit(number: &str, unit: &str) -> String {
    if unit.is_empty() {
        return number.into();
    }
    format!("{number}{TIE}{unit}")
}

/// A number with so many decimals and its unit; what is there but would read as nothing is said to be less than the
/// least that is shown: `less than 0.01 %`.
pub(crate) fn not_nothing(value: f64, decimals: usize, unit: &str) -> String {
    let shown = fixed(value, decimals);
    if value > 0.0 && shown == fixed(0.0, decimals) {
        #[allow(clippy::cast_possible_truncation, clippy::cast_possible_wrap)] // a few decimals
        let least = 10.0_f64.powi(-(decimals as i32));
        return format!("less than {}", with_unit(&fixed(least, decimals), unit));
    }
    with_unit(&shown, unit)
}

/// Two numbers with so many decimals, or with as many more as tell them apart: `0.703` and `0.700`, where both are `0.70`.
/// Of equal numbers both read alike.
pub(crate) fn apart(one: f64, other: f64, decimals: usize) -> (String, String) {
    const MOST_DECIMALS: usize = 6;
    let told = |decimals: usize| (format!("{:.decimals$}", Digits(one)), format!("{:.decimals$}", Digits(other)));
    let mut tried = (decimals..=MOST_DECIMALS.max(decimals)).map(told);
    tried.find(|(one, other)| one != other).unwrap_or_else(|| told(decimals))
}

/// Percent for prose: whole from 10 % on, one decimal below; what would round to nothing says so.
pub(crate) fn percent(value: f64) -> String {
    let decimals = usize::from(value.abs() < 9.95 && value != 0.0);
    not_nothing(value, decimals, "%")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prose_keeps_three_figures_and_groups_thousands() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (0.012345, "0.0123"),
            (4.567, "4.57"),
            (9.996, "10.0"),
            (93.14, "93.1"),
            (999.6, "1\u{202f}000"),
            (48_312.0, "48\u{202f}300"),
            (1_234_567.0, "1\u{202f}230\u{202f}000"),
            (-12.34, "\u{2212}12.3"),
            (f64::NAN, "not known"),
            (f64::INFINITY, "not known"),
        ] {
            assert_eq!(three(value), text, "{value}");
        }
    }

    #[test]
    fn what_rounds_to_nothing_has_no_minus() {
        assert_eq!(fixed(-0.001, 1), "0.0");
        assert_eq!(fixed(-0.06, 1), "\u{2212}0.1");
        assert_eq!(fixed(1234.5, 0), "1\u{202f}234");
        assert_eq!(fixed(f64::NAN, 2), "not known");
        assert_eq!(plain(38.0), "38");
        assert_eq!(plain(37.5), "37.5");
        assert_eq!(plain(1200.0), "1\u{202f}200");
        assert_eq!(plain(f64::NAN), "not known");
    }

    #[test]
    fn two_numbers_have_the_digits_that_tell_them_apart() {
        let told = |one, other| apart(one, other, 2);
        assert_eq!(told(0.81, 0.7), ("0.81".to_owned(), "0.70".to_owned()));
        assert_eq!(told(0.7031, 0.7), ("0.703".to_owned(), "0.700".to_owned()));
        assert_eq!(told(0.7, 0.7), ("0.70".to_owned(), "0.70".to_owned()));
    }

    #[test]
    fn digits_have_no_minus_before_nothing_and_stand_as_the_format_asks() {
        let empty: f64 = std::iter::empty::<f64>().sum();
        for nothing in [empty, -0.0, -0.04, 0.04] {
            assert_eq!(format!("[{:>6.1}]", Digits(nothing)), "[   0.0]");
            assert_eq!(format!("{:.0}", Digits(nothing)), "0");
            assert_eq!(format!("{:+.1}", Digits(nothing)), "+0.0");
        }
        assert_eq!(Digits(-0.0).to_string(), "0");
        assert_eq!(format!("[{:>7.1}]", Digits(-12.34)), "[  -12.3]");
        assert_eq!(format!("[{:<7.1}]", Digits(-12.34)), "[-12.3  ]");
        assert_eq!(format!("{:+.2}", Digits(0.126)), "+0.13");
        assert_eq!(Digits(37.5).to_string(), "37.5");
    }
}
