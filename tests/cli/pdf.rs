//! `report --pdf` with browsers that are none: what is asked of one, and what happens where it does not print.
#![cfg(unix)]

use super::faults::small;
use crate::case::{Ran, dryledger};
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use tempfile::TempDir;

/// Finds what it is asked for: where to print, `$pdf`, and what, `$page`, the file of the last argument.
const ASKED: &str = "#!/usr/bin/env bash\nfor a in \"$@\"; do case $a in --print-to-pdf=*) pdf=${a#*=};; esac; url=$a; done\n\
    page=$(printf '%b' \"$(printf '%s' \"${url#file://}\" | sed 's/%/\\\\x/g')\")\n";

/// A program that does this when it is called as a browser.
fn browser(does: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("browser");
    fs::write(&path, format!("{ASKED}{does}\n")).expect("written");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o755)).expect("to be run");
    folder
}

fn report(at: &Path, browser: &TempDir, temporary: &Path) -> Ran {
    let program = browser.path().join("browser");
    dryledger(&["report", "study.toml", "--pdf"])
        .with("DRYLEDGER_BROWSER", program.to_str().expect("UTF-8"))
        .with("TMPDIR", temporary.to_str().expect("UTF-8"))
        .in_folder(at)
        .run()
}

const PRINTS: &str = "grep -qi '<!doctype html>' \"$page\" || exit 7\nprintf '%s\\n' \"$url\" > told\n\
    stat -c %a \"$(dirname \"$page\")\" >> told\nprintf '%%PDF-1.4\\nprinted\\n%%%%EOF\\n' > \"$pdf\"";

#[test]
fn the_page_is_printed_from_a_folder_of_any_name_that_nobody_else_may_read() {
    let (folder, browser) = (small(), browser(PRINTS));
    let odd = folder.path().join("a b#c%41?\u{e9}");
    fs::create_dir(&odd).expect("a folder");
    for _ in 0..2 {
        let ran = report(folder.path(), &browser, &odd);
        ran.ends_well();
    }
    assert_eq!(fs::read(folder.path().join("report.pdf")).expect("a PDF"), b"%PDF-1.4\nprinted\n%%EOF\n");
    let told = fs::read_to_string(folder.path().join("told")).expect("told");
    let (url, mode) = told.trim().split_once('\n').expect("two lines");
    assert!(url.starts_with("file:///") && url.contains("/a%20b%23c%2541%3F%C3%A9/"), "{url}");
    assert_eq!(mode, "700");
    assert_eq!(fs::read_dir(&odd).expect("a folder").count(), 0, "nothing is left there");
}

/// A browser that fails, says nothing, or prints half: all else is written, of this run alone, and the exit code tells.
#[test]
fn a_report_that_cannot_be_printed_is_written_all_the_same() {
    for (does, said) in [
        ("exit 1", "exit status: 1"),
        ("printf '%%PDF-1.4\\nprinted\\n%%%%EOF\\n' > \"$pdf\"; exit 1", "exit status: 1"),
        ("kill -9 $$", "signal: 9"),
        ("exit 0", "did not print the report, though it said so"),
        ("printf '%%PDF-1.4\\nhalf' > \"$pdf\"", "no whole PDF"),
        ("echo nonsense > \"$pdf\"", "no whole PDF"),
    ] {
        let (folder, temporary) = (small(), tempfile::tempdir().expect("a folder"));
        let at = folder.path();
        let ran = report(at, &browser(PRINTS), temporary.path());
        ran.ends_well();
        super::faults::replace(at, "study.toml", "A week of nuts", "Another week of nuts");
        let ran = report(at, &browser(does), temporary.path());
        assert_eq!(ran.code, 3, "{does}: {}", ran.stderr);
        for word in [said, "browser: ", "DRYLEDGER_BROWSER"] {
            assert!(ran.stderr.contains(word), "{does}: no '{word}' in {}", ran.stderr);
        }
        assert!(ran.stdout.contains("report: report.html"), "the answer is told: {}", ran.stdout);
        for name in ["report.html", "figures.json"] {
            let text = fs::read_to_string(at.join(name)).expect("written");
            assert!(text.contains("Another week of nuts"), "{does}: {name}");
        }
        assert!(at.join("report.xlsx").is_file() && at.join("monthly.csv").is_file());
        assert!(!at.join("report.pdf").exists(), "{does}: the one of the run before stands beside this report");
        assert_eq!(fs::read_dir(temporary.path()).expect("a folder").count(), 0, "{does}");
        // The list knows what stands there, so that the next run goes on.
        let ran = report(at, &browser(PRINTS), temporary.path());
        assert_eq!(ran.code, 0, "{does}: {}", ran.stderr);
    }
}

/// A program that is not there is told before a study is so much as opened.
#[test]
fn a_browser_is_looked_for_first() {
    let folder = small();
    let at = folder.path();
    fs::write(at.join("no program"), "").expect("written");
    let beside = at.join("beside");
    for named in ["no-such-browser", "./no-such-browser", "./no program", ".", beside.to_str().expect("UTF-8")] {
        let ran =
            dryledger(&["report", "no-such-study.toml", "--pdf"]).with("DRYLEDGER_BROWSER", named).in_folder(at).run();
        assert_eq!(ran.code, 3, "{named}: {}", ran.stderr);
        assert!(ran.stderr.contains("there is no such program"), "{named}: {}", ran.stderr);
        assert!(!ran.stderr.contains("no-such-study"), "{named}: {}", ran.stderr);
    }
}
