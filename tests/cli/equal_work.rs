//! Options are compared for equal work: what an option saves by doing less is no saving.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use tempfile::TempDir;

fn with(option: &str) -> TempDir {
    let folder = small();
    let money = "[money]\ngrant_share = 0.5\n";
    replace(folder.path(), "study.toml", "[money]\n", &format!("[[option]]\n{option}\ncapital = 10.0\n\n{money}"));
    folder
}

fn report(folder: &TempDir) -> Value {
    let all = ["report", "study.toml", "--json", "--samples", "0", "--no-screening"];
    dryledger(&all).unaltered().in_folder(folder.path()).run().json()
}

fn named<'a>(figures: &'a Value, name: &str) -> &'a Value {
    figures["options"].as_array().expect("options").iter().find(|option| option["name"] == name).expect(name)
}

/// A sixth fewer nuts cost a sixth less: that is work not done, and neither recommended nor helped by a grant.
#[test]
fn less_of_the_crop_is_no_saving() {
    let figures = report(&with("name = \"fewer nuts\"\nset = { \"crop.season_tonnes\" = 10.0 }"));
    let fewer = named(&figures, "fewer nuts");
    assert_eq!((&fewer["does_the_work"], &fewer["work_left"][0]["key"]), (&false.into(), &"less-crop".into()));
    let less = fewer["work_left"][0]["measures"][0]["value"].as_f64().expect("a share");
    assert!((less - 100.0 / 6.0).abs() < 1e-9, "{less}");
    assert_eq!(fewer["life_cycle"]["grant"], 0.0);
    assert_ne!(figures["study"]["recommended"], "fewer nuts");
    // More of it, and the same in other loads, is no less.
    for set in ["\"crop.season_tonnes\" = 12.5", "\"crop.load_tonnes\" = 3.0"] {
        let figures = report(&with(&format!("name = \"other\"\nset = {{ {set} }}")));
        let left = named(&figures, "other")["work_left"].to_string();
        assert!(!left.contains("less-crop"), "{left}");
    }
}

/// Nuts that come drier are the world's doing.
#[test]
fn drier_nuts_in_an_option_are_doubted() {
    let folder = with("name = \"drier\"\nset = { \"crop.received_moisture\" = 16.0 }");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    let said = ran.stdout + &ran.stderr;
    assert!(said.contains("[option.drier_nuts]"), "{said}");
}

/// The first page judges the target of the option that it recommends.
#[test]
fn the_first_page_tells_of_the_target_that_is_recommended() {
    let folder = with("name = \"dry less\"\nset = { \"crop.dried_moisture\" = 14.0 }");
    replace(folder.path(), "study.toml", "grant_share = 0.5\n", "");
    replace(folder.path(), "study.toml", "mould_activity = 0.95\n", "");
    let figures = report(&folder);
    assert_eq!(figures["study"]["recommended"], "dry less");
    let wrong = figures["sheet"]["could_go_wrong"].as_array().expect("points");
    let damp = wrong.iter().find(|point| point["head"] == "The target is damp.").unwrap_or_else(|| panic!("{wrong:?}"));
    assert!(damp["text"].as_str().expect("text").starts_with("At 14.0"), "{damp}");
}

/// Where the option that costs least breaks a guard, the first page says which keeps it.
#[test]
fn the_first_page_names_who_keeps_a_guard() {
    let folder = with("name = \"cooler\"\nset = { \"room.room.temperature_c\" = 39.0 }\ncapital = 90000.0");
    replace(folder.path(), "study.toml", "capital = 90000.0\ncapital = 10.0", "capital = 90000.0");
    let figures = report(&folder);
    let fires = |option: &Value| option["guards"].to_string().contains("\"hot-when-wet\"");
    let best = figures["study"]["recommended"].as_str().expect("a best");
    assert!(fires(named(&figures, best)) && !fires(named(&figures, "cooler")), "{}", figures["options"]);
    assert_eq!(named(&figures, "cooler")["does_the_work"], true);
    let wrong = figures["sheet"]["could_go_wrong"].to_string();
    assert!(wrong.contains("“cooler” keeps it."), "{wrong}");
}
