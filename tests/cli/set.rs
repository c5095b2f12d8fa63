//! `--set PATH=VALUE`: a study with other values, for one run.

use super::faults::{replace, small};
use crate::case::{Ran, dryledger};
use serde_json::Value;
use std::fs;
use std::path::Path;

fn run(folder: &Path, command: &[&str], set: &[&str]) -> Ran {
    let mut all = command.to_vec();
    for one in set {
        all.extend(["--set", one]);
    }
    dryledger(&all).in_folder(folder).run()
}

fn report(folder: &Path, set: &[&str]) -> Value {
    run(folder, &["report", "study.toml", "--json"], set).json()
}

fn check(set: &[&str]) -> Ran {
    run(small().path(), &["check", "study.toml"], set)
}

fn cost(figures: &Value, option: usize) -> f64 {
    figures["options"][option]["total_cost"].as_f64().expect("a cost")
}

/// A number, a word, a list of tables, an entry of a list and a value of the tariff beside the study give what the same
/// study gives with these values written into it.
#[test]
fn what_is_set_is_as_if_it_were_written() {
    let set = [
        "room.room.temperature_c=38.0",
        "crop.intake_shape=bell",
        "room.room.bins=[{ count = 3, tonnes = 4.0, floor_area_m2 = 4.0 }]",
        "cool_store.relative_humidity.1=46.0",
        "carrier.electricity.tariff.period.day.price=0.5",
    ];
    let written = small();
    for (file, old, new) in [
        ("study.toml", "temperature_c = 40.0", "temperature_c = 38.0"),
        ("study.toml", "intake_shape = \"even\"", "intake_shape = \"bell\""),
        ("study.toml", "count = 2, tonnes", "count = 3, tonnes"),
        ("study.toml", "[45.0, 55.0]", "[46.0, 55.0]"),
        ("tariff.toml", "price = 0.21", "price = 0.5"),
    ] {
        replace(written.path(), file, old, new);
    }
    let written = report(written.path(), &[]);
    let asked = report(small().path(), &set);
    for key in ["options", "season", "course", "ranking"] {
        assert!(asked[key] == written[key], "{key} differs");
    }
    assert!(asked["options"] != report(small().path(), &[])["options"]);
    let told = asked["set"].as_array().expect("what was set");
    assert_eq!(told.len(), set.len());
    assert_eq!(told[0]["path"], "room.room.temperature_c");
    assert_eq!((&told[0]["value"], &told[0]["study_value"]), (&"38.0".into(), &"40".into()));
    let listed = asked["assumptions"].as_array().expect("inputs");
    let temperature = listed.iter().find(|input| input["path"] == "room.room.temperature_c").expect("listed");
    assert_eq!((&temperature["value"], &temperature["source"]), (&"38".into(), &"set for this run".into()));
    assert!(written.get("set").is_none());
}

#[test]
fn the_studys_own_report_stays_as_it_is() {
    let folder = small();
    report(folder.path(), &[]);
    let own = fs::read(folder.path().join("figures.json")).expect("a report");
    let listing = || {
        let mut names: Vec<_> =
            fs::read_dir(folder.path()).expect("a folder").map(|e| e.expect("one").file_name()).collect();
        names.sort();
        names
    };
    let before = listing();
    let set = ["room.room.envelope_ua_w_per_k=60.0"];
    let ran = run(folder.path(), &["report", "study.toml"], &set);
    ran.ends_well();
    let told = "set for this run: room.room.envelope_ua_w_per_k = 60.0 W/K (120 in the study)";
    assert!(ran.stdout.contains(told) && ran.stdout.contains("no report was written"), "{}", ran.stdout);
    assert_eq!((listing(), fs::read(folder.path().join("figures.json")).expect("a report")), (before, own));
    run(folder.path(), &["report", "study.toml", "--hourly"], &set).refused(&["--out DIR"]);
    // Where a folder is named there is a report, and it says what was set.
    let ran = run(folder.path(), &["report", "study.toml", "--out", "apart"], &set);
    ran.ends_well();
    let page = fs::read_to_string(folder.path().join("apart/report.html")).expect("a page");
    assert!(page.contains("<dt>Set for this run</dt><dd>room.room.envelope_ua_w_per_k = 60.0 W/K (120 in the study)"));
}

/// Every price of the tariff is dearer by the factor, and so is the whole bill of an option that uses nothing else.
#[test]
fn a_price_factor_makes_every_price_of_a_carrier_dearer() {
    let own = report(small().path(), &[]);
    let dearer = report(small().path(), &["carrier.electricity.price_factor=1.5"]);
    assert!((cost(&dearer, 0) / cost(&own, 0) - 1.5).abs() < 1e-4, "{} {}", cost(&dearer, 0), cost(&own, 0));
    let gas = report(small().path(), &["carrier.lpg.price_factor=1.5"]);
    let lpg = |figures: &Value| figures["options"][1]["carriers"]["lpg"]["cost"].as_f64().expect("a cost");
    assert!((lpg(&gas) / lpg(&own) - 1.5).abs() < 1e-4);
    assert_eq!(cost(&gas, 0).to_bits(), cost(&own, 0).to_bits());
}

#[test]
fn what_cannot_be_set_is_told_with_what_was_asked_and_a_cure() {
    for (set, told) in [
        ("room.rooom.air=x", "room has no \"rooom\", expected one of room; did you mean \"room\"?"),
        ("rom.room.air=x", "`rom` is not known here; did you mean `room`?"),
        ("crop.recieved_moisture=26", "`recieved_moisture` is not known in crop; did you mean `received_moisture`?"),
        ("crop.kind.x=3", "`crop.kind.x` is no value of this study; did you mean \"crop.kind\"?"),
        ("crop.received_moisture=99", "received_moisture is 99, expected 1 to 70 % w.b."),
        ("crop.received_moisture=wet", "received_moisture is the text \"wet\", expected a number"),
        ("room.room.air=twice", "air is \"twice\", expected \"recirculating\" or \"once-through\""),
        ("room.room.bins=[{ count = 3, tonnes = 4.0 }]", "floor_area_m2 is missing"),
        ("cool_store.relative_humidity=[60, 40]", "relative_humidity is [60, 40], expected rising"),
        ("carrier.electricity.tariff.period.dy.price=2", "period has no \"dy\", expected one of day"),
        ("carrier.electricity.tariff.tax_shar=2", "`tax_shar` is not known here; did you mean `tax_share`?"),
        ("crop.received_moisture", "expected PATH=VALUE"),
    ] {
        check(&[set]).refused(&[&format!("--set {set}"), told]);
        run(small().path(), &["report", "study.toml"], &[set]).refused(&[told]);
    }
}

/// A value that is set is doubted as if it were written: the heat of a kg of gas in MJ, where kWh are asked.
#[test]
fn what_is_set_is_doubted_as_what_is_written() {
    let said = check(&["carrier.lpg.heating_value_kwh_per_unit=46.4"]).stdout;
    assert!(said.contains("[fuel.heating_value]"), "{said}");
    assert!(!check(&["carrier.lpg.heating_value_kwh_per_unit=12.8"]).stdout.contains("[fuel.heating_value]"));
}

/// What is wrong only beside other values is told where it stands, with its cause.
#[test]
fn what_a_change_spoils_elsewhere_says_so() {
    let ran = check(&["room.room.air=once-through"]);
    ran.refused(&["study.toml:29:1: with what --set sets: room is \"room\", whose air passes once"]);
    assert!(!ran.stderr.contains("warning"), "{}", ran.stderr);
}

#[test]
fn check_tells_what_was_set() {
    let ran = check(&["crop.received_moisture=26", "room.room.air = recirculating"]);
    ran.ends_well();
    assert!(ran.stdout.contains("  set      crop.received_moisture = 26 % w.b. (20 in the study)"), "{}", ran.stdout);
    let json = run(small().path(), &["check", "study.toml", "--json"], &["crop.received_moisture=26"]).json();
    assert_eq!(json["set"][0]["path"], "crop.received_moisture");
}

/// A value that is set stands for every draw, unless it is drawn itself.
#[test]
fn draws_are_made_of_the_changed_study() {
    let folder = small();
    let path = folder.path().join("study.toml");
    let text = fs::read_to_string(&path).expect("a study")
        + "\n[uncertainty]\nsamples = 2\n\"crop.season_tonnes\" = { uniform = { low = 11.0, high = 13.0 } }\n";
    fs::write(&path, text).expect("written");
    let median = |set: &[&str]| {
        let figures = report(folder.path(), set);
        figures["options"][0]["uncertainty"]["total_cost"]["p50"].as_f64().expect("a median")
    };
    let (own, dearer) = (median(&[]), median(&["carrier.electricity.price_factor=2.0"]));
    assert!((dearer / own - 2.0).abs() < 1e-4, "{own} {dearer}");
}
