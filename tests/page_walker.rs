//! Every number that a report prints is one of its figures: the page is walked, table by table and sentence by sentence,
//! and each number is looked for where `page_walker/where.txt` says that it stands in `figures.json`.

mod figure;
mod measures;
mod number;
mod order;
mod place;
mod walk;
mod worked;

use crate::case::{dryledger, root};
use crate::cli::small_study;
use order::orders;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::sync::LazyLock;
use walk::{Walked, walk};

/// A report of the small study with draws, as it stands and in its figures.
static SMALL: LazyLock<(String, Value)> = LazyLock::new(written);

fn written() -> (String, Value) {
    let folder = small_study();
    let ran =
        dryledger(&["report", "study.toml", "--json", "--samples", "12"]).in_folder(folder.path()).unaltered().run();
    (fs::read_to_string(folder.path().join("report.html")).expect("a page"), ran.json())
}

/// A bundled report, as it is published.
fn published(name: &str) -> (String, Value) {
    let folder = root().join("reports").join(name);
    let figures = fs::read_to_string(folder.join("figures.json")).expect("figures");
    let page = fs::read_to_string(folder.join("report.html")).expect("a page");
    (page, serde_json::from_str(&figures).expect("JSON"))
}

/// All reports that are walked: the small one, and those that are published.
fn reports() -> Vec<(&'static str, String, Value)> {
    let of = |name: &'static str, (page, figures): (String, Value)| (name, page, figures);
    let published = ["demo", "walnut", "two-rooms"].map(|name| of(name, published(name)));
    [of("small", SMALL.clone())].into_iter().chain(published).collect()
}

fn sum(of: &BTreeMap<&'static str, usize>) -> usize {
    of.values().sum()
}

#[test]
#[allow(clippy::print_stdout)] // What was walked, for those who ask with `--nocapture`.
fn every_number_of_the_reports_is_one_of_their_figures() {
    let mut unfound = Vec::new();
    for (name, page, figures) in reports() {
        let walked = walk(&page, &figures);
        let Walked { looked, excepted, unnoticed, .. } = &walked;
        println!("{name}: {} looked for {looked:?}", sum(looked));
        println!("  {} excepted {excepted:?}", sum(excepted));
        println!("  {} would not be missed with another last digit {unnoticed:?}", sum(unnoticed));
        unfound.extend(walked.unfound.iter().map(|one| format!("{name}, {one}")));
        assert!(sum(looked) > 1500, "{name}: {looked:?}");
        // Another last digit is seen: in tables nearly always, in sentences, whose numbers are short, more often than not.
        let missed = |how: &str| *unnoticed.get(how).unwrap_or(&0) as f64 / looked[how] as f64;
        assert!(missed("in columns") < 0.05, "{}", missed("in columns"));
        assert!(missed("in charts") < 0.3, "{}", missed("in charts"));
        assert!(missed("in sentences") < 0.5, "{}", missed("in sentences"));
    }
    assert!(unfound.is_empty(), "{}\n{}", unfound.len(), unfound.join("\n"));
}

/// The page with another last digit of the number that stands behind these words.
fn with_another_digit(page: &str, words: &[&str]) -> String {
    let start = words.iter().fold(0, |at, words| at + page[at..].find(words).expect(words) + words.len());
    let is_of_number = |c: char| c.is_ascii_digit() || c == '.' || c == '\u{202f}';
    let end = start + page[start..].find(|c| !is_of_number(c)).expect("its end");
    let last = start + page[start..end].rfind(|c: char| c.is_ascii_digit()).expect("a digit");
    let digit = page.as_bytes()[last] - b'0';
    format!("{}{}{}", &page[..last], (digit + 3) % 10, &page[last + 1..])
}

#[test]
fn another_digit_on_the_page_is_found() {
    let (page, figures) = &*SMALL;
    for words in [
        &["<caption><span>Options side by side", "<td class=\"n\">"][..],
        &["<caption><span>Options side by side", "gas</th>", "<td class=\"n\">", "<td class=\"n\">"],
        &["<caption><span>Carbon of a mean season", "gas</th>", "<td class=\"n\">"],
        &["<caption><span>Electricity of the site", "<td class=\"n\">"],
        &["<caption><span>What is known of the uncertain", "<td class=\"n\">"],
        &["class=\"support\"", "its energy costs $"],
        &["id=\"answer\"", "net present cost over 10", "is $"],
        &["id=\"figure-yearly\"", "<text class=\"s e\" x=\"738\" y=\"19.2\">"],
        &["id=\"sizing\"", "<b>Load-duration curve of heat.</b> "],
        &["id=\"recovered\"", "lowers the seasonal energy cost by $"],
    ] {
        let walked = walk(&with_another_digit(page, words), figures);
        assert_eq!(walked.unfound.len(), 1, "{words:?}: {:?}", walked.unfound);
    }
}

#[test]
#[allow(clippy::print_stdout)] // As above.
fn what_is_called_least_or_most_is_so() {
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    let mut wrong = Vec::new();
    for (name, page, figures) in reports() {
        let found = orders(&page, &figures);
        found.met.iter().for_each(|(rule, times)| *met.entry(rule).or_default() += times);
        wrong.extend(found.wrong.into_iter().map(|one| format!("{name}, {one}")));
    }
    println!("{met:#?}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(met.len(), 14, "every rule meets its sentence somewhere: {met:?}");
}

#[test]
fn another_order_than_the_figures_have_is_found() {
    let (page, figures) = &*SMALL;
    for (said, instead) in [
        ("Choose “electric”", "Choose “gas”"),
        ("is followed by “gas”", "is followed by “condensers in room”"),
        ("most electricity is taken from 12:00", "most electricity is taken from 03:00"),
        ("Most energy is spared with them switched, room", "Most energy is spared with them in the intake"),
        ("lies between $659", "lies between $859"),
    ] {
        assert!(page.contains(said), "the page no longer says {said}");
        let found = orders(&page.replace(said, instead), figures);
        assert!(!found.wrong.is_empty(), "{said} became {instead} unseen");
    }
}
