//! Bad input, one break of a small good study at a time: each is refused with its place, what was found,
//! what was expected and what to do, without echoes, without a word on stdout and without a file left
//! behind.

use crate::case::{Ran, dryledger, root};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// A copy of the small study in a folder of its own.
pub(super) fn small() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for file in fs::read_dir(root().join("tests/cases/small")).expect("the case") {
        let file = file.expect("an entry").path();
        let name = file.file_name().expect("a name");
        fs::copy(&file, folder.path().join(name)).expect("a copy");
    }
    folder
}

/// The small study with a plant that keeps every guard: heat and air for two cold loads at once, and air that
/// stays below the crop's limit behind the fans.
pub(super) fn with_every_guard_kept() -> TempDir {
    let folder = small();
    for (from, to) in [
        ("fresh_air_max_m3_per_s = 1.2", "fresh_air_max_m3_per_s = 3.0"),
        ("kind = \"resistance\"\ncapacity_kw = 30.0", "kind = \"resistance\"\ncapacity_kw = 60.0"),
        ("carrier = \"lpg\"\ncapacity_kw = 30.0", "carrier = \"lpg\"\ncapacity_kw = 60.0"),
        ("temperature_c = 40.0", "temperature_c = 39.0"),
    ] {
        replace(folder.path(), "study.toml", from, to);
    }
    folder
}

/// Puts `new` in the place of the only `old` in a file.
pub(super) fn replace(folder: &Path, file: &str, old: &str, new: &str) {
    let path = folder.join(file);
    let text = fs::read_to_string(&path).expect("text");
    assert_eq!(text.matches(old).count(), 1, "`{old}` in {file}");
    fs::write(path, text.replace(old, new)).expect("written");
}

/// Lines on stderr that say something, each its own: excerpts are indented, warnings are no refusal.
fn said(ran: &Ran) -> Vec<&str> {
    ran.stderr.lines().filter(|line| !line.starts_with(' ') && !line.contains(": warning: ")).collect()
}

/// Runs `check` and `report` on the study in a folder: both must refuse it with the exit code and the words,
/// in so many sentences, and leave nothing behind.
fn refusal(folder: &Path, code: i32, sentences: usize, words: &[&str]) -> Result<Vec<Value>, String> {
    let before = listing(folder);
    for command in [&["check", "study.toml"][..], &["report", "study.toml", "--out", "out"]] {
        let ran = dryledger(command).in_folder(folder).run();
        let faults = [
            (ran.code != code, format!("exit code {}", ran.code)),
            (!ran.stdout.is_empty(), "something on stdout".to_owned()),
            (said(&ran).len() != sentences, format!("not {sentences} sentences")),
            (listing(folder) != before, "a file left behind".to_owned()),
        ];
        let unsaid =
            words.iter().filter(|word| !ran.stderr.contains(**word)).map(|word| (true, format!("no '{word}'")));
        let told: Vec<String> =
            faults.into_iter().chain(unsaid).filter_map(|(is_fault, told)| is_fault.then_some(told)).collect();
        if !told.is_empty() {
            return Err(format!("{command:?}: {}\n{}", told.join(", "), ran.stderr));
        }
    }
    refusal_as_json(folder, code, sentences)
}

/// The same for a program: as many problems as sentences, and nothing else. What was told.
fn refusal_as_json(folder: &Path, code: i32, sentences: usize) -> Result<Vec<Value>, String> {
    let ran = dryledger(&["check", "study.toml", "--json"]).in_folder(folder).run();
    let told: Value = serde_json::from_str(&ran.stderr).map_err(|error| format!("{error}: {}", ran.stderr))?;
    let problems = told["problems"].as_array().cloned().unwrap_or_default();
    let errors: Vec<Value> = problems.into_iter().filter(|problem| problem["severity"] == "error").collect();
    if ran.code != code || errors.len() != sentences || !ran.stdout.is_empty() {
        return Err(format!("--json: exit code {}, {} problems\n{told:#}", ran.code, errors.len()));
    }
    Ok(errors)
}

fn refused(folder: &Path, code: i32, sentences: usize, words: &[&str]) {
    if let Err(failure) = refusal(folder, code, sentences, words) {
        panic!("{failure}");
    }
}

fn listing(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// A file of good input with some of it replaced, and what must be said of it.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Break {
    #[serde(default = "study")]
    file: String,
    old: String,
    new: String,
    #[serde(default = "wrong_input")]
    code: i32,
    #[serde(default = "one")]
    sentences: usize,
    says: Vec<String>,
    /// Line and column of the first problem.
    at: Option<[u64; 2]>,
    /// Its code.
    coded: Option<String>,
}

impl Break {
    /// That the place and the code of the first of these problems are those of the table.
    fn holds(&self, problems: &[Value]) -> Result<(), String> {
        let first = problems.first().ok_or("no problem at all")?;
        let place = [&first["line"], &first["column"]];
        if self.at.is_some_and(|at| place != [&Value::from(at[0]), &Value::from(at[1])]) {
            return Err(format!("at {place:?}, not at {:?}", self.at));
        }
        if self.coded.as_ref().is_some_and(|coded| first["code"] != coded.as_str()) {
            return Err(format!("coded {}, not {:?}", first["code"], self.coded));
        }
        Ok(())
    }
}

fn study() -> String {
    "study.toml".to_owned()
}

fn wrong_input() -> i32 {
    2
}

fn one() -> usize {
    1
}

#[derive(serde::Deserialize)]
struct Table {
    r#break: Vec<Break>,
}

#[test]
fn every_break_of_the_table_is_refused_in_its_own_words() {
    let table = fs::read_to_string(root().join("tests/cases/faults.toml")).expect("the table");
    let table: Table = toml::from_str(&table).expect("a table of breaks");
    assert!(table.r#break.len() >= 100);
    let mut failures = Vec::new();
    let coded: BTreeSet<&str> = table.r#break.iter().filter_map(|broken| broken.coded.as_deref()).collect();
    assert_eq!(Vec::from_iter(coded), ["key.missing", "key.unknown", "name.unknown", "value.bounds", "value.kind"]);
    for broken in &table.r#break {
        let folder = small();
        if broken.file == "intake.csv" {
            use_intake_file(folder.path());
        }
        replace(folder.path(), &broken.file, &broken.old, &broken.new);
        let says: Vec<&str> = broken.says.iter().map(String::as_str).collect();
        let told = refusal(folder.path(), broken.code, broken.sentences, &says);
        if let Err(failure) = told.and_then(|problems| broken.holds(&problems)) {
            failures.push(format!("{} -> {}\n{failure}", broken.old, broken.new));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
}

fn use_intake_file(folder: &Path) {
    let shaped = "season_tonnes = 12.0\nintake_shape = \"even\"";
    replace(folder, "study.toml", shaped, "intake = \"intake.csv\"");
}

#[test]
fn the_small_study_itself_is_good() {
    let folder = small();
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
}

#[test]
fn something_else_where_a_table_should_be_is_told_once() {
    for (table, told) in [
        ("study = 3", "study is 3, expected a table"),
        ("site = 3", "site is 3, expected a table"),
        ("weather = \"weather.csv\"", "weather is the text \"weather.csv\", expected a table"),
        ("season = 3", "season is 3, expected a table"),
        ("crop = \"macadamia\"", "crop is the text \"macadamia\", expected a table"),
        ("room = true", "is true, expected a table"),
        ("room = []", "room is an empty list, expected a [[room]] with bins"),
        ("cool_store = 3", "cool_store is 3, expected a table"),
        ("carrier = 3", "carrier is 3, expected a table"),
        ("money = 3", "money is 3, expected a table"),
    ] {
        let folder = small();
        let path = folder.path().join("study.toml");
        let text = fs::read_to_string(&path).expect("text");
        let name = table.split(' ').next().expect("a name");
        // The tables of the study but this one.
        let others: Vec<&str> = text
            .split("\n[")
            .filter(|part| {
                let head = part.trim_start_matches('[');
                !head.starts_with(&format!("{name}]")) && !head.starts_with(&format!("{name}."))
            })
            .collect();
        fs::write(path, format!("{table}\n{}", others.join("\n["))).expect("written");
        refused(folder.path(), 2, 1, &["study.toml:1:", told]);
    }
}

#[test]
fn stages_out_of_order_are_refused() {
    let folder = small();
    let study = folder.path();
    let change = |old, new| replace(study, "study.toml", old, new);
    change("air = \"recirculating\"", "air = \"once-through\"");
    change("condensers = \"room\"", "condensers = \"fresh-air\"");
    change("temperature_c = 40.0", "stages = [{ temperature_c = 40 }, { above_moisture = 15, temperature_c = 35 }]");
    refused(
        study,
        2,
        1,
        &["stages are not in order, expected the wettest first; order them by falling above_moisture"],
    );
}

/// Replaces everything from one heading up to the next one that is named.
fn cut(folder: &Path, from: &str, to: &str) {
    let path = folder.join("study.toml");
    let text = fs::read_to_string(&path).expect("text");
    let (start, end) = (text.find(from).expect(from), text.find(to).expect(to));
    fs::write(path, format!("{}{}", &text[..start], &text[end..])).expect("written");
}

#[test]
fn parts_that_are_not_there_are_named() {
    for (from, to, sentences, words) in [
        ("[[option]]", "[money]", 1, &["option is missing, expected at least one [[option]]"][..]),
        ("[crop]", "[[room]]", 1, &["[crop] is missing; add [crop] with kind = \"macadamia\""]),
        ("[[room]]", "[cool_store]", 1, &["room is missing, expected a [[room]] with bins"]),
        ("[weather]", "[season]", 1, &["weather.files is missing", "name hourly weather files relative to the study"]),
        ("[season]", "[crop]", 2, &["season.starts is missing", "season.ends is missing"]),
        ("[carrier.electricity]", "[carrier.lpg]", 1, &["[carrier.electricity] is missing; add"]),
        // Two options have condensers of a store.
        ("[cool_store]", "[carrier.electricity]", 2, &["condensers stand in the room, expected a [cool_store]"]),
        ("[study]", "[site]", 3, &["study.title is missing", "study.baseline is missing", "study.currency is missing"]),
        // Four options name a source.
        (
            "[[source]]",
            "[[option]]",
            4,
            &["names \"heaters\", which is no source, expected a [[source]], of which there are none"],
        ),
    ] {
        let folder = small();
        cut(folder.path(), from, to);
        refused(folder.path(), 2, sentences, words);
    }
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_no_fault() {
    let folder = small();
    for file in ["study.toml", "tariff.toml", "weather.csv", "intake.csv"] {
        let path = folder.path().join(file);
        let text = fs::read_to_string(&path).expect("text");
        fs::write(&path, format!("\u{feff}{}", text.replace('\n', "\r\n"))).expect("written");
    }
    replace(folder.path(), "study.toml", "season_tonnes = 12.0\r\nintake_shape = \"even\"", "intake = \"intake.csv\"");
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert_eq!((ran.code, ran.stderr.as_str()), (0, ""));
}

#[test]
fn files_that_are_no_text_are_refused() {
    let folder = small();
    let study = folder.path();
    for (file, words) in [
        ("tariff.toml", &["tariff names tariff.toml, which cannot be read: it is not UTF-8 text"][..]),
        ("study.toml", &["study.toml: not UTF-8 text", "save the study as UTF-8"]),
    ] {
        fs::write(study.join(file), b"title = \"\xff\xfe\"\n").expect("written");
        refused(study, 2, 1, words);
    }
    fs::write(study.join("study.toml"), "").expect("written");
    let ran = dryledger(&["check", "study.toml"]).in_folder(study).run();
    ran.refused(&["study.toml:1:1: the file is empty", "dryledger new"]);
    assert_eq!(said(&ran).len(), 1, "{}", ran.stderr);
}

#[test]
fn a_tariff_that_is_not_there_is_a_file_problem() {
    let folder = small();
    replace(folder.path(), "study.toml", "\"tariff.toml\"", "\"tarif.toml\"");
    refused(
        folder.path(),
        3,
        1,
        &["study.toml:49:10: tariff names tarif.toml, which cannot be read", "mend the path, or give price"],
    );
    // A bad currency hides nothing in the tariff and adds nothing to it.
    let folder = small();
    replace(folder.path(), "study.toml", "currency = \"USD\"", "currency = \"ZZZ\"");
    refused(folder.path(), 2, 1, &["currency is the text \"ZZZ\""]);
}

#[test]
fn an_intake_file_that_is_empty_or_not_there_says_so() {
    let folder = small();
    use_intake_file(folder.path());
    fs::write(folder.path().join("intake.csv"), "").expect("written");
    refused(folder.path(), 2, 1, &["intake.csv:1:1: the file is empty"]);
    fs::remove_file(folder.path().join("intake.csv")).expect("removed");
    refused(
        folder.path(),
        3,
        1,
        &["study.toml:26:10: intake names intake.csv, which cannot be read", "or give season_tonnes"],
    );
}

#[test]
fn weather_that_cannot_carry_a_season_is_refused() {
    let good = fs::read_to_string(root().join("tests/cases/small/weather.csv")).expect("weather");
    let head: String = good.lines().take(9).flat_map(|line| [line, "\n"]).collect();
    let without = |from: &str, until: &str| -> String {
        let kept = good.lines().filter(|line| !(from..until).contains(line));
        kept.flat_map(|line| [line, "\n"]).collect()
    };
    for (weather, words) in [
        (String::new(), &["weather.csv: ", "empty"][..]),
        (head, &["weather.csv", "no data rows"]),
        (
            without("2031-03-05T03", "2031-03-06T01"),
            &["gaps longer than may be filled: 22 h from 2031-03-05 03:00", "fill_long_gaps"],
        ),
        (without("2031-03-07", "2031-03-99"), &["no complete season", "03-02 to 03-08", "2031-03-01", "2031-03-06"]),
        ("<html><body>Not found</body></html>\n".to_owned(), &["weather.csv"]),
        (good.replace(",relative_humidity_pct,", ",something,"), &["weather.csv", "humidity"]),
    ] {
        let folder = small();
        fs::write(folder.path().join("weather.csv"), weather).expect("written");
        refused(folder.path(), 2, 1, words);
    }
}

#[test]
fn weather_that_is_not_there_is_a_file_problem() {
    for (files, words) in [
        ("\"wether.csv\"", &["study.toml:16:9: ", "wether.csv", "no such weather file", "relative to the study"][..]),
        ("\"weather/*.csv\"", &["weather/*.csv", "no such weather file"]),
    ] {
        let folder = small();
        replace(folder.path(), "study.toml", "files = [\"weather.csv\"]", &format!("files = [{files}]"));
        refused(folder.path(), 3, 1, words);
    }
    let folder = small();
    replace(folder.path(), "study.toml", "files = [\"weather.csv\"]", "files = [\".\"]");
    refused(folder.path(), 3, 1, &["directory"]);
}

#[test]
fn a_target_that_the_air_never_reaches_names_air_that_would_do() {
    let folder = small();
    replace(folder.path(), "study.toml", "dried_moisture = 12.0", "dried_moisture = 3.0");
    refused(
        folder.path(),
        2,
        1,
        &[
            "study.toml:25:18: drying to 3.0 % w.b. never ends",
            "at that temperature would do, or the same air at 45.0 °C",
            "would do",
        ],
    );
}

#[test]
fn a_study_that_cannot_be_opened_is_a_file_problem() {
    let folder = small();
    for study in ["no_such.toml", "."] {
        let ran = dryledger(&["report", study]).in_folder(folder.path()).run();
        assert_eq!(ran.code, 3, "{}", ran.stderr);
        assert!(ran.stdout.is_empty());
        assert_eq!(said(&ran).len(), 1, "{}", ran.stderr);
    }
    let ran = dryledger(&["check", "."]).in_folder(folder.path()).run();
    assert!(ran.stderr.contains("a folder, not a study; name the file in it: ./study.toml"), "{}", ran.stderr);
}

#[test]
fn a_folder_that_cannot_be_written_is_found_before_the_long_run() {
    let folder = small();
    // A file stands where the folder should: true for every user, even one who may write anywhere.
    let blocked = "tariff.toml/out";
    let ran = dryledger(&["report", "study.toml", "--out", blocked]).in_folder(folder.path()).run();
    assert_eq!(ran.code, 3, "{}", ran.stderr);
    assert!(ran.stdout.is_empty() && ran.stderr.contains("tariff.toml/out"), "{}", ran.stderr);
}

#[test]
fn several_faults_are_told_at_once_in_the_order_of_the_file() {
    let folder = small();
    for (old, new) in [
        ("currency = \"USD\"", "currency = \"dollars\""),
        ("kind = \"macadamia\"", "kind = \"maccadamia nut\""),
        ("count = 2, tonnes", "count = 0, tonnes"),
        ("cop = 3.2", "cop = 32"),
        ("carrier = \"lpg\"", "carrier = \"gas\""),
    ] {
        replace(folder.path(), "study.toml", old, new);
    }
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    ran.refused(&[]);
    let starts: Vec<&str> =
        said(&ran).iter().map(|line| line.trim_start_matches("error: ").split(": ").next().expect("a place")).collect();
    let lines: Vec<u32> = starts
        .iter()
        .map(|place| place.split(':').nth(1).and_then(|line| line.parse().ok()).expect("a line"))
        .collect();
    assert_eq!(lines, [7, 23, 32, 46, 65], "{}", ran.stderr);
}
