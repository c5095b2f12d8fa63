//! A formula and what it gives, made together: what a spreadsheet shows before it works anything again is what the
//! formula gives, since both come from the same steps.

use rust_xlsxwriter::utility::row_col_to_cell_absolute;
use std::fmt::Write;

/// A value with the formula that gives it.
#[derive(Clone, Debug)]
pub(super) struct Live {
    text: String,
    value: f64,
    /// True of what binds tighter than any sign beside it: a number, a cell, a function.
    is_single: bool,
}

impl Live {
    /// A number as it stands.
    pub(super) fn number(value: f64) -> Self {
        Self { text: value.to_string(), value, is_single: value >= 0.0 }
    }

    /// A cell that holds a value.
    pub(super) fn cell(sheet: &str, (row, column): (u32, u16), value: f64) -> Self {
        Self { text: format!("{sheet}!{}", row_col_to_cell_absolute(row, column)), value, is_single: true }
    }

    /// A function of its own, in the words of spreadsheets, with what it gives.
    pub(super) fn function(text: String, value: f64) -> Self {
        Self { text, value, is_single: true }
    }

    /// What it gives.
    pub(super) fn value(&self) -> f64 {
        self.value
    }

    /// The formula without its equals sign.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// True of a number that stands in no cell.
    pub(super) fn is_plain_number(&self) -> bool {
        self.text.parse::<f64>().is_ok()
    }

    fn bound(&self) -> String {
        if self.is_single { self.text.clone() } else { format!("({})", self.text) }
    }

    fn with(&self, sign: char, other: &Self, value: f64) -> Self {
        Self { text: format!("{}{sign}{}", self.bound(), other.bound()), value, is_single: false }
    }

    pub(super) fn plus(&self, other: &Self) -> Self {
        // A sum of sums needs no brackets.
        Self { text: format!("{}+{}", self.text, other.bound()), value: self.value + other.value, is_single: false }
    }

    pub(super) fn less(&self, other: &Self) -> Self {
        Self { text: format!("{}-{}", self.text, other.bound()), value: self.value - other.value, is_single: false }
    }

    pub(super) fn times(&self, other: &Self) -> Self {
        self.with('*', other, self.value * other.value)
    }

    /// The quotient; an error where it is divided by nothing, which a spreadsheet shows as one.
    pub(super) fn over(&self, other: &Self) -> Self {
        self.with('/', other, self.value / other.value)
    }

    /// This to the power of a whole number.
    pub(super) fn to_the(&self, power: &Self) -> Self {
        self.with('^', power, self.value.powf(power.value))
    }

    pub(super) fn max(&self, other: &Self) -> Self {
        Self::function(format!("MAX({},{})", self.text, other.text), self.value.max(other.value))
    }

    pub(super) fn min(&self, other: &Self) -> Self {
        Self::function(format!("MIN({},{})", self.text, other.text), self.value.min(other.value))
    }

    /// All of them; 0 of none.
    pub(super) fn sum(terms: &[Self]) -> Self {
        let sum = terms.iter().cloned().reduce(|sum, term| sum.plus(&term));
        sum.unwrap_or_else(|| Self::number(0.0))
    }

    /// Rounded to so many decimals, a half to the even, as amounts of a bill are: ROUND alone would take a half away
    /// from zero. Twice the sum in minor units is a whole odd number where a half is to be rounded.
    pub(super) fn half_to_even(&self, decimals: u8) -> Self {
        let minor = 10f64.powi(i32::from(decimals));
        let scaled = self.times(&Self::number(minor)).text;
        let twice = format!("ROUND(2*{scaled},6)");
        let text =
            format!("IF(MOD({twice},4)=1,({twice}-1)/2,IF(MOD({twice},4)=3,({twice}+1)/2,ROUND({scaled},0)))/{minor}");
        Self { text, value: half_to_even(self.value * minor) / minor, is_single: false }
    }
}

/// To a whole number, a half to the even; what is a half to within a millionth is one.
fn half_to_even(scaled: f64) -> f64 {
    let twice = (2.0 * scaled * 1e6).round() / 1e6;
    match twice.rem_euclid(4.0) {
        1.0 => (twice - 1.0) / 2.0,
        3.0 => f64::midpoint(twice, 1.0),
        _ => scaled.round(),
    }
}

/// Cells below or beside each other, with what they hold.
#[derive(Clone, Debug)]
pub(super) struct Span {
    text: String,
    values: Vec<f64>,
}

impl Span {
    /// A column of cells from a row on.
    pub(super) fn down(sheet: &str, (row, column): (u32, u16), values: Vec<f64>) -> Self {
        let last = row + u32::try_from(values.len().saturating_sub(1)).unwrap_or(0);
        let (from, to) = (row_col_to_cell_absolute(row, column), row_col_to_cell_absolute(last, column));
        Self { text: format!("{sheet}!{from}:{to}"), values }
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Sum of the products of cells beside each other.
    pub(super) fn times_sum(&self, other: &Self) -> Live {
        let value = self.values.iter().zip(&other.values).map(|(a, b)| a * b).sum();
        Live::function(format!("SUMPRODUCT({},{})", self.text, other.text), value)
    }

    /// Sum of the products of three cells beside each other.
    pub(super) fn times_times_sum(&self, second: &Self, third: &Self) -> Live {
        let products = self.values.iter().zip(&second.values).zip(&third.values);
        let value = products.map(|((a, b), c)| a * b * c).sum();
        Live::function(format!("SUMPRODUCT({},{},{})", self.text, second.text, third.text), value)
    }

    /// Sum of the cells in whose rows every key is as asked.
    pub(super) fn sum_where(&self, keys: &[(&Self, usize)]) -> Live {
        let is_asked = |row: usize| keys.iter().all(|(span, key)| span.values[row] == *key as f64);
        let value = (0..self.values.len()).filter(|row| is_asked(*row)).map(|row| self.values[row]).sum();
        let asked = keys.iter().fold(String::new(), |mut asked, (span, key)| {
            let _ = write!(asked, ",{},{key}", span.text);
            asked
        });
        Live::function(format!("SUMIFS({}{asked})", self.text), value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_formula_binds_as_its_value_was_made() {
        let (a, b) = (Live::cell("Bills", (4, 2), 3.0), Live::cell("Bills", (4, 3), 4.0));
        let made = a.plus(&b).times(&a.less(&b.less(&a)));
        assert_eq!(made.text(), "(Bills!$C$5+Bills!$D$5)*(Bills!$C$5-(Bills!$D$5-Bills!$C$5))");
        assert_eq!(made.value(), 14.0);
        assert_eq!(a.over(&b.times(&Live::number(-2.0))).text(), "Bills!$C$5/(Bills!$D$5*(-2))");
        assert_eq!(Live::sum(&[]).text(), "0");
    }

    #[test]
    fn halves_go_to_the_even_cent() {
        for (value, rounded) in [
            (0.125, 0.12),
            (0.135, 0.14),
            (3.625, 3.62),
            (-0.125, -0.12),
            (-0.135, -0.14),
            (2.5049, 2.5),
            (1.005, 1.0),
            (-0.004, 0.0),
        ] {
            let found = Live::number(value).half_to_even(2).value();
            assert!((found - rounded).abs() < 1e-12, "{value}: {found}");
        }
        assert_eq!(Live::number(1234.5).half_to_even(0).value(), 1234.0);
    }

    #[test]
    fn sums_of_spans_are_of_their_rows() {
        let keys = Span::down("Means", (3, 0), vec![1.0, 1.0, 2.0]);
        let money = Span::down("Means", (3, 4), vec![10.0, 20.0, 40.0]);
        let sum = money.sum_where(&[(&keys, 1)]);
        assert_eq!((sum.text(), sum.value()), ("SUMIFS(Means!$E$4:$E$6,Means!$A$4:$A$6,1)", 30.0));
        assert_eq!(keys.times_sum(&money).value(), 110.0);
    }
}
