//! Cells of tables, with decimal points in line.

use crate::number::{Measure, Reader, UNKNOWN, decimals_for, fixed};
use serde::Serialize;

/// Numbers of a column from here on are told in millions: more digits have no room beside others.
const MANY: f64 = 1e9;
pub(crate) const MILLION: f64 = 1e6;

/// A cell of a table's number column.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub(crate) struct Cell {
    /// What it shows.
    pub text: String,
    /// True if it is a number, set to the right.
    pub number: bool,
    /// True if it says why there is no number.
    pub why: bool,
    /// Decimals that other cells of the column have and this one lacks: room left on its right.
    pub pad: usize,
    /// The number in SI and its decimals, where it can be told in another unit.
    #[serde(skip)]
    of: Option<(f64, usize)>,
}

impl Cell {
    /// Words.
    pub(crate) fn words(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::default() }
    }

    /// A number with so many decimals.
    pub(crate) fn number(value: f64, decimals: usize) -> Self {
        if value.is_finite() {
            Self { of: Some((value, decimals)), ..Self::digits(fixed(value, decimals)) }
        } else {
            Self::because(UNKNOWN)
        }
    }

    /// A number that is written already, in its reader's unit.
    pub(crate) fn digits(text: impl Into<String>) -> Self {
        Self { number: true, ..Self::words(text) }
    }

    /// The same number in its reader's unit; words stay what they are.
    pub(crate) fn measured_in(&mut self, measure: &Measure) {
        if let Some((si, decimals)) = self.of.take_if(|_| measure.is_converted()) {
            self.text = fixed(measure.value(si), measure.decimals(decimals));
        }
    }

    /// The number that it shows, as long as it is told in the unit in which it was given.
    pub(crate) fn value(&self) -> Option<f64> {
        self.of.map(|(value, _)| value)
    }

    /// The same number in millions, with so many decimals; words stay what they are.
    pub(crate) fn in_millions(&mut self, decimals: usize) {
        if let Some((value, _)) = self.of.take() {
            self.text = fixed(value / MILLION, decimals);
        }
    }

    /// The reason why there is no number.
    pub(crate) fn because(text: impl Into<String>) -> Self {
        Self { why: true, ..Self::words(text) }
    }

    /// A number with so many decimals, or the reason why there is none.
    pub(crate) fn number_or(value: Option<f64>, decimals: usize, why: &str) -> Self {
        value
            .filter(|value| value.is_finite())
            .map_or_else(|| Self::because(why), |value| Self::number(value, decimals))
    }

    /// Decimals shown.
    fn decimals(&self) -> usize {
        let mark = Reader::now().numbers.decimal_mark();
        let digits = |fraction: &str| fraction.bytes().take_while(u8::is_ascii_digit).count();
        self.text.split_once(mark).map_or(0, |(_, fraction)| digits(fraction))
    }
}

/// Leaves room beside shorter fractions, column by column, so that decimal points stand in line.
pub(crate) fn align<'a>(rows: impl Iterator<Item = &'a mut Vec<Cell>>) {
    let mut rows: Vec<&mut Vec<Cell>> = rows.collect();
    let columns = rows.iter().map(|row| row.len()).max().unwrap_or(0);
    for column in 0..columns {
        let most = rows
            .iter()
            .filter_map(|row| row.get(column))
            .filter(|cell| cell.number)
            .map(Cell::decimals)
            .max()
            .unwrap_or(0);
        for row in &mut rows {
            if let Some(cell) = row.get_mut(column).filter(|cell| cell.number) {
                cell.pad = most - cell.decimals();
            }
        }
    }
}

/// True of numbers that stand in one column or row and have too many digits for it.
pub(crate) fn are_many(values: impl Iterator<Item = f64>) -> bool {
    values.filter(|value| value.is_finite()).any(|value| value.abs() >= MANY)
}

/// Tells cells of one unit in millions where any has too many digits; true where it does. Those whose numbers were written
/// elsewhere stay as they are, and so do all beside them.
pub(crate) fn tell_in_millions(cells: &mut [&mut Cell]) -> bool {
    let told = cells.iter().all(|cell| !cell.number || cell.of.is_some());
    let values = || cells.iter().filter_map(|cell| cell.value());
    let tells = told && are_many(values());
    if tells {
        let decimals = column_decimals(values().map(|value| value / MILLION));
        for cell in cells {
            cell.in_millions(decimals);
        }
    }
    tells
}

/// Decimals for a column of numbers: as many as give the largest three figures, none from 100 on.
pub(crate) fn column_decimals(values: impl Iterator<Item = f64>) -> usize {
    let largest = values.filter(|value| value.is_finite()).fold(0.0_f64, |most, value| most.max(value.abs()));
    decimals_for(largest, 3).min(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_many_digits_are_told_in_millions() {
        let tell = |values: &[f64]| {
            let mut cells: Vec<Cell> = values.iter().map(|value| Cell::number(*value, 0)).collect();
            cells.push(Cell::because("nothing is saved"));
            let tells = tell_in_millions(&mut cells.iter_mut().collect::<Vec<_>>());
            (tells, cells.into_iter().map(|cell| cell.text).collect::<Vec<_>>())
        };
        let (tells, told) = tell(&[2_345_600_000.0, 4_000_000.0]);
        assert!(tells);
        assert_eq!(told, ["2\u{202f}346", "4", "nothing is saved"]);
        let (tells, told) = tell(&[234_560_000.0]);
        assert!(!tells && told[0] == "234\u{202f}560\u{202f}000", "{told:?}");
        // What is written already would stand in another unit beside them.
        let mut cells = [Cell::number(2e9, 0), Cell::digits("(7)")];
        assert!(!tell_in_millions(&mut cells.iter_mut().collect::<Vec<_>>()));
    }

    #[test]
    fn decimal_points_stand_in_line() {
        let mut rows = [
            vec![Cell::number(1234.0, 0)],
            vec![Cell::number(4.32, 2)],
            vec![Cell::number_or(None, 1, "nothing is saved")],
        ];
        align(rows.iter_mut());
        assert_eq!(rows[0][0].pad, 2);
        assert_eq!(rows[1][0].pad, 0);
        assert_eq!(rows[2][0].text, "nothing is saved");
        assert!(!rows[2][0].number && rows[2][0].why);
    }

    #[test]
    fn a_column_has_as_many_decimals_as_its_largest_number_can_bear() {
        assert_eq!(column_decimals([1234.0, 0.5].into_iter()), 0);
        assert_eq!(column_decimals([12.0, 0.5].into_iter()), 1);
        assert_eq!(column_decimals([0.5, f64::NAN].into_iter()), 3);
        assert_eq!(column_decimals([0.0].into_iter()), 0);
    }
}
