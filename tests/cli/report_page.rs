//! The page of the report, as those who open it find it: whole, self-contained, readable, and saying
//! what `figures.json` says.

use super::faults::{replace, small};
use crate::bundled::{DEMO, WALNUT, write as make};
use crate::case::dryledger;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

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
        assert!(caption[0].len() > 25, "a caption says something: {}", caption[0]);
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

/// A scenario and a growth phase for the small study, with names like these.
fn with_scenario_and_phase(folder: &Path, name: &str) {
    let more = format!(
        "[[scenario]]\nname = \"{name}, dear\"\nset = {{ \"carrier.electricity.price_factor\" = 1.4 }}\n\n\
         [[phase]]\nname = \"{name}, grown\"\nintake_factor = 1.5\n\n[money]\n"
    );
    replace(folder, "study.toml", "[money]\n", &more);
}

/// All that is written of a study with scenarios, growth, draws and measures.
#[test]
fn the_same_inputs_give_the_same_bytes_on_one_thread_and_on_more() {
    let written = |threads: &str| {
        let folder = small();
        with_scenario_and_phase(folder.path(), "other");
        let ran = dryledger(&["report", "study.toml", "--samples", "12", "--json", "--out", "out"])
            .with("RAYON_NUM_THREADS", threads)
            .in_folder(folder.path())
            .unaltered()
            .run();
        let mut files: Vec<(PathBuf, Vec<u8>)> = fs::read_dir(folder.path().join("out"))
            .expect("a folder")
            .map(|entry| entry.expect("an entry").path())
            .map(|path| (path.file_name().expect("a name").into(), fs::read(&path).expect("bytes")))
            .collect();
        files.sort();
        (ran.json(), files)
    };
    let (one, three) = (written("1"), written("3"));
    assert!(one.0 == three.0 && one.0["screening"].is_array());
    let names = |files: &[(PathBuf, Vec<u8>)]| files.iter().map(|(name, _)| name.clone()).collect::<Vec<PathBuf>>();
    assert!(one.1.len() > 4 && names(&one.1) == names(&three.1), "{:?}", names(&one.1));
    for ((name, one), (_, three)) in one.1.iter().zip(&three.1) {
        assert!(one == three, "{name:?}");
    }
}

#[test]
fn names_are_shown_as_written_and_run_nothing() {
    let folder = small();
    with_scenario_and_phase(folder.path(), "<b>year</b> & {{ more }}");
    for (old, new) in [
        ("A week of nuts (invented)", "<script>alert(1)</script> & {{ title }} (invented)"),
        ("name = \"gas\"", "name = \"<b>gas</b> & 'co'\""),
    ] {
        replace(folder.path(), "study.toml", old, new);
    }
    let page = make(&folder.path().join("study.toml"), &["--samples", "12"]).page;
    assert!(!page.contains("<script") && !page.contains("<b>gas") && !page.contains("<b>year"));
    assert!(page.contains("&lt;script&gt;alert(1)&lt;"));
    assert!(page.contains("{{ title }} (invented)"), "no second filling");
    // In tables (tera) and in charts (our own drawing).
    assert!(page.contains("&lt;b&gt;gas&lt;"));
    for name in ["dear", "grown"] {
        assert!(page.contains(&format!("&lt;b&gt;year&lt;/b&gt; &amp; {{{{ more }}}}, {name}")), "{name}");
    }
    assert_labels_keep_apart(&page);
}

#[test]
fn a_study_of_one_option_short_of_heat_says_so() {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("the study");
    let text = text.replacen("capacity_kw = 30.0", "capacity_kw = 9.0", 1);
    let first = text.find("[[option]]").expect("options");
    let second = first + text[first + 1..].find("[[option]]").expect("a second") + 1;
    let rest = text.find("[money]").expect("money");
    fs::write(&path, format!("{}{}", &text[..second], &text[rest..])).expect("the study");
    let made = make(&path, &["--samples", "12"]);
    assert_whole(&made.page);
    assert!(made.page.contains("The only option, “electric”"));
    assert!(made.page.contains("It falls short of heat in "));
    assert!(made.page.contains("does not do the work, so that nothing is recommended"));
    assert!(made.page.contains("no proposal to compare"));
    assert!(made.page.contains("there is nothing to credit"));
    assert!(made.page.contains("one weather year"));
    assert!(made.page.contains(">not met</li>"), "the lack is drawn");
}
