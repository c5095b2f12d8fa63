//! Which options do the work, and how they rank: the same on the terminal, on the page and in the figures.

use super::faults::{replace, small, with_every_guard_kept};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;

/// The answer as people read it, with the figures and the page beside it.
struct Said {
    terminal: String,
    figures: Value,
    page: String,
}

fn run(folder: &Path) -> Said {
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder).run();
    ran.ends_well();
    let read = |file: &str| fs::read_to_string(folder.join(file)).expect("a file of the report");
    Said {
        terminal: ran.stdout,
        figures: serde_json::from_str(&read("figures.json")).expect("JSON"),
        page: read("report.html"),
    }
}

impl Said {
    fn option(&self, name: &str) -> &Value {
        let mut options = self.figures["options"].as_array().expect("options").iter();
        options.find(|option| option["name"] == name).unwrap_or_else(|| panic!("no {name}"))
    }

    /// The row of an option on the terminal.
    fn row(&self, name: &str) -> &str {
        let mut rows = self.terminal.lines();
        rows.find(|row| row.starts_with(name)).unwrap_or_else(|| panic!("no row of {name}"))
    }

    /// The text of a section of the page, without its tags.
    fn section(&self, id: &str) -> String {
        let (_, from) = self.page.split_once(&format!("<section id=\"{id}\"")).expect("the section");
        let (section, _) = from.split_once("</section>").expect("its end");
        let mut text = String::new();
        let mut is_tag = false;
        for letter in section.chars() {
            match letter {
                '<' => is_tag = true,
                '>' => is_tag = false,
                _ if !is_tag => text.push(letter),
                _ => {}
            }
        }
        text.replace('\u{a0}', " ")
    }
}

/// A heater of 1 kW that costs next to nothing, beside two that do the work.
fn with_toy() -> tempfile::TempDir {
    let folder = small();
    let path = folder.path().join("study.toml");
    let study = fs::read_to_string(&path).expect("the study");
    let (start, _) = study.split_once("[[option]]\nname = \"condensers in room\"").expect("it");
    let toy = "[[source]]\nname = \"toy heater\"\nkind = \"resistance\"\ncapacity_kw = 1.0\ncapital = 10.0\n\n\
               [[option]]\nname = \"toy\"\nsources = [\"toy heater\"]\n\n[money]\nyears = 10\n";
    fs::write(&path, format!("{start}{toy}")).expect("the study");
    folder
}

/// It is by far the cheapest, and no best, no runner-up and no proposal.
#[test]
fn a_toy_heater_is_never_proposed_however_cheap() {
    let said = run(with_toy().path());
    let cost = |name: &str| said.option(name)["life_cycle"]["net_present_cost"].as_f64().expect("a cost");
    assert!(cost("toy") < cost("electric") && cost("toy") < cost("gas"));
    let toy = said.option("toy");
    assert_eq!(toy["does_the_work"], false);
    assert_eq!(toy["place"], Value::Null);
    let left = toy["work_left"].as_array().expect("what is left");
    let keys: Vec<&Value> = left.iter().map(|one| &one["key"]).collect();
    assert!(keys.contains(&&Value::from("heat-short")), "{left:?}");
    let short = &left.iter().find(|one| one["key"] == "heat-short").expect("it")["measures"][0];
    assert!(short["value"].as_f64() > short["limit"].as_f64() && short["limit"] == 1.0);

    let study = &said.figures["study"];
    for key in ["recommended", "runner_up", "proposal"] {
        assert!(study[key].is_string() && study[key] != "toy", "{key}: {}", study[key]);
    }
    let ranking = said.figures["ranking"].as_array().expect("a ranking");
    assert_eq!(ranking.len(), 2);
    assert_eq!(ranking[0]["option"], study["recommended"]);
    assert_eq!(ranking[0]["place"], 1);
    assert_eq!(ranking[1]["option"], study["runner_up"]);

    assert!(!said.row("toy").contains('*'));
    assert!(said.terminal.contains("\"toy\" does not do the work: it "), "{}", said.terminal);
    let application = said.section("application");
    assert!(!application.contains("toy"), "{application}");
    assert!(said.section("answer").contains("“toy” does not do the work"));
}

/// Where the toy is the only other option there is nothing to propose, and the section says why.
#[test]
fn without_another_option_that_does_the_work_nothing_is_proposed() {
    let folder = with_toy();
    replace(folder.path(), "study.toml", "[[option]]\nname = \"gas\"\nsources = [\"gas heater\"]\n", "");
    let said = run(folder.path());
    assert_eq!(said.figures["study"]["recommended"], "electric");
    assert_eq!(said.figures["study"]["runner_up"], Value::Null);
    assert_eq!(said.figures["study"]["proposal"], Value::Null);
    let application = said.section("application");
    assert!(application.contains("No option but the baseline does the work"), "{application}");
    assert!(!application.contains("Proposal") && !application.contains("best of the others"));
}

/// Too many nuts for two bins, whatever heats: nothing is starred, nothing is recommended, nothing proposed.
#[test]
fn where_no_option_does_the_work_none_is_recommended_anywhere() {
    let folder = small();
    replace(folder.path(), "study.toml", "season_tonnes = 12.0", "season_tonnes = 900.0");
    let said = run(folder.path());
    let study = &said.figures["study"];
    for key in ["recommended", "runner_up", "proposal"] {
        assert_eq!(study[key], Value::Null, "{key}");
    }
    assert_eq!(said.figures["ranking"], Value::Array(Vec::new()));
    assert!(!said.terminal.contains('*'), "{}", said.terminal);
    assert!(said.terminal.contains("no option does the work"), "{}", said.terminal);
    assert!(!said.page.contains("” is recommended"));
    assert!(!said.page.contains("costs least"));
    assert!(!said.page.contains("class=\"chosen\"") || said.page.contains("Condensers at every"));
    let application = said.section("application");
    assert!(application.contains("No option does the work"), "{application}");
    assert!(!application.contains("Proposal"), "{application}");
    assert!(said.section("answer").contains("none is recommended"));
    for option in said.figures["options"].as_array().expect("options") {
        let left = &option["work_left"][0];
        assert_eq!(left["key"], "nuts-wet");
        assert!(left["measures"][0]["value"].as_f64().expect("tonnes") > 1.0);
    }
}

/// A room's air with what comes back to a condenser, above the limit of units as they usually are: they trip,
/// the store goes without, and what a compressor spares by standing still is no gain.
fn with_a_room_at(room_c: f64, limit: Option<f64>) -> tempfile::TempDir {
    let folder = small();
    let limit = limit.map_or_else(String::new, |limit_c| format!(", condenser_air_max_c = {limit_c:.1}"));
    replace(folder.path(), "study.toml", ", condenser_air_max_c = 46.0", &limit);
    let set = format!("temperature_c = {room_c:.1}");
    replace(folder.path(), "study.toml", "temperature_c = 40.0", &set);
    // Outdoors nothing is short: the week is a mild one.
    folder
}

#[test]
fn units_that_trip_earn_nothing_and_are_not_recommended() {
    // Room, limit as in the study (none: as units usually are).
    for (room_c, limit) in [(42.0, None), (45.0, Some(46.0)), (50.0, None), (50.0, Some(46.0))] {
        let folder = with_a_room_at(room_c, limit);
        let said = run(folder.path());
        let room = said.option("condensers in room");
        let recovered = &room["recovered"];
        let number = |key: &str| recovered[key].as_f64().unwrap_or_else(|| panic!("no {key}"));
        let at = format!("{room_c} °C, limit {limit:?}: {recovered}");
        assert!(number("net_kwh") <= 1e-6, "{at}");
        assert!(number("net_money") <= 1e-6, "{at}");
        assert!(number("penalty_kwh") >= -1e-9, "{at}");
        assert!(number("cooling_short_kwh") > 1.0, "{at}");
        assert_eq!(room["does_the_work"], false, "{at}");
        let left = room["work_left"].as_array().expect("what is left");
        assert!(left.iter().any(|one| one["key"] == "store-warm"), "{left:?}");
        assert_ne!(said.figures["study"]["recommended"], "condensers in room");

        let terminal = &said.terminal;
        assert!(!said.row("condensers in room").contains('*'), "{terminal}");
        for words in ["Cooling units tripped in", "asked for more cooling than its cooling units could give"] {
            assert!(terminal.contains(words), "no {words} in {terminal}");
            assert!(said.section("answer").contains(words), "no {words} in the answer");
        }
        assert!(terminal.contains("\"condensers in room\" does not do the work"), "{terminal}");

        let check = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
        let told = check.stdout.split_whitespace().collect::<Vec<&str>>().join(" ");
        assert!(told.contains("its cooling units trip and the store goes without"), "{told}");
        let reaches = format!("air of up to {:.1} °C", room_c + 2.0);
        assert!(told.contains(&reaches), "{told}");
    }
}

/// At the limit itself, short circuit and all, units run: nothing is said and a credit is earned.
#[test]
fn units_at_their_limit_run_and_earn_their_credit() {
    let folder = with_a_room_at(40.0, Some(42.0));
    let said = run(folder.path());
    let recovered = &said.option("condensers in room")["recovered"];
    assert!(recovered["net_kwh"].as_f64() > Some(0.0));
    assert_eq!(recovered["unearned_hours"], 0.0);
    let check = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert!(!check.stdout.contains("units trip"), "{}", check.stdout);
}

/// Guards of whichever option, each with the limit that it broke, said once.
#[test]
fn strict_names_the_guards_of_every_option_with_their_limits() {
    let folder = with_a_room_at(42.0, None);
    let strict = ["report", "study.toml", "--strict"];
    let ran = dryledger(&strict).in_folder(folder.path()).run();
    assert_eq!(ran.code, 1, "{}", ran.stderr);
    for words in ["guards fired: ", "condensers in room: units-tripped (44.0 °C; at most 43.0 °C)"] {
        assert!(ran.stderr.contains(words), "no {words} in {}", ran.stderr);
    }
    let figures = fs::read_to_string(folder.path().join("figures.json")).expect("figures");
    let figures: Value = serde_json::from_str(&figures).expect("JSON");
    for option in figures["options"].as_array().expect("options") {
        for guard in option["guards"].as_array().expect("guards") {
            assert!(guard["limit"].is_number() && guard["limit_unit"].is_string(), "{guard}");
        }
    }
}

/// A guard of all options is told once, for all, with what is allowed.
#[test]
fn a_guard_of_all_options_is_told_once() {
    let folder = small();
    let from = "airflow_m3_per_s_per_tonne = 0.15";
    let to = "airflow_m3_per_s_per_tonne = 0.05\nmould_hours = 1.0";
    replace(folder.path(), "study.toml", from, to);
    let said = run(folder.path());
    let told: Vec<&str> = said.terminal.lines().filter(|line| line.contains("growth law of mould")).collect();
    assert_eq!(told.len(), 1, "{}", said.terminal);
    assert!(told[0].starts_with("guard, all options"), "{told:?}");
    assert!(said.terminal.contains("the limit is 1"), "{}", said.terminal);
    let answer = said.section("answer");
    assert!(answer.contains("In every option") && answer.contains("the limit is 1"));
}

/// Three days of March in which the humidity does not move.
fn with_a_stuck_sensor(weather: &str) -> String {
    let heads = weather.lines().find(|line| line.contains("relative_humidity")).expect("headings");
    let of_humidity = heads.split(',').position(|head| head.starts_with("relative_humidity")).expect("it");
    let stuck = |line: &str| -> String {
        let mut cells: Vec<&str> = line.split(',').collect();
        let is_stuck = ["03-03T", "03-04T", "03-05T"].iter().any(|day| cells[0].contains(day));
        if is_stuck && cells.len() > of_humidity {
            cells[of_humidity] = "50";
        }
        cells.join(",") + "\n"
    };
    weather.lines().map(stuck).collect()
}

/// A doubt about the weather stands in the answer and in the figures, and counts under `--strict`; what lies
/// only a little apart is told and does not count.
#[test]
fn a_doubt_about_the_weather_reaches_the_answer_and_strict() {
    let folder = with_every_guard_kept();
    replace(folder.path(), "study.toml", "altitude_m = 540", "altitude_m = 54");
    assert!(run(folder.path()).terminal.contains("doubt about the weather: "));
    let strict = dryledger(&["report", "study.toml", "--strict"]).in_folder(folder.path()).run();
    strict.ends_well();
    let folder = small();
    let weather = fs::read_to_string(folder.path().join("weather.csv")).expect("the weather");
    fs::write(folder.path().join("weather.csv"), with_a_stuck_sensor(&weather)).expect("written");
    let said = run(folder.path());
    let warnings = said.figures["warnings"].as_array().expect("warnings");
    let doubt = warnings.iter().find(|warning| warning["about"] == "weather").expect("a doubt");
    let sentence = doubt["sentence"].as_str().expect("a sentence");
    let told = format!("doubt about the weather: {sentence}");
    assert!(said.terminal.contains(&told), "{}", said.terminal);
    assert!(said.section("answer").contains("What speaks against the weather"));
    let strict = dryledger(&["report", "study.toml", "--strict"]).in_folder(folder.path()).run();
    assert_eq!(strict.code, 1, "{}", strict.stderr);
    assert!(strict.stderr.contains("doubts about the weather: "), "{}", strict.stderr);
    let calm = run(small().path());
    assert!(!calm.terminal.contains("doubt about the weather"), "{}", calm.terminal);
    assert_eq!(calm.figures["warnings"], Value::Array(Vec::new()));
}
