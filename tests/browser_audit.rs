//! Pages as somebody meets them who hears them read, enlarges them, or may load nothing: an audit by the rules of web
//! accessibility, no request, no word on the console. Needs `chromium`, and for the audit `axe-core`, which `.ci/run`
//! puts into the target folder; run by `cargo test -- --ignored browser`.

use crate::browser::{chromium, found};
use crate::case::{data, dryledger, root};
use crate::cli::small_study;
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// The library that audits, where `.ci/run` puts it.
const LIBRARY: &str = concat!(env!("CARGO_TARGET_TMPDIR"), "/audit/node_modules/axe-core/axe.min.js");

/// Pages of every other kind than reports, written anew, by what they are called.
fn other_pages() -> (TempDir, Vec<(&'static str, PathBuf)>) {
    let folder = small_study();
    let at = |name: &str| folder.path().join(name);
    let upland = root().join("weather/upland_2031.csv").display().to_string();
    let with_gaps = data("weather/newark_asos.csv").display().to_string();
    let logs = ["bin.csv", "thin_38.csv"].map(|name| data("log").join(name).display().to_string());
    let set = "carrier.electricity.price_factor=1.5";
    let runs: [(&str, &[&str]); 4] = [
        ("weather", &["weather", &upland]),
        ("weather with gaps", &["weather", &with_gaps]),
        ("log", &["log", &logs[0], &logs[1]]),
        ("compare", &["compare", "study.toml", "--set", set]),
    ];
    let mut pages = Vec::new();
    for (name, arguments) in runs {
        let page = at(&format!("{name}.html"));
        let to = page.to_str().expect("UTF-8");
        let ran = dryledger(&[arguments, &["--html", to]].concat()).in_folder(folder.path()).run();
        assert_eq!(ran.code, 0, "{name}: {}", ran.stderr);
        pages.push((name, page));
    }
    (folder, pages)
}

/// How a page is looked at: width of the window, px, and whether in the dark.
const LOOKS: [(&str, u32, bool); 4] =
    [("phone", 360, false), ("dark phone", 360, true), ("wide", 1280, false), ("dark", 1280, true)];

/// What the audit finds in a page, looked at in these ways; a line each.
fn faults(name: &str, page: &Path, looks: &[(&str, u32, bool)]) -> Vec<String> {
    const AUDIT: &str = include_str!("browser/audit.js");
    let library = fs::read_to_string(LIBRARY).expect("the library that .ci/run installs");
    let html = fs::read_to_string(page).expect("a page");
    let html = html.replace("</body>", &format!("<script>{library}</script><script>{AUDIT}</script></body>"));
    let mut all = Vec::new();
    for (look, width, dark) in looks {
        let window = format!("--window-size={width},1200");
        // The audit asks for time; the browser's own clock does not make it wait.
        let mut told = vec![window.as_str(), "--virtual-time-budget=600000"];
        told.extend(dark.then_some("--blink-settings=preferredColorScheme=0"));
        all.extend(found(&html, &told).into_iter().map(|line| format!("{name}, {look}: {line}")));
    }
    all
}

fn report(name: &str) -> PathBuf {
    root().join("reports").join(name).join("report.html")
}

#[test]
#[ignore = "needs chromium and axe-core"]
fn browser_audit_finds_no_fault_in_the_demo() {
    let found = faults("demo", &report("demo"), &LOOKS);
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
#[ignore = "needs chromium and axe-core"]
fn browser_audit_finds_no_fault_in_the_other_bundled_reports() {
    let found: Vec<String> =
        ["walnut", "two-rooms"].iter().flat_map(|name| faults(name, &report(name), &LOOKS)).collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
#[ignore = "needs chromium and axe-core"]
fn browser_audit_finds_no_fault_in_pages_of_weather_logs_and_comparisons() {
    let (_folder, pages) = other_pages();
    let found: Vec<String> = pages.iter().flat_map(|(name, page)| faults(name, page, &LOOKS)).collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// The audit sees what it should: a page with a fault of each kind is not let through.
#[test]
#[ignore = "needs chromium and axe-core"]
fn browser_audit_finds_what_is_wrong() {
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("page.html");
    let html = fs::read_to_string(report("two-rooms")).expect("a page");
    let worse = html.replace("<html lang=\"en\">", "<html>").replace("--quiet: #56606b", "--quiet: #bbbbbb");
    fs::write(&page, worse.replace("tabindex=\"0\"", "tabindex=\"1\"")).expect("written");
    let found = faults("worse", &page, &LOOKS[..1]);
    for rule in ["html-has-lang", "color-contrast", "tabindex"] {
        assert!(found.iter().any(|line| line.contains(rule)), "no {rule} in {}", found.join("\n"));
    }
}

/// What a page says on the console, and what it asks to be loaded: that is forbidden to it and told there.
fn said(page: &Path) -> Vec<String> {
    const NOTHING: &str = "<head><meta http-equiv=\"Content-Security-Policy\" \
        content=\"default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'\">";
    let folder = tempfile::tempdir().expect("a folder");
    let alone = folder.path().join("page.html");
    let html = fs::read_to_string(page).expect("a page");
    assert!(html.contains("<head>"), "no head to forbid it in");
    fs::write(&alone, html.replacen("<head>", NOTHING, 1)).expect("written");
    let ran = chromium(folder.path())
        .args(["--enable-logging=stderr", "--v=0", "--dump-dom"])
        .arg(format!("file://{}", alone.display()))
        .output()
        .expect("chromium runs");
    assert!(ran.stdout.ends_with(b"</html>\n"), "the page was not shown");
    let told = String::from_utf8_lossy(&ran.stderr);
    told.lines().filter(|line| line.contains("CONSOLE")).map(str::to_owned).collect()
}

#[test]
#[ignore = "needs chromium"]
fn browser_is_asked_for_nothing_and_told_nothing_on_its_console() {
    let (_folder, mut pages) = other_pages();
    pages.extend(["demo", "walnut", "two-rooms"].map(|name| (name, report(name))));
    let all: Vec<String> = pages
        .iter()
        .flat_map(|(name, page)| said(page).into_iter().map(move |line| format!("{name}: {line}")))
        .collect();
    assert!(all.is_empty(), "{}", all.join("\n"));

    // What would be a request or a word is seen.
    let page = pages[0].1.with_file_name("loud.html");
    for loud in ["<img alt=\"\" src=\"beside.png\">", "<script>console.log('a word')</script>"] {
        fs::write(&page, format!("<!DOCTYPE html><html lang=\"en\"><head></head><body>{loud}</body></html>\n"))
            .expect("written");
        assert_eq!(said(&page).len(), 1, "{loud}");
    }
}
