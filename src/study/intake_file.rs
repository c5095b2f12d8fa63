//! An intake file: CSV with `date,tonnes[,moisture][,grade]`, one row a delivery, moisture in % w.b. A bin
//! holds one grade; rows without one are a grade of their own.

mod doubts;

use crate::crop::water;
use crate::problem::{Problem, Severity};
use crate::season::IntakeRow;
use crate::weather::{MonthDay, SeasonWindow};
use chrono::{Datelike, NaiveDate};
use std::sync::Arc;

/// What the study says about the rows.
pub(super) struct Rules {
    /// Moisture of rows that give none, dry basis.
    pub moisture: f64,
    /// Moisture to which nuts are dried, dry basis.
    pub dried_moisture: f64,
    /// The season, if it could be read.
    pub season: Option<SeasonWindow>,
}

/// The rows that can be used, and everything wrong with the others.
pub(super) struct Days {
    pub rows: Vec<IntakeRow>,
    pub problems: Vec<Problem>,
}

/// More rows than this are not told one by one.
const TOLD_ROWS: usize = 5;
const ROW: &str = "write one row a delivery: date as 2031-03-15, tonnes, moisture in % w.b.";
const COLUMNS: [&str; 4] = ["date", "tonnes", "moisture", "grade"];

/// One record of the file, with its place.
struct Record<'t> {
    file: &'t str,
    text: &'t str,
    start: usize,
    cells: csv::StringRecord,
}

/// Reads the text of an intake file.
pub(super) fn read(file: &str, text: &str, rules: &Rules) -> Days {
    let mut days = Days { rows: Vec::new(), problems: Vec::new() };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let separator = separator(text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut records = reader.records().filter_map(|record| {
        let cells = record.ok()?;
        #[allow(clippy::cast_possible_truncation)] // a place in a text that is in memory
        let place = cells.position().map_or(0, |place| place.byte() as usize);
        let start = past_remarks(text, place);
        Some(Record { file, text, start, cells })
    });
    let Some(head) = records.next() else {
        days.problems.push(
            Problem::of_file(file, "the file is empty").expected("date,tonnes,moisture").cure(ROW),
        );
        return days;
    };
    let Some(columns) = Columns::of(&head, &mut days.problems) else {
        return days;
    };
    let records: Vec<Record<'_>> = records.collect();
    let order = DayOrder::of(records.iter().map(|record| record.cell(columns.date)));
    let mut bad = Vec::new();
    for record in &records {
        match record.row(&columns, order, rules) {
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
            doubts::doubts(&records, &days.rows, rules, &mut days.problems);
        }
    }
    days
}

/// What parts the cells: the mark that comes most often in the head of the table.
fn separator(text: &str) -> u8 {
    let is_said = |line: &&str| !line.trim().is_empty() && !line.starts_with('#');
    let head = text.lines().find(is_said).unwrap_or("");
    let count = |mark: u8| head.bytes().filter(|byte| *byte == mark).count();
    [b';', b'\t'].into_iter().find(|mark| count(*mark) > count(b',')).unwrap_or(b',')
}

/// The order of day and month in dates that are not written year first, if the dates themselves tell.
#[derive(Clone, Copy, Debug, PartialEq)]
enum DayOrder {
    DayFirst,
    MonthFirst,
    /// Every date reads either way.
    Unknown,
}

impl DayOrder {
    fn of<'t>(cells: impl Iterator<Item = &'t str>) -> Self {
        let (mut first, mut second) = (0, 0);
        for [a, b, _] in cells.filter_map(numbers_of_date) {
            first = first.max(a);
            second = second.max(b);
        }
        match (first > 12, second > 12) {
            (true, _) => Self::DayFirst,
            (false, true) => Self::MonthFirst,
            (false, false) => Self::Unknown,
        }
    }

    fn date(self, cell: &str) -> Option<NaiveDate> {
        if let Ok(date) = cell.parse() {
            return Some(date);
        }
        let [a, b, year] = numbers_of_date(cell)?;
        let (day, month) = match self {
            Self::DayFirst => (a, b),
            Self::MonthFirst => (b, a),
            // A point parts days first; a stroke tells nothing.
            Self::Unknown if cell.contains('.') || a == b => (a, b),
            Self::Unknown => return None,
        };
        NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)
    }
}

/// The three numbers of `15.03.2031` or `3/15/2031`.
fn numbers_of_date(cell: &str) -> Option<[u32; 3]> {
    let mut parts = cell.split(['.', '/', '-']).map(str::parse);
    let numbers = [parts.next()?.ok()?, parts.next()?.ok()?, parts.next()?.ok()?];
    (parts.next().is_none() && numbers[2] > 999).then_some(numbers)
}

/// The place of the next row: a record's own place lies before the blank lines and remarks above it.
fn past_remarks(text: &str, mut place: usize) -> usize {
    for line in text.get(place..).unwrap_or("").split_inclusive('\n') {
        if !line.trim().is_empty() && !line.starts_with('#') {
            break;
        }
        place += line.len();
    }
    place
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
    fn of(head: &Record<'_>, problems: &mut Vec<Problem>) -> Option<Self> {
        let names: Vec<String> = head.cells.iter().map(str::to_lowercase).collect();
        let column = |name: &str| names.iter().position(|written| written == name);
        let (Some(date), Some(tonnes)) = (column("date"), column("tonnes")) else {
            let written = head.cells.iter().collect::<Vec<_>>().join(",");
            let what = format!("the columns are `{written}`");
            problems.push(
                head.at("", &what)
                    .expected(
                        "`date,tonnes`, with `moisture` and `grade` if there are, in the first row",
                    )
                    .cure("name the columns, parted by commas"),
            );
            return None;
        };
        let twice =
            COLUMNS.iter().find(|column| names.iter().filter(|name| name == *column).count() > 1);
        if let Some(column) = twice {
            problems.push(
                head.at("", &format!("two columns are called `{column}`"))
                    .expected("one column of each name")
                    .cure("rename or strike out the one that is not meant"),
            );
            return None;
        }
        for (name, written) in names.iter().zip(&head.cells) {
            if !COLUMNS.contains(&name.as_str()) {
                problems.push(
                    head.at(written, &format!("the column `{written}` is not used"))
                        .cure("date, tonnes, moisture and grade are read")
                        .as_warning(),
                );
            }
        }
        Some(Self {
            count: names.len(),
            date,
            tonnes,
            moisture: column("moisture"),
            grade: column("grade"),
        })
    }
}

impl Record<'_> {
    /// A problem at a cell of this record.
    fn at(&self, cell: &str, what: &str) -> Problem {
        let line = self.text.get(self.start..).unwrap_or("");
        let line = line.lines().next().unwrap_or("");
        let place = self.start + line.find(cell).unwrap_or(0);
        Problem::at(self.file, self.text, &(place..place + cell.len().max(1)), what)
    }

    fn cell(&self, column: usize) -> &str {
        self.cells.get(column).unwrap_or("")
    }

    fn row(
        &self,
        columns: &Columns,
        order: DayOrder,
        rules: &Rules,
    ) -> Result<IntakeRow, Box<Problem>> {
        let found = self.cells.len();
        if found != columns.count {
            return Err(Box::new(
                self.at("", &format!("the row has {found} cells"))
                    .expected(format!("{}, as many as columns", columns.count))
                    .cure("part cells by commas and write decimals with a point"),
            ));
        }
        let refuse = |name: &str, cell: &str, expected: &str| {
            let what = if cell.is_empty() {
                format!("{name} is empty")
            } else {
                format!("{name} is `{cell}`")
            };
            Box::new(self.at(cell, &what).expected(expected).cure(ROW))
        };
        let cell = self.cell(columns.date);
        let date = order.date(cell).ok_or_else(|| {
            refuse(
                "date",
                cell,
                "a date of the calendar such as 2031-03-15, or in an order that the dates tell",
            )
        })?;
        let season = rules.season.filter(|season| !holds(*season, date));
        if let Some(season) = season {
            return Err(Box::new(
                self.at(cell, &format!("{date} is outside the season"))
                    .expected(format!("a day from {} to {}", season.starts, season.ends))
                    .cure("widen the season, or strike out the row: its nuts would not be dried"),
            ));
        }
        let cell = self.cell(columns.tonnes);
        let tonnes = number(cell, 0.0, 1e5)
            .ok_or_else(|| refuse("tonnes", cell, "a number, 0 to 100000 t received"))?;
        let cell = columns.moisture.map_or("", |column| self.cell(column));
        let moisture = if cell.is_empty() {
            rules.moisture
        } else {
            let percent = number(cell, 0.5, 70.0)
                .ok_or_else(|| refuse("moisture", cell, "a number, 0.5 to 70 % w.b."))?;
            water::dry_basis_of_percent(percent)
        };
        let grade = columns.grade.map_or("", |column| self.cell(column));
        Ok(IntakeRow {
            date: in_every_year(date),
            tonnes,
            moisture,
            grade: Some(grade).filter(|name| !name.is_empty()).map(Arc::from),
        })
    }
}

/// What shows only over all rows.
fn check_whole(file: &str, rows: &[IntakeRow], rules: &Rules, problems: &mut Vec<Problem>) {
    let whole = |what: &str, expected: &str, cure: &str| {
        Problem::of_file(file, what).expected(expected).cure(cure)
    };
    if rows.iter().all(|row| row.tonnes == 0.0) {
        problems.push(whole("there are no tonnes in it", "at least one delivery", ROW));
        return;
    }
    if rows.iter().all(|row| row.moisture <= rules.dried_moisture) {
        problems.push(whole(
            "all nuts arrive as dry as they shall be",
            "moisture above dried_moisture",
            "give moisture in percent of the wet mass, or a lower target",
        ));
    }
    let two_years = rows.iter().find(|row| {
        let day = MonthDay::of(row.date);
        rows.iter()
            .any(|other| MonthDay::of(other.date) == day && other.date.year() != row.date.year())
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

/// A number with a decimal point or comma.
fn number(text: &str, low: f64, high: f64) -> Option<f64> {
    text.replacen(',', ".", 1).parse().ok().filter(|value| (low..=high).contains(value))
}

#[cfg(test)]
mod tests;
