//! Plausible slips, each with the finding that must be raised, and good inputs that are only odd, which must
//! raise none. The tables stand in `tests/cases`; each entry is one change of the small study.

use super::faults::{replace, small};
use crate::case::{dryledger, root};
use serde_json::Value;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// A change of the small study, and what `check` must say of it.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    /// What a person did.
    what: String,
    /// Texts of the study, each with what stands in its place.
    #[serde(default)]
    replace: Vec<(String, String)>,
    /// Text at the end of the study.
    #[serde(default)]
    append: String,
    /// The same of its tariff.
    #[serde(default)]
    tariff: Vec<(String, String)>,
    /// The intake file, in place of the tonnage.
    intake: Option<String>,
    /// A year of weather made for it, in place of the study's.
    weather: Option<Made>,
    /// The code of the finding; none for what is only odd.
    code: Option<String>,
    /// Findings that only follow from it, and are not told beside it.
    #[serde(default)]
    follows: Vec<String>,
    /// The finding stops the study.
    #[serde(default)]
    refused: bool,
    /// Findings that are notes and may come.
    #[serde(default)]
    notes: Vec<String>,
}

/// A year that the test makes: a sine of the day on a sine of the year.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Made {
    #[serde(default)]
    head: String,
    #[serde(default = "mild_c")]
    mean_c: f64,
    #[serde(default = "half_swing_k")]
    half_swing_k: f64,
    /// Half the difference of summer and winter, K; below zero south of the equator.
    #[serde(default = "southern_k")]
    summer_k: f64,
    #[serde(default = "moist_pa")]
    vapour_pa: f64,
    #[serde(default = "upland_pa")]
    pressure_pa: f64,
    #[serde(default = "noon_h")]
    noon_h: f64,
    /// What is then done to the rows.
    #[serde(default)]
    done: Vec<Done>,
}

/// What can go wrong with rows: from this hour of the year, for so many.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Done {
    from: usize,
    hours: usize,
    dry_bulb_c: Option<f64>,
    relative_humidity_pct: Option<f64>,
    /// They repeat the hours from here.
    copy_of: Option<usize>,
    /// They repeat the same so many hours again and again.
    #[serde(default)]
    period: usize,
    #[serde(default)]
    as_fahrenheit: bool,
    #[serde(default)]
    as_grams_per_m3: bool,
}

fn mild_c() -> f64 {
    18.0
}
fn half_swing_k() -> f64 {
    5.0
}
fn southern_k() -> f64 {
    -4.0
}
fn moist_pa() -> f64 {
    1_300.0
}
fn upland_pa() -> f64 {
    95_000.0
}
fn noon_h() -> f64 {
    12.3
}

/// Saturation over water, Pa (Magnus form, Alduchov & Eskridge 1996, from memory, not verified): good enough to
/// make weather with.
fn saturation_pa(t: f64) -> f64 {
    610.94 * (17.625 * t / (t + 243.04)).exp()
}

impl Made {
    fn csv(&self) -> String {
        let mut rows: Vec<(f64, f64, f64)> = (0..8_760)
            .map(|hour| {
                let hour = f64::from(hour);
                let day = (hour % 24.0 + 0.5 - self.noon_h) / 24.0 * std::f64::consts::TAU;
                let year = (hour / 8_760.0 - 0.54) * std::f64::consts::TAU;
                // No two days are the same.
                let t = self.mean_c
                    + self.summer_k * year.cos()
                    + self.half_swing_k * (day - 0.5).cos()
                    + 1.5 * (hour / 97.0).sin();
                let humidity =
                    (100.0 * self.vapour_pa * (1.0 + 0.1 * (hour / 61.0).sin()) / saturation_pa(t)).clamp(3.0, 99.0);
                (t, humidity, (800.0 * day.cos()).max(0.0))
            })
            .collect();
        for done in &self.done {
            for at in 0..done.hours {
                let row = done.from + at;
                if let Some(copied) = done.copy_of {
                    let offset = if done.period > 0 { at % done.period } else { at };
                    rows[row] = rows[copied + offset];
                }
                let (t, humidity, _) = &mut rows[row];
                if done.as_grams_per_m3 {
                    *humidity = 2.166_8 * *humidity / 100.0 * saturation_pa(*t) / (*t + 273.15);
                }
                if done.as_fahrenheit {
                    *t = *t * 1.8 + 32.0;
                }
                *t = done.dry_bulb_c.unwrap_or(*t);
                *humidity = done.relative_humidity_pct.unwrap_or(*humidity);
            }
        }
        let mut text = self.head.clone();
        text.push_str("time,dry_bulb_c,relative_humidity_pct,pressure_pa,global_horizontal_w_per_m2\n");
        let first = chrono::NaiveDate::from_ymd_opt(2023, 1, 1).expect("a day");
        for (hour, (t, humidity, sun)) in rows.iter().enumerate() {
            let starts = first.and_hms_opt(0, 0, 0).expect("midnight")
                + chrono::TimeDelta::hours(i64::try_from(hour).expect("an hour"));
            let _ = writeln!(
                text,
                "{},{t:.1},{humidity:.1},{:.0},{sun:.0}",
                starts.format("%Y-%m-%dT%H:%M"),
                self.pressure_pa
            );
        }
        text
    }
}

#[derive(serde::Deserialize)]
struct Table {
    entry: Vec<Entry>,
}

fn table(name: &str) -> Vec<Entry> {
    let text = fs::read_to_string(root().join("tests/cases").join(name)).expect("the table");
    toml::from_str::<Table>(&text).unwrap_or_else(|error| panic!("{name}: {error}")).entry
}

fn prepare(folder: &Path, entry: &Entry) {
    let path = folder.join("study.toml");
    let mut text = fs::read_to_string(&path).expect("the study");
    if let Some(intake) = &entry.intake {
        let shaped = "season_tonnes = 12.0\nintake_shape = \"even\"";
        assert!(text.contains(shaped));
        text = text.replace(shaped, "intake = \"intake.csv\"");
        fs::write(folder.join("intake.csv"), intake).expect("written");
    }
    for (old, new) in &entry.replace {
        assert_eq!(text.matches(old.as_str()).count(), 1, "{}: `{old}`", entry.what);
        text = text.replace(old.as_str(), new);
    }
    text.push_str(&entry.append);
    // What is found does not hang on draws, which take most of the time of reading.
    if entry.code.is_some() && !text.contains("[uncertainty") {
        text.push_str("\n[uncertainty]\nsamples = 0\n");
    }
    for (old, new) in &entry.tariff {
        replace(folder, "tariff.toml", old, new);
    }
    fs::write(path, text).expect("written");
    if let Some(made) = &entry.weather {
        fs::write(folder.join("weather.csv"), made.csv()).expect("written");
    }
}

fn codes(answer: &Value, list: &str) -> Vec<String> {
    let found = answer[list].as_array().into_iter().flatten();
    found
        .map(|one| format!("{} ({})", one["code"].as_str().unwrap_or(""), one["what"].as_str().unwrap_or("")))
        .collect()
}

/// What `check` says that it should not, or does not say that it should.
fn missed(entry: &Entry) -> Option<String> {
    let folder = small();
    prepare(folder.path(), entry);
    let ran = dryledger(&["check", "study.toml", "--json"]).in_folder(folder.path()).run();
    if entry.refused {
        let code = entry.code.as_deref().unwrap_or("no code");
        let told = ran.stderr.contains(&format!("[{code}]")) || ran.stderr.contains(code);
        return (ran.code != 2 || !told).then(|| format!("exit {}: {}", ran.code, ran.stderr));
    }
    if ran.code != 0 {
        return Some(format!("refused: {}", ran.stderr));
    }
    let answer = ran.json();
    let (warnings, notes) = (codes(&answer, "warnings"), codes(&answer, "notes"));
    let is_of = |told: &String, code: &str| told.split(' ').next() == Some(code);
    if let Some(code) = &entry.code {
        let found = warnings.iter().chain(&notes).any(|told| is_of(told, code));
        if !found {
            return Some(format!("no {code} in {warnings:?} {notes:?}"));
        }
        let told = warnings.iter().find(|told| entry.follows.iter().any(|code| is_of(told, code)));
        return told.map(|told| format!("{told} is told beside {code}, from which it only follows"));
    }
    // What a file's reader remarks, such as its length, is no doubt.
    let unexpected: Vec<&String> = notes
        .iter()
        .filter(|told| told.starts_with("site."))
        .filter(|told| !entry.notes.iter().any(|code| is_of(told, code)))
        .chain(&warnings)
        .collect();
    (!unexpected.is_empty()).then(|| format!("{unexpected:?}"))
}

fn all_right(name: &str, least: usize) {
    let entries = table(name);
    assert!(entries.len() >= least, "{} entries", entries.len());
    let failures: Vec<String> =
        entries.iter().filter_map(|entry| missed(entry).map(|told| format!("{}: {told}", entry.what))).collect();
    assert!(failures.is_empty(), "{} of {}:\n{}", failures.len(), entries.len(), failures.join("\n"));
}

#[test]
fn every_slip_of_the_table_is_found() {
    for entry in table("slips.toml") {
        assert!(entry.code.is_some(), "{}", entry.what);
    }
    all_right("slips.toml", 206);
}

#[test]
fn what_is_odd_but_true_raises_nothing() {
    for entry in table("odd_truths.toml") {
        assert!(entry.code.is_none() && !entry.refused, "{}", entry.what);
    }
    all_right("odd_truths.toml", 171);
}

#[test]
fn weather_of_elsewhere_is_taken_for_a_reason_and_the_report_gives_it() {
    let folder = small();
    let entry = Entry {
        what: "another hemisphere, on purpose".to_owned(),
        replace: vec![
            ("latitude = -16.9".to_owned(), "latitude = 38.0".to_owned()),
            (
                "files = [\"weather.csv\"]".to_owned(),
                "files = [\"weather.csv\"]\nelsewhere = \"a twin site, seasons turned\"".to_owned(),
            ),
        ],
        append: String::new(),
        tariff: Vec::new(),
        intake: None,
        weather: None,
        code: None,
        follows: Vec::new(),
        refused: false,
        notes: Vec::new(),
    };
    prepare(folder.path(), &entry);
    let ran = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run();
    assert!(ran.stderr.contains("note: ") && ran.stderr.contains("[site.hemisphere]"), "{}", ran.stderr);
    let figures = ran.json();
    assert_eq!(figures["weather"]["elsewhere"], "a twin site, seasons turned");
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(page.contains("a twin site, seasons turned"));
}

/// Even where nothing else is doubtful: the answer, the terminal, `check` and the figures say whose weather it is. It
/// was meant, so that it is a note and nothing for `--strict`.
#[test]
fn weather_of_elsewhere_is_told_in_the_answer() {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("the study");
    let files = "files = [\"weather.csv\"]";
    let text = text.replace(files, &format!("{files}\nelsewhere = \"the valley beside it\""));
    fs::write(&path, text).expect("written");
    let ran = dryledger(&["report", "study.toml", "--strict"]).in_folder(folder.path()).run();
    // Guards of the study may fire; the note counts for nothing.
    assert!(!ran.stderr.contains("doubts about the weather"), "{}", ran.stderr);
    let said = "the weather is of another place than the site, and is used on purpose; the valley beside it";
    assert!(ran.stdout.contains(said), "{}", ran.stdout);
    let figures: Value =
        serde_json::from_str(&fs::read_to_string(folder.path().join("figures.json")).expect("read")).expect("JSON");
    let warnings = figures["warnings"].as_array().expect("warnings");
    let [note] = &warnings[..] else { panic!("{warnings:?}") };
    assert_eq!((&note["about"], &note["is_note"]), (&"weather".into(), &true.into()));
    assert_eq!(note["sentence"], said);
    assert_eq!(note["line"], 17);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    let (_, answer) = page.split_once("id=\"answer\"").expect("the answer");
    let (answer, _) = answer.split_once("</section>").expect("its end");
    assert!(answer.contains(said), "{answer}");
    let check = dryledger(&["check", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    assert!(codes(&check, "notes").iter().any(|told| told.starts_with("weather.elsewhere ")));
}

#[test]
fn every_command_that_has_both_refuses_weather_of_afar() {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("the study");
    fs::write(&path, text.replace("latitude = -16.9", "latitude = 16.9")).expect("written");
    for command in [&["check", "study.toml"][..], &["report", "study.toml"], &["size", "study.toml"]] {
        let ran = dryledger(command).in_folder(folder.path()).run();
        ran.refused(&["study.toml:10:12: ", "[site.hemisphere]", "south is negative", "elsewhere"]);
    }
}

#[test]
fn a_site_that_is_left_out_is_the_weathers() {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("the study");
    let (from, until) = (text.find("[site]").expect("a site"), text.find("[weather]").expect("weather"));
    fs::write(&path, format!("{}{}", &text[..from], &text[until..])).expect("written");
    let figures = dryledger(&["report", "study.toml", "--json"]).in_folder(folder.path()).run().json();
    assert_eq!(figures["study"]["latitude"], -16.9);
    assert_eq!(figures["study"]["altitude_m"], 540.0);
    let whole = small();
    let given = dryledger(&["report", "study.toml", "--json"]).in_folder(whole.path()).run().json();
    assert_eq!(figures["options"], given["options"]);
}

#[test]
fn doubts_about_the_weather_reach_the_terminal() {
    let folder = small();
    let path = folder.path().join("weather.csv");
    let text = fs::read_to_string(&path).expect("weather");
    let stuck: String = text
        .lines()
        .enumerate()
        .map(|(at, line)| {
            let mut cells: Vec<&str> = line.split(',').collect();
            if (60..120).contains(&at) {
                cells[2] = "55.0";
            }
            cells.join(",") + "\n"
        })
        .collect();
    fs::write(&path, stuck).expect("written");
    for command in ["report", "size"] {
        let ran = dryledger(&[command, "study.toml"]).in_folder(folder.path()).run();
        assert!(ran.stderr.contains("weather.csv:61:1: warning: "), "{command}: {}", ran.stderr);
        assert!(ran.stderr.contains("[humidity.stuck]"), "{command}: {}", ran.stderr);
    }
    let ran = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    assert!(ran.stdout.contains("warning: the relative humidity stands still"), "{}", ran.stdout);
}

#[test]
fn the_invented_part_of_the_weather_is_a_figure() {
    let folder = small();
    let path = folder.path().join("weather.csv");
    let text = fs::read_to_string(&path).expect("weather");
    let head = "time,dry_bulb_c,relative_humidity_pct,pressure_pa,global_horizontal_w_per_m2,wind_m_per_s";
    let rows: Vec<&str> = text.lines().filter(|line| line.starts_with("2031")).collect();
    let place = "# latitude: -16.9\n# longitude: 145.6\n# altitude_m: 540\n# utc_offset: +10:00\n";
    fs::write(folder.path().join("a.csv"), format!("{place}{head}\n{}\n", rows[..400].join("\n"))).expect("written");
    let rest = rows[400..].join("\n");
    fs::write(folder.path().join("b.csv"), format!("# invented\n{place}{head}\n{rest}\n")).expect("written");
    let study = folder.path().join("study.toml");
    let text = fs::read_to_string(&study).expect("the study");
    fs::write(&study, text.replace("[\"weather.csv\"]", "[\"a.csv\", \"b.csv\"]")).expect("written");
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    let told = format!("({} of {} hours invented)", rows.len() - 400, rows.len());
    assert!(ran.stdout.contains(&told), "{}{}", ran.stdout, ran.stderr);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(page.contains("hours are invented"), "no share on the page");
    assert!(!page.contains("The weather is invented."));
}
