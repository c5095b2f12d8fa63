//! A drying log as it was written: columns, times and cells, each checked where it stands.

use super::keys::Facts;
use crate::problem::{Problem, Problems};
use crate::table::{Column, Dates, Line, OtherUnit, Places, Sheet, decode, no_table};
use chrono::{NaiveDateTime, TimeDelta};

const TIME: Column = Column { name: "time", units: &["h"] };
const MOISTURE: Column = Column { name: "moisture_pct", units: &["%", "% w.b.", "pct"] };
const AIR: Column = Column { name: "air_c", units: &["°C", "C", "degC"] };
const HUMIDITY: Column = Column { name: "relative_humidity_pct", units: &["%", "pct"] };
const NOTE: Column = Column { name: "note", units: &[] };
/// Columns of a log. The first two it must have.
const COLUMNS: [Column; 5] = [TIME, MOISTURE, AIR, HUMIDITY, NOTE];
/// Wettest nuts, % w.b., that can be meant.
const WETTEST_PCT: f64 = 70.0;

/// When a row was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Time {
    /// Hours by a clock that began anywhere.
    Hours(f64),
    /// A date and a clock.
    At(NaiveDateTime),
}

impl Time {
    /// Hours since another time of the same kind.
    pub(super) fn hours_since(self, start: Self) -> f64 {
        match (self, start) {
            (Self::Hours(now), Self::Hours(then)) => now - then,
            (Self::At(now), Self::At(then)) => (now - then).num_seconds() as f64 / 3600.0,
            _ => f64::NAN,
        }
    }
}

/// One row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Row {
    pub line: usize,
    pub time: Time,
    pub moisture_pct: Option<f64>,
    pub air_c: Option<f64>,
    pub relative_humidity_pct: Option<f64>,
}

/// A log as written.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Written {
    pub name: String,
    pub facts: Facts,
    pub rows: Vec<Row>,
    pub has_air_c: bool,
    pub has_humidity: bool,
}

/// Reads a log. Its problems, all of them with their lines, are the failure.
pub(super) fn read(name: &str, bytes: &[u8]) -> Result<Written, Problems> {
    if let Some(what) = no_table(bytes) {
        return Err(Problem::said(format!("not a drying log but {what}")).placed(name, None).into());
    }
    let text = decode(bytes).text;
    let sheet = Sheet::of(&text);
    let mut problems = Vec::new();
    let mut facts = Facts::default();
    for (line, remark) in &sheet.remarks {
        if let Err(told) = facts.take(remark) {
            problems.extend(told.placed(name, Some(*line)).into_vec());
        }
    }
    let places = sheet.places(&COLUMNS);
    if let Err(told) = check_names(name, &sheet, &places) {
        // Without columns no row can be read.
        problems.extend(told.into_vec());
        return Err(Problems::new(problems));
    }
    let table = Table { dates: sheet.dates(places.of(0).unwrap_or(0)), sheet: &sheet, places };
    let mut rows: Vec<Row> = Vec::new();
    for line in &sheet.rows {
        let before = rows.last().map(|row| row.time);
        let row = table.row(line);
        match row.and_then(|row| follows(before, row.time).map(|()| row)) {
            Ok(row) => rows.push(row),
            Err(told) => problems.extend(told.placed(name, Some(line.number)).into_vec()),
        }
    }
    problems.extend(fractions(&rows).map(|problem| problem.placed(name, None)));
    if problems.is_empty() {
        let has = |column: usize| table.places.of(column).is_some();
        let name = name.to_owned();
        Ok(Written { name, facts, rows, has_air_c: has(2), has_humidity: has(3) })
    } else {
        Err(Problems::new(problems))
    }
}

fn no_column(column: &str) -> Problem {
    Problem::said(format!("there is no column {column}")).cure(
        "the first line below the remarks names the columns: time,moisture_pct, and air_c,relative_humidity_pct where \
         the air was logged",
    )
}

/// A fault of the names, at its line.
fn check_names(name: &str, sheet: &Sheet<'_>, places: &Places) -> Result<(), Problems> {
    let head = &sheet.head;
    let at_head = |problem: Problem| Err(problem.placed(name, Some(head.number)).into());
    let names = &head.cells;
    if let Some(kernel) = names.iter().find(|name| name.to_lowercase().contains("kernel")) {
        return at_head(of_kernel(kernel));
    }
    if let Some(unknown) = places.unknown.first() {
        let known = COLUMNS.map(|column| column.name).join(", ");
        let what = format!("there is a column '{}', where {known} are known", names[*unknown]);
        return at_head(Problem::said(what).cure("rename it, or call it note"));
    }
    if let Some(second) = places.twice {
        let what = format!("the column {} is there twice", names[second]);
        return at_head(Problem::said(what).cure("leave one out"));
    }
    if let Some(OtherUnit { line, column, found, expected }) = &places.other_unit {
        let what = format!("{column} is in {found}, where {expected} is expected");
        return Err(Problem::said(what).cure("convert it").placed(name, Some(*line)).into());
    }
    match [0, 1].into_iter().find(|column| places.of(*column).is_none()) {
        Some(column) if names.is_empty() => Err(no_column(COLUMNS[column].name).placed(name, None).into()),
        Some(column) => at_head(no_column(COLUMNS[column].name)),
        None => Ok(()),
    }
}

/// Kernels dry behind their shells: no isotherm turns what they hold meanwhile into the moisture of the
/// nut, and a rate fitted to it would be of the assumption.
fn of_kernel(column: &str) -> Problem {
    Problem::said(format!(
        "there is a column '{column}', and a log takes the moisture of whole nuts, shell and kernel together"
    ))
    .cure(
        "while nuts dry, shell and kernel hold different water activities (shells of walnuts at harvest are 6 to 12 \
         points wetter than kernels), so the isotherm pair would turn it wrongly. Log whole nuts as moisture_pct; or, \
         with shells measured too, take f x kernel + (1 - f) x shell, both in kg of water per kg of dry matter, f the \
         kernel_share of `dryledger crops NAME`; or call the column note",
    )
}

/// The table with what is known of its columns.
struct Table<'t> {
    sheet: &'t Sheet<'t>,
    places: Places,
    dates: Dates,
}

impl Table<'_> {
    fn row(&self, line: &Line<'_>) -> Result<Row, Problems> {
        let (found, columns) = (line.cells.len(), self.sheet.head.cells.len());
        if found != columns {
            let what = format!("there are {found} cells, where the header names {columns} columns");
            let cure = "a decimal comma in a table parted by commas makes two cells: separate cells by semicolons, or \
                        write decimals with a point";
            return Err(Problem::said(what).cure(cure).into());
        }
        let cell = |column: usize| self.places.of(column).map_or("", |at| line.cell(at));
        let number = |column: usize, low: f64, high: f64, cure: &str| -> Result<Option<f64>, Problems> {
            let (name, text) = (COLUMNS[column].name, cell(column));
            if text.is_empty() {
                return Ok(None);
            }
            match self.sheet.number(text, &COLUMNS[column]) {
                Some(value) if (low..=high).contains(&value) => Ok(Some(value)),
                Some(_) => {
                    let what = format!("{name} is {text}, where {low}..{high} is expected");
                    Err(Problem::said(what).cure(cure).into())
                }
                None => Err(Problem::said(format!("{name} is '{text}', where a number is expected"))
                    .cure("write digits with a point, or leave the cell empty")
                    .into()),
            }
        };
        let wet = "moisture is in % of the mass of the moist nuts (wet basis)";
        Ok(Row {
            line: line.number,
            time: self.time(cell(0))?,
            moisture_pct: number(1, 0.1, WETTEST_PCT, wet)?,
            air_c: number(2, 0.0, 100.0, "the air's temperature is in °C")?,
            relative_humidity_pct: number(3, 0.0, 100.0, "relative humidity is in %")?,
        })
    }

    fn time(&self, text: &str) -> Result<Time, Problems> {
        // 20310402 is a day: no log goes on for so many hours.
        let is_solid_date = text.len() >= 8 && text.bytes().all(|byte| byte.is_ascii_digit());
        if let Some(hours) = self.sheet.number(text, &TIME).filter(|_| !is_solid_date) {
            return Ok(Time::Hours(hours));
        }
        let stamp = self.dates.read(text.as_bytes()).ok_or_else(|| {
            Problem::said(format!(
                "time is '{text}', where hours (12.5) or a date and a clock (2031-04-02 18:30) are expected"
            ))
            .cure("rewrite it; day and month must stand in an order that the dates tell")
        })?;
        let ahead = TimeDelta::minutes(i64::from(stamp.offset_minutes.unwrap_or(0)));
        Ok(Time::At(stamp.time() - ahead))
    }
}

/// A row's time must come after that of the row before, and be of its kind.
fn follows(before: Option<Time>, now: Time) -> Result<(), Problems> {
    let Some(before) = before else { return Ok(()) };
    let passed = now.hours_since(before);
    if passed.is_nan() {
        let what = "hours and dates are mixed in the column time";
        Err(Problem::said(what).cure("write either everywhere").into())
    } else if passed <= 0.0 {
        let what = format!("time is {:.2} h before the row above or equal to it, where times must rise", -passed);
        let cure = "sort the rows, and average samples taken together";
        Err(Problem::said(what).cure(cure).into())
    } else {
        Ok(())
    }
}

/// Moistures that are all below one percent are fractions: no nuts in shell are that dry.
fn fractions(rows: &[Row]) -> Option<Problem> {
    let mut moistures = rows.iter().filter_map(|row| row.moisture_pct).peekable();
    (moistures.peek().is_some() && moistures.all(|pct| pct < 1.0)).then(|| {
        Problem::said("every moisture_pct is below 1 %: these look like fractions").cure("write 22.5 for 22.5 %")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> String {
        read("a.csv", text.as_bytes()).unwrap_err().to_string()
    }

    #[test]
    fn a_log_is_read_with_its_facts_and_lines() {
        let text = "\u{feff}# invented\n# crop = walnut\ntime, moisture_pct, air_c, relative_humidity_pct, note\n\
                    2031-04-02 06:00, 30.5, 43, 20, loaded\r\n2031-04-02T18:30, , 44, 19,\n";
        let log = read("a.csv", text.as_bytes()).unwrap();
        assert_eq!(log.facts.crop.as_deref(), Some("walnut"));
        assert_eq!(log.rows.len(), 2);
        assert_eq!((log.rows[0].line, log.rows[1].line), (4, 5));
        assert_eq!(log.rows[1].time.hours_since(log.rows[0].time), 12.5);
        assert_eq!(log.rows[1].moisture_pct, None);
        assert!(log.has_air_c && log.has_humidity);
    }

    /// A day written as eight digits is a day, not hours since some beginning.
    #[test]
    fn solid_dates_are_days() {
        let log = read("a.csv", b"time,moisture_pct\n20310402,30\n20310403,28\n203104040600,27\n").expect("a log");
        let hours = |row: usize| log.rows[row].time.hours_since(log.rows[0].time);
        assert_eq!((hours(1), hours(2)), (24.0, 54.0));
    }

    #[test]
    fn one_log_in_every_writing_is_one_log() {
        use crate::table::writings::{Cell, Meant, march};
        let row = |(day, hour, moisture, air): (u32, i64, f64, f64)| {
            let time = march(day) + TimeDelta::hours(hour);
            let note = Cell::Text("by night");
            vec![Cell::Time(time), Cell::Number(moisture), Cell::Number(air), Cell::Number(25.5), note]
        };
        let meant = Meant {
            remarks: vec!["# crop = pecan", "# air at 38 °C"],
            names: COLUMNS.map(|column| column.name).to_vec(),
            units: vec!["", "%", "°C", "%", ""],
            rows: [(11, 6, 30.5, 38.25), (12, 6, 25.25, 38.0), (14, 18, 12.0, 37.5)].map(row).to_vec(),
        };
        let mut first: Option<Vec<Row>> = None;
        for (what, bytes) in meant.in_every_writing() {
            let log = read("a.csv", &bytes).unwrap_or_else(|told| panic!("{what}: {told}"));
            assert_eq!(log.facts.crop.as_deref(), Some("pecan"), "{what}");
            let rows: Vec<Row> = log.rows.iter().map(|row| Row { line: 0, ..*row }).collect();
            assert_eq!(*first.get_or_insert_with(|| rows.clone()), rows, "{what}");
        }
        let told = told("time,moisture_pct,air_c\n,%,°F\n0,20,100\n");
        assert!(told.contains(":2:") && told.contains("air_c is in °f"), "{told}");
    }

    #[test]
    fn every_fault_is_told_with_its_line_and_cure() {
        let head = "time,moisture_pct\n";
        for (rows, line, words) in [
            ("0,20\n6,dry\n", ":3:", "'dry'"),
            ("0,20\n6,NaN\n", ":3:", "NaN"),
            ("0,20\n6,71\n", ":3:", "wet basis"),
            ("0,20\n6,19\n6,18\n", ":4:", "must rise"),
            ("0,20\n2031-01-01 00:00,18\n", ":3:", "mixed"),
            ("noon,20\n", ":2:", "2031-04-02 18:30"),
            ("0,20,5\n", ":2:", "with a point"),
            ("inf,20\n", ":2:", "hours"),
            ("0,0.22\n6,0.20\n", "a.csv:", "fractions"),
        ] {
            let told = told(&format!("{head}{rows}"));
            assert!(told.contains(line) && told.contains(words), "{rows}: {told}");
        }
        assert!(told("time,moisture\n0,20\n").contains("'moisture'"));
        assert!(told("time,air_c\n0,20\n").contains("no column moisture_pct"));
        for column in ["kernel_moisture", "Kernel %"] {
            let told = told(&format!("time,{column}\n0,20\n"));
            assert!(told.contains(":1:") && told.contains("wetter"), "{told}");
        }
        assert!(told("").contains("no column time"));
        assert_eq!(told("time,moisture_pct\nx,20\n1,y\n").lines().count(), 2);
        assert!(read("a.csv", &[0xff, 0xfe, 0x00]).is_err());
    }
}
