//! Every option is held against its own plant; what is set stands in place of what cannot stand beside it.

use super::faults::{replace, small};
use crate::case::dryledger;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// The small study without what its room says of recirculating alone, with more behind its options.
fn study(more: &str) -> TempDir {
    let folder = small();
    let only_recirculating =
        "relative_humidity_max = 40.0\nfresh_air_min_m3_per_s = 0.1\nfresh_air_max_m3_per_s = 1.2\n";
    replace(folder.path(), "study.toml", only_recirculating, "");
    replace(folder.path(), "study.toml", "[money]\n", &format!("{more}\n[money]\n"));
    folder
}

fn report(folder: &Path, more: &[&str]) -> Value {
    let all = [&["report", "study.toml", "--json"], more].concat();
    dryledger(&all).in_folder(folder).run().json()
}

fn option<'a>(figures: &'a Value, name: &str) -> &'a Value {
    let all = figures["options"].as_array().expect("options");
    all.iter().find(|option| option["name"] == name).expect(name)
}

/// Air that passes once in one option does not stand in the way of condensers in the room of another.
#[test]
fn an_option_is_held_against_its_own_plant_alone() {
    let folder = study("[[option]]\nname = \"once\"\nset = { \"room.room.air\" = \"once-through\" }\n");
    let figures = report(folder.path(), &[]);
    assert!(option(&figures, "once")["season"].is_object());
    // Together they do not fit, and the reason names the option.
    let both = "[[option]]\nname = \"both\"\nset = { \"room.room.air\" = \"once-through\" }\nsources = [\"heaters\"]\ncondensers = \"room\"\n";
    let ran = dryledger(&["check", "study.toml"]).in_folder(study(both).path()).run();
    ran.refused(&["in option \"both\": ", "whose air passes once", "has condensers in it"]);
}

/// Where the study's air passes once, condensers may stand in the room of an option that makes it go round.
#[test]
fn an_option_may_make_the_plant_that_its_condensers_need() {
    let folder = study("");
    replace(folder.path(), "study.toml", "air = \"recirculating\"\n", "air = \"once-through\"\n");
    let refused = dryledger(&["check", "study.toml"]).in_folder(folder.path()).run();
    refused.refused(&["whose air passes once, but option \"condensers in room\" has condensers in it"]);
    let own = "condensers = \"room\"\nset = { \"room.room.air\" = \"recirculating\" }\n";
    replace(folder.path(), "study.toml", "condensers = \"room\"\n", own);
    let figures = report(folder.path(), &[]);
    assert!(option(&figures, "condensers in room")["recovered"]["useful_kwh"].as_f64().is_some_and(|kwh| kwh > 0.0));
}

#[test]
fn a_value_that_a_package_says_anew_is_told_once() {
    let folder = study(
        "[[option]]\nname = \"lagged\"\nset = { \"room.room.envelope_ua_w_per_k\" = 60.0 }\n\n\
         [[option]]\nname = \"more\"\nincludes = [\"lagged\"]\nset = { \"room.room.envelope_ua_w_per_k\" = 30.0 }\n",
    );
    let figures = report(folder.path(), &[]);
    let set = option(&figures, "more")["set"].as_array().expect("what it sets");
    assert_eq!(set.len(), 1, "{set:?}");
    assert_eq!(set[0]["value"], "30.0");
    // Whoever includes others is told whose heaters come with them.
    let said = dryledger(&["report", "study.toml"]).in_folder(folder.path()).run().stdout;
    assert!(said.contains("\"more\" includes \"lagged\", and heats by heaters"), "{said}");
    assert!(!said.contains("\"lagged\" includes"), "the baseline's heaters are its own: {said}");
}

/// Dried tonnes stand in place of the season's received ones, for a run and for an option.
#[test]
fn a_value_takes_the_place_of_what_says_the_same_in_another_way() {
    let folder = study("[[option]]\nname = \"more nuts\"\nset = { \"crop.dried_tonnes\" = 13.0 }\n");
    let figures = report(folder.path(), &[]);
    let dried = |figures: &Value, at: &str| figures.pointer(at).and_then(Value::as_f64).expect("tonnes");
    assert!((dried(option(&figures, "more nuts"), "/season/received_t") - 13.0 * 0.88 / 0.8).abs() < 1e-6);
    let set = report(folder.path(), &["--set", "crop.dried_tonnes=13.0"]);
    assert!((dried(&set, "/season/received_t") - 13.0 * 0.88 / 0.8).abs() < 1e-6);
    let ran = dryledger(&["check", "study.toml", "--set", "crop.dried_tonnes=13", "--set", "crop.season_tonnes=13"])
        .in_folder(folder.path())
        .run();
    ran.refused(&["dried_tonnes", "is given beside season_tonnes"]);
}

#[test]
fn money_of_two_currencies_is_not_compared() {
    let folder = small();
    let text = fs::read_to_string(folder.path().join("study.toml")).expect("a study");
    fs::write(folder.path().join("other.toml"), text.replace("\"USD\"", "\"EUR\"")).expect("written");
    let tariff = fs::read_to_string(folder.path().join("tariff.toml")).expect("a tariff");
    if tariff.contains("USD") {
        fs::write(folder.path().join("tariff_eur.toml"), tariff.replace("USD", "EUR")).expect("written");
        replace(folder.path(), "other.toml", "tariff = \"tariff.toml\"", "tariff = \"tariff_eur.toml\"");
    }
    let compare = |more: &[&str]| {
        dryledger(&[&["compare", "study.toml", "other.toml"], more].concat()).in_folder(folder.path()).run()
    };
    let found = compare(&["--json"]).json();
    assert_eq!(found["currencies_differ"], true);
    let headlines = found["headlines"].as_array().expect("headlines");
    assert!(
        headlines
            .iter()
            .all(|headline| !["bill", "capital", "net present cost"].iter().any(|name| headline["name"] == *name))
    );
    assert!(headlines.iter().any(|headline| headline["name"] == "purchased energy"));
    let said = compare(&[]).stdout;
    assert!(said.contains("currencies differ (USD, EUR): nothing in money is compared"), "{said}");
}

/// `size --set` sizes the study written with that value.
#[test]
fn size_takes_values_for_one_run() {
    let (own, written) = (small(), small());
    replace(written.path(), "study.toml", "envelope_ua_w_per_k = 120.0", "envelope_ua_w_per_k = 600.0");
    let size = |folder: &Path, more: &[&str]| {
        dryledger(&[&["size", "study.toml", "--json"], more].concat()).in_folder(folder).run().json().to_string()
    };
    let set = size(own.path(), &["--set", "room.room.envelope_ua_w_per_k=600.0"]);
    assert_eq!(set, size(written.path(), &[]));
    assert_ne!(set, size(own.path(), &[]));
}
