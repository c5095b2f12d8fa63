//! The twelve rows, by column name.

use super::columns::{AFTERNOON_RH, Column, DAILY_SUN, MAX, MEAN_RH, MEAN_SUN, MIN, MONTH, MORNING_RH, WIND};
use super::head::Head;
use crate::problem::meant_or;
use crate::table::{self, Line, OtherUnit, Places, Sheet};
use crate::weather::invent::climate::{Humidity, Monthly};
use crate::weather::invent::error::NormalsError;

/// Every column that a table may have; the month first.
const COLUMNS: [table::Column; 9] = [
    table::Column { name: MONTH, units: &[] },
    MIN.written(),
    MAX.written(),
    MEAN_RH.written(),
    MORNING_RH.written(),
    AFTERNOON_RH.written(),
    DAILY_SUN.written(),
    MEAN_SUN.written(),
    WIND.written(),
];

/// The rows by month.
pub(crate) struct Table<'t> {
    sheet: &'t Sheet<'t>,
    places: Places,
    rows: [Option<&'t Line<'t>>; 12],
}

impl<'t> Table<'t> {
    pub(super) fn of(sheet: &'t Sheet<'t>) -> Result<Self, NormalsError> {
        let head = &sheet.head;
        if head.cells.is_empty() {
            return Err(NormalsError::NoTable);
        }
        let places = sheet.places(&COLUMNS);
        let fault = |line: usize, column: &str, reason: String| {
            Err(NormalsError::Column { line, column: column.to_owned(), reason })
        };
        let Some(month_at) = places.of(0) else {
            return Err(NormalsError::NoColumn {
                line: head.number,
                column: MONTH,
                cure: "the first line below the head names the columns, separated by commas: month,min_c,max_c,relative_humidity_pct",
            });
        };
        if let Some(second) = places.twice {
            return fault(head.number, head.cell(second), "is there twice; keep one".to_owned());
        }
        if let Some(unknown) = places.unknown.first() {
            let written = head.cell(*unknown);
            let known = COLUMNS.map(|column| column.name);
            let cure = meant_or(written, known, "rename it, or leave it out");
            return fault(head.number, written, format!("is not known; {cure}"));
        }
        if let Some(OtherUnit { line, column, found, expected }) = &places.other_unit {
            return fault(*line, column, format!("is in {found}, expected {expected}; convert it"));
        }
        let mut rows: [Option<&Line<'_>>; 12] = [None; 12];
        for line in &sheet.rows {
            let (found, expected) = (line.cells.len(), head.cells.len());
            if found != expected {
                return Err(NormalsError::Cells { line: line.number, found, expected });
            }
            let cell = line.cell(month_at);
            let month = cell.parse::<usize>().ok().filter(|month| (1..=12).contains(month));
            let month = month.ok_or_else(|| NormalsError::Cell {
                line: line.number,
                column: MONTH,
                found: cell.to_owned(),
                expected: "a whole number, 1..12".to_owned(),
            })?;
            if let Some(earlier) = rows[month - 1].replace(line) {
                let (line, earlier) = (line.number, earlier.number);
                return Err(NormalsError::MonthTwice { line, month, earlier });
            }
        }
        Ok(Self { sheet, places, rows })
    }

    pub(super) fn has(&self, column: &Column) -> bool {
        self.place_of(column).is_some()
    }

    fn place_of(&self, column: &Column) -> Option<usize> {
        let known = COLUMNS.iter().position(|known| known.name == column.name)?;
        self.places.of(known)
    }

    fn row(&self, month0: usize) -> Result<&'t Line<'t>, NormalsError> {
        self.rows[month0].ok_or(NormalsError::NoMonth(month0 + 1))
    }

    /// A month's cell as it is written, with its line.
    pub(super) fn written(&self, month0: usize, column: &Column) -> Result<(usize, &'t str), NormalsError> {
        let line = self.row(month0)?;
        Ok((line.number, self.place_of(column).map_or("", |at| line.cell(at))))
    }

    /// The twelve values of a column, `None` where the table does not have it.
    pub(super) fn values(&self, column: &Column) -> Result<Option<Monthly>, NormalsError> {
        let Some(at) = self.place_of(column) else {
            return Ok(None);
        };
        let mut values = [0.0; 12];
        for (month0, value) in values.iter_mut().enumerate() {
            let line = self.row(month0)?;
            let cell = line.cell(at);
            let number = self.sheet.number(cell, &column.written());
            let (low, high) = column.range;
            *value = number.filter(|value| (low..=high).contains(value)).ok_or_else(|| NormalsError::Cell {
                line: line.number,
                column: column.name,
                found: cell.to_owned(),
                expected: column.range_text.to_owned(),
            })?;
        }
        Ok(Some(values))
    }

    pub(super) fn needed(&self, column: &Column, cure: &'static str) -> Result<Monthly, NormalsError> {
        self.values(column)?.ok_or(NormalsError::NoColumn { line: self.sheet.head.number, column: column.name, cure })
    }

    pub(super) fn humidity(&self, head: &Head<'_>) -> Result<Humidity, NormalsError> {
        let fractions = |monthly: Monthly| monthly.map(|percent| percent / 100.0);
        let mean = self.values(&MEAN_RH)?;
        let morning = self.values(&MORNING_RH)?;
        let afternoon = self.values(&AFTERNOON_RH)?;
        match (mean, morning, afternoon) {
            (Some(mean), None, None) => Ok(Humidity::Mean(fractions(mean))),
            (None, Some(morning), Some(afternoon)) => Ok(Humidity::TwiceDaily {
                morning_hour: head.hour("morning_hour", 9)?,
                morning: fractions(morning),
                afternoon_hour: head.hour("afternoon_hour", 15)?,
                afternoon: fractions(afternoon),
            }),
            (None, None, None) => Err(NormalsError::NoColumn {
                line: self.sheet.head.number,
                column: MEAN_RH.name,
                cure: "add the mean relative humidity in percent, or the two columns morning_relative_humidity_pct and afternoon_relative_humidity_pct",
            }),
            (None, None, Some(_)) => Err(NormalsError::NoColumn {
                line: self.sheet.head.number,
                column: MORNING_RH.name,
                cure: "morning and afternoon humidity go together",
            }),
            (None, Some(_), None) => Err(NormalsError::NoColumn {
                line: self.sheet.head.number,
                column: AFTERNOON_RH.name,
                cure: "morning and afternoon humidity go together",
            }),
            (Some(_), _, _) => Err(NormalsError::Column {
                line: self.sheet.head.number,
                column: MEAN_RH.name.to_owned(),
                reason: "stands beside morning or afternoon humidity; give the mean or the pair, not both".to_owned(),
            }),
        }
    }

    pub(super) fn sun(&self) -> Result<Option<Monthly>, NormalsError> {
        match (self.values(&DAILY_SUN)?, self.values(&MEAN_SUN)?) {
            (Some(_), Some(_)) => Err(NormalsError::Column {
                line: self.sheet.head.number,
                column: MEAN_SUN.name.to_owned(),
                reason: format!("says the same as '{}'; keep one of them", DAILY_SUN.name),
            }),
            (daily, mean) => Ok(daily.or(mean.map(|w| w.map(|w| 0.024 * w)))),
        }
    }
}
