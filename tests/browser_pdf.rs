//! `report --pdf` through a real browser. Needs `chromium` and poppler's tools, which `.ci/run` installs; run by
//! `cargo test -- --ignored browser`.

use crate::case::dryledger;
use crate::cli::small_study;
use std::process::Command;

fn told(program: &str, arguments: &[&str]) -> String {
    let ran = Command::new(program).args(arguments).output().expect(program);
    String::from_utf8_lossy(&ran.stdout).into_owned()
}

#[test]
#[ignore = "needs chromium, pdfinfo, pdftotext and pdftohtml"]
fn browser_writes_a_tagged_pdf_with_bookmarks_and_page_numbers() {
    let folder = small_study();
    let ran = dryledger(&["report", "study.toml", "--pdf", "--out", "out"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let pdf = folder.path().join("out/report.pdf");
    let pdf = pdf.to_str().expect("UTF-8");
    let facts = told("pdfinfo", &[pdf]);
    let fact = |name: &str| facts.lines().find_map(|line| line.strip_prefix(name)).map(str::trim).unwrap_or_default();
    assert_eq!(fact("Tagged:"), "yes", "{facts}");
    assert_eq!(fact("Title:"), "A week of nuts (invented)", "{facts}");
    let pages = fact("Pages:");
    assert!(pages.parse::<u32>().is_ok_and(|pages| pages > 3), "{facts}");
    let text = told("pdftotext", &[pdf, "-"]);
    assert!(text.contains(&format!("2 of {pages}")), "no page number");
    let outline = told("pdftohtml", &["-xml", "-i", "-stdout", pdf]);
    assert!(outline.contains("<outline>") && outline.matches("<item").count() > 5, "no bookmarks");
}
