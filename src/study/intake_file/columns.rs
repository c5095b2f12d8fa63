//! What a column of an intake file tells by itself: filled down, exchanged with another, thousands for decimals, days of
//! another year.

use super::record::{Record, Rules};
use crate::crop::water;
use crate::problem::{Matter, Problem};
use crate::season::IntakeRow;
use crate::table::thousands_mark;
use crate::weather::MonthDay;
use chrono::Datelike;

/// So many rows that each are one more than the row above are filled down by a spreadsheet: trucks are not that even
/// (assumption).
const FILLED_ROWS: usize = 7;
/// Fewer rows than this have no habit.
const FEWEST_ROWS: usize = 5;
/// Moistures of a season lie within this part of their mean as a rule, and tonnes of a day do not (assumption).
const EVEN: f64 = 0.2;
const UNEVEN: f64 = 0.35;
/// A column is like the moisture that the study gives within these (assumption).
const LIKE_MOISTURE: (f64, f64) = (0.6, 1.6);
/// One load is hardly wetter than the middle of a season by this, % points, and by so many times (assumption).
const WETTER_PCT: f64 = 18.0;
const WETTER_TIMES: f64 = 1.8;
/// Whole tonnes from here on beside numbers of three digits behind a mark: the mark parts thousands (assumption: one truck
/// is less).
const MANY_TONNES: f64 = 100.0;
/// Days that bring less than this part of the smallest bin, each with three digits behind its mark, are thousands
/// (assumption).
const LITTLE_OF_A_BIN: f64 = 0.05;

/// Adds what is doubtful of the columns; `tonnes_cells` are the tonnes as they are written, row by row.
pub(super) fn doubts(
    records: &[Record<'_>],
    rows: &[IntakeRow],
    tonnes_cells: &[&str],
    rules: &Rules,
    problems: &mut Vec<Problem>,
) {
    let at = |row: usize, what: &str, code: &'static str| records[row].at("", what).code(code).into_warning();
    let tonnes: Vec<f64> = rows.iter().map(|row| row.tonnes).collect();
    let moistures: Vec<f64> = rows.iter().map(|row| water::percent_of_dry_basis(row.moisture)).collect();
    for (name, values) in [("tonnes", &tonnes), ("moisture", &moistures)] {
        if let Some((row, count)) = filled_down(values) {
            let what = format!(
                "from here on {name} grows by 1 from row to row, {count} rows long: as a spreadsheet fills a column down"
            );
            problems.push(
                at(row, &what, "intake.filled")
                    .cure("put the weighed figures in, or copy the cell without counting on")
                    .about(&[Matter::Deliveries]),
            );
        }
    }
    if are_exchanged(rows, rules) {
        let what = "tonnes read like moistures and moisture like tonnes: the two columns seem exchanged";
        problems.push(
            at(0, what, "intake.columns")
                .cure("exchange the two names at the head of the columns")
                .about(&[Matter::Deliveries]),
        );
    }
    if let Some((row, usual)) = odd_moisture(&moistures) {
        let what = format!("nuts of {:.1} % w.b. among rows of {usual:.1} % in the middle", moistures[row]);
        problems.push(
            at(row, &what, "intake.moisture")
                .cure("look at its digits, and whether it is of the wet mass as the others are")
                .resting_on(&[Matter::Deliveries]),
        );
    }
    if let Some(row) = thousands(tonnes_cells, &tonnes, rules) {
        let what = format!(
            "tonnes is `{}`: the mark before three digits seems to part thousands, and is read as a decimal mark",
            tonnes_cells[row]
        );
        problems.push(
            records[row]
                .at(tonnes_cells[row], &what)
                .code("intake.thousands")
                .into_warning()
                .cure("write 1234 for a thousand and more, and 1.2 for little more than one")
                .about(&[Matter::Deliveries]),
        );
    }
    if let Some((row, usual)) = other_season(rows, rules) {
        let what = format!(
            "{} is of another season than most rows, which are of {usual}: years are ignored, so that it comes among them",
            rows[row].date
        );
        problems.push(
            at(row, &what, "intake.years").cure("mend the year, or strike the row out").about(&[Matter::Deliveries]),
        );
    }
}

/// The first row of the longest run in which each value is one more than the one above, and how long it is.
fn filled_down(values: &[f64]) -> Option<(usize, usize)> {
    let (mut best, mut from) = ((0, 1), 0);
    for row in 1..=values.len() {
        let goes_on = row < values.len() && (values[row] - values[row - 1] - 1.0).abs() < 1e-6;
        if !goes_on {
            if row - from > best.1 {
                best = (from, row - from);
            }
            from = row;
        }
    }
    (best.1 >= FILLED_ROWS).then_some(best)
}

/// The wettest row where it is far wetter than most, and the moisture in the middle.
fn odd_moisture(moistures: &[f64]) -> Option<(usize, f64)> {
    let mut sorted = moistures.to_vec();
    sorted.sort_by(f64::total_cmp);
    let usual = sorted.get(sorted.len() / 2).copied().filter(|_| sorted.len() >= FEWEST_ROWS)?;
    let (row, most) = moistures.iter().copied().enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
    (most > usual + WETTER_PCT && most > WETTER_TIMES * usual).then_some((row, usual))
}

/// True where tonnes read like moistures, and moistures like tonnes.
pub(super) fn are_exchanged(rows: &[IntakeRow], rules: &Rules) -> bool {
    let tonnes: Vec<f64> = rows.iter().map(|row| row.tonnes).collect();
    let moistures: Vec<f64> = rows.iter().map(|row| water::percent_of_dry_basis(row.moisture)).collect();
    exchanged(&tonnes, &moistures, rules)
}

/// True where the tonnes are even and lie where the study's moisture does, and the moistures do neither.
fn exchanged(tonnes: &[f64], moistures: &[f64], rules: &Rules) -> bool {
    if tonnes.len() < FEWEST_ROWS {
        return false;
    }
    let said = water::percent_of_dry_basis(rules.moisture);
    let is_like = |mean: f64| (LIKE_MOISTURE.0 * said..=LIKE_MOISTURE.1 * said).contains(&mean);
    let ((tonnes_mean, tonnes_spread), (mean, spread)) = (mean_and_spread(tonnes), mean_and_spread(moistures));
    let are_moistures = is_like(tonnes_mean) && tonnes_spread < EVEN;
    are_moistures && (spread > UNEVEN || !is_like(mean))
}

/// The mean, and the standard deviation as a part of it.
fn mean_and_spread(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / count;
    (mean, variance.sqrt() / mean.max(f64::MIN_POSITIVE))
}

/// A row whose mark parts thousands and was read as a decimal mark: either whole tonnes of other rows are hundreds, or every
/// row has it and all of them are absurdly little.
fn thousands(cells: &[&str], tonnes: &[f64], rules: &Rules) -> Option<usize> {
    let is_parted = |cell: &str| thousands_mark(cell.as_bytes()).is_some();
    let parted = cells.iter().filter(|cell| is_parted(cell)).count();
    let first = cells.iter().position(|cell| is_parted(cell))?;
    if parted < 2 {
        return None;
    }
    let others = || cells.iter().zip(tonnes).filter(|(cell, _)| !is_parted(cell));
    let has_hundreds = others().count() >= 2
        && others().all(|(cell, tonnes)| cell.bytes().all(|byte| byte.is_ascii_digit()) && *tonnes >= MANY_TONNES);
    let most = tonnes.iter().copied().fold(0.0, f64::max);
    let are_little = parted == cells.len()
        && parted >= FEWEST_ROWS
        && rules.smallest_bin_t.is_some_and(|smallest| most < LITTLE_OF_A_BIN * smallest);
    // Read as thousands already, they are no decimals.
    let was_decimal = tonnes[first] < 1000.0;
    (was_decimal && (has_hundreds || are_little)).then_some(first)
}

/// The first row of a season that is not that of most rows, and the year in which that one begins.
fn other_season(rows: &[IntakeRow], rules: &Rules) -> Option<(usize, i32)> {
    let of = |row: &IntakeRow| {
        let year = row.date.year();
        match rules.season {
            Some(season) if season.crosses_new_year() && MonthDay::of(row.date) < season.starts => year - 1,
            _ => year,
        }
    };
    // A table that writes one year for a season across New Year means its days alone.
    if rows.iter().all(|row| row.date.year() == rows[0].date.year()) {
        return None;
    }
    let count = |year: i32| rows.iter().filter(|row| of(row) == year).count();
    let usual = rows.iter().map(of).max_by_key(|year| count(*year))?;
    let row = rows.iter().position(|row| of(row) != usual)?;
    (2 * count(usual) > rows.len()).then_some((row, usual))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_that_counts_on_is_seen_from_its_first_row() {
        assert_eq!(filled_down(&[4.0, 9.5, 10.5, 11.5, 12.5, 13.5, 14.5, 15.5, 3.0]), Some((1, 7)));
        assert_eq!(filled_down(&[18.0, 19.0, 20.0, 21.0, 22.0, 18.0, 19.0]), None);
        assert_eq!(filled_down(&[5.0; 20]), None);
        assert_eq!(filled_down(&[]), None);
    }

    #[test]
    fn exchanged_columns_are_told_from_even_trucks() {
        let rules = Rules { moisture: 0.25, dried_moisture: 0.1, season: None, smallest_bin_t: None };
        let (wet, trucks) = ([19.0, 20.0, 21.0, 22.0, 20.5], [1.7, 7.6, 12.0, 30.0, 3.3]);
        assert!(exchanged(&wet, &trucks, &rules));
        assert!(!exchanged(&trucks, &wet, &rules));
        // Trucks of twenty tonnes of nuts of twenty percent.
        assert!(!exchanged(&[20.0, 20.2, 19.8, 20.1, 20.0], &wet, &rules));
    }

    #[test]
    fn a_row_of_another_season_is_told_and_a_table_of_one_year_is_not() {
        let window = |starts: &str, ends: &str| {
            Some(crate::weather::SeasonWindow { starts: starts.parse().unwrap(), ends: ends.parse().unwrap() })
        };
        let rules = |season| Rules { moisture: 0.25, dried_moisture: 0.1, season, smallest_bin_t: None };
        let rows = |days: &[&str]| -> Vec<IntakeRow> {
            let row = |day: &&str| IntakeRow { date: day.parse().unwrap(), tonnes: 1.0, moisture: 0.25, grade: None };
            days.iter().map(row).collect()
        };
        let autumn = rules(window("03-01", "05-31"));
        assert_eq!(other_season(&rows(&["2031-03-02", "2031-03-03", "2030-03-04"]), &autumn), Some((2, 2031)));
        let summer = rules(window("12-01", "02-28"));
        assert_eq!(other_season(&rows(&["2030-12-30", "2030-12-31", "2031-01-01", "2031-01-02"]), &summer), None);
        assert_eq!(other_season(&rows(&["2031-12-30", "2031-12-31", "2031-01-01", "2031-01-02"]), &summer), None);
        assert_eq!(other_season(&rows(&["2030-12-30", "2030-12-31", "2030-01-01"]), &summer), None);
        assert_eq!(other_season(&rows(&["2030-12-30", "2030-12-31", "2032-01-01"]), &summer), Some((2, 2030)));
    }
}
