//! The rooms stay apart: a `use` that runs back against the flow of data fails here.

#[path = "house/arrows.rs"]
mod arrows;

use arrows::Arrows;
use std::fs;
use std::path::{Path, PathBuf};

/// Each room with the rooms it may know. Physics knows no files, no clap, no HTML.
const MAY_KNOW: &[(&str, &[&str])] = &[
    ("air", &["lanes", "solve"]),
    ("problem", &[]),
    ("lanes", &[]),
    ("solve", &["lanes"]),
    ("interpolate", &[]),
    ("chance", &[]),
    ("uncertainty", &["chance"]),
    ("airflow", &["air", "interpolate", "solve"]),
    ("crop", &["air", "lanes", "problem"]),
    ("dryer", &["air", "airflow", "crop", "lanes", "solve"]),
    ("cool_store", &["air", "crop", "interpolate", "solve"]),
    ("heat", &["air", "interpolate"]),
    ("unit", &[]),
    ("printable", &[]),
    ("palette", &[]),
    ("table", &["unit"]),
    ("weather", &["air", "chance", "printable", "problem", "table", "unit"]),
    ("calendar", &[]),
    ("money", &["calendar", "ledger"]),
    ("ledger", &["heat", "weather"]),
    ("season", &["air", "airflow", "calendar", "crop", "dryer", "cool_store", "heat", "weather", "ledger"]),
    (
        "study",
        &[
            "printable",
            "problem",
            "air",
            "airflow",
            "calendar",
            "crop",
            "dryer",
            "cool_store",
            "heat",
            "weather",
            "season",
            "money",
            "table",
            "uncertainty",
            "unit",
            "number",
        ],
    ),
    (
        "doubt",
        &[
            "air",
            "calendar",
            "cool_store",
            "crop",
            "dryer",
            "heat",
            "money",
            "number",
            "problem",
            "season",
            "study",
            "unit",
            "weather",
        ],
    ),
    ("trial", &["cool_store", "dryer", "heat", "number", "printable", "study"]),
    ("number", &["money", "unit"]),
    (
        "answer",
        &[
            "problem",
            "calendar",
            "ledger",
            "money",
            "season",
            "study",
            "trial",
            "weather",
            "crop",
            "air",
            "dryer",
            "heat",
            "cool_store",
            "uncertainty",
            "number",
        ],
    ),
    ("page", &["air", "answer", "number", "palette", "printable", "weather"]),
    (
        "export",
        &["crop", "heat", "ledger", "money", "season", "study", "weather", "answer", "number", "palette", "printable"],
    ),
];

/// Libraries that no physics room may touch.
const NOT_IN_PHYSICS: &[&str] = &["std::fs", "std::io", "clap", "toml", "tera", "plotters", "indicatif"];
/// The one file of a physics room that reads TOML: the crop library, a constant embedded at build.
const READS_EMBEDDED_TOML: &str = "crop/library.rs";
const PHYSICS: &[&str] =
    &["air", "airflow", "crop", "dryer", "cool_store", "heat", "season", "money", "ledger", "uncertainty"];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

fn room_of(path: &Path) -> String {
    let relative = path.strip_prefix(root()).expect("below src");
    relative.components().next().expect("a first part").as_os_str().to_string_lossy().replace(".rs", "")
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Every room named by a `crate::room` path in this source, comments aside.
fn rooms_used(source: &str) -> Vec<String> {
    let mut used = Vec::new();
    for line in source.lines().filter(|line| !line.trim_start().starts_with("//")) {
        let mut rest = line;
        while let Some(at) = rest.find("crate::") {
            rest = &rest[at + "crate::".len()..];
            if let Some(group) = rest.strip_prefix('{') {
                used.extend(group.split(',').map(|part| name_at_start(part.trim())));
            } else {
                used.push(name_at_start(rest));
            }
        }
    }
    used.retain(|name| !name.is_empty());
    used
}

fn name_at_start(text: &str) -> String {
    text.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect()
}

#[test]
fn no_arrow_runs_back() {
    let mut files = Vec::new();
    sources(&root(), &mut files);
    let mut seen = 0;
    // Tests in files of their own make their cases of what they need.
    for path in files.iter().filter(|path| !path.ends_with("tests.rs")) {
        let room = room_of(path);
        let Some((_, may_know)) = MAY_KNOW.iter().find(|(name, _)| *name == room) else {
            assert!(["main", "lib", "command"].contains(&room.as_str()), "room {room} has no entry in MAY_KNOW");
            continue;
        };
        let source = fs::read_to_string(path).expect("a source");
        for used in rooms_used(&source) {
            seen += 1;
            assert!(
                used == room || may_know.contains(&used.as_str()),
                "{} uses crate::{used}, but {room} may know only {may_know:?}",
                path.display()
            );
        }
        if PHYSICS.contains(&room.as_str()) {
            for library in NOT_IN_PHYSICS {
                if *library == "toml" && path.ends_with(READS_EMBEDDED_TOML) {
                    continue;
                }
                let named = source.lines().any(|line| {
                    let line = line.trim_start();
                    !line.starts_with("//") && line.contains(&format!("{library}::"))
                });
                assert!(!named, "{} touches {library}, which no physics room may", path.display());
            }
        }
    }
    assert!(seen > 0 && files.len() > 10, "the test read no sources");
}

/// The page places figures: of what these are computed from it knows nothing, but for the air that an hour of weather
/// is made of.
#[test]
fn the_page_computes_nothing_of_the_ledgers() {
    let (_, may_know) = MAY_KNOW.iter().find(|(name, _)| *name == "page").expect("the page");
    for room in may_know.iter().filter(|room| **room != "air") {
        assert!(!PHYSICS.contains(room) && *room != "study", "the page knows {room}");
    }
}

/// What is said is said without knowing how a page shows it.
#[test]
fn the_answer_knows_no_page() {
    let mut files = Vec::new();
    sources(&root().join("answer"), &mut files);
    assert!(files.len() > 10, "the test read no sources");
    for path in &files {
        let source = fs::read_to_string(path).expect("a source");
        for mark in ["tera::", "plotters", "<svg", "<td", "<p>", "</"] {
            assert!(!source.contains(mark), "{} has {mark}", path.display());
        }
    }
}

#[test]
fn the_reader_of_use_lines_sees_what_it_should() {
    assert_eq!(rooms_used("use crate::study::Study;"), ["study"]);
    assert_eq!(rooms_used("    let x = crate::answer::go();"), ["answer"]);
    assert_eq!(rooms_used("use crate::{air, command::run};"), ["air", "command"]);
    assert!(rooms_used("// use crate::study::Study;").is_empty());
}

/// Rooms with a floor plan of their own: what lies on a floor knows its own and those before it. The first is the
/// ground, the files beside the folders; the room's own `mod.rs` only passes on.
const FLOORS: &[(&str, &[&str])] = &[("weather", &["", "check", "read", "year", "invent"])];

/// Circles of files that still stand: which files (a folder's end in `/`), how many at most, and what they are. A circle
/// that is no more is struck out, and none is added but two halves of one type.
const CIRCLES: &[(&[&str], usize, &str)] = &[
    (&["answer/condensers.rs", "answer/condensers/"], 3, "where condensers stand, and what flips it"),
    (&["page/weather.rs", "page/weather/"], 2, "a page and its part by month"),
    (&["season/reach.rs", "season/reach/"], 2, "what air can reach, heated and not"),
    (&["study/cursor.rs", "study/document.rs", "study/field.rs"], 3, "a cursor and its fields"),
];

fn arrows() -> Arrows {
    let mut files = Vec::new();
    sources(&root(), &mut files);
    let arrows = Arrows::of(&root(), &files);
    assert!(arrows.all.len() > 1000, "the test saw {} arrows", arrows.all.len());
    arrows
}

#[test]
fn no_circle_of_files_but_those_that_are_known() {
    let circles = arrows().circles();
    let mut standing = vec![0; CIRCLES.len()];
    for circle in &circles {
        let fits = |(files, most, _): &(&[&str], usize, &str)| {
            let covers = |file: &String| files.iter().any(|f| f == file || (f.ends_with('/') && file.starts_with(f)));
            circle.len() <= *most && circle.iter().all(covers)
        };
        let known = CIRCLES.iter().position(fits);
        let known = known.unwrap_or_else(|| panic!("files that know each other in a circle: {circle:#?}"));
        standing[known] += 1;
        assert_eq!(standing[known], 1, "a second circle where one was known: {circle:#?}");
    }
    for ((files, ..), found) in CIRCLES.iter().zip(standing) {
        assert!(found > 0, "the circle of {files:?} is no more: strike it out of CIRCLES");
    }
}

#[test]
fn within_a_room_data_flows_one_way_too() {
    for (room, floors) in FLOORS {
        let floor = |file: &str| -> Option<usize> {
            let within = file.strip_prefix(&format!("{room}/"))?;
            let folder = within.split('/').next().unwrap_or("").trim_end_matches(".rs");
            floors.iter().position(|name| *name == folder).or(Some(0))
        };
        let mut seen = 0;
        for (from, to) in &arrows().all {
            if from.ends_with(&format!("{room}/mod.rs")) {
                continue;
            }
            if let (Some(upper), Some(lower)) = (floor(from), floor(to)) {
                seen += 1;
                assert!(lower <= upper, "{from} uses {to}, but {room} is built up as {floors:?}");
            }
        }
        assert!(seen > 20, "the test saw {seen} arrows in {room}");
    }
}
