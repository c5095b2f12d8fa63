//! Which options do the work, and how they rank: the same on the terminal, on the page and in the figures.

use super::faults::{replace, small};
use crate::case::{Ran, dryledger};
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
    let Ran { code, stdout, stderr } = dryledger(&["report", "study.toml"]).in_folder(folder).run();
    assert_eq!(code, 0, "{stderr}");
    let read = |file: &str| fs::read_to_string(folder.join(file)).expect("a file of the report");
    Said {
        terminal: stdout,
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
        let (_, from) =
            self.page.split_once(&format!("<section id=\"{id}\"")).expect("the section");
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
    let cost =
        |name: &str| said.option(name)["life_cycle"]["net_present_cost"].as_f64().expect("a cost");
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
    replace(
        folder.path(),
        "study.toml",
        "[[option]]\nname = \"gas\"\nsources = [\"gas heater\"]\n",
        "",
    );
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
