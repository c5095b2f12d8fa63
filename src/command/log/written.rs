//! A drying log as it was written: columns, times and cells, each checked where it stands.

use super::keys::Facts;
use crate::problem::{Problem, Problems};
use chrono::NaiveDateTime;

/// Columns of a log. The first two it must have.
pub(super) const COLUMNS: [&str; 5] =
    ["time", "moisture_pct", "air_c", "relative_humidity_pct", "note"];
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
    pub fn hours_since(self, start: Self) -> f64 {
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

/// Which column of the file is which of [`COLUMNS`].
type Places = [Option<usize>; COLUMNS.len()];

/// Reads a log. Its problems, all of them with their lines, are the failure.
pub(super) fn read(name: &str, bytes: &[u8]) -> Result<Written, Problems> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        let problem = Problem::said("not UTF-8 text").cure("save the log as UTF-8 CSV");
        return Err(problem.placed(name, None).into());
    };
    let text = text.trim_start_matches('\u{feff}');
    let mut problems = Vec::new();
    let mut facts = Facts::default();
    let mut columns: Option<(Places, usize)> = None;
    let mut rows: Vec<Row> = Vec::new();
    for (number, written) in text.lines().enumerate() {
        let line = number + 1;
        let told = if let Some(remark) = written.strip_prefix('#') {
            facts.take(remark)
        } else if written.trim().is_empty() {
            Ok(())
        } else if let Some((places, count)) = columns {
            let before = rows.last().map(|row| row.time);
            row(&cells(written), count, places, line)
                .and_then(|row| follows(before, row.time).map(|()| rows.push(row)))
        } else {
            let header = cells(written);
            match places(&header) {
                Ok(places) => {
                    columns = Some((places, header.len()));
                    Ok(())
                }
                Err(problem) => {
                    // Without columns no row can be read.
                    problems.extend(problem.placed(name, Some(line)).into_vec());
                    return Err(Problems::new(problems));
                }
            }
        };
        if let Err(told) = told {
            problems.extend(told.placed(name, Some(line)).into_vec());
        }
    }
    let Some((places, _)) = columns else {
        problems.push(no_column(COLUMNS[0]).placed(name, None));
        return Err(Problems::new(problems));
    };
    problems.extend(fractions(&rows).map(|problem| problem.placed(name, None)));
    if problems.is_empty() {
        Ok(Written {
            name: name.to_owned(),
            facts,
            rows,
            has_air_c: places[2].is_some(),
            has_humidity: places[3].is_some(),
        })
    } else {
        Err(Problems::new(problems))
    }
}

/// Cells of a line; a line that is no CSV is one cell.
fn cells(line: &str) -> csv::StringRecord {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .trim(csv::Trim::All)
        .from_reader(line.as_bytes());
    let mut record = csv::StringRecord::new();
    match reader.read_record(&mut record) {
        Ok(true) => record,
        _ => csv::StringRecord::from(vec![line]),
    }
}

fn no_column(column: &str) -> Problem {
    Problem::said(format!("there is no column {column}")).cure(
        "the first line below the remarks names the columns: time,moisture_pct, and air_c,relative_humidity_pct where \
         the air was logged",
    )
}

fn places(header: &csv::StringRecord) -> Result<Places, Problems> {
    let mut places = Places::default();
    for (at, written) in header.iter().enumerate() {
        if written.to_lowercase().contains("kernel") {
            return Err(of_kernel(written).into());
        }
        let Some(column) = COLUMNS.iter().position(|column| *column == written) else {
            let what =
                format!("there is a column '{written}', where {} are known", COLUMNS.join(", "));
            return Err(Problem::said(what).cure("rename it, or call it note").into());
        };
        if places[column].replace(at).is_some() {
            let what = format!("the column {written} is there twice");
            return Err(Problem::said(what).cure("leave one out").into());
        }
    }
    match [0, 1].into_iter().find(|column| places[*column].is_none()) {
        Some(column) => Err(no_column(COLUMNS[column]).into()),
        None => Ok(places),
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

fn row(
    record: &csv::StringRecord,
    columns: usize,
    places: Places,
    line: usize,
) -> Result<Row, Problems> {
    if record.len() != columns {
        let what =
            format!("there are {} cells, where the header names {columns} columns", record.len());
        let cure = "separate cells by commas and write decimals with a point";
        return Err(Problem::said(what).cure(cure).into());
    }
    let cell = |column: usize| places[column].and_then(|at| record.get(at)).unwrap_or_default();
    let number = |column: usize, low: f64, high: f64, cure: &str| -> Result<_, Problems> {
        let (name, text) = (COLUMNS[column], cell(column));
        if text.is_empty() {
            return Ok(None);
        }
        match text.parse::<f64>() {
            Ok(value) if (low..=high).contains(&value) => Ok(Some(value)),
            Ok(_) => {
                let what = format!("{name} is {text}, where {low}..{high} is expected");
                Err(Problem::said(what).cure(cure).into())
            }
            Err(_) => Err(Problem::said(format!("{name} is '{text}', where a number is expected"))
                .cure("write digits with a point, or leave the cell empty")
                .into()),
        }
    };
    let wet = "moisture is in % of the mass of the moist nuts (wet basis)";
    Ok(Row {
        line,
        time: time(cell(0))?,
        moisture_pct: number(1, 0.1, WETTEST_PCT, wet)?,
        air_c: number(2, 0.0, 100.0, "the air's temperature is in °C")?,
        relative_humidity_pct: number(3, 0.0, 100.0, "relative humidity is in %")?,
    })
}

fn time(text: &str) -> Result<Time, Problems> {
    if let Ok(hours) = text.parse::<f64>()
        && hours.is_finite()
    {
        return Ok(Time::Hours(hours));
    }
    ["%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S"]
        .iter()
        .find_map(|form| NaiveDateTime::parse_from_str(text, form).ok())
        .map(Time::At)
        .ok_or_else(|| {
            Problem::said(format!(
                "time is '{text}', where hours (12.5) or a date and a clock (2031-04-02 18:30) are expected"
            ))
            .cure("rewrite it")
            .into()
        })
}

/// A row's time must come after that of the row before, and be of its kind.
fn follows(before: Option<Time>, now: Time) -> Result<(), Problems> {
    let Some(before) = before else { return Ok(()) };
    let passed = now.hours_since(before);
    if passed.is_nan() {
        let what = "hours and dates are mixed in the column time";
        Err(Problem::said(what).cure("write either everywhere").into())
    } else if passed <= 0.0 {
        let what = format!(
            "time is {:.2} h before the row above or equal to it, where times must rise",
            -passed
        );
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
        Problem::said("every moisture_pct is below 1 %: these look like fractions")
            .cure("write 22.5 for 22.5 %")
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
