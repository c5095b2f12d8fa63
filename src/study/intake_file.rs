//! An intake file: CSV with `date,tonnes[,moisture][,grade]`, one row a delivery, moisture in % w.b. A bin
//! holds one grade; rows without one are a grade of their own.

use super::problem::Problem;
use crate::crop::water;
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
    let mut reader = csv::ReaderBuilder::new()
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
    let mut bad = Vec::new();
    for record in records {
        match record.row(&columns, rules) {
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
    }
    days
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

    fn row(&self, columns: &Columns, rules: &Rules) -> Result<IntakeRow, Box<Problem>> {
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
        let date: NaiveDate = cell
            .parse()
            .map_err(|_| refuse("date", cell, "a date of the calendar such as 2031-03-15"))?;
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

fn number(text: &str, low: f64, high: f64) -> Option<f64> {
    text.parse().ok().filter(|value| (low..=high).contains(value))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::problem::Severity;

    fn rules() -> Rules {
        Rules {
            moisture: 0.25,
            dried_moisture: 0.1,
            season: Some(SeasonWindow {
                starts: "02-01".parse().unwrap(),
                ends: "08-31".parse().unwrap(),
            }),
        }
    }

    #[test]
    fn rows_are_read_with_the_studys_moisture_where_they_have_none() {
        let text = "# a remark\ndate,tonnes,moisture\n2031-03-02,5,25\n\n2032-02-29,5,\n";
        let days = read("intake.csv", text, &rules());
        assert!(days.problems.is_empty(), "{:?}", days.problems);
        assert!((days.rows[0].moisture - 1.0 / 3.0).abs() < 1e-12);
        assert_eq!(days.rows[1].moisture, 0.25);
        assert_eq!(days.rows[1].date.to_string(), "2032-02-28");
    }

    #[test]
    fn a_grade_is_kept_as_it_is_written() {
        let text = "date,tonnes,grade\n2031-03-02,5,early\n2031-03-03,5,\n";
        let days = read("intake.csv", text, &rules());
        assert!(days.problems.is_empty(), "{:?}", days.problems);
        assert_eq!(days.rows[0].grade.as_deref(), Some("early"));
        assert_eq!(days.rows[1].grade, None);
    }

    #[test]
    fn every_fault_has_its_place_and_its_cure() {
        for (text, words) in [
            ("", "intake.csv:1:1: the file is empty"),
            ("day,tonnes\n", "1:1: the columns are `day,tonnes`, expected"),
            ("date;tonnes\n2031-03-01;4\n", "1:1: the columns are `date;tonnes`"),
            ("date,tonnes\n2031-13-01,4\n", "2:1: date is `2031-13-01`"),
            ("date,tonnes\n\n2031-03-01,nan\n", "3:12: tonnes is `nan`"),
            ("date,tonnes\n2031-03-01,\n", "2:1: tonnes is empty"),
            ("date,tonnes\n2031-03-01,-4\n", "2:12: tonnes is `-4`"),
            ("date,tonnes\n2031-03-01,4,5\n", "2:1: the row has 3 cells"),
            ("date,tonnes,moisture\n2031-03-01,4,150\n", "2:14: moisture is `150`"),
            ("date,tonnes\n2031-12-24,4\n", "2:1: 2031-12-24 is outside the season"),
            ("date,tonnes\n", "no tonnes"),
            ("date,tonnes,moisture\n2031-03-01,4,9\n", "as dry as they shall be"),
            ("date,tonnes\n2031-03-01,4\n2032-03-01,4\n", "03-01 comes in two years"),
        ] {
            let days = read("intake.csv", text, &rules());
            let told: Vec<String> = days.problems.iter().map(Problem::sentence).collect();
            assert_eq!(told.len(), 1, "{text:?}: {told:?}");
            assert!(told[0].contains(words), "{text:?}: {told:?}");
        }
    }

    #[test]
    fn many_bad_rows_are_told_in_a_few_lines() {
        let text = "date,tonnes\n".to_owned() + &"2031-12-24,1\n".repeat(40);
        let days = read("intake.csv", &text, &rules());
        assert_eq!(days.problems.len(), TOLD_ROWS);
        let last = days.problems[TOLD_ROWS - 1].sentence();
        assert!(last.contains("35 more rows"), "{last}");
    }

    #[test]
    fn a_column_that_is_not_used_is_a_warning() {
        let text = "date,tonnes,variety\n2031-03-01,4,early\n";
        let days = read("intake.csv", text, &rules());
        assert_eq!(days.problems[0].severity, Severity::Warning);
        assert_eq!(days.rows.len(), 1);
    }
}
