//! Whose a file is: what others wrote is not written over unless that is asked for, and what this program wrote is
//! not read as weather.

use super::faults::{replace, small};
use crate::case::{Ran, data, dryledger};
use std::fs;
use std::path::Path;

fn report(folder: &Path, arguments: &[&str]) -> Ran {
    let asked: Vec<&str> = ["report", "study.toml"].iter().chain(arguments).copied().collect();
    dryledger(&asked).in_folder(folder).run()
}

/// A file that may not be written: exit 3, nothing on stdout, and these words.
fn not_written(ran: &Ran, words: &[&str]) {
    assert_eq!(ran.code, 3, "{}", ran.stderr);
    assert!(ran.stdout.is_empty(), "{}", ran.stdout);
    for word in words {
        assert!(ran.stderr.contains(word), "no '{word}' in: {}", ran.stderr);
    }
}

fn refused_to_write_over(ran: &Ran, name: &str) {
    not_written(ran, &[name, "dryledger did not write this file", "--force"]);
}

#[test]
fn a_report_is_written_over_and_what_others_wrote_is_not_unless_it_is_forced() {
    let folder = small();
    let at = folder.path();
    report(at, &["--hourly"]).ends_well();
    assert_eq!(report(at, &["--hourly"]).code, 0, "its own files, all of them");
    for (name, text) in [
        ("monthly.csv", "month,budget\nMarch,1000\n"),
        ("report.html", "<!doctype html><title>Our farm</title>"),
        ("figures.json", "{\"farm\": 1}"),
    ] {
        let own = fs::read(at.join(name)).expect("the report's");
        fs::write(at.join(name), text).expect("written");
        refused_to_write_over(&report(at, &[]), name);
        assert_eq!(fs::read_to_string(at.join(name)).expect("theirs"), text);
        report(at, &["--force"]).ends_well();
        assert_ne!(fs::read_to_string(at.join(name)).expect("the report's"), text);
        fs::write(at.join(name), own).expect("written");
    }
    // An empty file is nobody's work.
    fs::write(at.join("monthly.csv"), "").expect("written");
    report(at, &[]).ends_well();
}

#[test]
fn a_page_and_a_clean_copy_are_written_over_and_what_others_wrote_is_not() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    fs::copy(data("weather/fresno_tmy3.epw"), at.join("site.epw")).expect("weather");
    let weather = |arguments: &[&str]| -> Ran {
        let asked: Vec<&str> = ["weather", "site.epw", "--write", "clean.csv", "--html", "look.html"].to_vec();
        arguments.iter().fold(dryledger(&asked), |case, one| case.and(one)).in_folder(at).run()
    };
    weather(&[]).ends_well();
    assert_eq!(weather(&[]).code, 0, "its own");
    for name in ["clean.csv", "look.html"] {
        fs::write(at.join(name), "of others").expect("written");
        refused_to_write_over(&weather(&[]), name);
        weather(&["--force"]).ends_well();
    }
    let log = |arguments: &[&str]| -> Ran {
        let path = data("log/thin_38.csv");
        let asked = ["log", path.to_str().expect("UTF-8"), "--html", "fit.html"];
        arguments.iter().fold(dryledger(&asked), |case, one| case.and(one)).in_folder(at).run()
    };
    log(&[]).ends_well();
    assert_eq!(log(&[]).code, 0, "its own");
    fs::write(at.join("fit.html"), "of others").expect("written");
    refused_to_write_over(&log(&[]), "fit.html");
    log(&["--force"]).ends_well();
}

/// Whoever forces may lose a file of another, never an input, a study or a folder.
#[test]
fn nothing_forces_a_run_over_its_own_inputs() {
    let folder = small();
    let at = folder.path();
    let weather = fs::read(at.join("weather.csv")).expect("weather");
    for target in ["weather.csv", "study.toml"] {
        let asked = ["weather", "weather.csv", "--write", target, "--force"];
        not_written(&dryledger(&asked).in_folder(at).run(), &["would be written over"]);
    }
    assert_eq!(fs::read(at.join("weather.csv")).expect("weather"), weather);
    fs::create_dir(at.join("report.html")).expect("a folder");
    not_written(&report(at, &["--force"]), &["a folder is in the way"]);
}

#[test]
fn a_report_is_not_read_as_weather_by_the_next_run() {
    let folder = small();
    let at = folder.path();
    fs::create_dir(at.join("tables")).expect("a folder");
    fs::rename(at.join("intake.csv"), at.join("tables/intake.csv")).expect("moved");
    let study = fs::read_to_string(at.join("study.toml")).expect("the study");
    if study.contains("intake.csv") {
        replace(at, "study.toml", "intake.csv", "tables/intake.csv");
    }
    replace(at, "study.toml", "files = [\"weather.csv\"]", "files = [\"*.csv\"]");
    report(at, &["--hourly"]).ends_well();
    let first = fs::read(at.join("figures.json")).expect("figures");
    let again = report(at, &["--hourly"]);
    again.ends_well();
    assert_eq!(fs::read(at.join("figures.json")).expect("figures"), first, "a second run gives the same");
    let notes = dryledger(&["check", "study.toml"]).in_folder(at).run();
    for name in ["monthly.csv", "batches.csv", "hourly.csv", "hourly_rooms.csv", "hourly_columns.csv"] {
        let said = notes.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(&format!("{name}:1:1: note: a table of a report")), "{name}: {said}");
    }
    // What is named without a pattern is read, and told for what it is.
    replace(at, "study.toml", "files = [\"*.csv\"]", "files = [\"monthly.csv\"]");
    let ran = dryledger(&["check", "study.toml"]).in_folder(at).run();
    assert!(ran.code != 0 && ran.stderr.contains("monthly.csv"), "{}", ran.stderr);
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_input() {
    for name in ["weather.csv", "study.toml"] {
        let folder = small();
        let at = folder.path();
        fs::remove_file(at.join(name)).expect("the file");
        let made = std::process::Command::new("mkfifo").arg(at.join(name)).status();
        assert!(made.is_ok_and(|status| status.success()), "mkfifo makes no pipe");
        not_written(
            &dryledger(&["check", "study.toml"]).unaltered().in_folder(at).run(),
            &[name, "a pipe or a device"],
        );
    }
}
