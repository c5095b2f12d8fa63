//! The report as a browser prints it. These tests need `chromium` and `pdftotext`, which `.ci/run` installs; they are
//! run by `cargo test -- --ignored browser`.

use crate::case::{dryledger, root};
use crate::cli::small_study;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// Texts of the pages of a report, printed on a paper.
fn printed(page: &Path, paper: &str) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    let html = fs::read_to_string(page).expect("a page");
    let sized = html.replace("</head>", &format!("<style>@page {{ size: {paper} }}</style></head>"));
    fs::write(path("page.html"), sized).expect("written");
    let ran = Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .arg(format!("--user-data-dir={}", path("profile").display()))
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
