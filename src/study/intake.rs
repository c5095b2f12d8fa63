//! The nuts that come: a season's tonnage with a shape, or a file of days.

use super::companions::Companions;
use super::crop::CropRead;
use super::cursor::{Cursor, Kind};
use super::field::Field;
use super::problem::Problem;
use crate::crop::water;
use crate::dryer::IntakeShape;
use crate::season::{Intake, IntakeRow};
use chrono::NaiveDate;

pub(super) struct IntakeRead {
    pub intake: Intake,
    /// Mean moisture, dry basis, weighted by dry matter.
    pub mean_moisture: f64,
}

/// The keys of `[crop]` that are read here.
const KEYS: [&str; 3] = ["season_tonnes", "intake", "intake_shape"];

/// Marks this room's keys of `[crop]` as known before that table is finished.
pub(super) fn claim_keys(crop: &Cursor<'_>) {
    for key in KEYS {
        crop.claim(key);
    }
}

pub(super) fn read(
    root: &Cursor<'_>,
    crop: &CropRead,
    companions: &dyn Companions,
) -> Option<IntakeRead> {
    let cursor = root.table("crop");
    let moisture = crop.crop.practice().received_moisture;
    if cursor.kind("intake").is_some() {
        let path = cursor.text("intake").required()?;
        return read_file(&cursor, &path, moisture, companions);
    }
    let tonnes = cursor
        .number("season_tonnes")
        .unit("t received")
        .within(0.1, 1e6)
        .hint("give the season's received tonnes, or intake = \"intake.csv\" with date,tonnes,moisture")
        .required();
    let shape = read_shape(&cursor);
    Some(IntakeRead {
        intake: Intake::Shaped {
            tonnes: tonnes?,
            shape: shape?,
            moisture,
        },
        mean_moisture: moisture,
    })
}

fn read_shape(cursor: &Cursor<'_>) -> Option<IntakeShape> {
    if cursor.kind("intake_shape") == Some(Kind::List) {
        let weights = cursor
            .numbers("intake_shape")
            .exactly(12)
            .each_within(0.0, 1e6)
            .when("at least one weight above 0", |weights| {
                weights.iter().sum::<f64>() > 0.0
            })
            .hint("give a weight for each month, January first")
            .required()?;
        let mut months = [0.0; 12];
        months.copy_from_slice(&weights);
        return Some(IntakeShape::Monthly(months));
    }
    let words: &[(&'static str, bool)] = &[("even", false), ("bell", true)];
    let field: Field<'_, bool> = cursor
        .choice("intake_shape", words)
        .hint("or twelve monthly weights");
    let bell = field.default(
        true,
        "assumption: little at both ends of the season, twice the mean in the middle",
    );
    Some(if bell {
        IntakeShape::Bell
    } else {
        IntakeShape::Even
    })
}

fn read_file(
    cursor: &Cursor<'_>,
    path: &str,
    moisture: f64,
    companions: &dyn Companions,
) -> Option<IntakeRead> {
    let text = match companions.text(path) {
        Ok(text) => text,
        Err(cause) => {
            let what = format!("names {path}, which cannot be read: {cause}");
            cursor.complain(
                "intake",
                &what,
                "a file beside the study",
                "give date,tonnes,moisture",
            );
            return None;
        }
    };
    match parse(path, &text, moisture) {
        Ok(read) => Some(read),
        Err(problem) => {
            cursor.report(*problem);
            None
        }
    }
}

/// Reads `date,tonnes[,moisture]` rows; moisture in % w.b., the study's where a row has none.
fn parse(path: &str, text: &str, moisture: f64) -> Result<IntakeRead, Box<Problem>> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let at_line = |line: u64, what: String| {
        let mut problem = Problem::of_file(path, what);
        problem.line = usize::try_from(line).unwrap_or(usize::MAX);
        problem.cure("one row a day: date as 2031-03-15, tonnes, moisture in % w.b.")
    };
    let refuse = |line: u64, what: String| Box::new(at_line(line, what));
    let headers = reader
        .headers()
        .map_err(|error| refuse(1, error.to_string()))?
        .clone();
    let column = |name: &str| {
        headers
            .iter()
            .position(|header| header.eq_ignore_ascii_case(name))
    };
    let (Some(date), Some(tonnes)) = (column("date"), column("tonnes")) else {
        return Err(refuse(
            1,
            format!(
                "the columns are {}; `date` and `tonnes` are needed",
                headers.iter().collect::<Vec<_>>().join(", ")
            ),
        ));
    };
    let moisture_column = column("moisture");
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| {
            refuse(
                error.position().map_or(0, csv::Position::line),
                error.to_string(),
            )
        })?;
        let line = record.position().map_or(0, csv::Position::line);
        let cell = |at: usize| record.get(at).unwrap_or("");
        let day: NaiveDate = cell(date)
            .parse()
            .map_err(|_| refuse(line, format!("`{}` is not a date", cell(date))))?;
        let mass: f64 = number(cell(tonnes), 0.0, 1e5).ok_or_else(|| {
            refuse(
                line,
                format!("`{}` is not a tonnage of 0 to 100000", cell(tonnes)),
            )
        })?;
        let wet = match moisture_column.map(cell).filter(|cell| !cell.is_empty()) {
            None => moisture,
            Some(cell) => {
                water::dry_basis_of_percent(number(cell, 0.5, 70.0).ok_or_else(|| {
                    refuse(
                        line,
                        format!("`{cell}` is not a moisture of 0.5 to 70 % w.b."),
                    )
                })?)
            }
        };
        rows.push(IntakeRow {
            date: day,
            tonnes: mass,
            moisture: wet,
        });
    }
    let dry = |row: &IntakeRow| row.tonnes / (1.0 + row.moisture);
    let dry_t: f64 = rows.iter().map(dry).sum();
    if dry_t <= 0.0 {
        return Err(refuse(1, "there are no tonnes in it".to_owned()));
    }
    let water_t: f64 = rows.iter().map(|row| dry(row) * row.moisture).sum();
    Ok(IntakeRead {
        intake: Intake::Daily(rows),
        mean_moisture: water_t / dry_t,
    })
}

fn number(text: &str, low: f64, high: f64) -> Option<f64> {
    text.parse()
        .ok()
        .filter(|value| (low..=high).contains(value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_read_and_faults_are_placed() {
        let read = parse(
            "intake.csv",
            "date,tonnes,moisture\n2031-03-02,5,25\n2031-03-03,5,\n",
            0.25,
        )
        .unwrap();
        let Intake::Daily(rows) = read.intake else {
            panic!("days")
        };
        assert_eq!(rows.len(), 2);
        assert!((rows[0].moisture - 1.0 / 3.0).abs() < 1e-12);
        assert_eq!(rows[1].moisture, 0.25);
        for (text, words) in [
            ("day,tonnes\n", "`date` and `tonnes`"),
            ("date,tonnes\n2031-13-01,4\n", "2031-13-01"),
            ("date,tonnes\n2031-03-01,nan\n", "nan"),
            ("date,tonnes,moisture\n2031-03-01,4,150\n", "150"),
            ("date,tonnes\n", "no tonnes"),
        ] {
            let Err(problem) = parse("intake.csv", text, 0.25) else {
                panic!("{text} was taken")
            };
            assert!(problem.sentence().contains(words), "{}", problem.sentence());
        }
    }
}
