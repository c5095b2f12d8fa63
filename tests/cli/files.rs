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
    ran.ends_well();
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
        ran.ends_well();
        let said = ran.stdout + &ran.stderr;
        assert!(!said.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{command:?}");
        assert!(said.contains("\\u001b]0;owned\\u0007 \\u202egas"), "{command:?}: {said}");
    }
}

/// Names reach the page and the tables as they would reach a terminal.
#[test]
fn no_name_turns_or_hides_what_stands_beside_it() {
    let folder = small();
    rename_option(folder.path(), "\\u001b]0;owned\\u0007 \\u202egas<b>");
    let ran = dryledger(&["report", "study.toml", "--hourly"]).in_folder(folder.path()).run();
    ran.ends_well();
    for file in ["report.html", "monthly.csv", "batches.csv", "hourly.csv"] {
        let text = fs::read_to_string(folder.path().join(file)).expect("written");
        assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{file}");
        assert!(text.contains("\\u202egas") && (file.ends_with("csv") || !text.contains("gas<b>")), "{file}");
    }
}

/// What is too much to be meant is refused at once, and told in a few lines.
#[test]
fn studies_without_bounds_are_refused_at_once() {
    let options: String = (0..2_000)
        .map(|at| format!("\n[[option]]\nname = \"o{at}\"\nsources = [\"heaters\"]\n"))
        .collect::<Vec<_>>()
        .concat();
    let keys: String = (0..50_000).map(|at| format!("k{at} = 1\n")).collect::<Vec<_>>().concat();
    for (more, said) in [
        (
            options,
            "option has 2004 entries, expected at most 1000: every entry is read again at each draw of what is in doubt",
        ),
        (keys, "49980 more keys are not known"),
        (format!("\n[more]\nx = \"{}\"\n", "x".repeat(3_000_000)), "a study of 3 MB, expected at most 2 MB"),
    ] {
        let folder = small();
        let path = folder.path().join("study.toml");
        let text = fs::read_to_string(&path).expect("the study");
        fs::write(&path, text + &more).expect("written");
        let begun = std::time::Instant::now();
        let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
        assert!(ran.code == 2 && ran.stderr.contains(said), "{}: {}", ran.code, ran.stderr);
        assert!(begun.elapsed().as_secs() < 60 && ran.stderr.len() < 20_000, "{said}");
    }
    let folder = small();
    replace(folder.path(), "study.toml", "name = \"gas\"\n", &format!("name = \"{}\"\n", "g".repeat(1001)));
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.refused(&["name is a text of more than 1000 letters"]);
}

/// The bound of a list stands where its keys are told, with its reason, and editors know it.
#[test]
fn how_long_a_list_may_be_is_told_with_its_keys() {
    let told = dryledger(&["keys", "option"]).run().stdout;
    let said = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.starts_with("[[option]] at most 1000: every entry is read again at each draw"), "{told}");
    let schema = dryledger(&["keys", "--schema"]).run().json();
    let forms = schema["properties"]["option"]["anyOf"].as_array().expect("one or several").clone();
    assert!(forms.iter().any(|form| form["maxItems"] == 1000), "{forms:?}");
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

/// Options, scenarios and growth read the study anew, and leave its site to its weather: its files are what they were.
#[test]
fn a_file_is_listed_once_however_often_the_study_is_read() {
    let folder = small();
    let parts = "[[option]]\nname = \"warmer\"\nincludes = [\"electric\"]\nset = { \"room.room.temperature_c\" = 42.0 }\n\n\
                 [[scenario]]\nname = \"dear\"\nset = { \"carrier.lpg.price\" = 2.0 }\n\n\
                 [[phase]]\nname = \"more\"\nintake_factor = 1.1\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n\n[money]";
    replace(folder.path(), "study.toml", "[money]", parts);
    replace(folder.path(), "study.toml", "latitude = -16.9\nlongitude = 145.6\naltitude_m = 540\n", "");
    let shaped = "season_tonnes = 12.0\nintake_shape = \"even\"";
    replace(folder.path(), "study.toml", shaped, "intake = \"intake.csv\"");
    for set in [&[][..], &["--set", "carrier.lpg.price=1.5"]] {
        let ran = dryledger(&[&["report", "study.toml", "--json"], set].concat()).in_folder(folder.path()).run();
        let figures = ran.json();
        let listed = figures["inputs"].as_array().expect("the files that were read");
        let names: Vec<&str> = listed.iter().filter_map(|file| file["file"].as_str()).collect();
        assert_eq!(names, ["study.toml", "tariff.toml", "intake.csv", "weather.csv"]);
    }
}

#[test]
fn a_folder_in_the_way_is_found_before_anything_is_written() {
    let folder = small();
    let written = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    written.ends_well();
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
    ran.ends_well();
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

#[test]
fn invented_weather_is_not_written_over_its_normals() {
    let folder = small();
    let normals = crate::case::root().join("weather/upland_normals.csv");
    fs::copy(&normals, folder.path().join("normals.csv")).expect("a copy");
    let ran =
        dryledger(&["weather", "--normals", "normals.csv", "--write", "normals.csv"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3, "{}", ran.stdout);
    assert!(ran.stderr.contains("would be written over"), "{}", ran.stderr);
    assert_eq!(fs::read(folder.path().join("normals.csv")).expect("it"), fs::read(normals).expect("normals"));
}

#[test]
fn a_study_is_not_written_over() {
    let folder = small();
    let before = fs::read(folder.path().join("tariff.toml")).expect("the tariff");
    for option in ["--write", "--html"] {
        let ran = dryledger(&["weather", "weather.csv", option, "tariff.toml"]).in_folder(folder.path()).run();
        assert_eq!(ran.code, 3, "{}", ran.stdout);
        assert!(ran.stderr.contains("a study or a tariff would be written over"), "{}", ran.stderr);
    }
    assert_eq!(fs::read(folder.path().join("tariff.toml")).expect("the tariff"), before);
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
    ran.ends_well();
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
    written.ends_well();
    let size = |name: &str| fs::metadata(folder.path().join(name)).expect("a file").len();
    let (first, largest) = (size("report.html").max(size("figures.json")), size("hourly.csv"));
    // Some shells count in blocks of 512 bytes, some in 1024.
    let (least, most) = (first / 512 + 20, largest / 1024 - 20);
    assert!(least < most, "{first} {largest}");
    replace(folder.path(), "study.toml", "A week of nuts", "Another week of nuts");
    let before = contents(folder.path());
    let limited = format!(
        "trap '' XFSZ; ulimit -f {}; exec {} report study.toml --hourly --samples 0",
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

/// Kill -9 at moments of all kinds: the report is the old one or the new one, and the next run leaves no strays.
#[cfg(unix)]
#[test]
fn a_run_that_is_killed_leaves_the_old_report_or_the_new_one() {
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};
    let folder = small();
    let begun = Instant::now();
    let written = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    let takes = begun.elapsed();
    written.ends_well();
    let of_report = |folder: &Path| -> Vec<(String, Vec<u8>)> {
        let is_written = |name: &str| ["report.html", "figures.json", "monthly.csv", "batches.csv"].contains(&name);
        contents(folder).into_iter().filter(|(name, _)| is_written(name)).collect()
    };
    let old = of_report(folder.path());
    replace(folder.path(), "study.toml", "A week of nuts", "Another week of nuts");
    let other = small();
    replace(other.path(), "study.toml", "A week of nuts", "Another week of nuts");
    let written = dryledger(&["report", "study.toml"]).in_folder(other.path()).run();
    written.ends_well();
    let new = of_report(other.path());
    assert!(old != new && old.len() == new.len());
    // Most moments lie about the end, where files are written.
    for moment in [0.1, 0.5, 0.8, 0.9, 0.94, 0.97, 1.0, 1.03] {
        let mut run = Command::new(env!("CARGO_BIN_EXE_dryledger"))
            .args(["report", "study.toml"])
            .env("SOURCE_DATE_EPOCH", "1750000000")
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the binary runs");
        std::thread::sleep(Duration::from_secs_f64(takes.as_secs_f64() * moment));
        run.kill().expect("killed");
        run.wait().expect("ended");
        let found = of_report(folder.path());
        let is_of = |whole: &[(String, Vec<u8>)]| found.iter().all(|file| whole.contains(file));
        assert!(is_of(&old) || is_of(&new), "a mixture after {moment}");
    }
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    assert!(of_report(folder.path()) == new);
    let names: Vec<String> = contents(folder.path()).into_iter().map(|(name, _)| name).collect();
    assert!(
        names.iter().all(|name| ![".part", ".old", ".new"].iter().any(|ending| name.ends_with(ending))),
        "{names:?}"
    );
}

/// Two runs of unlike studies into one folder at once: what stands there in the end is of one of them.
#[cfg(unix)]
#[test]
fn two_runs_at_once_leave_the_report_of_one() {
    use std::process::{Command, Stdio};
    let (folder, out) = (small(), tempfile::tempdir().expect("a folder"));
    let text = fs::read_to_string(folder.path().join("study.toml")).expect("the study");
    let (one, other) = (folder.path().join("one"), folder.path().join("other"));
    for (at, title) in [(&one, "One week"), (&other, "Other week")] {
        fs::create_dir(at).expect("a folder");
        for file in ["weather.csv", "tariff.toml"] {
            fs::copy(folder.path().join(file), at.join(file)).expect("a copy");
        }
        fs::write(at.join("study.toml"), text.replace("A week", title)).expect("written");
    }
    let begin = |at: &Path| {
        Command::new(env!("CARGO_BIN_EXE_dryledger"))
            // Each may find the report of the other there already.
            .args(["report", "study.toml", "--force", "--out"])
            .arg(out.path())
            .current_dir(at)
            .stdout(Stdio::null())
            .spawn()
            .expect("the binary runs")
    };
    for _ in 0..3 {
        let mut runs = [begin(&one), begin(&other)];
        for run in &mut runs {
            assert!(run.wait().expect("ended").success());
        }
        let page = fs::read_to_string(out.path().join("report.html")).expect("a page");
        let figures = fs::read_to_string(out.path().join("figures.json")).expect("figures");
        let is_one = page.contains("One week");
        assert!(is_one != page.contains("Other week"));
        assert_eq!(figures.contains("One week"), is_one);
        assert_eq!(fs::read_dir(out.path()).expect("a folder").count(), 6);
    }
}

#[test]
fn the_report_of_another_study_of_the_folder_is_not_written_over() {
    let folder = small();
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    let before = fs::read(folder.path().join("figures.json")).expect("figures");
    fs::copy(folder.path().join("study.toml"), folder.path().join("second.toml")).expect("a copy");
    let ran = dryledger(&["report", "second.toml"]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3);
    assert!(ran.stderr.contains("holds the report of study.toml"), "{}", ran.stderr);
    assert_eq!(fs::read(folder.path().join("figures.json")).expect("figures"), before);
    let ran = dryledger(&["report", "second.toml", "--out", "apart"]).in_folder(folder.path()).run();
    ran.ends_well();
    // Renamed, a study keeps its folder.
    fs::remove_file(folder.path().join("study.toml")).expect("removed");
    let ran = dryledger(&["report", "second.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
}

/// Where nothing may be written it is said before the season is run, and nothing has changed.
#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_to_is_found_first() {
    use std::os::unix::fs::PermissionsExt;
    let (folder, out) = (small(), tempfile::tempdir().expect("a folder"));
    let locked = out.path().join("locked");
    fs::create_dir(&locked).expect("a folder");
    fs::write(locked.join("report.html"), "old").expect("written");
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).expect("locked");
    // Whoever runs this may be allowed everything.
    let is_allowed = fs::write(locked.join("try"), "").is_ok();
    let ran = dryledger(&["report", "study.toml", "--force", "--out"])
        .and(locked.to_str().expect("UTF-8"))
        .in_folder(folder.path())
        .run();
    if is_allowed {
        ran.ends_well();
    } else {
        assert_eq!(ran.code, 3);
        assert!(ran.stderr.contains("ermission denied"), "{}", ran.stderr);
        assert_eq!(fs::read(locked.join("report.html")).expect("the old page"), b"old");
    }
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o755)).expect("unlocked");
}

/// Weather that bears the name of an output is an input all the same.
#[test]
fn weather_is_not_written_over() {
    let folder = small();
    fs::rename(folder.path().join("weather.csv"), folder.path().join("monthly.csv")).expect("renamed");
    replace(folder.path(), "study.toml", "files = [\"weather.csv\"]", "files = [\"monthly.csv\"]");
    let before = contents(folder.path());
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    assert_ne!(ran.code, 0, "{}", ran.stdout);
    assert!(ran.stderr.contains("monthly.csv"), "{}", ran.stderr);
    assert!(contents(folder.path()) == before, "files have changed");
}
