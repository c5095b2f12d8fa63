//! Cells of tables, with decimal points in line.

use crate::number::{Measure, Reader, UNKNOWN, decimals_for, fixed};
use serde::Serialize;

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

/// Decimals for a column of numbers: as many as give the largest three figures, none from 100 on.
pub(crate) fn column_decimals(values: impl Iterator<Item = f64>) -> usize {
    let largest = values.filter(|value| value.is_finite()).fold(0.0_f64, |most, value| most.max(value.abs()));
    decimals_for(largest, 3).min(3)
}

#[cfg(test)]
mod tests {
    use super::*;

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
