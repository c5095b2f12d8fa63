//! Files: names that others give, targets that must not be written over, reports that are whole or old.

use super::faults::{replace, small};
use crate::case::dryledger;
use std::fs;
use std::path::Path;

fn rename_option(folder: &Path, name: &str) {
    replace(folder, "study.toml", "name = \"gas\"\n", &format!("name = \"{name}\"\n"));
}

#[test]
fn no_name_becomes_a_formula_in_a_table() {
    let folder = small();
    rename_option(folder.path(), "=cmd|' /C calc'!A1");
    let ran = dryledger(&["report", "study.toml", "--hourly"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    for file in ["monthly.csv", "batches.csv", "hourly.csv"] {
        let text = fs::read_to_string(folder.path().join(file)).expect("a table");
        assert!(text.contains("'=cmd|"), "{file}");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        for record in reader.records() {
            for cell in &record.expect("a record") {
                let begins = cell.starts_with(['=', '+', '@', '\t', '\r']);
                let is_text = cell.starts_with('-') && cell.parse::<f64>().is_err() && cell != "-";
                assert!(!begins && !is_text, "{file}: {cell}");
            }
        }
    }
}

#[test]
fn no_name_reaches_the_terminal_raw() {
    let folder = small();
    rename_option(folder.path(), "\\u001b]0;owned\\u0007 \\u202egas");
    for command in [&["check", "study.toml"][..], &["report", "study.toml"], &["check", "study.toml", "--json"]] {
        let ran = dryledger(command).in_folder(folder.path()).run();
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        let said = ran.stdout + &ran.stderr;
        assert!(!said.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{command:?}");
        assert!(said.contains("\\u001b]0;owned\\u0007 \\u202egas"), "{command:?}: {said}");
    }
}

#[test]
fn a_folder_may_have_any_name() {
    let outer = tempfile::tempdir().expect("a folder");
    let folder = outer.path().join("fresh [1] *");
    fs::create_dir(&folder).expect("a folder");
    for file in fs::read_dir(small().path()).expect("the case") {
        let file = file.expect("an entry").path();
        fs::copy(&file, folder.join(file.file_name().expect("a name"))).expect("a copy");
    }
    let ran = dryledger(&["check", "fresh [1] */study.toml"]).in_folder(outer.path()).run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
}

#[test]
fn a_file_that_is_named_twice_is_read_once() {
    let folder = small();
    replace(folder.path(), "study.toml", "[\"weather.csv\"]", "[\"weather.csv\", \"weath*.csv\"]");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
}

#[test]
fn a_folder_in_the_way_is_found_before_anything_is_written() {
    let folder = small();
    let written = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!(written.code, 0, "{}", written.stderr);
    let page = fs::read(folder.path().join("report.html")).expect("a page");
    fs::remove_file(folder.path().join("monthly.csv")).expect("removed");
    fs::create_dir(folder.path().join("monthly.csv")).expect("a folder");
    replace(folder.path(), "study.toml", "A week of nuts", "Another week of nuts");
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3);
    assert!(ran.stderr.contains("monthly.csv: a folder is in the way"), "{}", ran.stderr);
    assert_eq!(fs::read(folder.path().join("report.html")).expect("the old page"), page);
}

#[test]
fn leftovers_of_runs_that_are_no_more_are_cleared() {
    let folder = small();
    // No process has this number: it is above what a system gives.
    let stray = folder.path().join("report.html.4194999.part");
    let others = folder.path().join("notes.4194999.part");
    fs::write(&stray, "half").expect("written");
    fs::write(&others, "mine").expect("written");
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    if Path::new("/proc/self").exists() {
        assert!(!stray.exists());
    }
    assert!(others.exists());
    let strays = fs::read_dir(folder.path()).expect("a folder").filter(|entry| {
        let name = entry.as_ref().expect("an entry").file_name();
        name.to_string_lossy().contains(".old")
    });
    assert_eq!(strays.count(), 0);
}

#[test]
fn a_command_does_not_write_over_what_it_reads() {
    let folder = small();
    let before = fs::read(folder.path().join("weather.csv")).expect("weather");
    let ran = dryledger(&["weather", "weather.csv", "--write", "weather.csv"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3, "{}", ran.stdout);
    assert!(ran.stderr.contains("would be written over"), "{}", ran.stderr);
    assert_eq!(fs::read(folder.path().join("weather.csv")).expect("weather"), before);
}

#[cfg(unix)]
#[test]
fn devices_are_neither_read_nor_replaced() {
    let folder = small();
    let ran = dryledger(&["weather", "weather.csv", "--write", "/dev/null"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3);
    assert!(ran.stderr.contains("a pipe or a device"), "{}", ran.stderr);
    replace(folder.path(), "study.toml", "[\"weather.csv\"]", "[\"/dev/zero\"]");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3);
    assert!(ran.stderr.contains("a pipe or a device"), "{}", ran.stderr);
    let ran = dryledger(&["weather", "/dev/zero"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3);
}

#[test]
fn more_threads_than_a_system_has_are_no_panic() {
    let folder = small();
    let ran = dryledger(&["report", "study.toml", "--json"])
        .with("RAYON_NUM_THREADS", "500000")
        .in_folder(folder.path())
        .run();
    assert_eq!(ran.code, 0, "{}", ran.stderr);
}

#[test]
fn air_beyond_any_fan_is_refused() {
    let folder = small();
    let ran = dryledger(&["heat", "weather.csv", "--to", "40", "--airflow", "1e308"]).in_folder(folder.path()).run();
    ran.refused(&["--airflow", "0 to 1000000"]);
}

/// All files of a folder and what they hold.
#[cfg(unix)]
fn contents(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let files = fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry"));
    let mut all: Vec<(String, Vec<u8>)> = files
        .map(|file| {
            let name = file.file_name().to_string_lossy().into_owned();
            (name, fs::read(file.path()).expect("a file"))
        })
        .collect();
    all.sort();
    all
}

/// A disk that is full once some of the files are written: here a limit on what one file may hold, which the
/// first file keeps and the largest breaks.
#[cfg(unix)]
#[test]
fn a_disk_that_fills_up_leaves_the_old_report_whole() {
    let folder = small();
    let written = dryledger(&["report", "study.toml", "--hourly"]).in_folder(folder.path()).run();
    assert_eq!(written.code, 0, "{}", written.stderr);
    let size = |name: &str| fs::metadata(folder.path().join(name)).expect("a file").len();
    let (first, largest) = (size("report.html"), size("hourly.csv"));
    // Some shells count in blocks of 512 bytes, some in 1024.
    let (least, most) = (first / 512 + 20, largest / 1024 - 20);
    assert!(least < most, "{first} {largest}");
    replace(folder.path(), "study.toml", "A week of nuts", "Another week of nuts");
    let before = contents(folder.path());
    let limited = format!(
        "trap '' XFSZ; ulimit -f {}; exec {} report study.toml --hourly",
        u64::midpoint(least, most),
        env!("CARGO_BIN_EXE_dryledger")
    );
    let ran =
        std::process::Command::new("sh").args(["-c", &limited]).current_dir(folder.path()).output().expect("a shell");
    let said = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(ran.status.code(), Some(3), "{said}");
    assert!(said.contains("hourly.csv"), "{said}");
    assert!(ran.stdout.is_empty());
    assert!(contents(folder.path()) == before, "files have changed");
}
