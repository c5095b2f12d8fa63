//! `[uncertainty]`: draws of inputs, on the small study.

use super::faults::{replace, small};
use super::report_page::assert_whole;
use crate::case::dryledger;
use serde_json::Value;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// The small study with these lines of `[uncertainty]`, and nothing else in doubt; the first is on line 92 of the file.
fn uncertain(lines: &[&str]) -> TempDir {
    let folder = small();
    let path = folder.path().join("study.toml");
    let mut text = fs::read_to_string(&path).expect("text");
    assert_eq!(text.lines().count(), 90, "places below are counted from here");
    text.push_str("[uncertainty]\n");
    for line in lines {
        let _ = writeln!(text, "{line}");
    }
    text.push_str("standing = false\n");
    fs::write(path, text).expect("written");
    folder
}

fn report(folder: &Path, more: &[&str]) -> Value {
    let arguments = [&["report", "study.toml", "--json"][..], more].concat();
    dryledger(&arguments).in_folder(folder).run().json()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no {key} in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no {key}"))
}

fn option<'a>(figures: &'a Value, name: &str) -> &'a Value {
    let mut options = list(figures, "options").iter();
    options.find(|option| option["name"] == name).expect(name)
}

fn odds<'a>(figures: &'a Value, own: &str, other: &str) -> &'a Value {
    let mut all = list(&figures["uncertainty"], "odds").iter();
    all.find(|odds| odds["option"] == own && odds["against"] == other).expect("odds")
}

const MIXED: [&str; 5] = [
    "samples = 6",
    "\"crop.received_moisture\" = { normal = { mean = 20.0, sd = 1.0 } }",
    "\"carrier.lpg.price\" = { lognormal = { median = 1.35, factor = 1.3 } }",
    "\"source.gas heater.capital\" = { uniform = { low = 7000.0, high = 11000.0 } }",
    "\"carrier.electricity.tariff.otherwise.price\" = { triangular = { low = 0.1, mode = 0.12, high = 0.2 } }",
];

/// Capital stands in the net present cost once, less a grant that is not given: so a uniform capital gives
/// a uniform net present cost, and the two ends of the tornado lie 0.8 of its range apart.
#[test]
fn an_input_of_money_alone_gives_linear_answers() {
    let folder =
        uncertain(&["samples = 40", "\"source.gas heater.capital\" = { uniform = { low = 1000.0, high = 2000.0 } }"]);
    // As studied, the condensers are the best option beside the baseline.
    replace(folder.path(), "study.toml", "capital = 1500.0", "capital = 1000.0");
    let figures = report(folder.path(), &[]);
    let gas = option(&figures, "gas");
    // Without its capital, 9000, and what of that life beyond the horizon leaves, the rest is fixed: the
    // slope of cost over capital is taken from two whole runs that draw nothing.
    let at = |capital: &str| {
        let folder = small();
        let from = "capital = 9000.0";
        replace(folder.path(), "study.toml", from, &format!("capital = {capital}"));
        let figures = report(folder.path(), &[]);
        number(&option(&figures, "gas")["life_cycle"], "net_present_cost")
    };
    let (low, high) = (at("1100.0"), at("1900.0"));
    let sampled = &figures["uncertainty"];
    let saving = &list(sampled, "tornado")[0];
    assert_eq!(saving["option"], "condensers in room", "{saving}");
    // The gas heater is no part of that option nor of the baseline.
    let swing = &list(saving, "inputs")[0];
    assert_eq!(number(swing, "at_low"), number(swing, "at_high"));
    // Strata of 1/40, so that an order statistic lies within one stratum of the true quantile.
    let stratum = (high - low) / 0.8 / 40.0;
    let present = &gas["uncertainty"]["net_present_cost"];
    assert!((number(present, "p10") - low).abs() < stratum, "{present}");
    assert!((number(present, "p90") - high).abs() < stratum, "{present}");
    assert!((number(present, "p50") - f64::midpoint(low, high)).abs() < stratum);
    // No season is another, and no bill.
    let bill = &gas["uncertainty"]["total_cost"];
    assert_eq!(number(bill, "p10"), number(bill, "p90"));
    assert_eq!(number(bill, "p10"), number(gas, "total_cost"));
    // At so low a capital the gas heater is the better one, whichever way it is drawn.
    assert_eq!(number(&gas["uncertainty"], "best_in_draws_pct"), 100.0);
    let changes = list(sampled, "ranking_changes");
    assert_eq!(changes.len(), 2, "{changes:?}");
    assert!(changes.iter().all(|change| change["recommended"] == "gas"));
}

/// At fixed received tonnes wetter nuts are less crop: 12 t at 18.4 and 21.6 % w.b. are 12 x 0.816 / 0.88 and
/// 12 x 0.784 / 0.88 t of dried nuts at 12 %. The section on draws says so, and what keeps the crop; where the
/// dried tonnes are given, or another input is drawn, there is nothing to say.
#[test]
fn received_moisture_at_fixed_received_tonnes_says_that_it_changes_the_crop() {
    const DRAWN: [&str; 2] = ["samples = 2", "\"crop.received_moisture\" = { uniform = { low = 18.0, high = 22.0 } }"];
    let folder = uncertain(&DRAWN);
    let figures = report(folder.path(), &[]);
    let [change] = list(&figures["uncertainty"], "crop_changes") else { panic!("one crop") };
    assert_eq!(change["fixed"], "crop.season_tonnes");
    assert!((number(change, "dried_t_at_low") - 12.0 * 0.816 / 0.88).abs() < 1e-9, "{change}");
    assert!((number(change, "dried_t_at_high") - 12.0 * 0.784 / 0.88).abs() < 1e-9, "{change}");
    let page = |folder: &Path| {
        let page = fs::read_to_string(folder.join("report.html")).expect("the page");
        page.replace('\u{a0}', " ")
    };
    let said = "12.0 t received, 11.1 t of dried nuts come at 18.4 % w.b. and 10.7 t at 21.6 % w.b., so that wetter nuts dry less crop";
    assert!(page(folder.path()).contains(said));
    assert!(page(folder.path()).contains("dried_tonnes in place of season_tonnes keeps the crop"));
    // The same crop at every draw.
    let folder = uncertain(&DRAWN);
    replace(folder.path(), "study.toml", "season_tonnes = 12.0", "dried_tonnes = 10.9");
    let figures = report(folder.path(), &[]);
    assert!(figures["uncertainty"]["crop_changes"].is_null());
    assert!(!page(folder.path()).contains("dry less crop"));
    let folder = uncertain(&["samples = 2", MIXED[3]]);
    report(folder.path(), &[]);
    assert!(!page(folder.path()).contains("dry less crop"));
}

/// The tornado's ends are what two whole runs with the values in the file give.
#[test]
fn an_input_alone_gives_what_the_study_gives_with_it_in_the_file() {
    let folder = uncertain(&[
        "samples = 2",
        "\"crop.received_moisture\" = { uniform = { low = 18.0, high = 22.0 } }",
        "\"crop.season_tonnes\" = { uniform = { low = 10.0, high = 14.0 } }",
    ]);
    let figures = report(folder.path(), &[]);
    let bill = &list(&figures["uncertainty"], "tornado")[1];
    assert_eq!((&bill["option"], &bill["answer"]), (&"electric".into(), &"total_cost".into()));
    assert_eq!(number(bill, "as_studied"), number(option(&figures, "electric"), "total_cost"));
    for (path, key, low, high) in [
        ("crop.received_moisture", "received_moisture = 20.0", "18.4", "21.6"),
        ("crop.season_tonnes", "season_tonnes = 12.0", "10.4", "13.6"),
    ] {
        let swing = list(bill, "inputs").iter().find(|swing| swing["input"] == path).expect(path);
        for (value, end) in [(low, "at_low"), (high, "at_high")] {
            let folder = small();
            let (name, _) = key.split_once(" = ").expect("a key");
            replace(folder.path(), "study.toml", key, &format!("{name} = {value}"));
            let alone = report(folder.path(), &[]);
            let off = number(option(&alone, "electric"), "total_cost") - number(swing, end);
            assert!(off.abs() < 0.011, "{path} {end}: {off}");
        }
    }
}

#[test]
fn the_same_study_gives_the_same_bytes_and_another_seed_other_draws() {
    let folder = uncertain(&MIXED);
    for out in ["first", "second"] {
        report(folder.path(), &["--out", out]);
    }
    for file in ["figures.json", "report.html"] {
        let read = |out: &str| fs::read(folder.path().join(out).join(file)).expect("a file");
        assert!(read("first") == read("second"), "{file} differs");
    }
    let seeded = [&MIXED[..], &["seed = 2"]].concat();
    let other = report(uncertain(&seeded).path(), &[]);
    let own = report(folder.path(), &[]);
    let costs = |figures: &Value| option(figures, "gas")["uncertainty"]["total_cost"].clone();
    assert_ne!(costs(&own), costs(&other));
    assert_eq!(own["uncertainty"]["tornado"], other["uncertainty"]["tornado"]);
}

/// Condensers in the intake cost more to build than the same heaters with nothing moved, and save a few
/// dollars: whatever the price of electricity, they never earn that.
#[test]
fn an_option_that_is_always_dearer_loses_every_draw() {
    let folder = uncertain(&MIXED);
    let figures = report(folder.path(), &[]);
    let lost = odds(&figures, "condensers in intake", "electric");
    assert_eq!(number(lost, "share_of_draws_cheaper"), 0.0);
    assert!(number(&lost["net_saving"], "highest") < 0.0);
    let won = odds(&figures, "electric", "condensers in intake");
    assert_eq!(number(won, "share_of_draws_cheaper"), 1.0);
    // Its bill is the lower one all the same, in every season.
    assert_eq!(number(lost, "share_of_seasons_cheaper"), 1.0);
}

/// A heater far too small costs least and dries nothing: no rival of what is recommended.
#[test]
fn what_cannot_do_the_work_is_no_rival() {
    let folder = uncertain(&MIXED);
    let weak = "[[source]]\nname = \"match\"\nkind = \"resistance\"\ncapacity_kw = 0.5\n\n[[option]]\nname = \"weak\"\nsources = [\"match\"]\n\n[money]\n";
    replace(folder.path(), "study.toml", "[money]\n", weak);
    let figures = report(folder.path(), &[]);
    let recommended = figures["study"]["recommended"].as_str().expect("an option");
    assert_ne!(recommended, "weak");
    assert_eq!(number(odds(&figures, recommended, "weak"), "share_of_draws_cheaper"), 0.0);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    let (before, _) = page.split_once(", the runner-up, in ").expect("a rival");
    let sentence = before.rsplit("lower net present cost than").next().expect("it");
    assert!(!sentence.contains("weak"), "{sentence}");
}

#[test]
fn samples_can_be_set_and_left_out() {
    let folder = uncertain(&MIXED);
    let drawn = report(folder.path(), &["--samples", "3"]);
    assert_eq!(number(&drawn["uncertainty"], "samples"), 3.0);
    let electric = &option(&drawn, "electric")["uncertainty"];
    assert_eq!(number(electric, "draws"), 3.0);
    assert!(electric["weather_alone"]["total_cost"]["p50"].is_number());
    let without = report(folder.path(), &["--samples", "0"]);
    assert!(without.get("uncertainty").is_none());
    assert_eq!(number(&option(&without, "electric")["uncertainty"], "draws"), 0.0);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    assert!(!page.contains("tornado") && page.contains("No input was drawn"));
    for wrong in ["1", "-3", "many", "10001"] {
        dryledger(&["report", "study.toml", "--samples", wrong])
            .in_folder(folder.path())
            .run()
            .refused(&["expected 0, or 2 to 10000 draws"][..usize::from(!wrong.starts_with('-'))]);
    }
    let sure = uncertain(&["samples = 0"]);
    dryledger(&["report", "study.toml", "--samples", "5"])
        .in_folder(sure.path())
        .run()
        .refused(&["nothing in study.toml is in doubt", "name an input in [uncertainty]"]);
}

#[test]
fn the_page_shows_what_moves_the_answer() {
    let folder = uncertain(&MIXED);
    report(folder.path(), &[]);
    let page = fs::read_to_string(folder.path().join("report.html")).expect("a page");
    for words in [
        "id=\"tornado-net-saving-wide-t\"",
        "id=\"tornado-total-cost-narrow-d\"",
        "6\u{a0}draws of 4\u{a0}uncertain inputs",
        "Odds, draw by draw",
        "rank correlation",
        "lognormal, median 1.35, factor 1.3",
        "The lowest, the middle and the highest season",
    ] {
        assert!(page.contains(words), "no '{words}'");
    }
    assert_whole(&page);
}

const GOOD: &str = "{ uniform = { low = 1.0, high = 2.0 } }";
/// A line of `[uncertainty]` as key and value, and what is said of it.
const FAULTS: &[(&str, &str, &[&str])] = &[
    (
        "\"crop.recieved_moisture\" =",
        GOOD,
        &["92:1:", "is no number of this study", "did you mean \"crop.received_moisture\"?"],
    ),
    ("\"crop.kind\" =", GOOD, &["92:1:", "is macadamia, which is no number"]),
    (
        "\"cool_store.relative_humidity\" =",
        GOOD,
        &["92:1:", "name one entry of the list: \"cool_store.relative_humidity.1\""],
    ),
    ("\"site.altitude_m\" =", GOOD, &["92:1:", "cannot be drawn", "which weather is read"]),
    ("crop.received_moisture =", GOOD, &["92:1:", "in quotes as a whole: \"crop.received_moisture\""]),
    ("\"crop.received_moisture\" =", "20.0", &["92:1:", "has no distribution", "{ normal = { mean, sd } }"]),
    ("\"crop.received_moisture\" =", "{ beta = { a = 1.0 } }", &["92:1:", "has no distribution", "lognormal"]),
    ("\"crop.received_moisture\" =", "{ normal = { mean = 20.0 } }", &["92:39:", "sd is missing"]),
    (
        "\"crop.received_moisture\" =",
        "{ normal = { mean = 20.0, sd = 1.0, hi = 22.0 } }",
        &["92:64:", "`hi` is not known", "did you mean `high`?"],
    ),
    (
        "\"crop.received_moisture\" =",
        "{ normal = { mean = 20.0, sd = -1.0 } }",
        &["92:59:", "sd is -1, expected more than 0"],
    ),
    ("\"crop.received_moisture\" =", "{ uniform = { low = 21.0, high = 19.0 } }", &["92:", "low must be below high"]),
    (
        "\"crop.received_moisture\" =",
        "{ normal = { mean = 20.0, sd = 1.0, low = 90.0 } }",
        &["92:", "less than 1 % of itself"],
    ),
    (
        "\"crop.received_moisture\" =",
        "{ uniform = { low = 19.0, high = 90.0 } }",
        &["92:1:", "`crop.received_moisture` = ", "expected 1 to 70 % w.b.", "`low` and `high` cut"],
    ),
    (
        "\"money.years\" =",
        "{ uniform = { low = 8.0, high = 12.0 } }",
        &["92:1:", "`money.years` = ", "a whole number cannot be drawn"],
    ),
    ("samples =", "1", &["92:11:", "samples is 1, expected 0, or 2 to 10000 draws"]),
    ("seed =", "3", &["[uncertainty] names no input"]),
];

/// Each fault is told at its line and column, in one sentence, by `check` and by `report`.
#[test]
fn faults_are_told_where_they_are() {
    for (key, value, words) in FAULTS {
        let folder = uncertain(&[&format!("{key} {value}")]);
        for command in [&["check", "study.toml"][..], &["report", "study.toml"]] {
            let ran = dryledger(command).in_folder(folder.path()).run();
            ran.refused(words);
            let sentences = ran.stderr.lines().filter(|line| !line.starts_with(' ') && !line.contains("warning:"));
            let expected = if *key == "samples =" { 2 } else { 1 };
            assert_eq!(sentences.count(), expected, "{key} {value}: {}", ran.stderr);
        }
        assert!(!folder.path().join("report.html").exists());
    }
}

/// The target of the driest draws is below what the air can reach.
#[test]
fn a_drawn_target_that_the_air_cannot_reach_is_refused_at_its_input() {
    let folder = uncertain(&["\"crop.dried_moisture\" = { uniform = { low = 1.0, high = 12.5 } }"]);
    dryledger(&["report", "study.toml"]).in_folder(folder.path()).run().refused(&["study.toml:92:1:", "never ends"]);
}

/// A value of the crop library that the study does not give, an entry of a list, a price of the tariff.
#[test]
fn defaults_entries_of_lists_and_tariffs_can_be_drawn() {
    let folder = uncertain(&[
        "samples = 3",
        "\"crop.activation_energy\" = { uniform = { low = 28.0, high = 34.0 } }",
        "\"cool_store.relative_humidity.1\" = { uniform = { low = 40.0, high = 50.0 } }",
        "\"carrier.electricity.tariff.demand.network.price\" = { uniform = { low = 6.0, high = 9.0 } }",
        "\"room.room.bins.1.floor_area_m2\" = { uniform = { low = 3.5, high = 4.5 } }",
    ]);
    let figures = report(folder.path(), &[]);
    let moved = list(&list(&figures["uncertainty"], "tornado")[1], "inputs");
    assert_eq!(moved.len(), 4);
    for input in moved {
        // The store's lowest humidity is nowhere near in that week: it is drawn and moves no bill.
        let moves = number(input, "at_low") != number(input, "at_high");
        assert_eq!(moves, input["input"] != "cool_store.relative_humidity.1", "{input}");
    }
}

#[test]
fn a_value_of_the_study_that_its_distribution_hardly_reaches_is_a_warning() {
    let folder = uncertain(&["samples = 2", "\"carrier.lpg.price\" = { uniform = { low = 2.0, high = 3.0 } }"]);
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    ran.ends_well();
    assert!(ran.stderr.contains("study.toml:93:"), "{}", ran.stderr);
    assert!(ran.stderr.contains("hardly ever reaches"), "{}", ran.stderr);
}

/// A heater that is far too small in half the draws does not do the work in those: what it then costs is no
/// season's, which the page, the figures and the summary say.
#[test]
fn draws_in_which_an_option_leaves_the_work_undone_are_told() {
    let folder =
        uncertain(&["samples = 8", "\"source.heaters.capacity_kw\" = { uniform = { low = 1.0, high = 60.0 } }"]);
    let figures = report(folder.path(), &[]);
    let done = |name: &str| number(&option(&figures, name)["uncertainty"], "does_the_work_in_draws_pct");
    assert!(done("electric") > 0.0 && done("electric") < 100.0);
    assert_eq!(done("gas"), 100.0);
    // One draw in eight lies in each eighth of the range; what does the work is the upper ones.
    let steps = done("electric") / 12.5;
    assert!((steps - steps.round()).abs() < 1e-9);
    let first = |name: &str| number(&option(&figures, name)["uncertainty"], "best_in_draws_pct");
    assert!(first("electric") <= done("electric"));
    let page = fs::read_to_string(folder.path().join("report.html")).expect("the page");
    assert!(page.contains("The work is left undone by “electric” in"));
    let ran = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run();
    assert!(ran.stdout.contains("the work is left undone by \"electric\" in"));
}
