//! Loads by the hour in `figures.json`: worked again from the hourly rows, and placed on the page as they stand there.

use super::faults::small;
use crate::case::{dryledger, number_at};
use serde_json::Value;
use std::collections::HashMap;
use std::fs;

type Row = HashMap<String, String>;

fn cell(row: &Row, name: &str) -> f64 {
    row[name].parse().expect(name)
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-3 * b.abs().max(1e-3)
}

/// The least of these loads above which at most this share of them lies.
fn capacity(loads: &[f64], share: f64) -> f64 {
    let may_stay = (1.0 - share) * loads.len() as f64 + 1e-9;
    let above = |kw: f64| loads.iter().filter(|load| **load > kw).count() as f64;
    let enough = loads.iter().copied().filter(|kw| above(*kw) <= may_stay);
    enough.fold(f64::INFINITY, f64::min)
}

/// Holds a load of the figures against the loads that are to be covered; `span` hours are asked of the load factor.
fn holds(figures: &Value, loads: &[f64], span: usize) {
    let sum: f64 = loads.iter().sum();
    let most = loads.iter().copied().fold(0.0, f64::max);
    assert_eq!(number_at(figures, "/hours"), loads.len() as f64);
    assert!(near(number_at(figures, "/energy_kwh"), sum), "{figures}");
    assert!(near(number_at(figures, "/peak_kw"), most));
    assert!(near(number_at(figures, "/load_factor"), sum / span as f64 / most));
    for cover in figures["covers"].as_array().expect("covers") {
        let kw = capacity(loads, number_at(cover, "/hours_pct") / 100.0);
        assert!(near(number_at(cover, "/capacity_kw"), kw), "{cover} for {kw}");
        let above: f64 = loads.iter().map(|load| (load - kw).max(0.0)).sum();
        assert!((number_at(cover, "/energy_above_pct") - above / sum * 100.0).abs() < 0.02, "{cover}");
        assert!((number_at(cover, "/energy_above_kwh") - above).abs() < 0.1, "{cover}");
    }
    let sorted = |key: &str| -> Vec<f64> {
        let points = figures["sorted"][key].as_array().expect("points").iter();
        points.filter_map(Value::as_f64).collect()
    };
    let (hours, kw) = (sorted("hours"), sorted("kw"));
    assert_eq!((hours.len(), hours.last()), (kw.len(), Some(&(loads.len() as f64))));
    assert!(near(kw[0], most) && kw.windows(2).all(|pair| pair[0] >= pair[1]));
}

#[test]
fn loads_of_the_figures_are_those_of_the_hours() {
    let folder = small();
    let arguments = ["report", "study.toml", "--hourly", "--json"];
    let figures = dryledger(&arguments).in_folder(folder.path()).run().json();
    let mut rows = csv::Reader::from_path(folder.path().join("hourly.csv")).expect("hours");
    let rows: Vec<Row> = rows.deserialize().map(|row| row.expect("a row")).collect();
    for option in figures["options"].as_array().expect("options") {
        let own: Vec<&Row> = rows.iter().filter(|row| option["name"] == row["option"]).collect();
        let positive =
            |name: &str| -> Vec<f64> { own.iter().map(|row| cell(row, name)).filter(|kw| *kw > 0.0).collect() };
        holds(&option["loads"]["site_electricity"], &positive("site_electricity_kwh"), own.len());
        let in_need = own.iter().filter(|row| cell(row, "heat_need_kwh") > 0.0);
        let left: Vec<f64> =
            in_need.map(|row| (cell(row, "heat_need_kwh") - cell(row, "recovered_kwh")).max(0.0)).collect();
        holds(&option["loads"]["heat_after_recovery"], &left, left.len());
        if option["name"] == figures["study"]["baseline"] {
            let need = positive("heat_need_kwh");
            holds(&figures["season"]["heat_need"], &need, need.len());
            holds(&figures["season"]["store_cooling"], &positive("store_cooling_kwh"), own.len());
        }
        if option["name"] == figures["course"]["option"] {
            let need = own.iter().map(|row| cell(row, "heat_need_kwh"));
            let most = need.fold(0.0, f64::max);
            assert!(near(number_at(&figures, "/course/most_heat_hour/value"), most));
            let starts = figures["course"]["most_heat_hour"]["starts"].as_str().expect("an hour");
            let hour = own.iter().find(|row| starts.starts_with(&row["time"])).expect("its row");
            assert!(near(cell(hour, "heat_need_kwh"), most), "{starts}");
        }
    }
}

/// What the page says of a load is what the figures say.
#[test]
fn the_page_says_the_loads_of_the_figures() {
    let folder = small();
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    let page = page.replace('\u{a0}', " ");
    let hours = number_at(&figures, "/season/heat_need/hours");
    assert!(page.contains(&format!("{hours:.0} hours of a season need heat")), "{hours}");
    let heaviest = &figures["course"]["heaviest_hours"];
    let (from, to) = (&heaviest["from_hour"], &heaviest["to_hour"]);
    let said = format!(
        "The six hours from {:02}:00 to {:02}:00 take",
        from.as_u64().expect("an hour"),
        to.as_u64().expect("an hour")
    );
    assert!(page.contains(&said), "{said}");
    let full = (&figures["course"]["days_of_full_bins"], &figures["course"]["days"]);
    assert!(page.contains(&format!("All bins are in use on {} of {} days", full.0, full.1)));
}
