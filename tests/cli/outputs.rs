//! Whose the files of a report are, and that they are of one run: what the program wrote it replaces, what a person made or
//! changed it leaves alone.

use super::faults::{replace, small};
use crate::case::{Ran, dryledger};
use calamine::{Reader, Xlsx, open_workbook};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

fn report(folder: &Path, more: &[&str]) -> Ran {
    let line: Vec<&str> = ["report", "study.toml"].iter().chain(more).copied().collect();
    dryledger(&line).in_folder(folder).run()
}

fn written(folder: &Path, more: &[&str]) {
    let ran = report(folder, more);
    ran.ends_well();
}

/// Names and bytes of a folder's files.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path());
    let files = entries.filter(|path| path.is_file());
    files
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, fs::read(path).expect("bytes"))
        })
        .collect()
}

#[test]
fn a_second_run_replaces_its_own_drawings_and_takes_away_those_that_are_no_more() {
    let folder = small();
    let at = folder.path();
    written(at, &["--charts", "drawn"]);
    let first = files(&at.join("drawn"));
    assert!(first.contains_key("figure-bill-3.svg"));
    written(at, &["--charts", "drawn"]);
    assert!(files(&at.join("drawn")) == first, "the same study gives the same drawings");
    fs::write(at.join("drawn/figure of mine.svg"), "<svg/>").expect("written");
    let text = fs::read_to_string(at.join("study.toml")).expect("the study");
    let last = text.find("[[option]]\nname = \"condensers in intake\"").expect("an option");
    let money = text.find("[money]").expect("money");
    fs::write(at.join("study.toml"), format!("{}{}", &text[..last], &text[money..])).expect("written");
    written(at, &["--charts", "drawn"]);
    let second = files(&at.join("drawn"));
    assert!(!second.contains_key("figure-bill-3.svg"), "of an option that is no more");
    assert!(second.contains_key("figure-bill-2.svg") && second.contains_key("figure of mine.svg"));
    assert_ne!(second["figure-yearly.svg"], first["figure-yearly.svg"]);
}

/// Beside figures of ours, each file that a person made or changed is refused by its name, with the cure, before
/// anything is written; forced, it is written over.
#[test]
fn what_a_person_made_or_changed_is_not_written_over_beside_our_figures() {
    let folder = small();
    let at = folder.path();
    written(at, &["--hourly", "--charts", "."]);
    let own = files(at);
    let weather = "time,dry_bulb_c,relative_humidity_pct,pressure_pa\n2031-03-01T00:00,20,60,95000\n";
    let more = |name: &str, end: &str| [own[name].as_slice(), end.as_bytes()].concat();
    for (name, bytes) in [
        ("report.xlsx", more("report.xlsx", "a price of mine")),
        ("report.pdf", b"%PDF-1.4\nscanned\n%%EOF\n".to_vec()),
        ("hourly.csv", weather.as_bytes().to_vec()),
        ("hourly_rooms.csv", more("hourly_rooms.csv", "checked by me\n")),
        ("monthly.csv", more("monthly.csv", "sum,,,\n")),
        ("batches.csv", more("batches.csv", "weighed,,,\n")),
        ("report.html", more("report.html", "<!-- a word of mine -->")),
        ("figures.json", more("figures.json", " ")),
        ("figure-yearly.svg", b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>".to_vec()),
        ("figure-farm.svg", b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>".to_vec()),
        ("dryledger.sha256", b"0000  report.xlsx\n".to_vec()),
    ] {
        fs::write(at.join(name), &bytes).expect("written");
        let before = files(at);
        let ran = report(at, &["--hourly", "--charts", "."]);
        assert_eq!(ran.code, 3, "{name}: {}", ran.stderr);
        for word in [name, "dryledger did not write this file", "--force"] {
            assert!(ran.stderr.contains(word), "{name}: no '{word}' in {}", ran.stderr);
        }
        assert!(ran.stdout.is_empty() && files(at) == before, "{name}: something was written");
        written(at, &["--hourly", "--charts", ".", "--force"]);
        let after = files(at);
        // What this run does not have is nobody's to take away.
        let stays = ["report.pdf", "figure-farm.svg"].contains(&name);
        assert_eq!(after[name] == bytes, stays, "{name}");
        if stays {
            fs::remove_file(at.join(name)).expect("removed");
        }
    }
}

/// The list beside a report is what a stranger's tool for sums checks, and a moved report is still known.
#[test]
fn the_list_of_a_report_tells_every_file_of_it() {
    let folder = small();
    let at = folder.path();
    written(at, &["--hourly", "--out", "out"]);
    written(at, &["--hourly", "--out", "out"]);
    let of_out = files(&at.join("out"));
    let list = String::from_utf8(of_out["dryledger.sha256"].clone()).expect("text");
    let (remark, lines) = list.split_once('\n').expect("lines");
    assert!(remark.starts_with('#'));
    let listed: BTreeMap<&str, &str> =
        lines.lines().filter_map(|line| line.split_once("  ")).map(|(digest, name)| (name, digest)).collect();
    let names: BTreeSet<&str> = of_out.keys().map(String::as_str).filter(|name| *name != "dryledger.sha256").collect();
    assert_eq!(listed.keys().copied().collect::<BTreeSet<_>>(), names);
    assert!(names.contains("hourly.csv") && names.contains("report.xlsx"));
    for (name, digest) in listed {
        let found =
            Sha256::digest(&of_out[name]).iter().fold(String::new(), |text, byte| text + &format!("{byte:02x}"));
        assert_eq!(found, digest, "{name}");
    }
    fs::rename(at.join("out"), at.join("moved")).expect("moved");
    written(at, &["--out", "moved"]);
}

/// Runs of unlike studies draw into one folder at once, each with its report in a folder of its own.
#[cfg(unix)]
#[test]
fn drawings_of_two_runs_at_once_are_those_of_one() {
    use std::process::{Command, Stdio};
    let (one, other, shared) = (small(), small(), tempfile::tempdir().expect("a folder"));
    replace(other.path(), "study.toml", "price = 1.35", "price = 1.05");
    let of = |at: &Path| {
        written(at, &["--charts", "drawn"]);
        let mut drawn = files(&at.join("drawn"));
        drawn.remove("dryledger.sha256");
        drawn
    };
    let whole = [of(one.path()), of(other.path())];
    assert!(whole[0] != whole[1]);
    let begin = |at: &Path| {
        Command::new(env!("CARGO_BIN_EXE_dryledger"))
            .args(["report", "study.toml", "--samples", "0", "--no-screening", "--charts"])
            .arg(shared.path())
            .env("SOURCE_DATE_EPOCH", "1750000000")
            .current_dir(at)
            .stdout(Stdio::null())
            .spawn()
            .expect("the binary runs")
    };
    for _ in 0..4 {
        let mut runs = [begin(one.path()), begin(other.path())];
        for run in &mut runs {
            assert!(run.wait().expect("ended").success());
        }
        let mut found = files(shared.path());
        assert!(found.remove("dryledger.sha256").is_some());
        assert!(whole.contains(&found), "{:?}", found.keys());
    }
}

/// Names of three hundred letters, wherever a person gives one: the workbook's own names stay within what spreadsheets take.
#[test]
fn names_of_any_length_make_a_whole_report() {
    let folder = small();
    let at = folder.path();
    let long = |begin: &str| format!("{begin} {}", "long name ".repeat(30));
    for (file, old, begin) in [
        ("tariff.toml", "name = \"day\"", "day"),
        ("tariff.toml", "name = \"night\"", "day"),
        ("tariff.toml", "name = \"network\"", "network"),
        ("study.toml", "name = \"gas\"\n", "gas"),
        ("study.toml", "name = \"room\"", "room"),
        ("study.toml", "title = \"A week of nuts (invented)\"", "title"),
    ] {
        let (key, end) = old.split_once(" = ").expect("a key");
        let newline = if end.ends_with('\n') { "\n" } else { "" };
        replace(
            at,
            file,
            old,
            &format!("{key} = \"{}{}\"{newline}", long(begin), if old.contains("night") { "2" } else { "" }),
        );
    }
    for (old, new) in [("name = \"gas heater\"", "name"), ("sources = [\"gas heater\"]", "sources")] {
        let name = long("gas heater");
        let new = if new == "name" { format!("name = \"{name}\"") } else { format!("sources = [\"{name}\"]") };
        replace(at, "study.toml", old, &new);
    }
    written(at, &["--charts", "drawn"]);
    let book: Xlsx<_> = open_workbook(at.join("report.xlsx")).expect("a workbook");
    // Titles that are printed on every sheet bear one name of the spreadsheet's own.
    let names = book.defined_names().iter().map(|(name, _)| name.as_str());
    let names: Vec<&str> = names.filter(|name| !name.starts_with("_xlnm.")).collect();
    assert!(names.iter().any(|name| name.starts_with("price_electricity_day_long_name_")), "{names:?}");
    assert!(names.iter().all(|name| name.len() < 100), "{names:?}");
    let unlike: BTreeSet<&str> = names.iter().copied().collect();
    assert_eq!(unlike.len(), names.len(), "{names:?}");
}

/// Hours of an earlier run are not of the report that stands there now.
#[test]
fn what_a_run_does_not_write_is_not_left_beside_its_report() {
    let folder = small();
    let run = |more: &[&str]| {
        let all = [&["report", "study.toml", "--samples", "0", "--no-screening"][..], more].concat();
        dryledger(&all).unaltered().in_folder(folder.path()).run()
    };
    run(&["--hourly"]).ends_well();
    let at = |name: &str| folder.path().join(name);
    assert!(at("hourly.csv").is_file() && at("hourly_rooms.csv").is_file());
    let ran = run(&[]);
    ran.ends_well();
    assert!(ran.stderr.contains("hourly.csv of an earlier run is taken away"), "{}", ran.stderr);
    for name in ["hourly.csv", "hourly_rooms.csv", "hourly_columns.csv"] {
        assert!(!at(name).exists(), "{name}");
        let list = fs::read_to_string(at("dryledger.sha256")).expect("the list");
        assert!(!list.contains(name), "{list}");
    }
    // A person's own file of such a name stays, whatever is written beside it.
    fs::write(at("report.pdf"), "mine").expect("written");
    run(&["--force"]).ends_well();
    assert_eq!(fs::read_to_string(at("report.pdf")).expect("the file"), "mine");
}

/// Two studies of one file name in two folders do not write over each other in a third.
#[test]
fn another_study_of_the_same_name_is_told_apart() {
    let (one, other) = (small(), small());
    let title = "title = \"A week of nuts (invented)\"";
    replace(other.path(), "study.toml", title, "title = \"Another week (invented)\"");
    let out = tempfile::tempdir().expect("a folder");
    let place = out.path().to_str().expect("a path");
    let run = |folder: &Path, more: &[&str]| {
        let all = [&["report", "study.toml", "--samples", "0", "--no-screening", "--out", place][..], more].concat();
        dryledger(&all).unaltered().in_folder(folder).run()
    };
    run(one.path(), &[]).ends_well();
    let ran = run(other.path(), &[]);
    assert_eq!(ran.code, 3, "{}", ran.stderr);
    assert!(ran.stderr.contains("holds the report of “A week of nuts (invented)”"), "{}", ran.stderr);
    run(one.path(), &[]).ends_well();
    run(other.path(), &["--force"]).ends_well();
}
