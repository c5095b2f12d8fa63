//! `report --watch`, and runs that a person ends.
#![cfg(unix)]

use super::faults::{replace, small};
use crate::case::dryledger;
use std::fs;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// Longest that a run of the small study is waited for: machines of tests are busy.
const PATIENCE: Duration = Duration::from_secs(60);

fn begin(folder: &Path, more: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_dryledger"))
        .args(["report", "study.toml", "--samples", "0", "--no-screening"])
        .args(more)
        .env("SOURCE_DATE_EPOCH", "1750000000")
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the binary runs")
}

/// Lines as they come.
fn lines(from: impl Read + Send + 'static) -> Receiver<String> {
    let (told, hears) = channel();
    std::thread::spawn(move || {
        for line in BufReader::new(from).lines().map_while(Result::ok) {
            if told.send(line).is_err() {
                return;
            }
        }
    });
    hears
}

fn interrupt(run: &Child) {
    let sent = Command::new("sh").args(["-c", &format!("kill -INT {}", run.id())]).status();
    assert!(sent.is_ok_and(|status| status.success()));
}

/// Names of a folder's files that no run should leave.
fn strays(folder: &Path) -> Vec<String> {
    let names = fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").file_name());
    let names = names.map(|name| name.to_string_lossy().into_owned());
    names.filter(|name| [".part", ".old", ".new"].iter().any(|ending| name.ends_with(ending))).collect()
}

#[test]
fn a_report_is_made_again_when_its_study_or_a_file_of_it_changes() {
    let folder = small();
    let at = folder.path();
    // Weather by a pattern that the report's own tables match too.
    replace(at, "study.toml", "files = [\"weather.csv\"]", "files = [\"w*.csv\", \"*.nothing\"]");
    let broken_first = fs::read_to_string(at.join("study.toml")).expect("the study");
    replace(at, "study.toml", "files = [\"w*.csv\", \"*.nothing\"]", "files = [\"w*.csv\"]");
    let good = fs::read_to_string(at.join("study.toml")).expect("the study");
    let mut run = begin(at, &["--watch"]);
    let said = lines(run.stdout.take().expect("stdout"));
    let faults = lines(run.stderr.take().expect("stderr"));
    let next = |what: &str| said.recv_timeout(PATIENCE).unwrap_or_else(|_| panic!("nothing said {what}"));
    let next_fault = |word: &str| {
        let begun = Instant::now();
        loop {
            let line = faults.recv_timeout(PATIENCE).unwrap_or_else(|_| panic!("no fault with {word}"));
            assert!(begun.elapsed() < PATIENCE, "{line}");
            if line.contains(word) {
                return line;
            }
        }
    };
    let first = next("at first");
    assert!(first.contains("report.html: ") && first.contains("is best: bill "), "{first}");
    // What the run itself has written is no change.
    assert!(said.recv_timeout(Duration::from_millis(2500)).is_err(), "nothing has changed");
    let bill = |line: &str| {
        let rest = line.split("bill ").nth(1).expect("a bill");
        rest.split(' ').next().expect("a number").to_owned()
    };
    replace(at, "tariff.toml", "fixed_per_month = 20.0", "fixed_per_month = 2000.0");
    let second = next("of a dearer tariff");
    assert_ne!(bill(&first), bill(&second), "{second}");
    // A fault is told, and the report stays; mended, it goes on.
    let report = fs::read(at.join("report.html")).expect("a page");
    fs::write(at.join("study.toml"), broken_first).expect("written");
    next_fault("no such weather file");
    fs::write(at.join("study.toml"), "[study").expect("written");
    next_fault("error: ");
    assert_eq!(fs::read(at.join("report.html")).expect("the page"), report);
    fs::write(at.join("study.toml"), good.replace("A week of nuts", "Another week of nuts")).expect("written");
    next("of the mended study");
    assert!(fs::read_to_string(at.join("report.html")).expect("a page").contains("Another week of nuts"));
    // So does a file of it that is gone for a while.
    fs::rename(at.join("weather.csv"), at.join("away")).expect("moved");
    next_fault("no such weather file");
    fs::rename(at.join("away"), at.join("weather.csv")).expect("moved back");
    next("with its weather again");
    interrupt(&run);
    let ended = run.wait().expect("ended");
    assert_eq!(ended.code(), Some(130));
    assert!(said.recv().is_err(), "a line a run");
    assert_eq!(strays(at), [""; 0]);
}

#[test]
fn what_cannot_be_mended_by_a_file_ends_at_once() {
    let folder = small();
    let watch = |more: &[&str]| {
        more.iter()
            .fold(dryledger(&["report", "study.toml", "--watch"]), |case, one| case.and(one))
            .in_folder(folder.path())
            .run()
    };
    watch(&["--json"]).refused(&["--watch", "--json"]);
    watch(&["--set", "no value"]).refused(&["--set"]);
}

/// Ctrl-C at moments of all kinds: the old report or the new one, and nothing beside it, with no run to clear away.
#[test]
fn a_run_that_is_ended_leaves_nothing_half_written() {
    let (folder, other) = (small(), small());
    let at = folder.path();
    replace(other.path(), "study.toml", "A week of nuts", "Another week of nuts");
    let of_report = |folder: &Path| -> Vec<Vec<u8>> {
        ["report.html", "report.xlsx", "figures.json", "monthly.csv", "batches.csv", "dryledger.sha256"]
            .iter()
            .map(|name| fs::read(folder.join(name)).unwrap_or_default())
            .collect()
    };
    let whole = |at: &Path| {
        let begun = Instant::now();
        let ran = begin(at, &[]).wait_with_output().expect("ended");
        assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
        begun.elapsed()
    };
    let takes = whole(at);
    whole(other.path());
    let (old, new) = (of_report(at), of_report(other.path()));
    assert!(old != new);
    replace(at, "study.toml", "A week of nuts", "Another week of nuts");
    let mut ended = 0;
    for moment in [0.02, 0.3, 0.6, 0.8, 0.85, 0.9, 0.93, 0.96, 0.98, 1.0, 1.02] {
        let mut run = begin(at, &[]);
        std::thread::sleep(takes.mul_f64(moment));
        interrupt(&run);
        let status = run.wait().expect("ended");
        ended += usize::from(status.code() == Some(130));
        let found = of_report(at);
        assert!(found == old || found == new, "a mixture after {moment}");
        assert_eq!(strays(at), [""; 0], "after {moment}");
    }
    assert!(ended > 3, "{ended} runs were ended");
}
