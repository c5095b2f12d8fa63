//! The words of the page and the terminal: the trade's own, and what nobody measured is named.

use super::faults::{replace, small};
use crate::case::dryledger;
use std::path::Path;

/// What the terminal and the page say.
fn said(folder: &Path) -> (String, String) {
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder).run();
    ran.ends_well();
    (ran.stdout, std::fs::read_to_string(folder.join("report.html")).expect("the page"))
}

#[test]
fn a_placeholder_that_moves_bins_is_named_until_it_is_given() {
    let folder = small();
    let rate = "thin-layer drying rate and activation energy of the drying rate of macadamia (placeholders)";
    let (terminal, page) = said(folder.path());
    assert!(terminal.contains(&format!("not measured: {rate}")), "{terminal}");
    let answer = page.split("id=\"budget\"").next().expect("the answer");
    assert!(answer.contains(rate) && answer.contains("bins, waiting and mould"));
    replace(folder.path(), "study.toml", "received_moisture = 20.0", "received_moisture = 20.0\ndrying_rate = 0.03");
    let (terminal, page) = said(folder.path());
    assert!(!terminal.contains("thin-layer drying rate") && !page.contains("thin-layer drying rate and"));
}

#[test]
fn the_page_speaks_the_words_of_the_trade() {
    let (_, page) = said(small().path());
    let spoken = page.split("<h3>Every input</h3>").next().expect("the page");
    for word in ["dearest", "given off", "gave off", "off the bill", "bound water", "season’s bill"] {
        assert!(!spoken.contains(word), "the page says '{word}'");
    }
    for word in ["peak demand", "seasonal energy cost", "rejected", "heat of desorption"] {
        assert!(spoken.contains(word), "the page never says '{word}'");
    }
}
