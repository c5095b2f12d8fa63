//! An intake file: CSV with `date,tonnes[,moisture][,grade]`, one row a delivery, moisture in % w.b. A bin
//! holds one grade; rows without one are a grade of their own.

mod columns;
mod doubts;
mod record;

use crate::crop::water;
use crate::problem::{Problem, Severity};
use crate::season::IntakeRow;
use crate::table::{Column, Dates, Sheet};
use crate::weather::{MonthDay, SeasonWindow};
use chrono::{Datelike, NaiveDate};
use record::Record;
pub(super) use record::Rules;
use std::ops::RangeInclusive;
use std::sync::Arc;

/// The rows that can be used, and everything wrong with the others.
pub(super) struct Days {
    pub rows: Vec<IntakeRow>,
    pub problems: Vec<Problem>,
}

/// More rows than this are not told one by one.
const TOLD_ROWS: usize = 5;
const ROW: &str = "write one row a delivery: date as 2031-03-15, tonnes, moisture in % w.b.";
const EXCHANGED: &str = "look whether tonnes and moisture are exchanged; moisture is in % w.b., 22 and not 0.22";
const DATE: Column = Column { name: "date", units: &[] };
const TONNES: Column = Column { name: "tonnes", units: &["t"] };
const MOISTURE: Column = Column { name: "moisture", units: &["%", "% w.b.", "%wb"] };
const GRADE: Column = Column { name: "grade", units: &[] };
const COLUMNS: [Column; 4] = [DATE, TONNES, MOISTURE, GRADE];

/// Reads the text of an intake file.
pub(super) fn read(file: &str, text: &str, rules: &Rules) -> Days {
    let mut days = Days { rows: Vec::new(), problems: Vec::new() };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let sheet = Sheet::of(text);
    if sheet.head.cells.is_empty() {
        days.problems.push(Problem::of_file(file, "the file is empty").expected("date,tonnes,moisture").cure(ROW));
        return days;
    }
    let record = |line| Record { file, text, sheet: &sheet, line };
    let Some(columns) = Columns::of(record(&sheet.head), &mut days.problems) else {
        return days;
    };
    let records: Vec<Record<'_>> = sheet.rows.iter().map(record).collect();
    let dates = sheet.dates(columns.date);
    let mut bad = Vec::new();
    for record in &records {
        match record.row(&columns, &dates, rules) {
            Ok(row) => days.rows.push(row),
            Err(problem) => bad.push(*problem),
        }
    }
    let untold = bad.len().saturating_sub(TOLD_ROWS);
    bad.truncate(TOLD_ROWS);
    if untold > 0
        && let Some(last) = bad.last_mut()
    {
        last.cure = format!("{}; {untold} more rows cannot be read", last.cure);
    }
    let unread = !bad.is_empty();
    days.problems.extend(bad);
    if !unread {
        check_whole(file, &days.rows, rules, &mut days.problems);
        if days.problems.iter().all(|problem| problem.severity != Severity::Error) {
            let tonnes: Vec<&str> = records.iter().map(|record| record.line.cell(columns.tonnes)).collect();
            columns::doubts(&records, &days.rows, &tonnes, rules, &mut days.problems);
            doubts::doubts(&records, &days.rows, rules, &mut days.problems);
        }
    }
    days
}

/// Where the columns stand.
struct Columns {
    count: usize,
    date: usize,
    tonnes: usize,
    moisture: Option<usize>,
    grade: Option<usize>,
}

impl Columns {
    fn of(head: Record<'_>, problems: &mut Vec<Problem>) -> Option<Self> {
        let names = &head.line.cells;
        let places = head.sheet.places(&COLUMNS);
        let (Some(date), Some(tonnes)) = (places.of(0), places.of(1)) else {
            let what = format!("the columns are `{}`", names.join(","));
            problems.push(
                head.at("", &what)
                    .expected("`date,tonnes`, with `moisture` and `grade` if there are, in the first row")
                    .cure("name the columns, parted by commas"),
            );
            return None;
        };
        if let Some(second) = places.twice {
            problems.push(
                head.at("", &format!("two columns are called `{}`", names[second]))
                    .expected("one column of each name")
                    .cure("rename or strike out the one that is not meant"),
            );
            return None;
        }
        if let Some(unit) = places.other_unit {
            let line = head.sheet.units.iter().find(|line| line.number == unit.line);
            let head = Record { line: line.unwrap_or(head.line), ..head };
            problems
                .push(head.at("", &format!("{} is in {}", unit.column, unit.found)).expected(unit.expected).cure(ROW));
            return None;
        }
        for unknown in &places.unknown {
            let written = names[*unknown];
            problems.push(
                head.at(written, &format!("the column `{written}` is not used"))
                    .cure("date, tonnes, moisture and grade are read")
                    .into_warning(),
            );
        }
        Some(Self { count: names.len(), date, tonnes, moisture: places.of(2), grade: places.of(3) })
    }
}

impl Record<'_> {
    fn number(&self, cell: &str, column: &Column, within: RangeInclusive<f64>) -> Option<f64> {
        self.sheet.number(cell, column).filter(|value| within.contains(value))
    }

    fn row(&self, columns: &Columns, dates: &Dates, rules: &Rules) -> Result<IntakeRow, Box<Problem>> {
        let found = self.line.cells.len();
        if found != columns.count {
            return Err(Box::new(
                self.at("", &format!("the row has {found} cells"))
                    .expected(format!("{}, as many as columns", columns.count))
                    .cure(
                        "a decimal comma in a table parted by commas makes two cells: part cells by semicolons, or write \
                         decimals with a point",
                    ),
            ));
        }
        let refuse = |name: &str, cell: &str, expected: &str| {
            let what = if cell.is_empty() { format!("{name} is empty") } else { format!("{name} is `{cell}`") };
            Box::new(self.at(cell, &what).expected(expected).cure(ROW))
        };
        let cell = self.line.cell(columns.date);
        let stamp = dates.read(cell.as_bytes()).ok_or_else(|| {
            refuse("date", cell, "a date of the calendar such as 2031-03-15, or in an order that the dates tell")
        })?;
        if stamp.offset_minutes.is_some() {
            // In the site's own time it may be another day.
            return Err(refuse("date", cell, "a day at the site, without a time zone"));
        }
        let date = stamp.date;
        let season = rules.season.filter(|season| !holds(*season, date));
        if let Some(season) = season {
            return Err(Box::new(
                self.at(cell, &format!("{date} is outside the season"))
                    .expected(format!("a day from {} to {}", season.starts, season.ends))
                    .cure("widen the season, or strike out the row: its nuts would not be dried"),
            ));
        }
        let cell = self.line.cell(columns.tonnes);
        let tonnes = self
            .number(cell, &TONNES, 0.0..=1e5)
            .ok_or_else(|| refuse("tonnes", cell, "a number, 0 to 100000 t received"))?;
        let cell = columns.moisture.map_or("", |column| self.line.cell(column));
        let moisture = if cell.is_empty() {
            rules.moisture
        } else {
            let percent = self.number(cell, &MOISTURE, 0.5..=70.0).ok_or_else(|| {
                let told = refuse("moisture", cell, "a number, 0.5 to 70 % w.b.");
                let is_number = self.sheet.number(cell, &MOISTURE).is_some();
                // A load is no moisture, and the tonnes beside it may be one.
                if is_number && (0.5..=70.0).contains(&tonnes) { Box::new(told.cure(EXCHANGED)) } else { told }
            })?;
            water::dry_basis_of_percent(percent)
        };
        let grade = columns.grade.map_or("", |column| self.line.cell(column));
        Ok(IntakeRow {
            date: in_every_year(date),
            tonnes,
            moisture,
            grade: Some(grade).filter(|name| !name.is_empty()).map(|name| Arc::from(name.replace("\"\"", "\""))),
        })
    }
}

/// What shows only over all rows.
fn check_whole(file: &str, rows: &[IntakeRow], rules: &Rules, problems: &mut Vec<Problem>) {
    let whole = |what: &str, expected: &str, cure: &str| Problem::of_file(file, what).expected(expected).cure(cure);
    if rows.iter().all(|row| row.tonnes == 0.0) {
        problems.push(whole("there are no tonnes in it", "at least one delivery", ROW));
        return;
    }
    if rows.iter().all(|row| row.moisture <= rules.dried_moisture) {
        problems.push(whole(
            "all nuts arrive as dry as they shall be",
            "moisture above dried_moisture",
            if columns::are_exchanged(rows, rules) {
                EXCHANGED
            } else {
                "give moisture in percent of the wet mass, or a lower target"
            },
        ));
    }
    let two_years = rows.iter().find(|row| {
        let day = MonthDay::of(row.date);
        rows.iter().any(|other| MonthDay::of(other.date) == day && other.date.year() != row.date.year())
    });
    if let Some(row) = two_years {
        problems.push(whole(
            &format!("{} comes in two years", MonthDay::of(row.date)),
            "one season; years are ignored, so that every weather year gets the same intake",
            "keep one year's rows, or the mean of several",
        ));
    }
}

fn holds(season: SeasonWindow, date: NaiveDate) -> bool {
    let day = MonthDay::of(date);
    if season.crosses_new_year() {
        day >= season.starts || day <= season.ends
    } else {
        (season.starts..=season.ends).contains(&day)
    }
}

/// Not every weather year has a 29 February: its nuts come on the 28th.
fn in_every_year(date: NaiveDate) -> NaiveDate {
    if (date.month(), date.day()) == (2, 29) { date.pred_opt().unwrap_or(date) } else { date }
}

#[cfg(test)]
mod tests;
