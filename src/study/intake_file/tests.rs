//! Tables as people write them, with and without faults.

use super::*;

fn rules() -> Rules {
    Rules {
        moisture: 0.25,
        dried_moisture: 0.1,
        season: Some(SeasonWindow { starts: "02-01".parse().unwrap(), ends: "08-31".parse().unwrap() }),
        smallest_bin_t: None,
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
        ("date/tonnes\n2031-03-01/4\n", "1:1: the columns are `date/tonnes`"),
        ("date,tonnes,tonnes\n2031-03-01,4,5\n", "1:1: two columns are called `tonnes`"),
        ("date,tonnes\n3/4/2031,4\n", "2:1: date is `3/4/2031`"),
        ("date,tonnes\n2031-03-01T23:00Z,4\n", "expected a day at the site, without a time zone"),
        ("date,tonnes [lb]\n2031-03-01,4\n", "tonnes is in lb, expected t"),
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

fn table(rows: impl Iterator<Item = (u32, f64, f64)>) -> String {
    let row = |(day, tonnes, moisture): (u32, f64, f64)| {
        format!("2031-{:02}-{:02},{tonnes},{moisture}\n", 3 + day / 28, 1 + day % 28)
    };
    "date,tonnes,moisture\n".to_owned() + &rows.map(row).collect::<String>()
}

fn codes(text: &str) -> Vec<&'static str> {
    let days = read("intake.csv", text, &rules());
    days.problems.iter().map(|problem| problem.code).collect()
}

/// Loads that differ, over forty days.
fn loads() -> impl Iterator<Item = (u32, f64, f64)> + Clone {
    (0..40).map(|day| (day, 4.0 + f64::from(day * 7 % 11) / 10.0, 18.0 + f64::from(day % 5)))
}

#[test]
fn a_season_of_loads_raises_no_doubt() {
    assert_eq!(codes(&table(loads())), [] as [&str; 0]);
    // One truck, every day the same, twice on some days.
    let trucks = (0..40).map(|day| (day / 2, 12.0, 20.0));
    assert_eq!(codes(&table(trucks)), [] as [&str; 0]);
    let peaked = (0..40).map(|day| (day, 1.0 + 60.0 * (-(f64::from(day) - 20.0).powi(2) / 60.0).exp(), 20.0));
    assert_eq!(codes(&table(peaked)), [] as [&str; 0]);
}

#[test]
fn slips_in_the_rows_are_told_at_their_row() {
    assert_eq!(codes(&table(loads().chain(loads()))), ["intake.repeated"]);
    let pasted = loads().take(11).chain(loads().skip(10));
    assert_eq!(codes(&table(pasted)), ["intake.repeated"]);
    // A part once more at the end and in the middle, and each row below itself.
    assert_eq!(codes(&table(loads().chain(loads().take(18)))), ["intake.repeated"]);
    assert_eq!(codes(&table(loads().take(20).chain(loads().skip(10)))), ["intake.repeated"]);
    assert_eq!(codes(&table(loads().flat_map(|row| [row, row]))), ["intake.repeated"]);
    let slipped = loads().map(|(day, tonnes, moisture)| (day, if day == 7 { tonnes * 10.0 } else { tonnes }, moisture));
    let text = table(slipped);
    assert_eq!(codes(&text), ["intake.day"]);
    let told = read("intake.csv", &text, &rules()).problems[0].sentence();
    assert!(told.starts_with("intake.csv:9:1: warning: 8 March brings"), "{told}");
    let dry = loads().map(|(day, tonnes, moisture)| (day, tonnes, if day == 3 { 8.0 } else { moisture }));
    assert_eq!(codes(&table(dry)), ["intake.dry"]);
    let dry_basis = loads().map(|(day, tonnes, moisture)| (day, tonnes, 100.0 * (moisture + 8.0) / (92.0 - moisture)));
    assert_eq!(codes(&table(dry_basis)), ["intake.moisture"]);
}

#[test]
fn tables_of_other_countries_are_read() {
    for text in [
        "date;tonnes;moisture\n15.03.2031;4,5;22,5\n",
        "date,tonnes,moisture\n3/15/2031,4.5,22.5\n",
        "date\ttonnes\tmoisture\n15/03/2031\t4.5\t22.5\n",
    ] {
        let days = read("intake.csv", text, &rules());
        assert!(days.problems.is_empty(), "{:?}", days.problems);
        assert_eq!(days.rows[0].date.to_string(), "2031-03-15");
        assert_eq!(days.rows[0].tonnes, 4.5);
        assert!((water::percent_of_dry_basis(days.rows[0].moisture) - 22.5).abs() < 1e-9);
    }
}

#[test]
fn one_intake_in_every_writing_is_one_intake() {
    use crate::table::text_of;
    use crate::table::writings::{Cell, Meant, march};
    let row = |(day, tonnes, moisture): (u32, f64, f64)| {
        vec![Cell::Day(march(day)), Cell::Number(tonnes), Cell::Number(moisture), Cell::Text("early")]
    };
    let meant = Meant {
        remarks: vec!["# at the weighbridge, 21 °C"],
        names: vec!["date", "tonnes", "moisture", "grade"],
        units: vec!["", "t", "%", ""],
        rows: [(11, 4.5, 22.5), (12, 5.25, 21.0), (14, 6.0, 20.25)].map(row).to_vec(),
    };
    let mut first: Option<Vec<IntakeRow>> = None;
    for (what, bytes) in meant.in_every_writing() {
        let days = read("intake.csv", &text_of(&bytes).expect("a table"), &rules());
        assert!(days.problems.is_empty(), "{what}: {:?}", days.problems);
        let first = first.get_or_insert_with(|| days.rows.clone());
        assert_eq!((*first == days.rows, days.rows.len()), (true, 3), "{what}: {:?}", days.rows);
    }
}

#[test]
fn tonnes_that_are_kilograms_are_told() {
    let text = "date,tonnes,moisture\n,kg,%\n2031-03-15,4500,22.5\n";
    let told = read("intake.csv", text, &rules()).problems[0].sentence();
    assert!(told.starts_with("intake.csv:2:1: tonnes is in kg, expected t"), "{told}");
}

#[test]
fn a_column_that_is_not_used_is_a_warning() {
    let text = "date,tonnes,variety\n2031-03-01,4,early\n";
    let days = read("intake.csv", text, &rules());
    assert_eq!(days.problems[0].severity, Severity::Warning);
    assert_eq!(days.rows.len(), 1);
}
