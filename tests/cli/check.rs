//! `dryledger check`: what it says of a study that can be used.

use super::faults::{replace, small};
use crate::case::dryledger;

#[test]
fn defaults_are_listed_by_table_with_what_they_rest_on() {
    let folder = small();
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    for words in [
        "options  electric; gas; condensers in room; condensers in intake",
        "weather  1 season of 168 h: 2031",
        "\ncool_store\n  air_changes_per_hour = 0.25 1/h\n      assumption: doors",
        "dryledger report study.toml",
    ] {
        assert!(ran.stdout.contains(words), "no '{words}' in:\n{}", ran.stdout);
    }
    let widest = ran.stdout.lines().map(|line| line.chars().count()).max();
    assert!(widest <= Some(100), "{widest:?}");
}

#[test]
fn json_holds_the_defaults_and_nothing_else_is_on_stdout() {
    let folder = small();
    let json = dryledger(&["check", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    assert_eq!(json["options"].as_array().expect("options").len(), 4);
    let defaults = json["defaults"].as_array().expect("defaults");
    assert!(defaults.iter().all(|default| default["source"] != ""));
    assert!(defaults.iter().any(|default| default["path"] == "season.step_minutes"));
}

#[test]
fn possible_but_unlikely_inputs_are_warned_of_with_their_reason() {
    for (old, new, place, reason) in [
        (
            "airflow_m3_per_s_per_tonne = 0.15",
            "airflow_m3_per_s_per_tonne = 1.5",
            "study.toml:33:30",
            "move 0.02 to 0.6 m³/s a tonne",
        ),
        ("floor_area_m2 = 4.0", "floor_area_m2 = 1.0", "study.toml:32:52", "m deep; beyond 3 m"),
        ("temperature_c = 40.0", "temperature_c = 55.0", "study.toml:34:17", "wants at most"),
        (
            "condenser_air_max_c = 46.0",
            "condenser_air_max_c = 38.0",
            "study.toml:46:75",
            "units trip and the store goes without",
        ),
        (
            "relative_humidity = [45.0, 55.0]",
            "relative_humidity = [45.0, 90.0]",
            "study.toml:42:21",
            "(kernel 5.4 %) would take up water again; keep the store at",
        ),
        (
            "sources = [\"gas heater\"]",
            "sources = [\"heaters\"]",
            "study.toml:63:8",
            "no option calls on the source \"gas heater\"",
        ),
        (
            "carrier = \"lpg\"\ncapacity_kw = 30.0",
            "carrier = \"lpg\"\ncapacity_kw = 3.0",
            "study.toml:75:11",
            "option \"gas\" has 3 kW of heat at most; the season's mean need is roughly",
        ),
    ] {
        let folder = small();
        replace(folder.path(), "study.toml", old, new);
        let json = dryledger(&["check", "study.toml", "--json"]).in_folder(folder.path()).run().json();
        let warnings = json["warnings"].as_array().expect("warnings");
        let told = warnings.iter().any(|warning| {
            let at = format!("{}:{}:{}", warning["file"].as_str().unwrap_or(""), warning["line"], warning["column"]);
            let sentence =
                format!("{}; {}", warning["what"].as_str().unwrap_or(""), warning["cure"].as_str().unwrap_or(""));
            at == place && sentence.contains(reason)
        });
        assert!(told, "{new}: {warnings:#?}");
    }
}

#[test]
fn the_report_says_the_same_warnings_on_stderr_and_goes_on() {
    let folder = small();
    replace(folder.path(), "study.toml", "floor_area_m2 = 4.0", "floor_area_m2 = 1.0");
    let ran = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run();
    assert!(ran.stderr.contains("warning: 4 t on 1 m²"), "{}", ran.stderr);
    assert!(ran.json()["options"].is_array());
}
