//! Options that cannot be told apart are said to be level, by one rule on terminal, page and in the figures.

use super::faults::{replace, small};
use crate::case::dryledger;
use std::fs;

/// Runs the small study with another electric option beside the first, whose heater costs so much.
fn beside_a_twin(capital: &str) -> (String, serde_json::Value, String) {
    let folder = small();
    let twin = format!(
        "[[source]]\nname = \"other heaters\"\nkind = \"resistance\"\ncapacity_kw = 30.0\ncapital = {capital}\n\n[[option]]\nname = \"twin\"\nsources = [\"other heaters\"]\n\n[money]"
    );
    replace(folder.path(), "study.toml", "[money]", &twin);
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    let read = |file: &str| fs::read_to_string(folder.path().join(file)).expect("written");
    let figures = serde_json::from_str(&read("figures.json")).expect("JSON");
    (ran.stdout, figures, read("report.html"))
}

fn level_with(figures: &serde_json::Value, name: &str) -> Vec<String> {
    let mut ranking = figures["ranking"].as_array().expect("a ranking").iter();
    let ranked = ranking.find(|one| one["option"] == name).expect("a ranked option");
    let names = ranked["level_with"].as_array().expect("names").iter();
    names.map(|name| name.as_str().expect("a name").to_owned()).collect()
}

#[test]
fn options_that_cost_the_same_are_level_and_no_order_is_made_of_it() {
    let (terminal, figures, page) = beside_a_twin("5000.0");
    assert!(level_with(&figures, "electric").contains(&"twin".to_owned()));
    assert!(level_with(&figures, "twin").contains(&"electric".to_owned()));
    let best = figures["study"]["recommended"].as_str().expect("one is recommended").to_owned();
    if !level_with(&figures, &best).is_empty() {
        let said = format!("level with “{best}”");
        assert!(terminal.contains(&said), "{terminal}");
        assert!(page.contains(&said), "the page does not say it");
    }
}

#[test]
fn an_option_that_costs_far_more_is_level_with_none_of_the_cheap_ones() {
    let (_, figures, _) = beside_a_twin("500000.0");
    assert_eq!(level_with(&figures, "twin"), Vec::<String>::new());
}
