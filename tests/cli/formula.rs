//! Reads the formulas that a report prints and works them from the figures that it prints, rounding and all.

use std::collections::HashMap;

/// A printed number: it stands for all that round to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Printed {
    pub low: f64,
    pub high: f64,
}

impl Printed {
    /// Of a cell such as `−1 234.5`; `None` of words.
    pub(super) fn read(cell: &str) -> Option<Self> {
        let plain: String = cell.chars().filter(|c| !c.is_whitespace()).collect::<String>().replace('−', "-");
        let value: f64 = plain.parse().ok()?;
        let decimals = plain.split_once('.').map_or(0, |(_, fraction)| fraction.len());
        let half = 0.5 * 10f64.powi(-i32::try_from(decimals).expect("few"));
        Some(Self { low: value - half, high: value + half })
    }

    fn exactly(value: f64) -> Self {
        Self { low: value, high: value }
    }

    /// True if one number can be both.
    pub(super) fn agrees(self, other: Self) -> bool {
        let slack = 1e-9 * (self.low.abs() + self.high.abs());
        self.low <= other.high + slack && other.low <= self.high + slack
    }

    fn of(corners: &[f64]) -> Self {
        let least = corners.iter().copied().fold(f64::INFINITY, f64::min);
        Self { low: least, high: corners.iter().copied().fold(f64::NEG_INFINITY, f64::max) }
    }

    fn with(self, other: Self, work: impl Fn(f64, f64) -> f64) -> Self {
        Self::of(&[
            work(self.low, other.low),
            work(self.low, other.high),
            work(self.high, other.low),
            work(self.high, other.high),
        ])
    }
}

/// What a formula gives from the figures of these symbols; `None` if it is words.
pub(super) fn work(formula: &str, known: &HashMap<String, Printed>) -> Option<Printed> {
    let mut reader = Reader { letters: formula.chars().collect(), at: 0, known };
    let value = reader.sum()?;
    reader.skip();
    (reader.at == reader.letters.len()).then_some(value)
}

struct Reader<'a> {
    letters: Vec<char>,
    at: usize,
    known: &'a HashMap<String, Printed>,
}

impl Reader<'_> {
    fn skip(&mut self) {
        while self.letters.get(self.at).is_some_and(|letter| letter.is_whitespace()) {
            self.at += 1;
        }
    }

    fn takes(&mut self, wanted: char) -> bool {
        self.skip();
        let is_next = self.letters.get(self.at) == Some(&wanted);
        self.at += usize::from(is_next);
        is_next
    }

    fn sum(&mut self) -> Option<Printed> {
        let mut value = self.product()?;
        loop {
            if self.takes('+') {
                value = value.with(self.product()?, |a, b| a + b);
            } else if self.takes('−') {
                value = value.with(self.product()?, |a, b| a - b);
            } else {
                return Some(value);
            }
        }
    }

    fn product(&mut self) -> Option<Printed> {
        let mut value = self.power()?;
        loop {
            if self.takes('×') {
                value = value.with(self.power()?, |a, b| a * b);
            } else if self.takes('/') {
                value = value.with(self.power()?, |a, b| a / b);
            } else {
                return Some(value);
            }
        }
    }

    fn power(&mut self) -> Option<Printed> {
        let base = self.single()?;
        if self.takes('^') {
            let exponent = self.single()?;
            let whole = (0.5 * (exponent.low + exponent.high)).round();
            return Some(base.with(Printed::exactly(whole), f64::powf));
        }
        Some(base)
    }

    fn single(&mut self) -> Option<Printed> {
        if self.takes('(') {
            let value = self.sum()?;
            return self.takes(')').then_some(value);
        }
        let word = self.word();
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            // Whole numbers and given shares are what they say; factors are rounded.
            let value: f64 = word.parse().ok()?;
            let is_factor = word.trim_start_matches("0.").len() >= 6;
            return if is_factor { Printed::read(&word) } else { Some(Printed::exactly(value)) };
        }
        if (word == "min" || word == "max") && self.takes('(') {
            let a = self.sum()?;
            let b = self.takes(',').then(|| self.sum())??;
            let value = if word == "min" { a.with(b, f64::min) } else { a.with(b, f64::max) };
            return self.takes(')').then_some(value);
        }
        self.known.get(&word).copied()
    }

    fn word(&mut self) -> String {
        self.skip();
        let rest = &self.letters[self.at..];
        let word: String = rest.iter().take_while(|c| c.is_alphanumeric() || **c == '.').collect();
        self.at += word.chars().count();
        word
    }
}
