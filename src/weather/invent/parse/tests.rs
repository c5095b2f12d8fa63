use super::*;
use crate::weather::invent::{Humidity, Normals};

const HEAD: &str = "# latitude: -16.9\n# longitude: 145.6\n# altitude_m: 540\n# utc_offset: +10:00\n";
const COLUMNS: &str = "month,min_c,max_c,relative_humidity_pct\n";

/// Twelve rows, each the month and these cells.
fn rows_of(cells: &str) -> String {
    let rows: Vec<String> = (1..=12).map(|month| format!("{month},{cells}\n")).collect();
    rows.concat()
}

fn rows() -> String {
    rows_of("10,25,70")
}

fn refused(text: &str, words: &[&str]) {
    let message = parse(text).expect_err("a fault").to_string();
    for word in words {
        assert!(message.contains(word), "no '{word}' in: {message}");
    }
}

#[test]
fn a_table_in_order_is_read_with_columns_in_any_order() {
    let normals = parse(&format!("\u{feff}{HEAD}# a remark\r\n\r\n{COLUMNS}{}", rows())).unwrap();
    assert_eq!(normals.place.utc_offset_h, 10.0);
    assert_eq!(normals.humidity, Humidity::Mean([0.7; 12]));
    assert_eq!(normals.global_horizontal_kwh_per_m2_day, None);
    let turned: Vec<String> = (1..=12).rev().map(|m| format!(" 80 , 50,25,10,{m}\n")).collect();
    let turned = turned.concat();
    let normals = parse(&format!(
        "{HEAD}# morning_hour: 8\nmorning_relative_humidity_pct,afternoon_relative_humidity_pct,max_c,min_c,month\n{turned}"
    ))
    .unwrap();
    assert_eq!((normals.min_c, normals.max_c), ([10.0; 12], [25.0; 12]));
    assert_eq!(
        normals.humidity,
        Humidity::TwiceDaily { morning_hour: 8, morning: [0.8; 12], afternoon_hour: 15, afternoon: [0.5; 12] }
    );
}

#[test]
fn mean_watts_and_daily_kilowatt_hours_are_the_same_sun() {
    let rows = rows_of("10,25,70,200");
    let columns = COLUMNS.replace('\n', ",global_horizontal_w_per_m2\n");
    let normals = parse(&format!("{HEAD}{columns}{rows}")).unwrap();
    let sun = normals.global_horizontal_kwh_per_m2_day.unwrap();
    assert!((sun[0] - 4.8).abs() < 1e-12);
}

#[test]
fn utc_offsets_are_read_as_people_write_them() {
    for (text, hours) in [
        ("+10:00", Some(10.0)),
        ("-08:30", Some(-8.5)),
        ("-00:30", Some(-0.5)),
        ("5.5", Some(5.5)),
        ("10:75", None),
        ("25", None),
        ("local", None),
    ] {
        assert_eq!(head::offset_h(text), hours, "{text}");
    }
}

#[test]
fn faults_of_the_head_name_the_line_and_the_cure() {
    refused(&format!("{COLUMNS}{}", rows()), &["# latitude:", "add one"]);
    let swapped = HEAD.replace("-16.9", "145.6S");
    refused(&format!("{swapped}{COLUMNS}{}", rows()), &["line 1", "'145.6S'", "-90..90"]);
    let wrong_side = HEAD.replace("145.6", "-145.6");
    refused(&format!("{wrong_side}{COLUMNS}{}", rows()), &["-145.6", "+10", "check their signs"]);
    let nan = HEAD.replace("540", "nan");
    refused(&format!("{nan}{COLUMNS}{}", rows()), &["line 3", "altitude_m", "'nan'"]);
}

#[test]
fn faults_of_the_table_name_the_line_and_the_cure() {
    let with = |from: &str, to: &str| format!("{HEAD}{COLUMNS}{}", rows()).replacen(from, to, 1);
    refused(HEAD, &["no table"]);
    refused(&with("max_c", "maxc"), &["line 5", "'maxc'", "did you mean \"max_c\""]);
    refused(&with("max_c", "min_c"), &["line 5", "'min_c'", "twice"]);
    refused(&with(",max_c", ""), &["line 6", "4 cells", "expected 3"]);
    refused(&with("7,10,25,70\n", ""), &["month 7", "no row"]);
    refused(&with("7,10", "6,10"), &["line 12", "month 6", "line 11"]);
    refused(&with("7,10", "13,10"), &["line 12", "'13'", "1..12"]);
    refused(&with("2,10,25", "2,10,nan"), &["line 7", "max_c", "'nan'"]);
    refused(&with("2,10,25", "2,30,25"), &["line 7", "max_c", "'25'", "30"]);
    refused(&with("2,10,25,70", "2,10,25,0.7"), &["line 7", "'0.7'", "percent"]);
    refused(
        &with("relative_humidity_pct", "morning_relative_humidity_pct"),
        &["afternoon_relative_humidity_pct", "together"],
    );
    refused(&with(",relative_humidity_pct", ""), &["line 6", "4 cells"]);
    refused("month/min_c/max_c\n", &["line 1", "commas"]);
}

#[test]
fn one_table_of_normals_in_every_writing_is_one_table() {
    use crate::table::text_of;
    use crate::table::writings::{Cell::Number, Meant};
    let row = |month: u32| {
        let month = f64::from(month);
        [month, 10.25, 20.5 + month / 4.0, 70.0].map(Number).to_vec()
    };
    let meant = Meant {
        remarks: HEAD.lines().chain(["# 21 °C on average"]).collect(),
        names: COLUMNS.trim().split(',').collect(),
        units: vec!["-", "°C", "°C", "%"],
        rows: (1..=12).map(row).collect(),
    };
    let mut first: Option<Normals> = None;
    for (what, bytes) in meant.in_every_writing() {
        let normals = parse(&text_of(&bytes).expect("a table"));
        let normals = normals.unwrap_or_else(|fault| panic!("{what}: {fault}"));
        assert_eq!(*first.get_or_insert_with(|| normals.clone()), normals, "{what}");
    }
    refused(&format!("{HEAD}{COLUMNS},°F,°F,%\n{}", rows()), &["line 6", "min_c", "°f"]);
}

#[test]
fn a_name_like_no_other_is_not_guessed_at() {
    let zzz = format!("{HEAD}{}{}", COLUMNS.replace("max_c", "zzz"), rows());
    let message = parse(&zzz).expect_err("a fault").to_string();
    assert!(message.contains("'zzz'") && !message.contains("did you mean"), "{message}");
}

#[test]
fn more_sun_than_the_sky_gives_is_refused() {
    let rows = rows_of("10,25,70,9");
    let columns = COLUMNS.replace('\n', ",global_horizontal_kwh_per_m2_day\n");
    refused(&format!("{HEAD}{columns}{rows}"), &["line 6", "'9'", "at most 8.8", "-16.9"]);
}
