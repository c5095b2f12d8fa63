//! What is possible in an intake file, and more often a slip.

use super::record::{Record, Rules};
use crate::crop::water;
use crate::problem::{Matter, Problem};
use crate::season::IntakeRow;
use chrono::NaiveDate;

/// A day this many times the ninth decile of all days is more often a slip of the decimal point than a day.
const ODD_DAY: f64 = 5.0;
/// Fewer days than this have no usual day.
const FEWEST_DAYS: usize = 8;
/// Rows wetter than the study says by more than this, % points, are more likely of another basis.
const WETTER_PCT: f64 = 8.0;
/// Trucks of one size make equal rows; where fewer than this share are equal, an equal row is a second paste.
const RARE: f64 = 0.1;

/// So many rows that stand earlier already are a paste.
const FEWEST_PASTED: usize = 3;

/// What can be but hardly will: rows pasted twice, days far above the others, nuts drier than they shall be.
pub(super) fn doubts(records: &[Record<'_>], rows: &[IntakeRow], rules: &Rules, problems: &mut Vec<Problem>) {
    let at = |row: usize, what: &str, code: &'static str| records[row].at("", what).code(code).into_warning();
    if let Some(row) = repeated_from(rows) {
        problems.push(
            at(row, "from here on the rows are those above once more", "intake.repeated")
                .cure("strike out the second paste; deliveries of one day are added up")
                .about(&[Matter::Deliveries]),
        );
    } else if let Some((row, from, count)) = pasted_block(rows) {
        let what = format!("the {count} rows from here on are those from row {} on once more", from + 1);
        problems.push(
            at(row, &what, "intake.repeated")
                .cure("strike out the second paste; deliveries of one day are added up")
                .about(&[Matter::Deliveries]),
        );
    } else if every_row_twice(rows) {
        problems.push(
            at(1, "every row stands twice", "intake.repeated")
                .cure("strike out the second of each; deliveries of one day are added up")
                .about(&[Matter::Deliveries]),
        );
    } else if let Some(row) = pasted_row(rows) {
        problems.push(
            // Two trucks of one day may be equal: no doubt is cast on the season for one pair.
            at(row, "the row is the one above once more", "intake.repeated")
                .cure("strike it out if it is one delivery; equal rows are added up")
                .into_note(),
        );
    }
    if let Some((row, times)) = odd_day(rows) {
        let what =
            format!("{} brings {times:.0} times what nine days in ten bring at most", rows[row].date.format("%-d %B"));
        problems.push(
            at(row, &what, "intake.day")
                .cure("look at the decimal point, and whether it is tonnes and not kilograms")
                .about(&[Matter::Deliveries]),
        );
    }
    if let Some(row) = rows.iter().position(|row| row.tonnes > 0.0 && row.moisture <= rules.dried_moisture) {
        let what = format!(
            "nuts of {:.1} % w.b. come drier than they shall be",
            water::percent_of_dry_basis(rows[row].moisture)
        );
        problems.push(
            at(row, &what, "intake.dry")
                .cure("look at the moisture; such nuts pass through and no heat is reckoned for them")
                .resting_on(&[Matter::Deliveries]),
        );
    }
    // A file that gives moistures is held beside what the study itself says of them.
    let (tonnes, water_t) = rows.iter().fold((0.0, 0.0), |(tonnes, water_t), row| {
        (tonnes + row.tonnes, water_t + row.tonnes * row.moisture / (1.0 + row.moisture))
    });
    let (found_pct, said_pct) = (100.0 * water_t / tonnes, water::percent_of_dry_basis(rules.moisture));
    if found_pct - said_pct > WETTER_PCT {
        let what = format!("the rows come with {found_pct:.1} % w.b. on average, received_moisture is {said_pct:.1} %");
        problems.push(
            at(0, &what, "intake.moisture")
                .cure("moisture is in percent of the wet mass; of the dry mass it would read higher")
                .about(&[Matter::Moisture])
                .resting_on(&[Matter::Deliveries]),
        );
    }
}

/// The row from which the table is itself once more.
fn repeated_from(rows: &[IntakeRow]) -> Option<usize> {
    let half = rows.len() / 2;
    (rows.len().is_multiple_of(2) && half >= 2 && rows[..half] == rows[half..] && rows[0].date != rows[half - 1].date)
        .then_some(half)
}

/// The first row of the longest run that repeats an earlier one, that one's first row, and how many rows there are. A run
/// goes over several days and back in time, which no list of deliveries does by itself.
fn pasted_block(rows: &[IntakeRow]) -> Option<(usize, usize, usize)> {
    let runs = (1..rows.len()).filter(|&at| rows[at].date < rows[at - 1].date).filter_map(|at| {
        let from = rows[..at].iter().position(|row| *row == rows[at])?;
        let count = rows[from..at].iter().zip(&rows[at..]).take_while(|(before, again)| before == again).count();
        let days = rows[at..at + count].windows(2).any(|pair| pair[0].date != pair[1].date);
        (count >= FEWEST_PASTED && days).then_some((at, from, count))
    });
    runs.max_by_key(|(_, _, count)| *count)
}

/// True of a table in which each row of several days stands twice, one below the other, and rows differ else.
fn every_row_twice(rows: &[IntakeRow]) -> bool {
    let pairs = || rows.chunks(2);
    let differ = rows.chunks(2).zip(rows.chunks(2).skip(1)).all(|(one, next)| one[0] != next[0]);
    let varied = rows.iter().any(|row| row.tonnes != rows[0].tonnes);
    rows.len() >= FEWEST_DAYS && varied && differ && pairs().all(|pair| pair.len() == 2 && pair[0] == pair[1])
}

/// A row that equals the one above, in a table in which hardly any do.
fn pasted_row(rows: &[IntakeRow]) -> Option<usize> {
    let equal = || rows.windows(2).enumerate().filter(|(_, pair)| pair[0] == pair[1]);
    let is_rare = (equal().count() as f64) < RARE * rows.len() as f64;
    equal().next().map(|(at, _)| at + 1).filter(|_| is_rare && rows.len() >= FEWEST_DAYS)
}

/// The row of a day far above all others, and how far.
fn odd_day(rows: &[IntakeRow]) -> Option<(usize, f64)> {
    let mut days: Vec<(NaiveDate, f64)> = Vec::new();
    for row in rows {
        match days.iter_mut().find(|(date, _)| *date == row.date) {
            Some((_, tonnes)) => *tonnes += row.tonnes,
            None => days.push((row.date, row.tonnes)),
        }
    }
    if days.len() < FEWEST_DAYS {
        return None;
    }
    let (most_on, most_t) = *days.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let mut sorted: Vec<f64> = days.iter().map(|(_, tonnes)| *tonnes).collect();
    sorted.sort_by(f64::total_cmp);
    // The day itself is left out of what is usual.
    let usual_t = sorted[(sorted.len() - 1) * 9 / 10 - 1].max(f64::MIN_POSITIVE);
    let row = rows.iter().position(|row| row.date == most_on)?;
    (most_t > ODD_DAY * usual_t).then_some((row, most_t / usual_t))
}
