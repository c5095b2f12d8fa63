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
    // A folder whose name an address would take for parts of its own.
    let odd = folder.path().join("a b#c%41?");
    std::fs::create_dir(&odd).expect("a folder");
    let ran = dryledger(&["report", "study.toml", "--pdf", "--out", "out"])
        .with("TMPDIR", odd.to_str().expect("UTF-8"))
        .in_folder(folder.path())
        .run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
    assert_eq!(std::fs::read_dir(&odd).expect("a folder").count(), 0, "the browser's folder is cleared away");
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
