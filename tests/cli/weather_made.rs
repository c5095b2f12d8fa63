//! `dryledger weather`: hours made rather than read (from normals, from many years), the picture, and
//! tables read by a study's own column map.

use super::faults::{replace, small};
use crate::case::{dryledger, root};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

fn normals() -> String {
    root().join("weather/upland_normals.csv").display().to_string()
}

fn weather(folder: &Path, more: &[&str]) -> crate::case::Ran {
    let arguments = [&["weather"][..], more].concat();
    dryledger(&arguments).in_folder(folder).run()
}

#[test]
fn normals_become_a_year_that_returns_them_and_says_it_is_invented() {
    let folder = tempfile::tempdir().expect("a folder");
    let arguments = ["--normals", &normals(), "--write", "year.csv", "--html", "look.html"];
    let ran = weather(folder.path(), &arguments);
    ran.ends_well();
    assert!(ran.stdout.contains("never measured"), "{}", ran.stdout);
    let csv = fs::read_to_string(folder.path().join("year.csv")).expect("the year");
    assert!(csv.starts_with("# invented weather"));
    // The table's January: morning 80 %, afternoon 66 % at 9 and 15 h. A reading at the clock hour lies
    // between the hour that ends and the one that starts there.
    let at = |hours: [&str; 2]| -> f64 {
        let values: Vec<f64> = csv
            .lines()
            .filter(|line| line.starts_with("2001-01") && hours.contains(&&line[11..13]))
            .map(|line| line.split(',').nth(2).expect("RH").parse().expect("RH"))
            .collect();
        assert_eq!(values.len(), 62);
        values.iter().sum::<f64>() / 62.0
    };
    for (hours, normal) in [(["08", "09"], 80.0), (["14", "15"], 66.0)] {
        assert!((at(hours) - normal).abs() < 2.0, "{} at {hours:?}", at(hours));
    }
    let page = fs::read_to_string(folder.path().join("look.html")).expect("the page");
    for word in ["invented", "<svg", "July"] {
        assert!(page.contains(word), "no {word}");
    }
    for word in ["<script", "http:", "https:", "NaN"] {
        assert!(!page.replace("http://www.w3.org", "").contains(word), "{word}");
    }
    // The same seed, the same bytes; another seed, another year.
    for (name, seed, same) in [("again.csv", "1", true), ("other.csv", "2", false)] {
        let more = ["--normals", &normals(), "--write", name, "--seed", seed];
        weather(folder.path(), &more).ends_well();
        let again = fs::read_to_string(folder.path().join(name)).expect("a year");
        assert_eq!(again == csv, same, "{name}");
    }
}

#[test]
fn ten_years_make_a_typical_year_and_nine_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut years = Vec::new();
    for year in 2021..2031 {
        let name = format!("{year}.csv");
        let year = year.to_string();
        let more = ["--normals", &normals(), "--varying", "--year", &year, "--write", &name];
        weather(folder.path(), &more).ends_well();
        years.push(name);
    }
    let mut arguments: Vec<&str> = years.iter().map(String::as_str).collect();
    arguments.extend(["--typical", "typical.csv", "--json"]);
    let made = weather(folder.path(), &arguments).json();
    let months = made["made_typical_year"]["months"].as_array().expect("months");
    assert_eq!(months.len(), 12);
    let typical = fs::read_to_string(folder.path().join("typical.csv")).expect("a year");
    assert!(typical.contains("invented"), "made from invented hours");
    // In mid-month, far from the joins, the hours are those of the year that they were taken from.
    for (index, month) in months.iter().enumerate() {
        let year = month["year"].as_i64().expect("a year");
        let source = fs::read_to_string(folder.path().join(format!("{year}.csv"))).expect("a year");
        let cell = |csv: &str, year: i64| -> f64 {
            let stamp = format!("{year}-{:02}-15T12:00", index + 1);
            let line = csv.lines().find(|line| line.starts_with(&stamp)).expect("the hour");
            line.split(',').nth(1).expect("a cell").parse().expect("a number")
        };
        assert!((cell(&typical, 2001) - cell(&source, year)).abs() < 1e-9, "month {index}");
    }
    let read = weather(folder.path(), &["typical.csv", "--json"]).json();
    assert_eq!(read["typical_year"], true);
    assert_eq!(read["invented"], true);
    assert_eq!(read["hours"], 8760);

    let mut nine: Vec<&str> = years[1..].iter().map(String::as_str).collect();
    nine.extend(["--typical", "no.csv"]);
    weather(folder.path(), &nine).refused(&["9 years", "at least 10"]);
    weather(folder.path(), &["typical.csv", "--typical", "no.csv"]).refused(&["is one already"]);
    assert!(!folder.path().join("no.csv").exists());
}

#[test]
fn a_copy_of_invented_weather_stays_invented() {
    let folder = tempfile::tempdir().expect("a folder");
    let upland = root().join("weather/upland_2031.csv").display().to_string();
    let ran = weather(folder.path(), &[&upland, "--write", "copy.csv", "--html", "look.html"]);
    ran.ends_well();
    for file in ["copy.csv", "look.html"] {
        let text = fs::read_to_string(folder.path().join(file)).expect("a file");
        assert!(text.contains("invented"), "{file}");
    }
}

#[test]
fn what_does_not_go_together_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let table = normals();
    for arguments in [
        &["--normals", table.as_str(), "site.epw"][..],
        &["site.epw", "--seed", "3"],
        &["site.epw", "--varying"],
        &["--normals", table.as_str(), "--typical", "t.csv"],
        &["--normals", table.as_str(), "--year", "0"],
    ] {
        assert_eq!(weather(folder.path(), arguments).code, 2, "{arguments:?}");
    }
    let missing = weather(folder.path(), &["--normals", "none.csv", "--write", "x.csv"]);
    assert_eq!(missing.code, 3);
    fs::write(folder.path().join("bad.csv"), "month,min_c,max_c\n1,2,3\n").expect("a table");
    weather(folder.path(), &["--normals", "bad.csv", "--write", "x.csv"]).refused(&["bad.csv"]);
    assert!(!folder.path().join("x.csv").exists());
}

/// The small study's weather as a logger would write it: Fahrenheit, decimal commas, days first, end of
/// the hour, humidity as a fraction, inches of mercury.
fn as_a_logger_writes(csv: &str) -> String {
    let mut out = String::from("Tag;Uhr;T aussen;rF;Druck\n");
    for line in csv.lines().filter(|line| line.starts_with("20")) {
        let cells: Vec<&str> = line.split(',').collect();
        let starts = chrono::NaiveDateTime::parse_from_str(cells[0], "%Y-%m-%dT%H:%M").expect("time");
        let ends = starts + chrono::TimeDelta::hours(1);
        let number = |at: usize| -> f64 { cells[at].parse().expect("a number") };
        let row = format!(
            "{};{:.6};{:.8};{:.7}",
            ends.format("%d/%m/%Y;%H:%M"),
            number(1) * 1.8 + 32.0,
            number(2) / 100.0,
            number(3) / 3386.389,
        );
        // Writing to a String cannot fail.
        let _ = writeln!(out, "{}", row.replace('.', ","));
    }
    out
}

const MAP: &str = r#"
[weather.columns]
date = "Tag"
clock = "Uhr"
time_form = "day-month-year"
time_marks = "end"
dry_bulb = "T aussen"
dry_bulb_unit = "F"
relative_humidity = "rF"
relative_humidity_unit = "fraction"
pressure = "Druck"
pressure_unit = "inHg"
separator = ";"
decimal = ","

[season]"#;

#[test]
fn a_column_map_in_the_study_reads_any_table_to_the_same_figures() {
    let plain = small();
    let mapped = small();
    let path = mapped.path().join("weather.csv");
    let own = fs::read_to_string(&path).expect("weather");
    fs::write(&path, as_a_logger_writes(&own)).expect("written");
    replace(mapped.path(), "study.toml", "\n[season]", MAP);
    let run = |folder: &Path| {
        let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json();
        let heat = figures["options"][0]["heat_need_kwh"].as_f64().expect("heat");
        let format = figures["weather"]["format"].as_str().expect("a format").to_owned();
        (heat, format)
    };
    let ((read, own_format), (by_map, format)) = (run(plain.path()), run(mapped.path()));
    assert_eq!(own_format, "dryledger csv");
    assert_eq!(format, "csv");
    assert!((by_map / read - 1.0).abs() < 1e-4, "{by_map} kWh against {read}");

    // The same block serves the look at the file.
    let looked = weather(mapped.path(), &["weather.csv", "--columns", "study.toml", "--json"]).json();
    let looked_plain = weather(plain.path(), &["weather.csv", "--json"]).json();
    let mean = |json: &serde_json::Value| json["mean"]["dry_bulb_c"].as_f64().expect("a mean");
    assert!((mean(&looked) - mean(&looked_plain)).abs() < 1e-5);
    assert_eq!(looked["first"], looked_plain["first"]);
}

#[test]
fn a_wrong_column_map_is_refused_at_its_line() {
    for (old, new, words) in [
        ("dry_bulb_unit = \"F\"", "dry_bulb_unit = \"R\"", &["dry_bulb_unit", "C, F, K"][..]),
        ("clock = \"Uhr\"\n", "", &["clock is missing", "header of that column"]),
        ("decimal = \",\"", "decimals = \",\"", &["decimals", "did you mean `decimal`"]),
        ("dry_bulb = \"T aussen\"", "dry_bulb = \"T innen\"", &["T innen", "T aussen"]),
    ] {
        let folder = small();
        let path = folder.path().join("weather.csv");
        let own = fs::read_to_string(&path).expect("weather");
        fs::write(&path, as_a_logger_writes(&own)).expect("written");
        replace(folder.path(), "study.toml", "\n[season]", &MAP.replace(old, new));
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(words);
    }
    let folder = small();
    weather(folder.path(), &["weather.csv", "--columns", "study.toml"])
        .refused(&["weather.columns", "dryledger weather FILE"]);
}
