//! The page of the report, as those who open it find it: whole, self-contained, readable, and saying
//! what `figures.json` says.

use crate::bundled::{DEMO, WALNUT, write as make};
use crate::case::{dryledger, root};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The demo with some of its text changed, in a folder of its own.
fn changed_demo(folder: &Path, changes: &[(&str, &str)]) -> PathBuf {
    let from = root().join("reports/demo");
    let weather = root().join("weather/upland_2031.csv");
    let mut text = fs::read_to_string(from.join("study.toml"))
        .expect("the demo")
        .replace("../../weather/upland_20*.csv", weather.to_str().expect("UTF-8"));
    for (old, new) in changes {
        assert!(text.contains(old), "the demo no longer says {old}");
        text = text.replace(old, new);
    }
    fs::copy(from.join("tariff.toml"), folder.join("tariff.toml")).expect("the tariff");
    let study = folder.join("study.toml");
    fs::write(&study, text).expect("the study");
    study
}

/// Every attribute of a name in the page, in order.
fn attributes<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
    page.split(&format!(" {name}=\"")).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

/// What stands between an opening and a closing tag, for every such element.
fn elements<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
    page.split(&format!("<{name}"))
        .skip(1)
        .filter(|rest| rest.starts_with([' ', '>']))
        .filter_map(|rest| rest.split(&format!("</{name}>")).next())
        .collect()
}

pub(super) fn assert_whole(page: &str) {
    for absent in [
        "NaN",
        "inf ",
        ">-0<",
        "{{",
        "{%",
        "<script",
        "http://",
        "https://",
        " src=",
        "url(",
        "@import",
        "not known",
        "<td class=\"w\"></td>",
    ] {
        assert!(!page.contains(absent), "the page holds {absent}");
    }
    assert!(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
    assert!(page.trim_end().ends_with("</html>"));
    assert_eq!(page.matches("<h1>").count(), 1);
    for tag in ["table", "figure", "svg", "section", "dl", "ul", "tr", "text"] {
        let opened = page.matches(&format!("<{tag}>")).count() + page.matches(&format!("<{tag} ")).count();
        let closed = page.matches(&format!("</{tag}>")).count();
        assert_eq!(opened, closed, "{tag} opened and closed");
    }
    let ids = attributes(page, "id");
    let known: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(known.len(), ids.len(), "ids are unique");
    for target in attributes(page, "href") {
        let target = target.strip_prefix('#').expect("links stay in the page");
        assert!(known.contains(target), "nothing bears the id {target}");
    }
    for named in attributes(page, "aria-labelledby") {
        assert!(named.split(' ').all(|id| known.contains(id)), "{named}");
    }
    for table in elements(page, "table") {
        assert!(table.contains("<caption>"), "a table without a caption");
        assert_eq!(
            table.matches("<th").count() - table.matches("<thead").count(),
            table.matches("<th scope=").count(),
            "a heading without a scope"
        );
    }
    for figure in elements(page, "figure") {
        let caption = elements(figure, "figcaption");
        assert_eq!(caption.len(), 1);
        assert!(caption[0].len() > 40, "a caption says something: {}", caption[0]);
    }
}

/// Left, top, right and bottom of a chart's words, px; the width of a letter is a mean one's.
fn word_boxes(svg: &str) -> Vec<(String, [f64; 4])> {
    svg.lines()
        .filter(|line| line.starts_with("<text"))
        .map(|line| {
            let number = |name: &str| -> f64 {
                let found = attributes(line, name)[0];
                found.parse().expect("a finite number")
            };
            let text = line.split('>').nth(1).and_then(|t| t.split('<').next());
            let text = text.expect("words").replace("&#39;", "'");
            let (x, y) = (number("x"), number("y"));
            let width = text.chars().count() as f64 * 6.2;
            let class = attributes(line, "class")[0];
            let left = match class.split(' ').nth(1) {
                Some("m") => x - width / 2.0,
                Some("e") => x - width,
                _ => x,
            };
            (text, [left, y - 8.5, left + width, y + 0.5])
        })
        .collect()
}

fn assert_labels_keep_apart(page: &str) {
    let charts: Vec<&str> = elements(page, "svg").into_iter().filter(|svg| svg.contains("role=\"img\"")).collect();
    assert!(charts.len() >= 20, "{} charts", charts.len());
    for svg in charts {
        let title = elements(svg, "title")[0].rsplit('>').next().expect("words");
        assert!(!title.is_empty());
        let boxes = word_boxes(svg);
        assert!(!boxes.is_empty(), "{title} has no words");
        for (at, (text, a)) in boxes.iter().enumerate() {
            assert!(!text.trim().is_empty(), "{title}: an empty label");
            for (other, b) in &boxes[at + 1..] {
                let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                assert!(apart, "{title}: {text:?} {a:?} lies on {other:?} {b:?}");
            }
        }
    }
}

/// Digits of a number as the page groups them.
fn grouped(value: f64) -> String {
    let digits = format!("{value:.0}");
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    text
}

#[test]
fn the_page_stands_alone_and_is_whole() {
    for made in [&DEMO, &WALNUT] {
        assert_whole(&made.page);
        // Thirteen options and their draws still go as an attachment.
        assert!(made.page.len() < 800_000, "{} bytes", made.page.len());
    }
}

#[test]
fn labels_of_every_chart_keep_apart() {
    for made in [&DEMO, &WALNUT] {
        assert_labels_keep_apart(&made.page);
    }
}

#[test]
fn the_page_says_what_the_figures_say() {
    let made = &DEMO;
    let options = made.figures["options"].as_array().expect("options");
    let sections = elements(&made.page, "section");
    let answer = sections.iter().find(|section| section.contains("id=\"answer\"")).expect("the answer");
    for option in options {
        let name = option["name"].as_str().expect("a name");
        let row = elements(answer, "tr")
            .into_iter()
            .find(|row| row.contains(&format!(">{name}<")) || row.contains(&format!(">{name} (")))
            .unwrap_or_else(|| panic!("no row for {name}"));
        for path in ["/total_cost", "/life_cycle/net_present_cost"] {
            let value = option.pointer(path).and_then(Value::as_f64).expect("it");
            let text = grouped(value);
            assert!(row.contains(&format!(">{text}<")), "{name}: no {text} in {row}");
        }
    }
    let recommended = made.figures["study"]["recommended"].as_str().expect("one");
    assert!(answer.contains(&format!("“{recommended}” costs least")));
    for input in made.figures["assumptions"].as_array().expect("inputs") {
        let path = input["path"].as_str().expect("a path");
        assert!(made.page.contains(path), "{path} is not listed");
    }
    for file in made.figures["inputs"].as_array().expect("files") {
        let digest = file["sha256"].as_str().expect("a digest");
        assert!(made.page.contains(digest), "{digest} is not listed");
    }
}

#[test]
fn the_same_inputs_give_the_same_bytes_on_one_thread_and_on_more() {
    let study = root().join("reports/walnut/study.toml");
    let out = tempfile::tempdir().expect("a folder");
    let ran = dryledger(&["report", study.to_str().expect("UTF-8"), "--json", "--out"])
        .and(out.path().to_str().expect("UTF-8"))
        .with("RAYON_NUM_THREADS", "1")
        .unaltered()
        .run();
    assert!(ran.json() == WALNUT.figures);
    assert!(fs::read_to_string(out.path().join("report.html")).expect("a page") == WALNUT.page);
}

#[test]
fn names_are_shown_as_written_and_run_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let study = changed_demo(
        folder.path(),
        &[
            ("Drying season at Ridgeway station (invented)", "<script>alert(1)</script> & {{ title }} (invented)"),
            ("name = \"lpg\"", "name = \"<b>gas</b> & 'co'\""),
        ],
    );
    let page = make(&study).page;
    assert!(!page.contains("<script") && !page.contains("<b>gas"));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;"));
    assert!(page.contains("{{ title }} (invented)"), "no second filling");
    // In tables (tera) and in charts (our own drawing).
    assert!(page.contains("&lt;b&gt;gas&lt;"));
    assert_labels_keep_apart(&page);
}

#[test]
fn a_study_of_one_option_short_of_heat_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let study = changed_demo(folder.path(), &[("capacity_kw = 95.0", "capacity_kw = 40.0")]);
    let text = fs::read_to_string(&study).expect("the study");
    let first = text.find("[[option]]").expect("options");
    let second = first + text[first + 1..].find("[[option]]").expect("a second") + 1;
    let rest = text.find("[money]").expect("money");
    fs::write(&study, format!("{}{}", &text[..second], &text[rest..])).expect("the study");
    let made = make(&study);
    assert_whole(&made.page);
    assert!(made.page.contains("The only option, “electric”"));
    assert!(made.page.contains("It falls short of heat in "));
    assert!(made.page.contains("does not do the work, so that nothing is recommended"));
    assert!(made.page.contains("no proposal to compare"));
    assert!(made.page.contains("there is nothing to credit"));
    assert!(made.page.contains("one weather year"));
    assert!(made.page.contains(">not met</li>"), "the lack is drawn");
}
