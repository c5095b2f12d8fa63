//! `[application] proposal` with several names: figures, tests of the scheme and a sheet for each, the first named first.

use super::application::{report, study};
use super::spreadsheet::Spreadsheet;
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use tempfile::TempDir;

fn applying_for(proposal: &str) -> TempDir {
    study(&format!("grant_share = 0.5\n\n[application]\nproposal = {proposal}\ntests = {{ energy_saving_min = 0.05 }}"))
}

#[test]
fn a_list_of_one_is_the_name_alone() {
    let [list, alone] = ["[\"gas\"]", "\"gas\""].map(|proposal| {
        let mut figures = report(applying_for(proposal).path());
        // The text of the study is another.
        figures["inputs"].take();
        figures
    });
    assert!(list == alone);
}

#[test]
fn every_proposal_has_its_figures_and_tests_and_sheet() {
    let folder = applying_for("[\"gas\", \"condensers in room\"]");
    let figures = report(folder.path());
    assert_eq!(figures["study"]["proposal"], "gas");
    let more = figures["more_applications"].as_array().expect("further proposals");
    let all: Vec<&Value> = std::iter::once(&figures["application"]).chain(more).collect();
    let names: Vec<&str> = all.iter().filter_map(|one| one["proposal"].as_str()).collect();
    assert_eq!(names, ["gas", "condensers in room"]);
    // Each is what it is where it is proposed alone, but for the sentence that it is named.
    for (one, alone) in all.iter().zip(["\"gas\"", "\"condensers in room\""]) {
        let mut alone = report(applying_for(alone).path())["application"].take();
        assert_eq!(alone["remarks"][0], "The study names it as the proposal.");
        assert_eq!(one["remarks"][0], "The study names it as one of 2 proposals.");
        alone["remarks"][0] = one["remarks"][0].clone();
        assert_eq!(**one, alone);
    }
    // Gas takes more energy than the heaters, condensers in the room less: a test tells them apart.
    let passed = |one: &Value| {
        let tests = one["tests"].as_array().expect("tests").iter();
        tests.filter(|test| test["name"] == "purchased energy saved").all(|test| test["passed"] == true)
    };
    assert!(!passed(all[0]));
    for name in names {
        let ways = figures["ways"].as_array().expect("ways");
        assert!(ways.iter().any(|way| way["option"] == name), "{name}");
    }
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    for words in [
        "<h3>gas</h3>",
        "<h3>condensers in room</h3>",
        "Tests of “gas”",
        "Tests of “condensers in room”",
        "Savings of “gas”",
    ] {
        assert!(page.contains(words), "{words}");
    }
    assert_eq!(page.matches("<caption><span>Every measure against the baseline<").count(), 1);
    let book = Spreadsheet::of(&fs::read(folder.path().join("report.xlsx")).expect("a workbook"));
    for (sheet, one) in ["Application", "Application2"].into_iter().zip(all) {
        let rows = book.rows(sheet);
        let figure = &one["of_the_proposal"]
            .as_array()
            .expect("figures")
            .iter()
            .find(|figure| figure["key"] == "net-present-saving");
        let figure = figure.expect("a net present saving");
        let row = rows.iter().find(|row| figure["name"] == row[1].to_string().as_str()).expect("a row");
        let (found, expected) =
            (row[4].to_string().parse::<f64>().expect("a number"), figure["value"].as_f64().expect("a number"));
        assert!((found - expected).abs() < 1e-6 * expected.abs().max(1.0), "{sheet}: {found}, {expected}");
    }
}

#[test]
fn names_that_cannot_be_proposed_are_refused() {
    for (proposal, words) in [
        ("[\"gas\", \"gass\"]", ["names \"gass\", which no option is called", "did you mean \"gas\"?"]),
        ("[\"electric\", \"gas\"]", ["names \"electric\", the baseline", "one of gas, "]),
        ("[\"gas\", \"gas\"]", ["names \"gas\" twice", "strike one out"]),
        ("[]", ["is an empty list", "name an option, or leave the key out"]),
    ] {
        let folder = applying_for(proposal);
        dryledger(&["check", "study.toml"]).in_folder(folder.path()).run().refused(&words);
    }
}

/// A price in doubt moves the bill that is saved and none of the energy.
#[test]
fn what_is_saved_is_told_draw_by_draw() {
    let folder = study(
        "[application]\nproposal = \"gas\"\n\n[uncertainty]\nsamples = 12\nstanding = false\n\
         \"carrier.lpg.price\" = { uniform = { low = 1.0, high = 2.0 } }",
    );
    let found = report(folder.path());
    let of = |key: &str| {
        let all = found["application"]["of_both"].as_array().expect("figures");
        let figure = all.iter().find(|figure| figure["key"] == key).unwrap_or_else(|| panic!("no {key}"));
        let number = |place: &str| figure.pointer(place).and_then(Value::as_f64).expect("a number");
        ["/saved", "/saved_in_draws/lowest", "/saved_in_draws/highest"].map(number)
    };
    for key in ["purchased", "peak-demand", "carbon"] {
        let [saved, lowest, highest] = of(key);
        assert!((saved - lowest).abs() < 1e-6 && (saved - highest).abs() < 1e-6, "{key}: {saved} {lowest} {highest}");
    }
    let [saved, lowest, highest] = of("bill");
    assert!(lowest < saved && saved < highest && highest - lowest > 1.0, "{saved} {lowest} {highest}");
}
