//! `dryledger heat`.

use crate::case::{data, dryledger};

fn fresno() -> String {
    data("weather/fresno_tmy3.epw").display().to_string()
}

#[test]
fn the_keys_of_the_contract_are_there() {
    let heat = dryledger(&["heat", &fresno(), "--to", "50", "--airflow", "2", "--json"]).run().json();
    assert_eq!(heat["to_c"], 50.0);
    assert_eq!(heat["hours"], 8760);
    assert_eq!(heat["hours_skipped"], 0);
    let of_one = heat["heat_kwh_per_kg_per_s"].as_f64().expect("a number");
    assert!((heat["heat_kwh"].as_f64().expect("a number") / of_one - 2.0).abs() < 1e-12);
    let months = heat["months"].as_array().expect("months");
    assert_eq!(months.len(), 12);
    let by_month: f64 = months.iter().map(|month| month["heat_kwh_per_kg_per_s"].as_f64().expect("a number")).sum();
    assert!((by_month / of_one - 1.0).abs() < 1e-12);
}

#[test]
fn a_window_across_new_year_is_the_rest_of_its_complement() {
    let file = fresno();
    let heat = |dates: &[&str]| {
        let mut line = vec!["heat", &file, "--to", "40", "--json"];
        line.extend_from_slice(dates);
        dryledger(&line).run().json()["heat_kwh_per_kg_per_s"].as_f64().expect("a number")
    };
    let all = heat(&[]);
    let winter = heat(&["--from", "09-15", "--until", "01-20"]);
    let summer = heat(&["--from", "01-21", "--until", "09-14"]);
    assert!(((winter + summer) / all - 1.0).abs() < 1e-12);
}

#[test]
fn wrong_requests_are_refused_with_what_would_do() {
    let file = fresno();
    dryledger(&["heat", &file, "--to", "150"]).run().refused(&["150", "-60..100"]);
    dryledger(&["heat", &file, "--to", "50", "--from", "13-01", "--until", "01-01"]).run().refused(&["13-01", "03-01"]);
    dryledger(&["heat", &file, "--to", "50", "--from", "03-01"]).run().refused(&["--until"]);
    dryledger(&["heat", &file, "--to", "50", "--airflow=-1"]).run().refused(&["-1", "kilograms"]);
    let missing = dryledger(&["heat", "no-such-file.epw", "--to", "50"]).run();
    assert_eq!(missing.code, 3);
    assert!(missing.stderr.contains("no-such-file.epw"));
}

#[test]
fn missing_hours_are_skipped_or_filled_and_long_gaps_refused() {
    let newark = data("weather/newark_asos.csv").display().to_string();
    let line = ["heat", &newark, "--to", "50", "--altitude", "5.5", "--json"];
    let skipped = dryledger(&line).run().json();
    assert_eq!(skipped["hours"], 828);
    let filled = dryledger(&[&line[..], &["--mend"]].concat()).run().json();
    assert_eq!(filled["hours"], 840);
    assert_eq!(filled["mended_hours"], 12);
    let stockton = data("weather/stockton_isd_lite.txt").display().to_string();
    dryledger(&["heat", &stockton, "--to", "50", "--mend"]).run().refused(&["40 h from 2017-08-26 23:00"]);
    // Outside the dates that are asked for, a gap does no harm.
    let window = ["--from", "08-28", "--until", "08-31", "--mend"];
    let before = dryledger(&[&["heat", &stockton, "--to", "50"][..], &window].concat()).run();
    assert_eq!(before.code, 2, "the gap reaches into 28 August: {}", before.stdout);
}
