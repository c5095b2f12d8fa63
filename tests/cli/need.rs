//! What a plant needs, what an option gave, and what it was short of, through the binary.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// The small study with these sources and options besides its own heaters and electric option.
fn study(sources: &str, options: &str) -> tempfile::TempDir {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("a study");
    let from = text.find("[[option]]\nname = \"gas\"").expect("options");
    let to = text.find("[money]").expect("money");
    let text = format!("{}{sources}{options}{}", &text[..from], &text[to..])
        // Enough for the peak.
        .replacen("capacity_kw = 30.0", "capacity_kw = 60.0", 1);
    fs::write(path, text).expect("written");
    folder
}

fn heaters(kw: f64) -> (String, String) {
    let source = format!("[[source]]\nname = \"heaters of {kw}\"\nkind = \"resistance\"\ncapacity_kw = {kw}\n\n");
    let option = format!("[[option]]\nname = \"{kw} kW\"\nsources = [\"heaters of {kw}\"]\n\n");
    (source, option)
}

fn report(folder: &Path) -> Value {
    dryledger(&["report", "study.toml", "--json"]).in_folder(folder).run().json()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

/// Whoever sizes heaters by the page of an undersized plant must find the plant's need there: the same to the
/// digit, in the sum, in the peak, by month and in the curve of the sizing section. What shrinks is what was
/// given; what grows are the hours, the kelvin-hours, the heat short and the time.
#[test]
fn a_smaller_heater_does_not_raise_the_need() {
    let (small_source, small_option) = heaters(12.0);
    let (smaller_source, smaller_option) = heaters(7.0);
    let folder = study(&(small_source + &smaller_source), &(small_option + &smaller_option));
    let figures = report(folder.path());
    let options = figures["options"].as_array().expect("options");
    let enough = &options[0];
    assert_eq!(number(enough, "heat_short_kwh"), 0.0);
    assert_eq!(number(enough, "drying_hours_longer"), 0.0);
    assert_eq!(number(enough, "heat_need_kwh"), number(enough, "heat_delivered_kwh"));
    for pair in options.windows(2) {
        let (more, less) = (&pair[0], &pair[1]);
        for key in ["heat_need_kwh", "heat_need_peak_kw"] {
            assert_eq!(more[key], less[key], "{key} of {}", less["name"]);
        }
        let by_month = |option: &Value| -> Vec<Value> {
            let months = option["months"].as_array().expect("months").iter();
            months.map(|month| month["heat_need_kwh"].clone()).collect()
        };
        assert_eq!(by_month(more), by_month(less));
        assert!(number(less, "heat_delivered_kwh") < number(more, "heat_delivered_kwh"));
        for key in ["hours_short", "heat_short_kwh", "below_set_kh", "drying_hours_longer"] {
            assert!(number(less, key) > number(more, key), "{key} of {}", less["name"]);
        }
        assert!(number(less, "last_dry_days_later") >= number(more, "last_dry_days_later"));
        assert!(number(less, "heat_short_kwh") < number(less, "heat_need_kwh"));
    }
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(page.contains("below the set temperature") && page.contains("drying time of a batch, against ample heat"));
}

/// The baseline short of heat: its page shows the capacity that the plant needs, not its rewarming.
#[test]
fn the_sizing_of_an_undersized_plant_shows_what_the_plant_needs() {
    let enough = report(study("", "").path());
    let folder = study("", "");
    replace(
        folder.path(),
        "study.toml",
        "kind = \"resistance\"\ncapacity_kw = 60.0",
        "kind = \"resistance\"\ncapacity_kw = 7.0",
    );
    let short = report(folder.path());
    let option = |figures: &Value| figures["options"][0].clone();
    assert!(number(&option(&short), "hours_short") > 24.0);
    assert_eq!(option(&short)["heat_need_peak_kw"], option(&enough)["heat_need_peak_kw"]);
    let sized = |folder: &Path| {
        let ran = dryledger(&["size", "study.toml", "--json"]).in_folder(folder).run().json();
        let loads = ran["loads"].as_array().expect("loads").clone();
        loads.into_iter().find(|load| load["what"] == "heat").expect("heat")
    };
    let of_short = sized(folder.path());
    let of_enough = sized(study("", "").path());
    assert_eq!(of_short, of_enough);
}

const DEHUMIDIFIER: &str = r#"[[source]]
name = "dehumidifier"
kind = "dehumidifier"
capacity_kw = 12.0
coil_air_kg_per_s = 0.6

"#;

const DEHUMIDIFIED: &str = r#"[[option]]
name = "dehumidifier"
sources = ["dehumidifier", "heaters"]

"#;

/// The need is the plant's; what water taken from the air spares of it is a line of its own.
#[test]
fn a_dehumidifiers_need_is_everyones_and_what_it_spares_its_own_line() {
    let folder = study(DEHUMIDIFIER, DEHUMIDIFIED);
    let figures = report(folder.path());
    let (plain, drier) = (&figures["options"][0], &figures["options"][1]);
    assert_eq!(plain["heat_need_kwh"], drier["heat_need_kwh"]);
    assert!(plain.get("heat_spared_kwh").is_none());
    let spared = number(drier, "heat_spared_kwh");
    assert!(spared > 0.02 * number(plain, "heat_need_kwh"), "{spared}");
    let parts = number(drier, "heat_delivered_kwh") + number(drier, "heat_short_kwh") + spared;
    assert!((parts - number(drier, "heat_need_kwh")).abs() < 1e-6);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(page.contains("spared by taking water from the air"));
    // What is spared is served as well as what is given: the cost of heat is of both.
    let life = &drier["life_cycle"];
    let served = number(drier, "heat_delivered_kwh") + spared;
    let cost = number(life, "heat_annual_equivalent") / served;
    assert!((number(life, "levelised_heat_cost_per_kwh") / cost - 1.0).abs() < 1e-3);
    // And it need not be bought a second time.
    let peak = |option: &Value| number(&option["loads"]["heat_after_recovery"], "peak_kw");
    assert!(peak(drier) < peak(plain), "{} {}", peak(drier), peak(plain));
}

/// Nuts left wet because the file ends are laid to the file, with the day until which weather is wanted.
#[test]
fn weather_that_ends_too_soon_is_named_as_the_cause() {
    let folder = study("", "");
    let path = folder.path().join("weather.csv");
    let weather = fs::read_to_string(&path).expect("weather");
    let kept: Vec<&str> = weather
        .lines()
        .take_while(|line| *line < "2031-03-10" || line.starts_with('#') || line.starts_with('t'))
        .collect();
    assert!(kept.last().expect("a row").starts_with("2031-03-09T23:00"));
    fs::write(&path, kept.join("\n") + "\n").expect("written");
    let figures = report(folder.path());
    let guards = figures["options"][0]["guards"].as_array().expect("guards");
    let unfinished = guards.iter().find(|guard| guard["key"] == "unfinished").expect("nuts are left");
    let sentence = unfinished["sentence"].as_str().expect("a sentence");
    assert!(sentence.contains("when the weather ended on 10 March 2031, 00:00"), "{sentence}");
    // 45 days after the season's last day, 8 March.
    assert!(sentence.contains("Give weather until 23 April 2031"), "{sentence}");
    assert!(!sentence.contains("too small"), "{sentence}");
}

/// One bin, ample heat: more heat does not help, and `size` says what decides.
#[test]
fn size_does_not_blame_heat_where_bins_decide() {
    let folder = study("", "");
    replace(folder.path(), "study.toml", "count = 2, tonnes = 4.0", "count = 1, tonnes = 2.0");
    let ran = dryledger(&["size", "study.toml", "--waiting-days", "1"]).in_folder(folder.path()).run();
    ran.ends_well();
    let heat = ran.stdout.lines().find(|line| line.starts_with("  heat ")).expect("a line on heat");
    assert!(heat.contains("no hour is short of heat") && heat.contains("bins decide"), "{heat}");
}
