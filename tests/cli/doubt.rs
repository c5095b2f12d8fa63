//! What is said of doubt: ranges over few and over many weather years, odds with their draws.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fmt::Write;
use std::fs;
use tempfile::TempDir;

/// The small study in so many weather years, each a little warmer than the one before.
pub(super) fn in_years(years: u16) -> TempDir {
    let folder = small();
    let read = fs::read_to_string(folder.path().join("weather.csv")).expect("weather");
    let mut names = Vec::new();
    for at in 0..years {
        let mut text = String::new();
        for line in read.lines() {
            let cells: Vec<&str> = line.split(',').collect();
            let warmer = cells.get(1).and_then(|cell| cell.parse::<f64>().ok());
            let _ = match (warmer, line.strip_prefix("2031")) {
                (Some(dry_bulb_c), Some(moment)) => {
                    let (time, _) = moment.split_once(',').expect("a time");
                    let warmer = dry_bulb_c + 0.2 * f64::from(at);
                    let others = cells[2..].join(",");
                    writeln!(text, "{}{time},{warmer:.1},{others}", 2031 + at)
                }
                _ => writeln!(text, "{line}"),
            };
        }
        let name = format!("weather{at}.csv");
        fs::write(folder.path().join(&name), text).expect("written");
        names.push(format!("\"{name}\""));
    }
    let files = format!("files = [{}]", names.join(", "));
    replace(folder.path(), "study.toml", "files = [\"weather.csv\"]", &files);
    folder
}

fn report(folder: &TempDir) -> (Value, String) {
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    (figures, page)
}

fn bill(figures: &Value) -> &Value {
    &figures["options"][0]["uncertainty"]["total_cost"]
}

#[test]
fn one_or_two_weather_years_have_no_tenths_anywhere() {
    for years in [1, 2] {
        let (figures, page) = report(&in_years(years));
        let bill = bill(&figures);
        assert!(bill["p10"].is_null() && bill["p90"].is_null(), "{bill}");
        assert_eq!(bill["years"], years);
        let of_years: Vec<f64> = figures["options"][0]["years"]
            .as_array()
            .expect("years")
            .iter()
            .filter_map(|year| year["total_cost"].as_f64())
            .collect();
        let lowest = of_years.iter().copied().fold(f64::INFINITY, f64::min);
        let highest = of_years.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert_eq!((bill["lowest"].as_f64(), bill["highest"].as_f64()), (Some(lowest), Some(highest)));
        for words in ["P10", "P90", "year in ten", "years of ten", "Quantiles"] {
            assert!(!page.contains(words), "{years} years say '{words}'");
        }
        assert!(page.contains("No input was drawn"), "what the range rests on");
    }
}

#[test]
fn ten_weather_years_have_their_tenths() {
    let (figures, page) = report(&in_years(10));
    let bill = bill(&figures);
    let of = |key: &str| bill[key].as_f64().expect("a number");
    assert!(of("lowest") < of("p10") && of("p10") < of("p50"), "{bill}");
    assert!(of("p50") < of("p90") && of("p90") < of("highest"), "{bill}");
    assert!(page.contains("P10 to P90") && page.contains("one year in ten"));
}

#[test]
fn odds_are_told_with_their_draws_and_their_bounds() {
    let folder = small();
    let path = folder.path().join("study.toml");
    let mut text = fs::read_to_string(&path).expect("text");
    text += "[uncertainty]\nsamples = 24\nstanding = false\n\
        \"carrier.lpg.price\" = { uniform = { low = 1.3, high = 1.4 } }\n\
        \"source.heaters.capital\" = { uniform = { low = 4900.0, high = 5100.0 } }\n";
    fs::write(path, text).expect("written");
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    let read = |name: &str| fs::read_to_string(folder.path().join(name)).expect("a file");
    let figures: Value = serde_json::from_str(&read("figures.json")).expect("figures");
    let sampled = &figures["uncertainty"];
    for odds in sampled["odds"].as_array().expect("odds") {
        assert_eq!(odds["of_draws"], 24);
        let of = |key: &str| odds[key].as_f64().expect("a number");
        assert!(of("low") <= of("share_of_draws_cheaper"), "{odds}");
        assert!(of("high") >= of("share_of_draws_cheaper"), "{odds}");
        if of("share_of_draws_cheaper") == 1.0 {
            // 0.05^(1/24)
            assert!((of("low") - 0.882_654).abs() < 1e-5, "{odds}");
        }
    }
    let page = read("report.html");
    assert!(page.contains(" of 24 draws") && !page.contains("every draw"));
    assert!(!ran.stdout.contains("every draw"));
    // The price of gas is in no bill of the option that burns none: blank, as its bar is.
    for found in sampled["rank_correlation"].as_array().expect("correlations") {
        if found["answer"] == "total_cost" {
            assert_eq!((&found["moves"], &found["partial"]), (&false.into(), &Value::Null));
        }
    }
    assert!(page.contains("does not move it"));
}
