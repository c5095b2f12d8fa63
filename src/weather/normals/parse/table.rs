//! The twelve rows, by column name.

use super::head::Head;
use super::{
    AFTERNOON_RH, Column, DAILY_SUN, Humidity, MAX, MEAN_RH, MEAN_SUN, MIN, MONTH, MORNING_RH,
    Monthly, NormalsError, WIND, number_in,
};

/// The rows, still as text, by month.
pub(super) struct Table {
    line: usize,
    columns: Vec<String>,
    rows: [Option<(usize, Vec<String>)>; 12],
}

impl Table {
    pub fn named(line: usize, text: &str) -> Result<Self, NormalsError> {
        const KNOWN: [&str; 9] = [
            MONTH,
            MIN.name,
            MAX.name,
            MEAN_RH.name,
            MORNING_RH.name,
            AFTERNOON_RH.name,
            DAILY_SUN.name,
            MEAN_SUN.name,
            WIND.name,
        ];
        let columns: Vec<String> = text.split(',').map(|name| name.trim().to_owned()).collect();
        if !columns.iter().any(|name| name == MONTH) {
            return Err(NormalsError::NoColumn {
                line,
                column: MONTH,
                cure: "the first line below the head names the columns, separated by commas: month,min_c,max_c,relative_humidity_pct",
            });
        }
        for (at, name) in columns.iter().enumerate() {
            if columns[..at].contains(name) {
                return Err(NormalsError::Column {
                    line,
                    column: name.clone(),
                    reason: "is there twice; keep one".to_owned(),
                });
            }
            if !KNOWN.contains(&name.as_str()) {
                let near = KNOWN
                    .iter()
                    .max_by(|a, b| {
                        strsim::jaro_winkler(a, name).total_cmp(&strsim::jaro_winkler(b, name))
                    })
                    .unwrap_or(&MONTH);
                return Err(NormalsError::Column {
                    line,
                    column: name.clone(),
                    reason: format!("is not known; did you mean '{near}'?"),
                });
            }
        }
        Ok(Self { line, columns, rows: Default::default() })
    }

    pub fn read(&mut self, line: usize, text: &str) -> Result<(), NormalsError> {
        let cells: Vec<String> = text.split(',').map(|cell| cell.trim().to_owned()).collect();
        if cells.len() != self.columns.len() {
            return Err(NormalsError::Cells {
                line,
                found: cells.len(),
                expected: self.columns.len(),
            });
        }
        let at = self.place_of(MONTH).unwrap_or(0);
        let month = match cells[at].parse::<usize>() {
            Ok(month) if (1..=12).contains(&month) => month,
            _ => {
                return Err(NormalsError::Cell {
                    line,
                    column: MONTH,
                    found: cells[at].clone(),
                    expected: "a whole number, 1..12".to_owned(),
                });
            }
        };
        if let Some((earlier, _)) = &self.rows[month - 1] {
            return Err(NormalsError::MonthTwice { line, month, earlier: *earlier });
        }
        self.rows[month - 1] = Some((line, cells));
        Ok(())
    }

    pub fn place_of(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column == name)
    }

    pub fn row(&self, month0: usize) -> Result<&(usize, Vec<String>), NormalsError> {
        self.rows[month0].as_ref().ok_or(NormalsError::NoMonth(month0 + 1))
    }

    /// The twelve values of a column, `None` where the table does not have it.
    pub fn values(&self, column: &Column) -> Result<Option<Monthly>, NormalsError> {
        let Some(at) = self.place_of(column.name) else {
            return Ok(None);
        };
        let mut values = [0.0; 12];
        for (month0, value) in values.iter_mut().enumerate() {
            let (line, cells) = self.row(month0)?;
            *value = number_in(&cells[at], column.range).ok_or_else(|| NormalsError::Cell {
                line: *line,
                column: column.name,
                found: cells[at].clone(),
                expected: column.range_text.to_owned(),
            })?;
        }
        Ok(Some(values))
    }

    pub fn needed(&self, column: &Column, cure: &'static str) -> Result<Monthly, NormalsError> {
        self.values(column)?.ok_or(NormalsError::NoColumn {
            line: self.line,
            column: column.name,
            cure,
        })
    }

    pub fn humidity(&self, head: &Head) -> Result<Humidity, NormalsError> {
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
                line: self.line,
                column: MEAN_RH.name,
                cure: "add the mean relative humidity in percent, or the two columns morning_relative_humidity_pct and afternoon_relative_humidity_pct",
            }),
            (None, None, Some(_)) => Err(NormalsError::NoColumn {
                line: self.line,
                column: MORNING_RH.name,
                cure: "morning and afternoon humidity go together",
            }),
            (None, Some(_), None) => Err(NormalsError::NoColumn {
                line: self.line,
                column: AFTERNOON_RH.name,
                cure: "morning and afternoon humidity go together",
            }),
            (Some(_), _, _) => Err(NormalsError::Column {
                line: self.line,
                column: MEAN_RH.name.to_owned(),
                reason: "stands beside morning or afternoon humidity; give the mean or the pair, not both".to_owned(),
            }),
        }
    }

    pub fn sun(&self) -> Result<Option<Monthly>, NormalsError> {
        match (self.values(&DAILY_SUN)?, self.values(&MEAN_SUN)?) {
            (Some(_), Some(_)) => Err(NormalsError::Column {
                line: self.line,
                column: MEAN_SUN.name.to_owned(),
                reason: format!("says the same as '{}'; keep one of them", DAILY_SUN.name),
            }),
            (daily, mean) => Ok(daily.or(mean.map(|w| w.map(|w| 0.024 * w)))),
        }
    }
}
