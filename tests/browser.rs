//! The report as a browser prints it. These tests need `chromium` and `pdftotext`, which `.ci/run` installs; they are
//! run by `cargo test -- --ignored browser`.

use crate::case::{dryledger, root};
use crate::cli::small_study;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// The browser, with a profile in this folder.
fn chromium(folder: &Path) -> Command {
    let mut browser = Command::new("chromium");
    browser
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .arg(format!("--user-data-dir={}", folder.join("profile").display()));
    browser
}

/// Texts of the pages of a report, printed on a paper.
fn printed(page: &Path, paper: &str) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    let html = fs::read_to_string(page).expect("a page");
    let sized = html.replace("</head>", &format!("<style>@page {{ size: {paper} }}</style></head>"));
    fs::write(path("page.html"), sized).expect("written");
    let ran = chromium(folder.path())
        .arg("--no-pdf-header-footer")
        .arg(format!("--print-to-pdf={}", path("page.pdf").display()))
        .arg(format!("file://{}", path("page.html").display()))
        .output()
        .expect("chromium runs");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    let text = Command::new("pdftotext").arg(path("page.pdf")).arg("-").output().expect("pdftotext runs");
    let text = String::from_utf8(text.stdout).expect("UTF-8");
    text.split('\u{c}').map(str::to_owned).collect()
}

/// The sheet fills one page and nothing else does: its last list ends on the first page, the facts begin on the second.
fn assert_sheet_is_one_page(page: &Path, name: &str) {
    for paper in ["A4", "Letter"] {
        let pages = printed(page, paper);
        let (first, second) = (&pages[0], &pages[1]);
        for words in
            ["What each way of heating costs in a year", "The bill by month", "Three figures", "What to do next"]
        {
            assert!(first.contains(words), "{name} on {paper}: no '{words}' on the first page");
        }
        assert!(second.trim_start().starts_with("Nuts"), "{name} on {paper}: the sheet runs over: {second}");
    }
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_prints_the_sheet_of_each_bundled_study_on_one_page() {
    for name in ["demo", "walnut", "two-rooms"] {
        assert_sheet_is_one_page(&root().join("reports").join(name).join("report.html"), name);
    }
}

/// What a case is called, and what it makes of the study.
type Change<'a> = (&'a str, Box<dyn FnOnce(String) -> String + 'a>);

/// The small study, changed; its report.
fn changed(change: impl FnOnce(String) -> String) -> TempDir {
    let folder = small_study();
    let path = folder.path().join("study.toml");
    let text = change(fs::read_to_string(&path).expect("text"));
    fs::write(&path, text).expect("written");
    let ran = dryledger(&["report", "study.toml", "--samples", "12"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    folder
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_prints_the_sheet_of_odd_studies_on_one_page() {
    let options = |count: usize, name: &str| {
        let mut text = String::new();
        for at in 0..count {
            let _ = write!(
                text,
                "[[option]]\nname = \"{name} {at}\"\nsources = [\"gas heater\"]\ncapital = {}.0\n\n",
                100 * at
            );
        }
        text
    };
    let with_options = |text: String, more: &str| text.replace("[money]\n", &format!("{more}[money]\n"));
    let only_electric = |text: String| {
        let (from, until) =
            (text.find("[[option]]\nname = \"gas\"").expect("gas"), text.find("[money]").expect("money"));
        format!("{}{}", &text[..from], &text[until..])
    };
    let cases: [Change<'_>; 6] = [
        ("as it is", Box::new(|text| text)),
        ("one option", Box::new(only_electric)),
        ("twenty options", Box::new(|text| with_options(text, &options(20, "gas with a name of some length, number")))),
        ("long names", Box::new(|text| with_options(text, &options(3, &"a name without an end ".repeat(5))))),
        ("nothing able", Box::new(|text| text.replace("capacity_kw = 30.0", "capacity_kw = 1.0"))),
        (
            "a currency of small units",
            Box::new(|text| text.replace("\"USD\"", "\"VND\"").replace("price = 1.35", "price = 35000.0")),
        ),
    ];
    for (name, change) in cases {
        let folder = changed(change);
        assert_sheet_is_one_page(&folder.path().join("report.html"), name);
    }
}

/// Most sheets and words that the demo's body may take: all between the owner's sheet and the appendix.
const MOST_SHEETS: usize = 16;
const MOST_WORDS: usize = 4000;

/// Words on a sheet: what holds two letters in a row, so that neither numbers nor the initials of months count; its
/// foot left out.
fn words(sheet: &str) -> usize {
    let is_foot = |line: &str| {
        let line = line.trim();
        line == "Estimates for planning, not a design"
            || line.ends_with(|c: char| c.is_ascii_digit()) && line.contains(" of ") && line.len() < 12
    };
    let kept = sheet.lines().filter(|line| !is_foot(line));
    let is_word = |word: &&str| {
        let letters: Vec<bool> = word.chars().map(char::is_alphabetic).collect();
        letters.windows(2).any(|pair| pair[0] && pair[1])
    };
    kept.flat_map(str::split_whitespace).filter(is_word).count()
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_prints_the_body_of_the_demo_on_few_sheets_and_in_few_words() {
    let page = root().join("reports/demo/report.html");
    for paper in ["A4", "Letter"] {
        let sheets = printed(&page, paper);
        let appendix = sheets.iter().position(|sheet| sheet.trim_start().starts_with("Appendix A"));
        let body = &sheets[1..appendix.expect("an appendix that begins a sheet")];
        let said: usize = body.iter().map(|sheet| words(sheet)).sum();
        assert!(body.len() <= MOST_SHEETS, "{} sheets of {paper}", body.len());
        assert!(said <= MOST_WORDS, "{said} words on {paper}");
        // A sheet that is nearly empty is a break in the wrong place.
        let empty = body[..body.len() - 1].iter().position(|sheet| sheet.len() < 300);
        assert_eq!(empty, None, "a sheet of {paper} is nearly empty");
    }
}

/// How a page is looked at: what is done to its style, the window's width, what the browser is told.
const LOOKS: [(&str, bool, u32, bool); 6] = [
    ("phone", false, 360, false),
    ("tablet", false, 768, false),
    ("wide", false, 1280, false),
    // 210 and 216 mm less the margins of the page, at 96 px an inch.
    ("A4", true, 680, false),
    ("Letter", true, 703, false),
    ("dark", false, 1280, true),
];

/// What nobody could read of a page that is looked at so; a line each.
fn unreadable(page: &Path, on_paper: bool, width: u32, dark: bool) -> Vec<String> {
    const LOOK: &str = include_str!("browser/boxes.js");
    let folder = tempfile::tempdir().expect("a folder");
    let html = fs::read_to_string(page).expect("a page");
    // The style for paper alone, so that its layout can be measured.
    let html = if on_paper {
        html.replace("@media print", "@media all").replace("@media screen", "@media (width < 0px)")
    } else {
        html
    };
    let looked = folder.path().join("page.html");
    fs::write(&looked, html.replace("</body>", &format!("<script>{LOOK}</script></body>"))).expect("written");
    let mut browser = chromium(folder.path());
    if dark {
        browser.arg("--blink-settings=preferredColorScheme=0");
    }
    let ran = browser
        .args(["--dump-dom", &format!("--window-size={width},1200")])
        .arg(format!("file://{}", looked.display()))
        .output()
        .expect("chromium runs");
    let text = String::from_utf8(ran.stdout).expect("UTF-8");
    let (_, found) = text.split_once("<pre id=\"found\">").unwrap_or_else(|| panic!("nothing was looked at: {text}"));
    let (found, _) = found.split_once("</pre>").expect("its end");
    found.lines().map(str::to_owned).collect()
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_shows_no_words_that_are_clipped_or_lie_on_each_other() {
    let mut all = Vec::new();
    for name in ["demo", "walnut", "two-rooms"] {
        let page = root().join("reports").join(name).join("report.html");
        for (look, on_paper, width, dark) in LOOKS {
            let found = unreadable(&page, on_paper, width, dark);
            all.extend(found.into_iter().map(|line| format!("{name}, {look}: {line}")));
        }
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}
